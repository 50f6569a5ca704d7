//! What follows from the records: where air went, how settings drift, how the cartridge stands,
//! counts.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Query, State};
use axum::response::Response;
use axum::routing::get;
use book::Subject;
use insight::water::answer::Range;
use quantity::{Temperature, UnitSystem};

use crate::draw::{Drawing, Table, points};
use crate::usecase::Trouble;
use crate::usecase::book::drift::{self, CartridgePage, Trend};
use crate::usecase::book::form::Given;
use crate::usecase::book::hours::{self, FillsPage, HoursPage};
use crate::usecase::book::trace::{self, BatchPage, OriginPage};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, show, work};
use crate::web::typed::Typed;

/// Pages that answer from the records.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/book/trace", get(trace))
        .route("/book/drift", get(drift))
        .route("/book/cartridge", get(cartridge))
        .route("/book/counts", get(counts))
}

/// A drawing on a page, with its data.
pub struct Plotted {
    /// The drawing.
    pub svg: String,
    /// The same as rows.
    pub table: Table,
}

impl From<(Drawing, Table)> for Plotted {
    fn from((drawing, table): (Drawing, Table)) -> Plotted {
        Plotted {
            svg: drawing.svg(),
            table,
        }
    }
}

fn told(troubles: &[Trouble]) -> Vec<String> {
    troubles.iter().map(in_sentences).collect()
}

/// Where air went, or came from.
#[derive(Template)]
#[template(path = "web/book/trace.html")]
struct TraceView {
    sheet: Sheet,
    from: String,
    to: String,
    cylinder: String,
    person: String,
    batch: Option<BatchPage>,
    origin: Option<OriginPage>,
    wrong: Vec<String>,
}

/// `GET /book/trace`: a batch, or the origin of a cylinder's or a person's air.
async fn trace(
    State(app): State<Arc<App>>,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let view = work(&app, move |app| {
        let (cylinder, person) = (typed.own("cylinder"), typed.own("person"));
        let of = cylinder
            .map(Subject::Cylinder)
            .or(person.map(Subject::Person));
        let origin = of.map(|of| trace::back(&app.book, &of)).transpose();
        let asked = typed.text("from").or(typed.text("to")).is_some();
        let batch = asked.then(|| trace::batch(&app.book, typed.text("from"), typed.text("to")));
        let batch = batch.transpose();
        let troubles: Vec<Trouble> = [origin.as_ref().err(), batch.as_ref().err()]
            .into_iter()
            .flatten()
            .cloned()
            .collect();
        TraceView {
            sheet: Sheet::of(app, Place::Book, "Where air went"),
            from: typed.shown("from"),
            to: typed.shown("to"),
            cylinder: typed.shown("cylinder"),
            person: typed.shown("person"),
            batch: batch.unwrap_or_default(),
            origin: origin.unwrap_or_default(),
            wrong: told(&troubles),
        }
    })
    .await?;
    show(&view)
}

/// How settings drift.
#[derive(Template)]
#[template(path = "web/book/drift.html")]
struct DriftView {
    sheet: Sheet,
    rows: Vec<(Trend, Plotted)>,
    remarks: Vec<String>,
    wrong: Vec<String>,
}

/// `GET /book/drift`.
async fn drift(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let view = work(&app, |app| {
        let sheet = Sheet::of(app, Place::Book, "Drift");
        let (trends, remarks, wrong) = match app.drift(None) {
            Ok(page) => (page.trends.clone(), page.remarks.clone(), Vec::new()),
            Err(trouble) => (Vec::new(), Vec::new(), told(&[trouble])),
        };
        let row = |trend: Trend| {
            let plot = trend.plot();
            let drawn = (points::draw(&plot), points::table(&plot));
            (trend, Plotted::from(drawn))
        };
        DriftView {
            rows: trends.into_iter().map(row).collect(),
            sheet,
            remarks,
            wrong,
        }
    })
    .await?;
    show(&view)
}

/// The cartridge as the runs left it.
#[derive(Template)]
#[template(path = "web/book/cartridge.html")]
struct CartridgeView {
    sheet: Sheet,
    page: Option<CartridgePage>,
    wrong: Vec<String>,
}

/// `GET /book/cartridge`.
async fn cartridge(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let view = work(&app, |app| {
        let sheet = Sheet::of(app, Place::Book, "Cartridge");
        match drift::cartridge_state(&app.book) {
            Ok(page) => CartridgeView {
                sheet,
                page: Some(page),
                wrong: Vec::new(),
            },
            Err(trouble) => CartridgeView {
                sheet,
                page: None,
                wrong: told(&[trouble]),
            },
        }
    })
    .await?;
    show(&view)
}

/// A range in figures people can read at a glance: `12 to 18`.
pub fn range(range: &Range) -> String {
    let digits = if range.high.abs() < 10.0 { 1 } else { 0 };
    format!(
        "{:.digits$} ({:.digits$} to {:.digits$})",
        range.mid, range.low, range.high
    )
}

/// A temperature for a reader of these units, to the degree.
pub fn degrees(units: &Option<UnitSystem>, celsius: &f64) -> String {
    let unit = units.unwrap_or_default().preferred::<Temperature>();
    quantity::show(Temperature::celsius(*celsius), unit, 0)
}

/// Counts of fills, and running hours.
#[derive(Template)]
#[template(path = "web/book/counts.html")]
struct CountsView {
    sheet: Sheet,
    from: String,
    to: String,
    fills: FillsPage,
    hours: HoursPage,
    wrong: Vec<String>,
}

/// `GET /book/counts`.
async fn counts(
    State(app): State<Arc<App>>,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let typed = Typed(given);
    let view = work(&app, move |app| {
        let asked = hours::Asked {
            from: typed.text("from"),
            to: typed.text("to"),
            ..hours::Asked::default()
        };
        let (fills, wrong) = match hours::fills(&app.book, &asked) {
            Ok(fills) => (fills, Vec::new()),
            Err(trouble) => (
                hours::fills(&app.book, &hours::Asked::default())?,
                told(&[trouble]),
            ),
        };
        Ok::<_, Trouble>(CountsView {
            sheet: Sheet::of(app, Place::Book, "Counts"),
            from: typed.shown("from"),
            to: typed.shown("to"),
            fills,
            hours: hours::hours(&app.book)?,
            wrong,
        })
    })
    .await??;
    show(&view)
}
