//! The bench: the list of benches, one bench with its class, its stream, its result on paper.
//!
//! Who may do what over the network stands in [`crate::web::access`]: an onlooker watches and answers
//! the class's question, an operator works the bench, a keeper puts faults in, reveals them and asks.
//! Not here: what is done ([`post`]), what is shown ([`view`]), the stream ([`stream`]).

mod drawn;
mod outcome;
mod parts;
mod post;
mod stream;
#[cfg(test)]
mod tests;
mod view;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post as to};
use insight::bench::drill::{self, Drill, Mark, Score};
use insight::bench::question::{self, Question};
use quantity::UnitSystem;

use crate::draw::SYMBOLS;
use crate::draw::figures::time;
use crate::usecase::Trouble;
use crate::usecase::bench::{Listed, Look, set, station, typed};
use crate::usecase::book::form::Given;
use crate::usecase::clock;
use crate::usecase::people::Role;
use crate::web::App;
use crate::web::page::{PageError, Place, Sheet, in_sentences, show, work};
use crate::web::person::Person;
use crate::web::reader::Reader;
pub use drawn::Kept;
use parts::{Part, parts};

/// Pages of the bench.
pub fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/bench", get(list).post(post::open))
        .route("/bench/{id}", get(bench))
        .route("/bench/{id}/stream", get(stream::stream))
        .route("/bench/{id}/parts.json", get(stream::once))
        .route("/bench/{id}/result", get(result))
        .route("/bench/{id}/act", to(post::act))
        .route("/bench/{id}/time", to(post::time))
        .route("/bench/{id}/set", to(post::set_up))
        .route("/bench/{id}/drill", to(post::drill))
        .route("/bench/{id}/fault", to(post::fault))
        .route("/bench/{id}/reveal", to(post::reveal))
        .route("/bench/{id}/ask", to(post::ask))
        .route("/bench/{id}/answer", to(post::answer))
        .route("/bench/{id}/who", to(post::who))
        .route("/bench/{id}/close", to(post::close))
}

/// An input of the setting.
struct Input {
    name: &'static str,
    label: &'static str,
    value: String,
    error: Option<String>,
}

/// The list of benches, and how a new one is set.
#[derive(Template)]
#[template(path = "web/bench_list.html")]
struct ListPage {
    sheet: Sheet,
    benches: Vec<Listed>,
    inputs: Vec<Input>,
    kinds: Vec<(String, bool)>,
    hoses: Vec<(usize, bool)>,
    drills: &'static [Drill],
    by: Option<String>,
    signed: bool,
    may: May,
    general: Vec<String>,
}

/// One bench.
#[derive(Template)]
#[template(path = "web/bench.html")]
struct BenchPage {
    sheet: Sheet,
    look: Look,
    parts: Vec<Part>,
    inputs: Vec<Input>,
    kinds: Vec<(String, bool)>,
    hoses: Vec<(usize, bool)>,
    drills: &'static [Drill],
    questions: &'static [Question],
    by: Option<String>,
    signed: bool,
    may: May,
    told: Option<String>,
    symbols: &'static str,
}

/// How a drill went, on one page of paper.
#[derive(Template)]
#[template(path = "web/bench_result.html")]
struct ResultPage {
    sheet: Sheet,
    look: Look,
    drill: &'static Drill,
    score: Score,
    day: String,
}

/// What this person may do here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct May {
    /// Work the bench.
    pub operate: bool,
    /// Put faults in, reveal them, ask.
    pub teach: bool,
}

impl May {
    /// By role; on this machine everything.
    pub fn of(person: &Person) -> May {
        May {
            operate: person.role.is_none_or(|role| role >= Role::Operator),
            teach: person.role.is_none_or(|role| role >= Role::Keeper),
        }
    }
}

/// Filters of the templates.
mod filters {
    /// Both parts of a message as a sentence.
    #[askama::filter_fn]
    pub fn whole(text: impl ToString, _: &dyn askama::Values) -> askama::Result<String> {
        Ok(crate::web::page::sentence(&text.to_string()))
    }
}

impl ListPage {
    fn time(&self, seconds: &u64) -> String {
        time(*seconds as f64)
    }
}

impl BenchPage {
    fn wrongly_set(&self) -> bool {
        self.inputs.iter().any(|input| input.error.is_some())
    }

    fn part(&self, name: &str) -> &str {
        let found = self.parts.iter().find(|part| part.name == name);
        found.map_or("", |part| part.html.as_str())
    }
}

impl ResultPage {
    fn at(&self, seconds: &u64) -> String {
        time(*seconds as f64)
    }

    fn time(&self, seconds: &Option<u64>) -> String {
        seconds.map_or("-".to_owned(), |s| time(s as f64))
    }

    fn words(&self, act: &str) -> String {
        outcome::act_words(act)
    }

    fn good(&self, mark: &Mark) -> bool {
        *mark == Mark::InTime
    }
}

/// The units of whoever looks; none: the station's own. A stream goes on after its page is made,
/// so that they are carried along.
#[derive(Clone, Copy, Debug)]
struct Units {
    chosen: Option<UnitSystem>,
}

impl<S: Send + Sync> axum::extract::FromRequestParts<S> for Units {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(
        _: &mut axum::http::request::Parts,
        _: &S,
    ) -> Result<Units, Self::Rejection> {
        let chosen = Reader::now().and_then(|reader| reader.chosen);
        Ok(Units { chosen })
    }
}

/// `GET /bench`.
async fn list(
    State(app): State<Arc<App>>,
    person: Person,
    units: Units,
) -> Result<Response, PageError> {
    listing(&app, person, units, Given::new(), Vec::new()).await
}

/// The list with what was typed and what is wrong with it.
async fn listing(
    app: &Arc<App>,
    person: Person,
    units: Units,
    given: Given,
    troubles: Vec<Trouble>,
) -> Result<Response, PageError> {
    let may = May::of(&person);
    let wrong = !troubles.is_empty();
    let made = work(app, move |app| {
        let mut station = (*station(&app.book)?).clone();
        station.units = units.chosen.unwrap_or(station.units);
        let usual = set(&station, &Given::new()).map_err(first)?;
        let usual = typed(&usual, station.units);
        let general = troubles.iter().filter(|t| t.field.is_none());
        Ok::<_, Trouble>(ListPage {
            sheet: Sheet::of(app, Place::Bench, "Bench"),
            benches: app.benches.list(clock::now()),
            inputs: inputs(&usual, &given, &troubles),
            kinds: kinds(&station, &usual, &given),
            hoses: hoses(&station, &usual, &given),
            drills: drill::all(),
            by: person.name.clone(),
            signed: person.is_signed_in(),
            may,
            general: general.map(in_sentences).collect(),
        })
    });
    let page = made.await?.map_err(no_bench_here)?;
    let mut answer = show(&page)?;
    if wrong {
        *answer.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(answer)
}

fn first(troubles: Vec<Trouble>) -> Trouble {
    let none = || Trouble::new("the bench cannot be set up", "look into the station file");
    troubles.into_iter().next().unwrap_or_else(none)
}

fn no_bench_here(trouble: Trouble) -> PageError {
    PageError::from(trouble).way("/book/add/station", "Enter the station file")
}

/// `GET /bench/{id}`.
async fn bench(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    person: Person,
    units: Units,
) -> Result<Response, PageError> {
    page(&app, id, person, units, Vec::new(), Given::new()).await
}

/// A bench with what came of the last thing sent.
async fn page(
    app: &Arc<App>,
    id: String,
    person: Person,
    units: Units,
    troubles: Vec<Trouble>,
    given: Given,
) -> Result<Response, PageError> {
    let may = May::of(&person);
    let wrong = !troubles.is_empty();
    let made = work(app, move |app| {
        let now = clock::now();
        let who = person.name.as_deref();
        let look = app.benches.with(&id, now, |room| {
            room.here(who, now);
            room.look(&id, who, units.chosen, now)
        });
        let look = look.ok_or_else(gone)?;
        let told: Vec<String> = troubles
            .iter()
            .filter(|t| t.field.is_none())
            .map(in_sentences)
            .collect();
        Ok::<_, PageError>(BenchPage {
            sheet: Sheet::of(app, Place::Bench, &format!("{}, bench", look.name)),
            parts: parts(&look, &app.drawn, may)?,
            inputs: inputs(&look.set, &given, &troubles),
            kinds: kinds(&look.station, &look.set, &given),
            hoses: hoses(&look.station, &look.set, &given),
            drills: drill::all(),
            questions: question::all(),
            by: person.name.clone(),
            signed: person.is_signed_in(),
            may,
            told: (!told.is_empty()).then(|| told.join(" ")),
            symbols: SYMBOLS,
            look,
        })
    });
    let page = made.await??;
    let mut answer = show(&page)?;
    if wrong {
        *answer.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(answer)
}

/// `GET /bench/{id}/result`: the drill on paper.
async fn result(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    person: Person,
    units: Units,
) -> Result<Response, PageError> {
    let made = work(&app, move |app| {
        let now = clock::now();
        let who = person.name.as_deref();
        let look = app
            .benches
            .with(&id, now, |room| room.look(&id, who, units.chosen, now));
        let look = look.ok_or_else(gone)?;
        let done = look
            .drill
            .clone()
            .filter(|(_, score)| score.ended_s.is_some());
        let (drill, score) = done.ok_or_else(|| {
            let sentence = "A result is printed once a drill is over. Do the drill first.";
            PageError::new(StatusCode::NOT_FOUND, "There is no result yet", sentence)
                .way(&format!("/bench/{id}"), "Back to the bench")
        })?;
        Ok::<_, PageError>(ResultPage {
            sheet: Sheet::of(app, Place::Bench, "Result of a drill"),
            day: clock::Zone::of_this_machine().day_text(now),
            look,
            drill,
            score,
        })
    });
    show(&made.await??)
}

/// There is no such bench, in words.
fn gone() -> PageError {
    PageError::new(
        StatusCode::NOT_FOUND,
        "That bench is gone",
        "A bench lives in the server's memory only: it goes when the server is restarted, when \
         somebody ends it, and two hours after anybody last looked. Nothing in the book depends on \
         it. Set up another.",
    )
    .way("/bench", "All benches")
}

fn inputs(usual: &Given, given: &Given, troubles: &[Trouble]) -> Vec<Input> {
    let text = |name: &str| {
        let found = given.iter().rev().find(|(n, _)| n == name);
        found.or_else(|| usual.iter().find(|(n, _)| n == name))
    };
    let one = |(name, label): (&'static str, &'static str)| {
        let (_, value) = text(name)?;
        let wrong = troubles.iter().filter(|t| t.field == Some(name));
        let wrong: Vec<String> = wrong.map(in_sentences).collect();
        Some(Input {
            name,
            label,
            value: value.clone(),
            error: (!wrong.is_empty()).then(|| wrong.join(" ")),
        })
    };
    let fields = crate::usecase::bench::FIELDS.into_iter();
    fields.filter_map(one).collect()
}

fn chosen<'g>(usual: &'g Given, given: &'g Given, name: &str) -> &'g str {
    let found = given.iter().rev().chain(usual).find(|(n, _)| n == name);
    found.map_or("", |(_, text)| text.as_str())
}

fn kinds(station: &station::Station, usual: &Given, given: &Given) -> Vec<(String, bool)> {
    let chosen = chosen(usual, given, "cylinder");
    let one = |kind: &station::CylinderKind| (kind.id.clone(), kind.id == chosen);
    station.cylinder_kinds.iter().map(one).collect()
}

fn hoses(station: &station::Station, usual: &Given, given: &Given) -> Vec<(usize, bool)> {
    let chosen = chosen(usual, given, "hoses");
    let most = station
        .whip
        .count
        .clamp(1, insight::bench::setting::MOST_HOSES);
    (1..=most).map(|n| (n, n.to_string() == chosen)).collect()
}
