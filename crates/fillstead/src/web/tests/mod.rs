//! The pages as attackers and programs meet them: through the router, and a few through a socket.

mod access;
mod api;
mod attacks;
mod house;
mod socket;
mod units;

pub use house::{Answer as Page, House, hidden, run};

use std::net::{IpAddr, Ipv4Addr};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Method, Request, StatusCode};
use http_body_util::BodyExt;
use tempfile::TempDir;
use tower::ServiceExt;

use super::access::SESSION;
use super::pages::sign::Peer;
use super::{App, router, routes};
use crate::usecase::book::add::add;
use crate::usecase::book::begin::{Asked, begin};
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::Form;
use crate::usecase::book::gate;
use crate::usecase::people::sign::sign_in;
use crate::usecase::people::{self, Role, seconds};

/// A book of its own with its router.
pub struct Server {
    folder: TempDir,
    pub book: PathBuf,
    pub router: Router,
}

/// What came back.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
}

/// Where requests come from, unless a test says otherwise.
pub const HOME: IpAddr = IpAddr::V4(Ipv4Addr::new(192, 168, 1, 5));

/// PINs of the people of every test.
pub const PEOPLE: [(&str, Role, &str); 3] = [
    ("Onna", Role::Onlooker, "583914"),
    ("Opal", Role::Operator, "729461"),
    ("Kees", Role::Keeper, "wet hose on a cold morning"),
];

/// Runs a test that waits.
pub fn wait<T>(job: impl Future<Output = T>) -> T {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .unwrap();
    runtime.block_on(job)
}

/// A server with the records of two evenings; over the network with three people.
pub fn server(lan: bool) -> Server {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("club.book");
    evenings(&book);
    if lan {
        for (name, role, pin) in PEOPLE {
            people::add(&book, name, role, pin, Some("Kees"))
                .map_err(told)
                .unwrap();
        }
    }
    let router = again(&book, !lan);
    Server {
        folder,
        book,
        router,
    }
}

/// The same book served anew.
pub fn again(book: &Path, loopback: bool) -> Router {
    router(app(book, loopback))
}

pub fn app(book: &Path, loopback: bool) -> Arc<App> {
    Arc::new(App {
        loopback,
        ..App::of(book.to_owned())
    })
}

fn told(troubles: Vec<crate::usecase::Trouble>) -> String {
    format!("{troubles:?}")
}

/// Two evenings of our own invention.
fn evenings(book: &Path) {
    let station = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../stations/boathouse.toml");
    let asked = Asked {
        station: Some(&station),
        rule: Some("uk"),
        standard: Some("EN 12021"),
        ..Asked::default()
    };
    let who = |at| Who {
        by: Some("MK"),
        at: Some(at),
        zone: Some("Europe/Dublin"),
    };
    assert!(begin(book, &asked, &who("2025-03-01 10:00")).is_ok());
    for (at, form, fields) in ENTRIES {
        let given = fields
            .iter()
            .map(|(n, t)| ((*n).to_owned(), (*t).to_owned()));
        let (given, form) = (given.collect(), Form::named(form).unwrap());
        if form.kind == book::Kind::Fill {
            gate::fill(book, &given, &who(at)).map_err(told).unwrap();
        } else {
            add(book, form, &given, &who(at)).map_err(told).unwrap();
        }
    }
}

type Fields = &'static [(&'static str, &'static str)];

#[rustfmt::skip]
const ENTRIES: [(&str, &str, Fields); 13] = [
    ("2025-03-01 11:00", "cylinder", &[("cylinder", "C1"), ("water-volume", "12 L"), ("working-pressure", "232 bar"), ("tested", "2025-02")]),
    ("2025-03-01 11:10", "interval", &[("part", "oil"), ("hours", "50 h"), ("months", "12"), ("source", "manual 5")]),
    ("2025-03-01 11:20", "price", &[("of", "kilowatt_hour"), ("amount", "0.34"), ("currency", "EUR")]),
    ("2025-03-20 18:50", "start", &[("hours", "431 h"), ("tower", "72 bar"), ("intake-temperature", "16 °C")]),
    ("2025-03-20 18:55", "reading", &[("of", "pmv opens"), ("value", "101 bar")]),
    ("2025-03-20 19:00", "fill", &[("cylinder", "C1"), ("from", "60 bar"), ("to", "232 bar"), ("took", "18:00"), ("person", "member 1")]),
    ("2025-03-20 19:10", "drain", &[("volume", "32 mL")]),
    ("2025-03-20 19:30", "stop", &[("hours", "432 h")]),
    ("2025-03-22 18:50", "start", &[("hours", "432 h"), ("tower", "72 bar")]),
    ("2025-03-22 18:55", "reading", &[("of", "pmv opens"), ("value", "103 bar")]),
    ("2025-03-22 19:00", "fill", &[("cylinder", "C1"), ("from", "60 bar"), ("to", "232 bar"), ("person", "member 2")]),
    ("2025-03-22 19:30", "stop", &[("hours", "433 h")]),
    ("2025-03-23 10:00", "symptom", &[("what", "headache"), ("cylinder", "C1")]),
];

impl Server {
    /// Signs one of [`PEOPLE`] in: the header of their browser.
    pub fn cookie(&self, name: &str) -> String {
        let (name, _, pin) = PEOPLE.iter().find(|person| person.0 == name).unwrap();
        let token = sign_in(&self.book, name, pin, HOME, seconds()).unwrap();
        format!("{SESSION}={token}")
    }

    /// Everything beside the book, as text.
    pub fn files(&self) -> String {
        let files = std::fs::read_dir(self.folder.path()).unwrap();
        let read =
            |file: std::io::Result<std::fs::DirEntry>| std::fs::read(file.unwrap().path()).unwrap();
        files
            .map(|file| String::from_utf8_lossy(&read(file)).into_owned())
            .collect()
    }
}

/// A request of our own page from the house.
pub fn request(method: Method, path: &str, headers: &[(&str, &str)], body: &str) -> Request<Body> {
    let mut request = Request::builder().method(method).uri(path);
    let usual = [
        ("host", "localhost:8080"),
        ("sec-fetch-site", "same-origin"),
    ];
    for (name, value) in usual
        .iter()
        .filter(|(n, _)| headers.iter().all(|(h, _)| h != n))
    {
        request = request.header(*name, *value);
    }
    for (name, value) in headers.iter().filter(|(_, value)| !value.is_empty()) {
        request = request.header(*name, *value);
    }
    let mut request = request.body(Body::from(body.to_owned())).unwrap();
    request.extensions_mut().insert(Peer(HOME));
    request
}

/// Asks, and waits for the whole answer.
pub async fn ask(router: &Router, request: Request<Body>) -> Answer {
    let answer = router.clone().oneshot(request).await.unwrap();
    let (status, headers) = (answer.status(), answer.headers().clone());
    let bytes = answer.into_body().collect().await.unwrap().to_bytes();
    let text = String::from_utf8_lossy(&bytes).into_owned();
    Answer {
        status,
        headers,
        text,
    }
}

pub async fn get(router: &Router, path: &str) -> Answer {
    ask(router, request(Method::GET, path, &[], "")).await
}

/// Sends a form of a page.
pub async fn send(router: &Router, path: &str, cookie: &str, form: &str) -> Answer {
    let headers = [
        ("cookie", cookie),
        ("content-type", "application/x-www-form-urlencoded"),
    ];
    ask(router, request(Method::POST, path, &headers, form)).await
}

/// Sends JSON to the interface for programs.
pub async fn program(router: &Router, path: &str, cookie: &str, json: &str) -> Answer {
    let headers = [("cookie", cookie), ("content-type", "application/json")];
    ask(router, request(Method::POST, path, &headers, json)).await
}

/// Every address of the router, and the methods it takes: the router itself tells them.
pub async fn walked(server: &Server) -> Vec<(String, Vec<Method>)> {
    let told = format!("{:?}", routes());
    let paths = told.split("RouteId(").filter_map(|part| {
        let (_, path) = part.split_once("): \"")?;
        Some(path.split_once('"')?.0.to_owned())
    });
    let mut paths: Vec<String> = paths.collect();
    paths.retain(|path| !path.contains("__private"));
    paths.sort();
    paths.dedup();
    let bare = routes().with_state(app(&server.book, true));
    let mut walked = Vec::new();
    for path in paths {
        let answer = ask(&bare, request(Method::TRACE, &filled(&path), &[], "")).await;
        // The router's own fallback stands among its addresses.
        if answer.status == StatusCode::NOT_FOUND {
            continue;
        }
        let allowed = answer
            .headers
            .get("allow")
            .unwrap_or_else(|| panic!("{path}"));
        let allowed = allowed.to_str().unwrap();
        let methods = allowed
            .split(',')
            .map(|m| m.trim().parse().unwrap())
            .collect();
        walked.push((path, methods));
    }
    walked
}

/// An address of this pattern.
pub fn filled(pattern: &str) -> String {
    let part = |part: &str| match part {
        "{form}" => "note".to_owned(),
        "{entry}" | "{seq}" => "12".to_owned(),
        "{cylinder}" => "C1".to_owned(),
        part => part.trim_matches(['{', '}', '*']).to_owned(),
    };
    pattern.split('/').map(part).collect::<Vec<_>>().join("/")
}
