//! Sheets for paper in the browser: the same pages `book print` writes.
//!
//! A sheet brings its style and font with it, so its policy allows those and nothing else.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use crate::print::{Paper, html};
use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::book::sheet::{Room, cartridge, certificate, day, quarantine, support, tag};
use crate::usecase::book::{choices, desk};
use crate::usecase::clock::day_typed;
use crate::web::App;
use crate::web::page::{PageError, work};
use crate::web::typed::Typed;

/// Style and font of the sheet itself, and nothing from elsewhere.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; \
    form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

/// What stands over a sheet on the screen only.
const HINT: &str = "<body>\n<style>.on-screen{font:16px sans-serif;padding:12px;border-bottom:2px solid}\
    @media print{.on-screen{display:none}}</style>\n<p class=\"on-screen\">Print this page with your \
    browser (Ctrl+P or its menu); choose \"actual size\". This line is not printed. \
    <a href=\"/book\">Back to the book</a></p>";

/// The sheets, and what may be said in the address of each beside [`OF_ALL`].
const SHEETS: [(&str, &[&str]); 6] = [
    ("day", &["day"]),
    ("tag", &["cylinder"]),
    ("cartridge", &["next-due"]),
    ("quarantine", &[]),
    ("certificate", &["test"]),
    ("support", &["drains-expected", "drift"]),
];

/// What may be said of every sheet.
const OF_ALL: [&str; 2] = ["paper", "today"];

/// The printed sheets.
pub fn router() -> Router<Arc<App>> {
    Router::new().route("/print/{sheet}", get(print))
}

/// `GET /print/{sheet}`.
async fn print(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let page = work(&app, move |app| sheet(app, &name, &typed)).await?;
    let page = page.map_err(|trouble| PageError::from(trouble).way("/book", "Book"))?;
    Ok(printed(&page))
}

/// A sheet as it is sent: with what stands over it on a screen, and its own policy.
pub fn printed(page: &str) -> Response {
    let headers = [
        (CONTENT_TYPE, "text/html; charset=utf-8"),
        (CONTENT_SECURITY_POLICY, POLICY),
    ];
    (headers, page.replacen("<body>", HINT, 1)).into_response()
}

/// That everything in the address is understood: a sheet of something else is not printed.
fn understood(name: &str, typed: &Typed) -> Result<(), Trouble> {
    let names = SHEETS.map(|(name, _)| name);
    let own = SHEETS.iter().find(|(sheet, _)| *sheet == name);
    let (_, own) = own.ok_or_else(|| {
        Trouble::new(
            format!("there is no sheet called \"{name}\""),
            format!("open one of {}", names.join(", ")),
        )
    })?;
    let known = [own, &OF_ALL[..]].concat();
    match typed
        .0
        .iter()
        .find(|(name, _)| !known.contains(&name.as_str()))
    {
        None => Ok(()),
        Some((other, _)) => Err(Trouble::new(
            format!("the sheet {name} does not know \"{other}\""),
            format!("in its address it knows {}", known.join(", ")),
        )),
    }
}

fn sheet(app: &App, name: &str, typed: &Typed) -> Result<String, Trouble> {
    understood(name, typed)?;
    let book = desk::read(&app.book)?;
    let paper = match typed.text("paper") {
        Some("a4") => Some(Paper::A4),
        Some("letter") => Some(Paper::Letter),
        _ => None,
    };
    let room = Room::of(&book, paper, typed.text("today"))?;
    match name {
        "day" => {
            let day = typed.text("day").map(day_typed).transpose();
            drawn(&day::sheet(&room, day.map_err(|t| t.about("day"))?)?)
        }
        "tag" => {
            let mut cylinders = typed.several("cylinder");
            if cylinders.is_empty() {
                cylinders = choices::registered(&app.book)?;
            }
            if cylinders.is_empty() {
                let remedy = "register a cylinder first";
                return Err(Trouble::new(
                    "there is no cylinder to print a tag for",
                    remedy,
                ));
            }
            drawn(&tag::sheet(&room, &cylinders, 1)?)
        }
        "cartridge" => drawn(&cartridge::sheet(&room, typed.own("next-due"))?),
        "quarantine" => drawn(&quarantine::sheet(&room)?),
        "certificate" => {
            let test = typed.text("test").and_then(|text| text.parse().ok());
            drawn(&certificate::sheet(&room, test)?)
        }
        _ => drawn(&support::sheet(&room, beside(typed))?),
    }
}

fn beside(typed: &Typed) -> support::Beside {
    support::Beside {
        drains_expected: typed.own("drains-expected"),
        drift: typed.several("drift"),
        check: None,
    }
}

fn drawn(sheet: &impl Template) -> Result<String, Trouble> {
    html(sheet)
}
