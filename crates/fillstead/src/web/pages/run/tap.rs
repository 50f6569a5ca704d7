//! Taps: what was pressed goes into the book, and the page comes back as it stands then.
//!
//! A page without script is sent on (303); a script gets the same as JSON: `done` is `written`,
//! `known` (this very tap is in the book), `moot` (somebody did it meanwhile), `wrong` or `another`
//! (somebody else made it and is no longer signed in), with `why` in a sentence, `entries` and `state`, the run's view. What is told later of an entry (`volume`,
//! `settled`, `correct`) is answered in the same way, and its moment is `made`.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Form as Posted, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde_json::json;

use super::{again, on_page};
use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::clock;
use crate::usecase::run::act::{self, Act, Done, Tap};
use crate::usecase::run::amend::{self, Told};
use crate::usecase::run::look::look;
use crate::usecase::run::start::text;
use crate::web::App;
use crate::web::page::{PageError, in_sentences, see_other, work};
use crate::web::person::{Person, remember};

/// `POST /run/act`: `act` is `drained`, `reading` (with `of`, `value`), `stopped`, `filled` (with
/// `value`), `not-filled`, `bled`, `next` (with `tower`) or `wrong` (with `what`); `run` and `seq`
/// name the page it was pressed on, `at` the moment in microseconds.
pub async fn act(
    State(app): State<Arc<App>>,
    person: Person,
    headers: HeaderMap,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    if let Some(answer) = of_another(&person, &headers, &given) {
        return Ok(answer);
    }
    let by = person.author(text(&given, "by"));
    let done = match named(&given) {
        Ok((what, tap)) => {
            let by = by.clone();
            work(&app, move |app| {
                act::act(&app.book, &what, &tap, by.as_deref())
            })
            .await?
        }
        Err(trouble) => Err(vec![trouble]),
    };
    told(&app, person, &headers, done).await
}

/// What came of it, in the form that was asked for.
async fn told(
    app: &Arc<App>,
    person: Person,
    headers: &HeaderMap,
    done: Result<Done, Vec<Trouble>>,
) -> Result<Response, PageError> {
    let done = done.map_err(on_page);
    if wants_json(headers) {
        return for_script(app, done).await;
    }
    match done {
        Ok(Done::Moot(why)) => again(app, person, why, StatusCode::CONFLICT).await,
        Ok(_) => Ok(see_other("/run")),
        Err(troubles) => Err(PageError::from(troubles).way("/run", "Run")),
    }
}

/// Whether a script asks, and not a browser by itself.
pub fn wants_json(headers: &HeaderMap) -> bool {
    let accept = headers.get(header::ACCEPT);
    accept
        .and_then(|accept| accept.to_str().ok())
        .is_some_and(|accept| accept.starts_with("application/json"))
}

/// What another person has made in this browser is theirs: whoever is signed in now does not sign it.
/// A page keeps it until they sign in again.
pub fn of_another(person: &Person, headers: &HeaderMap, given: &Given) -> Option<Response> {
    let made_by = text(given, "by").filter(|_| wants_json(headers) && person.is_signed_in())?;
    let name = person.name.as_deref().filter(|name| *name != made_by)?;
    let why = format!(
        "It is {made_by}'s, and {name} is signed in here. It waits until {made_by} signs in again."
    );
    let answer = json!({"done": "another", "entries": [], "why": why, "state": null});
    Some((StatusCode::CONFLICT, Json(answer)).into_response())
}

/// What was pressed, and on which page.
fn named(given: &Given) -> Result<(Act, Tap), Trouble> {
    let value = |name: &str| text(given, name).unwrap_or_default().to_owned();
    let number = |name: &str| text(given, name).and_then(|n| n.parse().ok());
    let what = match value("act").as_str() {
        "drained" => Act::Drained,
        "reading" => Act::Reading {
            of: value("of"),
            value: value("value"),
        },
        "stopped" => Act::Stopped,
        "filled" => Act::Filled { to: value("value") },
        "not-filled" => Act::NotFilled,
        "bled" => Act::Bled,
        "next" => Act::Next {
            tower: text(given, "tower").map(str::to_owned),
        },
        "wrong" => Act::Wrong {
            what: value("what"),
        },
        other => {
            let what = format!("the run page has no \"{other}\"");
            return Err(Trouble::new(what, "open the page anew and press again"));
        }
    };
    let tap = Tap {
        run: number("run").unwrap_or(0),
        seq: number("seq").unwrap_or(0),
        at: text(given, "at").and_then(|at| at.parse().ok()),
    };
    Ok((what, tap))
}

/// What came of it, and how the run stands, as JSON.
pub async fn for_script(
    app: &Arc<App>,
    done: Result<Done, Vec<Trouble>>,
) -> Result<Response, PageError> {
    let scene = work(app, |app| look(&app.book, &app.courses)).await?.ok();
    let state = scene.flatten().map(|scene| scene.view(clock::now()));
    let (status, answer) = match done {
        Ok(Done::Written(entries)) => (
            StatusCode::OK,
            json!({"done": "written", "entries": entries, "why": "", "state": state}),
        ),
        Ok(Done::Known(seq)) => (
            StatusCode::OK,
            json!({"done": "known", "entries": [seq], "why": "", "state": state}),
        ),
        Ok(Done::Moot(why)) => (
            StatusCode::OK,
            json!({"done": "moot", "entries": [], "why": why, "state": state}),
        ),
        Err(troubles) => {
            let why: Vec<String> = troubles.iter().map(in_sentences).collect();
            (
                StatusCode::UNPROCESSABLE_ENTITY,
                json!({"done": "wrong", "entries": [], "why": why.join(" "), "state": state}),
            )
        }
    };
    Ok((status, Json(answer)).into_response())
}

/// Adds to an entry of the run: the one in `of`, told in the moment `made`.
async fn amended(
    (app, person, headers): (Arc<App>, Person, HeaderMap),
    given: Given,
    how: impl FnOnce(&Told<'_>, &Given) -> Result<Done, Vec<Trouble>> + Send + 'static,
) -> Result<Response, PageError> {
    if let Some(answer) = of_another(&person, &headers, &given) {
        return Ok(answer);
    }
    let number = |name: &str| text(&given, name).and_then(|n| n.parse().ok());
    let Some(of) = number("of").and_then(|of| u64::try_from(of).ok()) else {
        let trouble = Trouble::new("no entry is named", "open the run page anew");
        return told(&app, person, &headers, Err(vec![trouble])).await;
    };
    let made: Option<i64> = number("made");
    let by = person.author(text(&given, "by"));
    let done = work(&app, move |app| {
        let told = Told {
            path: &app.book,
            of,
            made,
            by: by.as_deref(),
        };
        how(&told, &given)
    })
    .await?;
    told(&app, person, &headers, done).await
}

/// `POST /run/volume`: how much came `of` a drain.
pub async fn volume(
    State(app): State<Arc<App>>,
    person: Person,
    headers: HeaderMap,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    amended((app, person, headers), given, |told, given| {
        amend::drained_volume(told, text(given, "volume").unwrap_or_default())
    })
    .await
}

/// `POST /run/settled`: what the gauge shows once a cylinder is cold.
pub async fn settled(
    State(app): State<Arc<App>>,
    person: Person,
    headers: HeaderMap,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    amended((app, person, headers), given, |told, given| {
        let typed = |name| text(given, name).unwrap_or_default();
        let value = text(given, "other").unwrap_or(typed("value"));
        amend::settled(told, (value, typed("at")))
    })
    .await
}

/// `POST /run/correct`: another value for the reading `of`, or `withdraw`.
pub async fn correct(
    State(app): State<Arc<App>>,
    person: Person,
    headers: HeaderMap,
    Posted(given): Posted<Given>,
) -> Result<Response, PageError> {
    amended((app, person, headers), given, |told, given| {
        let value = text(given, "value").filter(|_| text(given, "withdraw").is_none());
        amend::correct_reading(told, value)
    })
    .await
}

/// `POST /run/who`: who stands at this phone.
pub async fn who(Posted(given): Posted<Given>) -> Response {
    let answer = see_other("/run");
    match text(&given, "by") {
        Some(name) => remember(answer, name),
        None => answer,
    }
}
