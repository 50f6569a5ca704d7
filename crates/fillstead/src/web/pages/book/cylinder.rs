//! One cylinder: may it be filled now, what the register says, how its fills went, where its air
//! came from.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use book::Subject;
use insight::cylinder::answer::Refusal;

use super::asked::Plotted;
use crate::usecase::Trouble;
use crate::usecase::book::cylinder::{self, CylinderPage, Known};
use crate::usecase::book::form::Given;
use crate::usecase::book::trace::{self, OriginRow};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, sentence, show, work};
use crate::web::said::{Piece, pieces};
use crate::web::typed::Typed;

/// The page of a cylinder.
pub fn router() -> Router<Arc<App>> {
    Router::new().route("/book/cylinder/{id}", get(cylinder))
}

/// One cylinder.
#[derive(Template)]
#[template(path = "web/book/cylinder.html")]
struct View {
    sheet: Sheet,
    id: String,
    page: CylinderPage,
    against: Vec<Against>,
    known: Known,
    fills: Option<Plotted>,
    origins: Vec<OriginRow>,
    to: String,
    with: String,
    protected_at: String,
    wrong: Vec<String>,
}

/// One reason not to fill, on a page.
pub struct Against {
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub way: Vec<Piece>,
    /// Where that is written, and how surely it was seen.
    pub source: String,
    /// Whether somebody may answer for it.
    pub may_be_overridden: bool,
}

impl From<&Refusal> for Against {
    fn from(refusal: &Refusal) -> Against {
        let seen = match refusal.certainty.as_str() {
            "" => String::new(),
            certainty => format!(" ({certainty})"),
        };
        Against {
            what: sentence(&refusal.what),
            way: pieces(&sentence(&refusal.way_forward)),
            source: format!("{}{seen}", refusal.source),
            may_be_overridden: refusal.may_be_overridden,
        }
    }
}

/// `GET /book/cylinder/{id}`.
async fn cylinder(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let page = work(&app, move |app| view(app, id, &typed)).await??;
    show(&page)
}

fn view(app: &App, id: String, typed: &Typed) -> Result<View, Trouble> {
    let asked = cylinder::Asked {
        to: typed.own("to"),
        with: typed.several("with"),
        protected_at: typed.own("protected-at"),
        last: None,
    };
    let (page, wrong) = match cylinder::one(&app.book, &id, &asked) {
        Ok(page) => (page, Vec::new()),
        // What is typed wrong must not take the cylinder away.
        Err(trouble) => (
            cylinder::one(&app.book, &id, &cylinder::Asked::default())?,
            vec![in_sentences(&trouble)],
        ),
    };
    let mut known = cylinder::known(&app.book, &id)?;
    let origins = trace::back(&app.book, &Subject::Cylinder(id.clone()))?;
    let mut origins = origins.fills;
    origins.reverse();
    origins.truncate(5);
    Ok(View {
        sheet: Sheet::of(app, Place::Book, &format!("Cylinder {id}")),
        against: page.gate.refusals.iter().map(Against::from).collect(),
        fills: known.fills.take().map(Plotted::from),
        page,
        known,
        origins,
        to: typed.shown("to"),
        with: typed.shown("with"),
        protected_at: typed.shown("protected-at"),
        wrong,
        id,
    })
}
