//! The run companion: the page that watches, its wall form, its state for programs.
//!
//! It records what the operator did and controls nothing. Every request computes where the run
//! stands from the book and the clock, so a reload, a second phone and a restarted server show the
//! same. Not here: the start form (`start`), what is written (`tap`), pages to say a value
//! (`say`), which buttons there are (`pad`).

mod pad;
mod say;
mod start;
mod tap;
#[cfg(test)]
mod tests;

use std::sync::Arc;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use insight::ladder::Ladder;
use quantity::Temperature;
use serde::Deserialize;
use station::Station;

use crate::draw::gauge::{self, Now};
use crate::draw::{SYMBOLS, Table};
use crate::usecase::Trouble;
use crate::usecase::clock;
use crate::usecase::run::look::look;
use crate::usecase::run::stage::Stage;
use crate::usecase::run::view::{RunView, Scene};
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, show, work};
use crate::web::person::Person;
use pad::{First, Pad};

/// Height of the ladder beside the readouts, px.
const LADDER_PX: f64 = 336.0;
/// The same while the shut-down list stands below it.
const SHORT_LADDER_PX: f64 = 270.0;

/// Pages of the run.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/run", get(run))
        .route("/run/state.json", get(state))
        .route("/run/wall", get(wall))
        .route("/run/start", post(start::start))
        .route("/run/act", post(tap::act))
        .route("/run/volume", post(tap::volume))
        .route("/run/settled", post(tap::settled))
        .route("/run/who", post(tap::who))
        .route("/run/reading", get(say::reading))
        .route("/run/wrong", get(say::wrong))
        .route("/run/correct", get(say::correct).post(tap::correct))
}

/// What may stand in the address.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Asked {
    /// A new run is wanted, whatever was left undone.
    new: Option<String>,
}

/// The page while there is a run.
#[derive(Template)]
#[template(path = "web/run.html")]
struct RunPage {
    sheet: Sheet,
    view: RunView,
    pad: Pad,
    by: Option<String>,
    /// What came of the last tap, in a sentence.
    told: Option<String>,
    ladder: String,
    table: Table,
    symbols: &'static str,
    /// The unit of temperatures.
    degree: &'static str,
    /// Points of the curve as the script reads them.
    curve: String,
}

/// The readout for the wall.
#[derive(Template)]
#[template(path = "web/run_wall.html")]
struct WallPage {
    sheet: Sheet,
    view: Option<RunView>,
    curve: String,
    symbols: &'static str,
}

/// `GET /run`: where the run stands, or the form that starts one.
async fn run(
    State(app): State<Arc<App>>,
    person: Person,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let (sheet, scene) = scene(&app, "Run").await?;
    let now = clock::now();
    let wanted = scene.filter(|scene| {
        let stage = scene.standing(now).stage;
        stage.running() || (stage != Stage::Ended && asked.new.is_none())
    });
    match wanted {
        Some(scene) => show(&page(sheet, &scene, person.name, None)),
        None => start::form(&app, sheet, person, None).await,
    }
}

/// The page of this scene.
fn page(sheet: Sheet, scene: &Scene, by: Option<String>, told: Option<String>) -> RunPage {
    let now = clock::now();
    let view = scene.view(now);
    let (ladder, table) = ladder(&scene.station, &view);
    RunPage {
        sheet,
        pad: pad::of(scene, &view, now),
        by,
        told,
        ladder,
        table,
        symbols: SYMBOLS,
        degree: scene.station.units.preferred::<Temperature>().symbol,
        curve: curve(&view),
        view,
    }
}

/// Where the run stands, again, with what came of a tap.
async fn again(
    app: &Arc<App>,
    person: Person,
    told: String,
    status: StatusCode,
) -> Result<Response, PageError> {
    let (sheet, scene) = scene(app, "Run").await?;
    let Some(scene) = scene else {
        return start::form(app, sheet, person, None).await;
    };
    let mut shown = show(&page(sheet, &scene, person.name, Some(told)))?;
    *shown.status_mut() = status;
    Ok(shown)
}

async fn scene(app: &Arc<App>, title: &'static str) -> Result<(Sheet, Option<Scene>), PageError> {
    let found = work(app, move |app| {
        let scene = look(&app.book, &app.courses)?;
        Ok::<_, Trouble>((Sheet::of(app, Place::Run, title), scene))
    });
    Ok(found.await??)
}

/// `GET /run/state.json`: the same for programs; null where the machine was never started.
async fn state(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let scene = work(&app, |app| look(&app.book, &app.courses)).await??;
    Ok(Json(scene.map(|scene| scene.view(clock::now()))).into_response())
}

/// `GET /run/wall`: the same, large.
async fn wall(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let (sheet, scene) = scene(&app, "Run, for the wall").await?;
    let view = scene.map(|scene| scene.view(clock::now()));
    show(&WallPage {
        sheet,
        curve: view.as_ref().map(curve).unwrap_or_default(),
        view,
        symbols: SYMBOLS,
    })
}

/// Troubles as a page tells them: whoever is at it has no command line.
fn on_page(troubles: Vec<Trouble>) -> Vec<Trouble> {
    let told = |trouble: Trouble| match trouble.field {
        Some("by") if trouble.what.starts_with("nobody") => Trouble {
            remedy: "give your name or initials".to_owned(),
            ..trouble
        },
        _ => trouble,
    };
    troubles.into_iter().map(told).collect()
}

fn ladder(station: &Station, view: &RunView) -> (String, Table) {
    let ladder = Ladder::of(station);
    let now = view.gauge.as_ref().map(|gauge| Now {
        bar: gauge.bar,
        give_or_take: gauge.within_bar,
        over: view.clock.over,
    });
    let height = match view.running {
        true => LADDER_PX,
        false => SHORT_LADDER_PX,
    };
    let drawing = gauge::draw(&ladder, station.units, now, height);
    (drawing.svg(), gauge::table(&ladder, station.units, now))
}

/// `0,50,6;10,52,6`: time, value, give or take.
fn curve(view: &RunView) -> String {
    let point = |(t, value, within): &(f64, f64, f64)| format!("{t:.0},{value},{within}");
    let points: Vec<String> = view.curve.iter().map(point).collect();
    points.join(";")
}
