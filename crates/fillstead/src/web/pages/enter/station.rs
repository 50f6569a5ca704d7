//! The station file as it stands from here on, typed or pasted.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Extension, Form as Posted, State};
use axum::http::StatusCode;
use axum::response::Response;
use book::answer::station::station_text;
use station::Severity;

use super::done::{Outcome, Tellings};
use crate::usecase::Trouble;
use crate::usecase::book::add;
use crate::usecase::book::desk::{self, Who};
use crate::usecase::book::form::Given;
use crate::usecase::station::StationFile;
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, see_other, sentence, show, work};
use crate::web::person::{Person, remember};
use crate::web::typed::Typed;

/// The station file as a text.
#[derive(Template)]
#[template(path = "web/enter/station.html")]
struct StationView {
    sheet: Sheet,
    file: String,
    why: String,
    at: String,
    by: String,
    wrong: Vec<String>,
}

/// `GET /book/add/station`: the file in force.
pub async fn empty(State(app): State<Arc<App>>, person: Person) -> Result<Response, PageError> {
    let by = person.name.unwrap_or_default();
    let view = work(&app, move |app| {
        let book = desk::read(&app.book)?;
        let told = station_text(&book, None)?;
        let text = told.text().unwrap_or_default().to_owned();
        Ok::<_, Trouble>(view(app, text, &Typed(Given::new()), by, Vec::new()))
    })
    .await??;
    show(&view)
}

fn view(app: &App, file: String, typed: &Typed, by: String, wrong: Vec<String>) -> StationView {
    StationView {
        sheet: Sheet::of(app, Place::Book, "The station file"),
        file,
        why: typed.shown("why"),
        at: typed.shown("at"),
        by,
        wrong,
    }
}

/// `POST /book/add/station`.
pub async fn enter(
    State(app): State<Arc<App>>,
    Extension(tellings): Extension<Arc<Tellings>>,
    person: Person,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let by = person.author(typed.text("by")).unwrap_or_default();
    let author = by.clone();
    let done = work(&app, move |app| {
        let text = typed.shown("file").replace("\r\n", "\n") + "\n";
        revised(app, &text, &typed, &author)
            .map_err(|wrong| Box::new(view(app, text, &typed, author, wrong)))
    })
    .await?;
    match done {
        Ok(added) => {
            let seq = added.seq;
            tellings.put(seq, Outcome::Added(added, "station", Given::new()));
            Ok(remember(see_other(&format!("/book/done/{seq}")), &by))
        }
        Err(view) => {
            let mut shown = show(&*view)?;
            *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            Ok(shown)
        }
    }
}

fn revised(app: &App, text: &str, typed: &Typed, by: &str) -> Result<add::Added, Vec<String>> {
    let file = StationFile {
        name: "the text".to_owned(),
        reading: station::read(text),
        text: text.to_owned(),
    };
    if file.station().is_none() {
        let errors = file
            .reading
            .problems
            .iter()
            .filter(|p| p.severity == Severity::Error);
        let told = errors.map(|problem| {
            let at = problem.labels.first().map_or(0, |label| label.span.start);
            let before = text.get(..at).unwrap_or_default();
            let line = before.matches('\n').count() + 1;
            format!(
                "Line {line}: {} {}",
                sentence(&problem.message),
                sentence(&problem.remedy)
            )
        });
        return Err(told.collect());
    }
    let who = Who {
        by: Some(by),
        at: typed.text("at"),
        zone: None,
    };
    add::revise_station(&app.book, &file, typed.text("why"), &who)
        .map_err(|troubles| troubles.iter().map(in_sentences).collect())
}
