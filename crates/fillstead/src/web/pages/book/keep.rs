//! Keeping the book: is it whole, a copy to take away, tables, a calendar file.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use askama::Template;
use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::{Extension, Form as Posted, Query, State};
use axum::http::HeaderValue;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE, REFRESH};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use futures_util::stream;
use tokio::sync::mpsc;

use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::book::keep::{self, Checked};
use crate::usecase::book::transfer::export::{self, export as taken_out};
use crate::usecase::book::{desk, due, list};
use crate::usecase::clock;
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, see_other, show, work};
use crate::web::scratch::Scratch;
use crate::web::typed::Typed;

/// Keeping.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/book/verify", get(progress).post(begin))
        .layer(Extension(Arc::new(Checks::default())))
        .route("/book/backup", get(backup))
        .route("/book/export", get(export))
        .route("/book/due.ics", get(calendar))
}

/// Checks going on and done, by book.
#[derive(Default)]
struct Checks(Mutex<BTreeMap<PathBuf, Check>>);

/// A check.
#[derive(Clone)]
enum Check {
    Going(String),
    Done(Box<Result<Checked, Trouble>>),
}

impl Checks {
    fn put(&self, app: &App, check: Check) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.insert(app.book.clone(), check);
    }

    fn of(&self, app: &App) -> Option<Check> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(&app.book).cloned()
    }
}

/// A check of the book.
#[derive(Template)]
#[template(path = "web/book/verify.html")]
struct VerifyView {
    sheet: Sheet,
    going: Option<String>,
    done: Option<Checked>,
    wrong: Vec<String>,
}

/// `GET /book/verify`: what the last check found, or how far it is.
async fn progress(
    State(app): State<Arc<App>>,
    Extension(checks): Extension<Arc<Checks>>,
) -> Result<Response, PageError> {
    let sheet = work(&app, |app| Sheet::of(app, Place::Book, "Check the book")).await?;
    let mut view = VerifyView {
        sheet,
        going: None,
        done: None,
        wrong: Vec::new(),
    };
    match checks.of(&app) {
        Some(Check::Going(text)) => view.going = Some(text),
        Some(Check::Done(done)) => match *done {
            Ok(checked) => view.done = Some(checked),
            Err(t) => view.wrong = vec![in_sentences(&t)],
        },
        None => {}
    }
    let mut answer = show(&view)?;
    if view.going.is_some() {
        answer
            .headers_mut()
            .insert(REFRESH, HeaderValue::from_static("1"));
    }
    Ok(answer)
}

/// `POST /book/verify`: begins a check; its page tells how far it is.
async fn begin(
    State(app): State<Arc<App>>,
    Extension(checks): Extension<Arc<Checks>>,
    Posted(given): Posted<Given>,
) -> Response {
    if !matches!(checks.of(&app), Some(Check::Going(_))) {
        checks.put(&app, Check::Going("begun".to_owned()));
        tokio::task::spawn_blocking(move || {
            let typed = Typed(given);
            let mut tell = |progress: book::Progress| {
                let text = format!("{} of about {} entries", progress.done, progress.total);
                checks.put(&app, Check::Going(text));
            };
            let done = keep::check(&app.book, typed.text("seal"), &mut tell);
            checks.put(&app, Check::Done(Box::new(done)));
        });
    }
    see_other("/book/verify")
}

/// The name of a file to take away: `club-2026-05-20.book`.
fn file_name(app: &App, ending: &str) -> Result<String, Trouble> {
    let book = desk::read(&app.book)?;
    let zone = desk::zone(&book)?;
    let (station, _) = list::title(&book)?;
    let plain = |c: char| {
        if c.is_ascii_alphanumeric() {
            c.to_ascii_lowercase()
        } else {
            '-'
        }
    };
    let name: String = station.chars().map(plain).take(40).collect();
    let name = name.trim_matches('-');
    Ok(format!("{name}-{}{ending}", zone.day_text(clock::now())))
}

fn to_keep(kind: &'static str, name: &str, body: Body) -> Response {
    let headers = [
        (CONTENT_TYPE, kind.to_owned()),
        (
            CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ),
    ];
    (headers, body).into_response()
}

/// `GET /book/backup`: a checked copy of the book.
async fn backup(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let (scratch, file, name) = work(&app, |app| {
        let scratch = Scratch::new()?;
        let copy = scratch.file("copy.book");
        let checked = keep::copy(&app.book, &copy)?;
        if !checked.whole {
            let what = "the copy is not whole, and the book may not be either";
            return Err(Trouble::new(
                what,
                "check the book, and copy its file by hand",
            ));
        }
        let file = File::open(&copy).map_err(|error| {
            Trouble::new(format!("the copy cannot be read: {error}"), "try again")
        })?;
        Ok((scratch, file, file_name(app, ".book")?))
    })
    .await??;
    Ok(to_keep(
        "application/octet-stream",
        &name,
        streamed(scratch, file),
    ))
}

/// The bytes of a file a piece at a time; its folder goes when all are sent, or nobody listens.
fn streamed(scratch: Scratch, mut file: File) -> Body {
    let (to, from) = mpsc::channel::<std::io::Result<Bytes>>(4);
    tokio::task::spawn_blocking(move || {
        let _kept = scratch;
        let mut piece = vec![0; 64 << 10];
        loop {
            let read = file.read(&mut piece);
            let sent = match read {
                Ok(0) => return,
                Ok(n) => Ok(Bytes::copy_from_slice(piece.get(..n).unwrap_or_default())),
                Err(error) => Err(error),
            };
            let failed = sent.is_err();
            if to.blocking_send(sent).is_err() || failed {
                return;
            }
        }
    });
    let next = |mut from: mpsc::Receiver<_>| async move {
        let piece = from.recv().await?;
        Some((piece, from))
    };
    Body::from_stream(stream::unfold(from, next))
}

/// `GET /book/export`: tables for spreadsheets, or every entry exactly.
async fn export(
    State(app): State<Arc<App>>,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let (text, kind, name) = work(&app, move |app| {
        let what = typed.text("what").unwrap_or("entries");
        let lines = typed
            .text("format")
            .map_or(what == "entries", |format| format == "jsonl");
        let asked = export::Asked {
            what: Some(what),
            format: typed.text("format"),
            from: typed.text("from"),
            to: typed.text("to").or(typed.text("from")),
            bom: false,
        };
        let text = taken_out(&app.book, &asked)?;
        let (kind, ending) = match lines {
            true => ("application/x-ndjson", format!("-{what}.jsonl")),
            false => ("text/csv; charset=utf-8", format!("-{what}.csv")),
        };
        let name = file_name(app, &ending).map_err(|trouble| vec![trouble])?;
        Ok::<_, Vec<Trouble>>((text, kind, name))
    })
    .await??;
    Ok(to_keep(kind, &name, Body::from(text)))
}

/// `GET /book/due.ics`: due dates for any calendar program.
async fn calendar(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let (text, name) = work(&app, |app| {
        let page = app.due(None)?;
        Ok::<_, Trouble>((
            due::calendar(&app.book, &page)?,
            file_name(app, "-due.ics")?,
        ))
    })
    .await??;
    Ok(to_keep(
        "text/calendar; charset=utf-8",
        &name,
        Body::from(text),
    ))
}
