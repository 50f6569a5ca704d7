//! What stands against filling at all: symptoms without a cause, failed air tests.
//!
//! A symptom locks until its cause is recorded. A failed air test locks until its cause is recorded
//! **and** a later test passed (entered later, its air made no earlier than the failed sample's
//! day), or until somebody released all of it with a reason.

use crate::answer::samples::{DayBegins, Sample, samples};
use crate::answer::{Mark, Seen, Told, picked, read};
use crate::body::{Body, CauseRecorded, Kind, Outcome, Released, SymptomReported};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::{Event, Subject, Wanted};

/// What locks are drawn from, besides fills of the cylinders that samples were taken from.
pub const KINDS: [Kind; 4] = [
    Kind::AirTest,
    Kind::SymptomReported,
    Kind::CauseRecorded,
    Kind::Released,
];

/// Why filling was locked.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// Somebody felt unwell, or the air smelt.
    Symptom(Told<SymptomReported>),
    /// An air test failed.
    FailedTest(Sample),
}

impl Reason {
    /// The entry, and when it happened or was entered.
    pub fn mark(&self) -> Mark {
        match self {
            Reason::Symptom(told) => told.mark(),
            Reason::FailedTest(sample) => Mark {
                seq: sample.seq,
                at: sample.entered,
            },
        }
    }

    /// The cylinder it names.
    pub fn cylinder(&self) -> Option<&str> {
        match self {
            Reason::Symptom(told) => told.body.cylinder.as_deref(),
            Reason::FailedTest(sample) => sample.cylinder.as_deref(),
        }
    }
}

/// A lock, standing or lifted.
#[derive(Clone, Debug, PartialEq)]
pub struct Lock {
    /// What locked.
    pub reason: Reason,
    /// The first cause recorded of it.
    pub cause: Option<Told<CauseRecorded>>,
    /// The first later air test that passed, by its entry; always none for a symptom.
    pub later_pass: Option<Mark>,
    /// The first release of all of it.
    pub released: Option<Told<Released>>,
    /// When it was lifted; none: it stands.
    pub lifted: Option<Moment>,
}

impl Lock {
    /// Whether it stands for want of a recorded cause.
    pub fn needs_cause(&self) -> bool {
        self.lifted.is_none() && self.cause.is_none()
    }

    /// Whether it stands for want of a later air test that passes.
    pub fn needs_pass(&self) -> bool {
        let failed = matches!(self.reason, Reason::FailedTest(_));
        failed && self.lifted.is_none() && self.later_pass.is_none()
    }
}

/// Everything that ever locked filling.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Locks {
    /// In the order of time.
    pub locks: Vec<Lock>,
    /// Every air test as evidence, in the order of time.
    pub samples: Vec<Sample>,
    /// Air tests that could not tell, and no later one passed: no lock, but worth a word.
    pub untold: Vec<Sample>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

impl Locks {
    /// Those that stand.
    pub fn standing(&self) -> impl Iterator<Item = &Lock> {
        self.locks.iter().filter(|lock| lock.lifted.is_none())
    }

    /// Whether filling is locked.
    pub fn locked(&self) -> bool {
        self.standing().next().is_some()
    }

    /// The last air test that passed.
    pub fn last_pass(&self) -> Option<&Sample> {
        let mut late = self.samples.iter().rev();
        late.find(|sample| sample.outcome == Outcome::Passes)
    }
}

/// Locks of these events at a moment. Needs [`KINDS`] and the fills of cylinders that samples were
/// taken from; passes over others.
pub fn of(events: &[Event], at: Option<Moment>, day_begins: DayBegins<'_>) -> Locks {
    let seen = Seen::of(events, at);
    let samples = samples(&seen, day_begins);
    let causes = picked!(seen, CauseRecorded);
    let releases = picked!(seen, Released);
    let symptoms = picked!(seen, SymptomReported);
    let failed = samples.iter().filter(|s| s.outcome == Outcome::Fails);
    let mut reasons: Vec<Reason> = symptoms.into_iter().map(Reason::Symptom).collect();
    reasons.extend(failed.cloned().map(Reason::FailedTest));
    reasons.sort_by_key(Reason::mark);
    let locks = reasons
        .into_iter()
        .map(|reason| lock(reason, &samples, &causes, &releases))
        .collect();
    let passed = |sample: &Sample| samples.iter().any(|later| later.answers(sample));
    let cannot = samples.iter().filter(|s| s.outcome == Outcome::CannotTell);
    Locks {
        locks,
        untold: cannot.filter(|s| !passed(s)).cloned().collect(),
        samples,
        unread: seen.unread,
    }
}

/// Locks of a book at a moment; without one, by everything in it.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(
    book: &Book,
    at: Option<Moment>,
    day_begins: DayBegins<'_>,
) -> Result<Locks, BookError> {
    Ok(of(&events(book, at)?, at, day_begins))
}

/// What [`of`] needs.
pub(crate) fn events(book: &Book, at: Option<Moment>) -> Result<Vec<Event>, BookError> {
    let mut events = read(book, &KINDS, None, at)?;
    let sampled = |event: &Event| match &event.body {
        Ok(Body::AirTest(test)) => test.cylinder.clone(),
        _ => None,
    };
    let mut sampled: Vec<String> = events.iter().filter_map(sampled).collect();
    sampled.sort_unstable();
    sampled.dedup();
    for name in sampled {
        events.extend(book.events(&Wanted {
            kinds: &[Kind::Fill],
            about: Some(&Subject::Cylinder(name)),
            ..Wanted::default()
        })?);
    }
    Ok(events)
}

fn lock(
    reason: Reason,
    samples: &[Sample],
    causes: &[Told<CauseRecorded>],
    releases: &[Told<Released>],
) -> Lock {
    let Mark { seq, at: raised } = reason.mark();
    let cause = causes.iter().find(|cause| cause.body.of == seq).cloned();
    let all_of_it = |r: &&Told<Released>| r.body.of == seq && r.body.cylinders.is_empty();
    let released = releases.iter().find(all_of_it).cloned();
    let caused = cause.as_ref().map(|cause| cause.happened);
    let (later_pass, lifted) = match &reason {
        Reason::Symptom(_) => (None, caused),
        Reason::FailedTest(failed) => {
            let pass = samples.iter().find(|s| s.answers(failed)).map(|s| Mark {
                seq: s.seq,
                at: s.entered,
            });
            let answered = caused.zip(pass).map(|(caused, pass)| caused.max(pass.at));
            let freed = released.as_ref().map(|release| release.happened);
            (pass, answered.into_iter().chain(freed).min())
        }
    };
    Lock {
        reason,
        cause,
        later_pass,
        released,
        // A cause may be dated when it came about: before what it explains.
        lifted: lifted.map(|lifted| lifted.max(raised)),
    }
}
