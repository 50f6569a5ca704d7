//! Style, script and font: inside the binary, told apart by a version in their address.

use axum::Router;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use std::sync::Arc;

use super::App;

/// A file of the program.
struct Asset {
    path: &'static str,
    kind: &'static str,
    /// One after the other.
    parts: &'static [&'static [u8]],
}

static ASSETS: &[Asset] = &[
    Asset {
        path: "/assets/fillstead.css",
        kind: "text/css; charset=utf-8",
        parts: &[
            include_bytes!("../../assets/tokens.css"),
            include_bytes!("../../assets/components.css"),
            include_bytes!("../../assets/pages.css"),
            // The drawings, then one file for each page.
            include_bytes!("../../assets/drawing.css"),
            include_bytes!("../../assets/station.css"),
            include_bytes!("../../assets/book.css"),
            include_bytes!("../../assets/plan.css"),
            include_bytes!("../../assets/run.css"),
            include_bytes!("../../assets/bench.css"),
            include_bytes!("../../assets/check.css"),
        ],
    },
    Asset {
        path: "/assets/fillstead.js",
        kind: "text/javascript; charset=utf-8",
        parts: &[include_bytes!("../../assets/fillstead.js")],
    },
    // One script a page.
    Asset {
        path: "/assets/keep.js",
        kind: "text/javascript; charset=utf-8",
        parts: &[include_bytes!("../../assets/keep.js")],
    },
    Asset {
        path: "/assets/fill.js",
        kind: "text/javascript; charset=utf-8",
        parts: &[include_bytes!("../../assets/fill.js")],
    },
    Asset {
        path: "/assets/station.js",
        kind: "text/javascript; charset=utf-8",
        parts: &[include_bytes!("../../assets/station.js")],
    },
    Asset {
        path: "/assets/plan.js",
        kind: "text/javascript; charset=utf-8",
        parts: &[include_bytes!("../../assets/plan.js")],
    },
    // The run page.
    Asset {
        path: "/assets/run.js",
        kind: "text/javascript; charset=utf-8",
        parts: &[include_bytes!("../../assets/run.js")],
    },
    Asset {
        path: "/assets/bench.js",
        kind: "text/javascript; charset=utf-8",
        parts: &[include_bytes!("../../assets/bench.js")],
    },
    Asset {
        path: "/assets/encode-sans.woff2",
        kind: "font/woff2",
        parts: &[include_bytes!("../../assets/fonts/encode-sans-latin.woff2")],
    },
    Asset {
        path: "/favicon.svg",
        kind: "image/svg+xml",
        parts: &[include_bytes!("../../assets/favicon.svg")],
    },
];

/// The assets.
pub fn router() -> Router<Arc<App>> {
    ASSETS.iter().fold(Router::new(), |router, asset| {
        router.route(asset.path, get(move || async move { answer(asset) }))
    })
}

/// Kept for a day: an address carries the program's version.
fn answer(asset: &Asset) -> Response {
    let headers = [
        (CONTENT_TYPE, asset.kind),
        (CACHE_CONTROL, "public, max-age=86400"),
    ];
    (headers, asset.parts.concat()).into_response()
}
