//! What is sent to a bench, and what comes of it.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Form, FromRequest, FromRequestParts, Path, Request, State};
use axum::http::HeaderMap;
use axum::http::header::ACCEPT;
use axum::response::{IntoResponse, Response};
use insight::bench::{Act, Begin, Bench};
use serde_json::json;

use super::{Units, gone, listing, page};
use crate::usecase::Trouble;
use crate::usecase::bench::{Room, Speed, drilled, lot, set, station, told};
use crate::usecase::book::form::Given;
use crate::usecase::clock;
use crate::web::App;
use crate::web::page::{PageError, in_sentences, see_other, work};
use crate::web::person::{Person, remember};

/// Longest name of a person at a bench.
const LONGEST_NAME: usize = 40;

/// Who sends, and how they are answered.
pub struct Sender {
    person: Person,
    units: Units,
    /// A script sent it: told in JSON, the stream brings the rest.
    script: bool,
}

impl<S: Send + Sync> FromRequestParts<S> for Sender {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(
        parts: &mut axum::http::request::Parts,
        state: &S,
    ) -> Result<Sender, Self::Rejection> {
        let person = Person::from_request_parts(parts, state).await?;
        let units = Units::from_request_parts(parts, state).await?;
        Ok(Sender {
            person,
            units,
            script: wants_json(&parts.headers),
        })
    }
}

fn wants_json(headers: &HeaderMap) -> bool {
    let accept = headers.get(ACCEPT).and_then(|v| v.to_str().ok());
    accept.is_some_and(|v| v.starts_with("application/json"))
}

fn field<'g>(given: &'g Given, name: &str) -> &'g str {
    let found = given.iter().rev().find(|(n, _)| n == name);
    found.map_or("", |(_, text)| text.trim())
}

/// Something sent to a bench.
pub struct Hand {
    app: Arc<App>,
    id: String,
    sender: Sender,
    given: Given,
}

impl FromRequest<Arc<App>> for Hand {
    type Rejection = Response;

    async fn from_request(request: Request, app: &Arc<App>) -> Result<Hand, Self::Rejection> {
        let (mut parts, body) = request.into_parts();
        let place = Path::<String>::from_request_parts(&mut parts, app).await;
        let Path(id) = place.map_err(IntoResponse::into_response)?;
        let Ok(sender) = Sender::from_request_parts(&mut parts, app).await;
        let form = Form::from_request(Request::from_parts(parts, body), app).await;
        let Form(given) = form.map_err(IntoResponse::into_response)?;
        Ok(Hand {
            app: app.clone(),
            id,
            sender,
            given,
        })
    }
}

impl Hand {
    /// Does something with the bench and goes back to it, or says why not.
    async fn does(
        self,
        job: impl FnOnce(&mut Room, Option<&str>, &Given) -> Result<(), Vec<Trouble>> + Send + 'static,
    ) -> Result<Response, PageError> {
        let Hand {
            app,
            id,
            sender,
            given,
        } = self;
        let who = sender.person.name.clone();
        let (place, sent) = (id.clone(), given.clone());
        let outcome = work(&app, move |app| {
            let now = clock::now();
            app.benches.with(&place, now, |room| {
                room.here(who.as_deref(), now);
                room.changes += 1;
                job(room, who.as_deref(), &sent)
            })
        });
        let outcome = outcome.await?.ok_or_else(gone)?;
        match (outcome, sender.script) {
            (Ok(()), true) => Ok(Json(json!({ "told": null })).into_response()),
            (Err(troubles), true) => {
                let all: Vec<String> = troubles.iter().map(in_sentences).collect();
                Ok(Json(json!({ "told": all.join(" ") })).into_response())
            }
            (Ok(()), false) => Ok(see_other(&format!("/bench/{id}"))),
            (Err(troubles), false) => {
                page(&app, id, sender.person, sender.units, troubles, given).await
            }
        }
    }
}

fn one(trouble: Trouble) -> Vec<Trouble> {
    vec![trouble]
}

fn unknown(what: &str) -> Vec<Trouble> {
    let what = format!("the bench does not know what `{what}` is");
    one(Trouble::new(what, "use the buttons of the page"))
}

/// `POST /bench`: a new bench.
pub async fn open(
    State(app): State<Arc<App>>,
    sender: Sender,
    Form(given): Form<Given>,
) -> Result<Response, PageError> {
    let sent = given.clone();
    let made = work(&app, move |app| {
        let station = station(&app.book).map_err(one)?;
        let bench = match field(&sent, "drill") {
            "" => {
                let setting = set(&station, &sent)?;
                let made = Bench::new(&station, setting, Begin::Rest, Vec::new());
                made.map_err(|refused| one(told(refused)))?
            }
            key => drilled(&station, key).map_err(one)?,
        };
        let name = field(&sent, "name");
        app.benches.open(name, bench, clock::now()).map_err(one)
    });
    match made.await? {
        Ok(id) => {
            let answer = see_other(&format!("/bench/{id}"));
            Ok(named(answer, &sender.person, field(&given, "by")))
        }
        Err(troubles) => listing(&app, sender.person, sender.units, given, troubles).await,
    }
}

/// On this machine the name typed is remembered; over the network it is the session's.
fn named(answer: Response, person: &Person, typed: &str) -> Response {
    let name: String = typed.chars().take(LONGEST_NAME).collect();
    match person.is_signed_in() || name.is_empty() {
        true => answer,
        false => remember(answer, &name),
    }
}

/// `POST /bench/{id}/who`: who is at this screen.
pub async fn who(hand: Hand) -> Result<Response, PageError> {
    let person = hand.sender.person.clone();
    let by = field(&hand.given, "by").to_owned();
    let answer = hand.does(|_, _, _| Ok(())).await?;
    Ok(named(answer, &person, &by))
}

/// `POST /bench/{id}/act`: a hand on the bench.
pub async fn act(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, who, given| {
        let hose = field(given, "hose").parse().unwrap_or(0);
        let key = match (field(given, "act"), field(given, "fault")) {
            ("name", "") => {
                let trouble =
                    Trouble::new("nothing was chosen", "choose what is wrong, then say it");
                return Err(one(trouble));
            }
            ("name", fault) => format!("name:{fault}"),
            (act, _) => act.to_owned(),
        };
        let act = Act::named(&key, hose).ok_or_else(|| unknown(&key))?;
        room.act(who, act).map_err(one)
    })
    .await
}

/// `POST /bench/{id}/time`: run, hold, how fast, back to the start.
pub async fn time(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, _, given| {
        match field(given, "time") {
            "run" => room.run(true),
            "hold" => room.run(false),
            "back" => return room.back().map_err(one),
            times => match Speed::of(times) {
                Some(speed) => room.speed = speed,
                None => return Err(unknown(times)),
            },
        }
        Ok(())
    })
    .await
}

/// `POST /bench/{id}/set`: another setting, from the start.
pub async fn set_up(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, _, given| {
        let station = room.bench.original().clone();
        let setting = set(&station, given)?;
        let bench = Bench::new(&station, setting, Begin::Rest, Vec::new());
        room.replace(bench.map_err(|refused| one(told(refused)))?);
        Ok(())
    })
    .await
}

/// `POST /bench/{id}/drill`: a drill from its start.
pub async fn drill(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, _, given| {
        let station = room.bench.original().clone();
        room.replace(drilled(&station, field(given, "drill")).map_err(one)?);
        Ok(())
    })
    .await
}

/// `POST /bench/{id}/fault`: something goes wrong, or is put right.
pub async fn fault(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, _, given| {
        let key = field(given, "fault");
        if key.is_empty() {
            let trouble = Trouble::new("no fault was chosen", "choose one, or one at random");
            return Err(one(trouble));
        }
        let hidden = field(given, "hidden") == "yes";
        let lot = lot().map_err(one)?;
        room.fault(key, hidden, lot).map_err(one)
    })
    .await
}

/// `POST /bench/{id}/reveal`: everybody is told what is wrong.
pub async fn reveal(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, _, _| {
        room.bench.reveal();
        Ok(())
    })
    .await
}

/// `POST /bench/{id}/ask`: a question to the class, or none.
pub async fn ask(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, _, given| {
        room.ask(field(given, "question"));
        Ok(())
    })
    .await
}

/// `POST /bench/{id}/answer`: one of the class answers.
pub async fn answer(hand: Hand) -> Result<Response, PageError> {
    hand.does(|room, who, given| {
        let Some(who) = who else {
            let trouble = Trouble::new("nobody knows whose answer this is", "give your name first");
            return Err(one(trouble));
        };
        let option = field(given, "option");
        room.answer(who, option.parse().map_err(|_| unknown(option))?);
        Ok(())
    })
    .await
}

/// `POST /bench/{id}/close`: the bench is put away.
pub async fn close(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    match app.benches.close(&id) {
        true => Ok(see_other("/bench")),
        false => Err(gone()),
    }
}
