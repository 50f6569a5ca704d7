//! Pages to say something with a wet thumb: what a gauge shows, what is wrong, what was misread.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;

use super::pad::around;
use super::scene;
use crate::usecase::Trouble;
use crate::usecase::clock;
use crate::usecase::run::log::{FILL_GAUGE, PMV_OPENS, TOWER};
use crate::usecase::run::stage::Stage;
use crate::usecase::run::steps::{WRONG, Wrong};
use crate::usecase::run::view::{Scene, unit};
use crate::web::App;
use crate::web::page::{PageError, Sheet, see_other, show};
use crate::web::person::Person;

/// Steps of the scale offered beside the expected value.
const STEPS: [i32; 11] = [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5];

/// What may stand in the address.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    /// Which gauge; or which entry.
    of: String,
}

/// The keypad.
#[derive(Template)]
#[template(path = "web/run_say.html")]
struct SayPage {
    sheet: Sheet,
    title: String,
    /// Where it is sent, and what as.
    action: &'static str,
    act: &'static str,
    of: String,
    run: u64,
    seq: u64,
    now_us: i64,
    by: Option<String>,
    /// Values offered, each with whether it is the expected one.
    values: Vec<(String, bool)>,
    example: String,
    /// The unit that may be left away.
    unit: &'static str,
    /// Another gauge can be read instead: address and words.
    others: Vec<(String, &'static str)>,
    /// It can be taken back.
    withdraw: bool,
}

/// What is wrong.
#[derive(Template)]
#[template(path = "web/run_wrong.html")]
struct WrongPage {
    sheet: Sheet,
    wrong: &'static [Wrong],
    cylinders: String,
    run: u64,
    seq: u64,
    now_us: i64,
    by: Option<String>,
    running: bool,
}

/// `GET /run/reading?of=tower`: what a gauge shows.
pub async fn reading(
    State(app): State<Arc<App>>,
    person: Person,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let (sheet, found) = scene(&app, "What does it show?").await?;
    let Some(scene) = found else {
        return Ok(see_other("/run"));
    };
    let now = clock::now();
    let s = scene.standing(now);
    let (of, title) = match (asked.of.as_str(), s.stage) {
        (PMV_OPENS, _) => (PMV_OPENS, "Air arrives. What does the tower gauge show?"),
        (TOWER, _) | ("", Stage::Starting) => (TOWER, "What does the tower gauge show?"),
        _ => (FILL_GAUGE, "What does the fill gauge show?"),
    };
    let expected = expected(&scene, of, s.elapsed_s);
    let middle = expected.unwrap_or(150.0);
    let act = match s.stage {
        Stage::GaugeAtStop => "filled",
        _ => "reading",
    };
    show(&SayPage {
        sheet,
        title: title.to_owned(),
        action: "/run/act",
        act,
        of: of.to_owned(),
        run: scene.log.started.seq,
        seq: scene.log.last_seq,
        now_us: now.0,
        by: person.name,
        values: keys(&scene, middle, expected.is_some()),
        example: scene.pressure(middle),
        unit: unit(scene.station.units),
        others: match (act, of) {
            ("filled", _) => Vec::new(),
            (_, FILL_GAUGE) => vec![("/run/reading?of=tower".to_owned(), "Tower gauge instead")],
            _ => vec![(
                "/run/reading?of=fill+gauge".to_owned(),
                "Fill gauge instead",
            )],
        },
        withdraw: false,
    })
}

/// What a gauge should show.
fn expected(scene: &Scene, of: &str, elapsed_s: f64) -> Option<f64> {
    let course = scene.course.as_ref()?;
    match of {
        FILL_GAUGE => course.fill_at(elapsed_s).map(|e| e.bar),
        _ => course.at(elapsed_s).map(|point| point.tower.bar),
    }
}

/// Keys around a value, the nearest to it marked.
fn keys(scene: &Scene, middle: f64, marked: bool) -> Vec<(String, bool)> {
    let nearest = around(middle, scene.station.units, &[0; 6]).pop();
    around(middle, scene.station.units, &STEPS)
        .into_iter()
        .map(|value| {
            let here = marked && nearest.as_ref() == Some(&value);
            (value, here)
        })
        .collect()
}

/// `GET /run/correct?of=12`: a reading put right.
pub async fn correct(
    State(app): State<Arc<App>>,
    person: Person,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let (sheet, found) = scene(&app, "Correct a reading").await?;
    let Some(scene) = found else {
        return Ok(see_other("/run"));
    };
    let seq: Option<u64> = asked.of.parse().ok();
    let reading = scene.log.readings.iter().find(|r| Some(r.seq) == seq);
    let value = reading.and_then(|r| r.body.value.as_ref());
    let Some((reading, value)) = reading.zip(value) else {
        let trouble = Trouble::new(
            "this run has no such reading",
            "correct an earlier one from the command line: `fillstead book correct`",
        );
        return Err(PageError::from(trouble).way("/run", "Run"));
    };
    let middle = value.pressure().map_or(150.0, |p| p.as_bar());
    show(&SayPage {
        sheet,
        title: format!(
            "{} {} was misread. What did it show?",
            reading.body.of, value
        ),
        action: "/run/correct",
        act: "",
        of: reading.seq.to_string(),
        run: scene.log.started.seq,
        seq: scene.log.last_seq,
        now_us: clock::now().0,
        by: person.name,
        values: keys(&scene, middle, false),
        example: scene.pressure(middle),
        unit: unit(scene.station.units),
        others: Vec::new(),
        withdraw: true,
    })
}

/// `GET /run/wrong`: what to do when something is wrong.
pub async fn wrong(State(app): State<Arc<App>>, person: Person) -> Result<Response, PageError> {
    let (sheet, found) = scene(&app, "Something is wrong").await?;
    let Some(scene) = found else {
        return Ok(see_other("/run"));
    };
    let now = clock::now();
    let first = scene.on_line().first().map(|p| p.cylinder.clone());
    show(&WrongPage {
        sheet,
        wrong: WRONG,
        cylinders: first.unwrap_or_default(),
        run: scene.log.started.seq,
        seq: scene.log.last_seq,
        now_us: now.0,
        by: person.name,
        running: scene.standing(now).stage.running(),
    })
}
