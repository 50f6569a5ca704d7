//! The stream of a bench: every half second the parts of its page that have changed.
//!
//! A connection lasts as long as the server lets any last; the browser opens the next by itself.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::Json;
use axum::extract::{FromRequestParts, Path};
use axum::http::request::Parts;
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Response};
use futures_util::stream::{Stream, unfold};
use serde_json::{Map, Value};
use tokio::time::sleep;

use super::parts::{Part, parts};
use super::{May, Units, gone};
use crate::usecase::bench::{Look, Mark};
use crate::usecase::clock;
use crate::web::App;
use crate::web::page::{PageError, work};
use crate::web::person::Person;

/// Between two looks.
const EVERY: Duration = Duration::from_millis(500);
/// Looks of one connection: five minutes, then the browser comes again.
const LOOKS: u32 = 600;

/// A browser comes again after this time.
const AGAIN: Duration = Duration::from_millis(700);

/// Whoever watches.
#[derive(Clone)]
pub struct Watcher {
    app: Arc<App>,
    id: String,
    person: Person,
    units: Units,
}

impl FromRequestParts<Arc<App>> for Watcher {
    type Rejection = Response;

    async fn from_request_parts(
        parts: &mut Parts,
        app: &Arc<App>,
    ) -> Result<Watcher, Self::Rejection> {
        let place = Path::<String>::from_request_parts(parts, app).await;
        let Path(id) = place.map_err(IntoResponse::into_response)?;
        let Ok(person) = Person::from_request_parts(parts, app).await;
        let Ok(units) = Units::from_request_parts(parts, app).await;
        Ok(Watcher {
            app: app.clone(),
            id,
            person,
            units,
        })
    }
}

/// A look at a bench that is there.
enum Seen {
    /// Nothing has changed since the mark.
    Same,
    /// The parts as they stand now.
    New(Mark, Vec<Part>),
}

impl Watcher {
    /// What is there and is not as it was at this mark; none: the bench is gone.
    async fn look(&self, since: Option<Mark>) -> Result<Option<Seen>, PageError> {
        let (id, person, units) = (self.id.clone(), self.person.clone(), self.units);
        work(&self.app, move |app| {
            let now = clock::now();
            let who = person.name.as_deref();
            let found = app.benches.with(&id, now, |room| {
                room.here(who, now);
                let same = since.is_some_and(|mark| mark == room.mark(now));
                (!same).then(|| room.look(&id, who, units.chosen, now))
            });
            let new = |look: Look| {
                let drawn = parts(&look, &app.drawn, May::of(&person))?;
                Ok(Seen::New(look.mark, drawn))
            };
            found
                .map(|look| look.map_or(Ok(Seen::Same), new))
                .transpose()
        })
        .await?
    }

    /// Every part.
    async fn all(&self) -> Result<Vec<Part>, PageError> {
        match self.look(None).await? {
            Some(Seen::New(_, parts)) => Ok(parts),
            Some(Seen::Same) | None => Err(gone()),
        }
    }
}

/// `GET /bench/{id}/stream`.
pub async fn stream(watcher: Watcher) -> Result<Response, PageError> {
    watcher.all().await?;
    Ok(Sse::new(events(watcher)).into_response())
}

/// What has changed, again and again.
fn events(watcher: Watcher) -> impl Stream<Item = Result<Event, Infallible>> {
    let begin = (watcher, None::<Mark>, Vec::<Part>::new(), 0u32);
    unfold(begin, |(watcher, mark, sent, n)| async move {
        if n >= LOOKS {
            return None;
        }
        if n > 0 {
            sleep(EVERY).await;
        }
        match watcher.look(mark.clone()).await {
            Ok(Some(Seen::New(mark, now))) => {
                let text = changed(&sent, &now);
                let event = Event::default().retry(AGAIN).data(text);
                Some((Ok(event), (watcher, Some(mark), now, n + 1)))
            }
            // a word now and then keeps the line open and tells who has left
            Ok(Some(Seen::Same)) => {
                let event = Event::default().comment("as it was");
                Some((Ok(event), (watcher, mark, sent, n + 1)))
            }
            _ => {
                let end = Event::default().event("gone").data("gone");
                Some((Ok(end), (watcher, mark, sent, LOOKS)))
            }
        }
    })
}

/// The parts that are not as they were sent, by name.
fn changed(sent: &[Part], now: &[Part]) -> String {
    named(now.iter().filter(|part| !sent.contains(part))).to_string()
}

/// Parts by their names.
fn named<'p>(parts: impl Iterator<Item = &'p Part>) -> Value {
    let named = parts.map(|part| (part.name.to_owned(), Value::from(part.html.as_str())));
    Value::Object(named.collect::<Map<String, Value>>())
}

/// `GET /bench/{id}/parts.json`: the same once, for where no stream comes through.
pub async fn once(watcher: Watcher) -> Result<Response, PageError> {
    let now = watcher.all().await?;
    Ok(Json(named(now.iter())).into_response())
}
