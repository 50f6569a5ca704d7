//! Bringing a list in: sent, told whole what it would do, then written at once.
//!
//! The file waits in the page itself between the two steps, so nothing of it stays on the disk.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Multipart, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::usecase::Trouble;
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::Given;
use crate::usecase::book::transfer::import::{Asked, List, import};
use crate::usecase::book::transfer::plan::Plan;
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, show, work};
use crate::web::person::{Person, remember};
use crate::web::scratch::Scratch;
use crate::web::typed::Typed;

/// Bringing in.
pub fn router() -> Router<Arc<App>> {
    Router::new().route("/book/import", get(empty).post(sent))
}

/// What is brought in.
#[derive(Template)]
#[template(path = "web/book/import.html")]
struct ImportView {
    sheet: Sheet,
    list: String,
    columns: String,
    dates: String,
    decimal: String,
    by: String,
    name: String,
    file: String,
    plan: Option<Plan>,
    /// Whether something may still be sent.
    open: bool,
    wrong: Vec<String>,
}

/// `GET /book/import`.
async fn empty(State(app): State<Arc<App>>, person: Person) -> Result<Response, PageError> {
    let by = person.name.unwrap_or_default();
    let view = work(&app, move |app| {
        view(app, &Typed(Given::new()), &Upload::default(), by)
    })
    .await?;
    show(&view)
}

/// The file sent.
#[derive(Default)]
struct Upload {
    name: String,
    bytes: Vec<u8>,
}

fn view(app: &App, typed: &Typed, upload: &Upload, by: String) -> ImportView {
    ImportView {
        sheet: Sheet::of(app, Place::Book, "Bring in a list"),
        list: typed.shown("list"),
        columns: typed.shown("columns"),
        dates: typed.shown("dates"),
        decimal: typed.shown("decimal"),
        by,
        name: upload.name.clone(),
        file: STANDARD.encode(&upload.bytes),
        plan: None,
        open: true,
        wrong: Vec::new(),
    }
}

/// `POST /book/import`: what it would do; and with `do` `write`, does it.
async fn sent(
    State(app): State<Arc<App>>,
    person: Person,
    parts: Multipart,
) -> Result<Response, PageError> {
    let (typed, upload) = read(parts).await?;
    let by = person.author(typed.text("by")).unwrap_or_default();
    let name = by.clone();
    let view = work(&app, move |app| {
        let mut view = view(app, &typed, &upload, by);
        match brought(app, &typed, &upload, &view.by) {
            Ok(plan) => {
                view.open = plan.written.is_none();
                view.plan = Some(plan);
            }
            Err(troubles) => {
                view.wrong = troubles.iter().map(in_sentences).collect();
            }
        }
        view
    })
    .await?;
    let refused = !view.wrong.is_empty()
        || view
            .plan
            .as_ref()
            .is_some_and(|plan| !plan.dry_run && plan.written.is_none());
    let mut answer = show(&view)?;
    if refused {
        *answer.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(remember(answer, &name))
}

fn broken(what: impl std::fmt::Display) -> PageError {
    let text =
        format!("What was sent cannot be read ({what}). Send the file again; nothing was changed.");
    PageError::new(StatusCode::UNPROCESSABLE_ENTITY, "That did not work", &text)
        .way("/book/import", "Bring in a list")
}

/// The fields and the file; the file that waited in the page where no new one is chosen.
async fn read(mut parts: Multipart) -> Result<(Typed, Upload), PageError> {
    let mut given = Given::new();
    let mut upload = Upload::default();
    while let Some(part) = parts.next_field().await.map_err(broken)? {
        let name = part.name().unwrap_or_default().to_owned();
        if name == "file" {
            upload.name = part.file_name().unwrap_or_default().to_owned();
            upload.bytes = part.bytes().await.map_err(broken)?.to_vec();
        } else {
            given.push((name, part.text().await.map_err(broken)?));
        }
    }
    let typed = Typed(given);
    if upload.bytes.is_empty()
        && let Some(text) = typed.text("waiting")
    {
        upload.name = typed.shown("waiting-name");
        upload.bytes = STANDARD.decode(text).map_err(broken)?;
    }
    Ok((typed, upload))
}

fn brought(app: &App, typed: &Typed, upload: &Upload, by: &str) -> Result<Plan, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    if upload.bytes.is_empty() {
        let remedy = "choose a .csv, .tsv, .txt, .xlsx, .ods or .xls file with something in it";
        return Err(one(Trouble::new("no file was sent", remedy)));
    }
    let scratch = Scratch::new().map_err(one)?;
    let path = scratch.file(&upload.name);
    std::fs::write(&path, &upload.bytes).map_err(|error| {
        let what = format!("the file cannot be kept for reading: {error}");
        one(Trouble::new(what, "free some space on this machine's disk"))
    })?;
    let columns: Vec<String> = typed.own("columns").into_iter().collect();
    let write = matches!(typed.text("do"), Some("write" | "skip"));
    let asked = Asked {
        file: &path,
        list: match typed.text("list") {
            Some("fills") => List::Fills,
            _ => List::Cylinders,
        },
        sheet: typed.text("sheet"),
        columns: &columns,
        dates: typed.text("dates"),
        decimal: typed.text("decimal"),
        dry_run: !write,
        skip_bad_rows: typed.text("do") == Some("skip"),
    };
    let who = Who {
        by: Some(by).filter(|by| !by.is_empty()),
        at: None,
        zone: None,
    };
    let mut plan = import(&app.book, &asked, &who).map_err(|troubles| {
        let place = path.display().to_string();
        let named = |t: Trouble| Trouble {
            what: t.what.replace(&place, &upload.name),
            ..t
        };
        troubles.into_iter().map(named).collect::<Vec<_>>()
    })?;
    plan.file = upload.name.clone();
    Ok(plan)
}
