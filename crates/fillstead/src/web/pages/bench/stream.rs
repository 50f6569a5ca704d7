//! The stream of a bench: every half second the parts of its page that have changed.
//!
//! A connection lasts as long as the server lets any last; the browser opens the next by itself.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::Json;
use axum::extract::{Path, State};
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Response};
use futures_util::stream::{Stream, unfold};
use serde_json::{Map, Value};
use tokio::time::sleep;

use super::parts::{Part, parts};
use super::{May, gone};
use crate::usecase::clock;
use crate::web::App;
use crate::web::page::{PageError, work};
use crate::web::person::Person;
use crate::web::units::Units;

/// Between two looks.
const EVERY: Duration = Duration::from_millis(500);
/// Looks of one connection: five minutes, then the browser comes again.
const LOOKS: u32 = 600;

/// A browser comes again after this time.
const AGAIN: Duration = Duration::from_millis(700);

/// Whoever watches.
#[derive(Clone)]
struct Watcher {
    app: Arc<App>,
    id: String,
    person: Person,
    units: Units,
}

impl Watcher {
    /// The parts as they stand; none: the bench is gone.
    async fn look(&self) -> Result<Option<Vec<Part>>, PageError> {
        let (id, person, units) = (self.id.clone(), self.person.clone(), self.units);
        work(&self.app, move |app| {
            let now = clock::now();
            let who = person.name.as_deref();
            let look = app.benches.with(&id, now, |room| {
                room.here(who, now);
                room.look(&id, who, units.chosen, now)
            });
            look.map(|look| parts(&look, May::of(&person))).transpose()
        })
        .await?
    }
}

/// `GET /bench/{id}/stream`.
pub async fn stream(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    person: Person,
    units: Units,
) -> Result<Response, PageError> {
    let watcher = Watcher {
        app,
        id,
        person,
        units,
    };
    if watcher.look().await?.is_none() {
        return Err(gone());
    }
    Ok(Sse::new(events(watcher)).into_response())
}

/// What has changed, again and again.
fn events(watcher: Watcher) -> impl Stream<Item = Result<Event, Infallible>> {
    unfold(
        (watcher, Vec::<Part>::new(), 0u32),
        |(watcher, sent, n)| async move {
            if n >= LOOKS {
                return None;
            }
            if n > 0 {
                sleep(EVERY).await;
            }
            match watcher.look().await {
                Ok(Some(now)) => {
                    let text = changed(&sent, &now);
                    let event = Event::default().retry(AGAIN).data(text);
                    Some((Ok(event), (watcher, now, n + 1)))
                }
                _ => {
                    let end = Event::default().event("gone").data("gone");
                    Some((Ok(end), (watcher, sent, LOOKS)))
                }
            }
        },
    )
}

/// The parts that are not as they were sent, by name.
fn changed(sent: &[Part], now: &[Part]) -> String {
    let new = now.iter().filter(|part| !sent.contains(part));
    let named = new.map(|part| (part.name.to_owned(), Value::from(part.html.as_str())));
    Value::Object(named.collect::<Map<String, Value>>()).to_string()
}

/// `GET /bench/{id}/parts.json`: the same once, for where no stream comes through.
pub async fn once(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    person: Person,
    units: Units,
) -> Result<Response, PageError> {
    let watcher = Watcher {
        app,
        id,
        person,
        units,
    };
    let now = watcher.look().await?.ok_or_else(gone)?;
    let named = now
        .iter()
        .map(|part| (part.name.to_owned(), Value::from(part.html.as_str())));
    Ok(Json(Value::Object(named.collect())).into_response())
}
