//! Changing the station by forms: all tables, one table, what a change comes to, and saving it.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Form as Posted, Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use station::form::{Table, Written, table_named};

use crate::usecase::Trouble;
use crate::usecase::book::desk::Who;
use crate::usecase::station_edit::overview::{Row, overview as all_tables};
use crate::usecase::station_edit::save::{InForce, Revision, Saved, in_force, save};
use crate::usecase::station_edit::sheet;
use crate::usecase::station_edit::{Edited, Line, Told, Typed, told};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, see_other, show, work};
use crate::web::person::{Person, remember};

/// All tables of the file.
#[derive(Template)]
#[template(path = "web/station/tables.html")]
struct TablesPage {
    sheet: Sheet,
    rows: Vec<Row>,
    told: Vec<Told>,
}

/// The form of a table.
#[derive(Template)]
#[template(path = "web/station/table.html")]
struct TablePage {
    sheet: Sheet,
    table: &'static Table,
    form: sheet::Sheet,
    signing: Signing,
}

/// What stands under every form that changes the station: who, why, what it comes to.
#[derive(Default)]
pub(super) struct Signing {
    /// Who.
    pub by: String,
    /// Why.
    pub why: String,
    /// The entry it was made from.
    pub from: Option<u64>,
    /// What it changes; none where nothing was asked yet.
    pub lines: Option<Vec<Line>>,
    /// Whether it could be saved as it stands.
    pub ready: bool,
    /// What is wrong with who and why, and with saving.
    pub troubles: Vec<Trouble>,
}

impl Signing {
    /// What is wrong with an input, in sentences.
    pub fn wrong(&self, field: &str) -> Option<String> {
        let wrong = self.troubles.iter().filter(|t| t.field == Some(field));
        let wrong: Vec<String> = wrong.map(in_sentences).collect();
        (!wrong.is_empty()).then(|| wrong.join(" "))
    }

    /// What is wrong with no input, in sentences.
    pub fn general(&self) -> Vec<String> {
        let other = |t: &&Trouble| !matches!(t.field, Some("by" | "why"));
        self.troubles
            .iter()
            .filter(other)
            .map(in_sentences)
            .collect()
    }
}

/// What was sent with a form, besides its fields.
pub(super) struct Sent {
    /// The fields.
    pub typed: Typed,
    /// Who.
    pub by: Option<String>,
    /// Why.
    pub why: String,
    /// The entry it was made from.
    pub from: Option<u64>,
    /// To be put in force; else only looked at.
    pub save: bool,
}

impl Sent {
    /// Parts what was sent.
    pub fn of(given: Typed, person: &Person) -> Sent {
        let text = |name: &str| {
            let found = given.iter().rev().find(|(other, _)| other == name);
            found
                .map(|(_, text)| text.trim().to_owned())
                .unwrap_or_default()
        };
        Sent {
            by: person.author(Some(&text("by"))),
            why: text("why"),
            from: text("from").parse().ok(),
            save: text("do") == "save",
            typed: given,
        }
    }

    /// Saves a text in the name of whoever sent it.
    pub fn save(&self, app: &App, edited: &Edited) -> Result<Saved, Vec<Trouble>> {
        let Some(by) = self.by.as_deref() else {
            let remedy = "give your name or initials: every entry of the book has its author";
            return Err(vec![Trouble::new("nobody is named", remedy).about("by")]);
        };
        let revision = Revision {
            text: &edited.after,
            from: self.from,
            why: &self.why,
            disk: app.station_file.as_deref(),
        };
        let who = Who {
            by: Some(by),
            ..Who::default()
        };
        save(&app.book, &revision, &who)
    }

    /// What stands under the form again. It goes on from what is in force now.
    pub fn signing(&self, edited: &Edited, now: &InForce, troubles: Vec<Trouble>) -> Signing {
        Signing {
            by: self.by.clone().unwrap_or_default(),
            why: self.why.clone(),
            from: now.entry,
            ready: edited.changed() && !edited.wrong(),
            lines: Some(edited.lines()),
            troubles,
        }
    }
}

/// `GET /station/edit`: all tables.
pub(super) async fn overview(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let page = work(&app, |app| {
        let now = in_force(&app.book)?;
        let told = told(&now.text);
        let sheet = Sheet::of(app, Place::Station, "Change the station");
        let rows = all_tables(&now.text, &told);
        Ok::<_, Trouble>((now.entry.is_some(), TablesPage { sheet, rows, told }))
    })
    .await??;
    match page {
        (false, _) => Ok(see_other("/station/describe")),
        (true, page) => show(&page),
    }
}

/// `GET /station/edit/{table}`: the form of a table.
pub(super) async fn table(
    State(app): State<Arc<App>>,
    person: Person,
    Path(name): Path<String>,
) -> Result<Response, PageError> {
    let table = known(&name)?;
    let page = work(&app, move |app| {
        let now = in_force(&app.book)?;
        if Written::of(&now.text).is_err() || now.entry.is_none() {
            return Ok(None);
        }
        let signing = Signing {
            by: person.name.unwrap_or_default(),
            from: now.entry,
            ..Signing::default()
        };
        let form = sheet::sheet(&now.text, table, None, &told(&now.text));
        Ok::<_, Trouble>(Some(page(app, table, form, signing)))
    })
    .await??;
    match page {
        Some(page) => show(&page),
        None => Ok(see_other("/station/text")),
    }
}

/// `POST /station/edit/{table}`: what the change comes to, or the change in force.
pub(super) async fn enter(
    State(app): State<Arc<App>>,
    person: Person,
    Path(name): Path<String>,
    Posted(given): Posted<Typed>,
) -> Result<Response, PageError> {
    let table = known(&name)?;
    let sent = Sent::of(given, &person);
    let by = sent.by.clone().unwrap_or_default();
    let done = work(&app, move |app| {
        let now = in_force(&app.book)?;
        let edited = Edited::by_form(&now.text, &sent.typed);
        let troubles = match saved(&sent, app, &edited) {
            Ok(Some(saved)) => return Ok(Ok(saved)),
            Ok(None) => Vec::new(),
            Err(troubles) => troubles,
        };
        let bad = edited.wrong() || !troubles.is_empty();
        let form = sheet::sheet(&edited.before, table, Some(&sent.typed), &edited.told);
        let signing = sent.signing(&edited, &now, troubles);
        Ok::<_, Trouble>(Err((page(app, table, form, signing), bad)))
    })
    .await??;
    answer(done, &by)
}

/// Saves where that was asked and nothing stands against it.
pub(super) fn saved(
    sent: &Sent,
    app: &App,
    edited: &Edited,
) -> Result<Option<Saved>, Vec<Trouble>> {
    match sent.save && !edited.wrong() {
        true => sent.save(app, edited).map(Some),
        false => Ok(None),
    }
}

/// On to the history where it is saved, else the form again.
pub(super) fn answer(
    done: Result<Saved, (impl Template, bool)>,
    by: &str,
) -> Result<Response, PageError> {
    match done {
        Ok(saved) => {
            let disk = match saved.disk {
                Some(Ok(_)) => "&disk=written",
                Some(Err(_)) => "&disk=left",
                None => "",
            };
            let to = format!("/station/history?saved={}{disk}", saved.added.seq);
            Ok(remember(see_other(&to), by))
        }
        Err((page, bad)) => {
            let mut shown = show(&page)?;
            if bad {
                *shown.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            }
            Ok(shown)
        }
    }
}

fn page(app: &App, table: &'static Table, form: sheet::Sheet, signing: Signing) -> TablePage {
    TablePage {
        sheet: Sheet::of(app, Place::Station, table.called),
        table,
        form,
        signing,
    }
}

fn known(name: &str) -> Result<&'static Table, PageError> {
    table_named(name).ok_or_else(|| {
        let sentence = "A station file has no table of this name. Choose one of those it has.";
        PageError::new(StatusCode::NOT_FOUND, "There is no such table", sentence)
            .way("/station/edit", "All tables")
    })
}
