//! Looking at the run: from the book to a scene. What was expected is computed once for each start.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use book::{Book, Kind, Moment, Wanted};

use super::course::{Course, Job};
use super::log::Log;
use super::view::Scene;
use crate::usecase::book::desk;
use crate::usecase::book::gate::station_in_force;
use crate::usecase::book::records::with_register;
use crate::usecase::{Trouble, units};
use station::Station;

/// A start, and what counts for it: its body, and the units its sentences are in.
type Which = (u64, i64);

/// What was expected of each start, kept so that it is computed once.
#[derive(Debug, Default)]
pub struct Courses {
    known: Mutex<BTreeMap<Which, Result<Arc<Course>, Trouble>>>,
}

/// No more are kept: one run is looked at, and perhaps the one before.
const MOST_KEPT: usize = 8;

impl Courses {
    /// What is expected of this start, computed where it is not known yet.
    fn of(
        &self,
        which: Which,
        course: impl FnOnce() -> Result<Course, Trouble>,
    ) -> Result<Arc<Course>, Trouble> {
        // Held while it is computed: a second phone waits for the first one's answer.
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(course) = known.get(&which) {
            return course.clone();
        }
        let course = course().map(Arc::new);
        if known.len() >= MOST_KEPT {
            known.pop_first();
        }
        known.insert(which, course.clone());
        course
    }
}

/// The latest start of the machine and where it stands; none where it was never started.
pub fn look(path: &Path, courses: &Courses) -> Result<Option<Scene>, Trouble> {
    let book = desk::read(path)?;
    scene(&book, courses)
}

/// The same of a book that is open.
pub fn scene(book: &Book, courses: &Courses) -> Result<Option<Scene>, Trouble> {
    let Some(log) = Log::read(book, None)? else {
        return Ok(None);
    };
    let zone = desk::zone(book)?;
    let begun = log.started.happened;
    let Some(station) = station_at(book, begun)? else {
        return Ok(None);
    };
    let station = with_register(station, book, &zone)?;
    let started = &log.started.body;
    let job = job_of(started);
    let expected = match job.planned.is_empty() {
        true => Err(Trouble::new(
            "this run was started without saying what is filled",
            "nothing is expected of the gauges: watch them",
        )),
        // Another body under the same number is another plan.
        false => courses.of((log.started.seq, fingerprint(started)), || {
            Course::of(&station, &job)
        }),
    };
    let (course, without) = match expected {
        Ok(course) => (Some(course), None),
        Err(trouble) => (None, Some(told(&trouble))),
    };
    Ok(Some(Scene {
        before: before(book, &log)?,
        log,
        course,
        without,
        station,
    }))
}

/// The station as it was then; as it is now where the book knew none yet.
pub fn station_at(book: &Book, then: Moment) -> Result<Option<Station>, Trouble> {
    match station_in_force(book, Some(then))? {
        Some(station) => Ok(Some(station)),
        None => station_in_force(book, None),
    }
}

/// What a start says is going to be done.
pub fn job_of(started: &book::body::RunStarted) -> Job {
    Job {
        planned: started.planned.clone(),
        tower: started.tower.as_ref().map(|m| m.value()),
        intake_temperature: started.intake_temperature.as_ref().map(|m| m.value()),
        humidity: started.humidity.as_ref().map(|m| m.value()),
        drain_every: started.drain_every.as_ref().map(|m| m.value()),
    }
}

/// Tells two bodies apart, and readers of other units.
fn fingerprint(started: &book::body::RunStarted) -> i64 {
    use std::hash::{DefaultHasher, Hash, Hasher};
    let mut hasher = DefaultHasher::new();
    format!("{started:?} {:?}", units::asked()).hash(&mut hasher);
    hasher.finish().cast_signed()
}

fn told(trouble: &Trouble) -> String {
    format!("No forecast: {}; {}.", trouble.what, trouble.remedy)
}

/// Cylinders filled in earlier starts of the same job.
fn before(book: &Book, log: &Log) -> Result<usize, Trouble> {
    let Some(first) = log.started.body.continues else {
        return Ok(0);
    };
    let from = book.event(first)?.map(|event| event.happened);
    let fills = book.events(&Wanted {
        kinds: &[Kind::Fill],
        from,
        until: Some(Moment(log.started.happened.0)),
        ..Wanted::default()
    })?;
    Ok(from.map_or(0, |_| fills.len()))
}
