//! Fills and refusals of a period, a person or a cylinder, with counts.

use std::collections::BTreeMap;

use crate::answer::{Seen, Told, just_after, picked};
use crate::body::{Fill, FillRefused, Kind};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::{Event, Subject, Wanted};

/// What fills are drawn from.
pub const KINDS: [Kind; 2] = [Kind::Fill, Kind::FillRefused];

/// Which fills and refusals are wanted; what is not given does not limit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Asked<'a> {
    /// Not before.
    pub from: Option<Moment>,
    /// Before this.
    pub until: Option<Moment>,
    /// Only for this person.
    pub person: Option<&'a str>,
    /// Only of this cylinder.
    pub cylinder: Option<&'a str>,
}

/// How many of one name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Count {
    /// The person or the cylinder; none where no person was given.
    pub name: Option<String>,
    /// Fills.
    pub fills: usize,
    /// Refusals.
    pub refusals: usize,
}

/// Fills and refusals, in the order of time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fills {
    /// Fills.
    pub fills: Vec<Told<Fill>>,
    /// Refusals.
    pub refusals: Vec<Told<FillRefused>>,
    /// Fills for which somebody answered for a refusal.
    pub overridden: usize,
    /// By person, sorted; those without a name first.
    pub by_person: Vec<Count>,
    /// By cylinder, sorted.
    pub by_cylinder: Vec<Count>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// Fills and refusals among these events. Needs [`KINDS`]; passes over others.
pub fn of(events: &[Event], asked: &Asked<'_>) -> Fills {
    let seen = Seen::of(events, None);
    let in_time = |at: Moment| {
        asked.from.is_none_or(|from| at >= from) && asked.until.is_none_or(|until| at < until)
    };
    let of_whom = |person: &Option<String>, cylinder: &str| {
        asked
            .person
            .is_none_or(|wanted| person.as_deref() == Some(wanted))
            && asked.cylinder.is_none_or(|wanted| cylinder == wanted)
    };
    let mut fills = picked!(seen, Fill);
    fills.retain(|f| in_time(f.happened) && of_whom(&f.body.person, &f.body.cylinder));
    let mut refusals = picked!(seen, FillRefused);
    refusals.retain(|f| in_time(f.happened) && of_whom(&f.body.person, &f.body.cylinder));
    let overridden = |fill: &&Told<Fill>| {
        let gate = fill.body.gate.as_ref();
        gate.is_some_and(|gate| !gate.overridden.is_empty())
    };
    Fills {
        overridden: fills.iter().filter(overridden).count(),
        by_person: count(
            fills.iter().map(|f| f.body.person.as_ref()),
            refusals.iter().map(|f| f.body.person.as_ref()),
        ),
        by_cylinder: count(
            fills.iter().map(|f| Some(&f.body.cylinder)),
            refusals.iter().map(|f| Some(&f.body.cylinder)),
        ),
        fills,
        refusals,
        unread: seen.unread,
    }
}

/// Fills and refusals of a book.
///
/// # Errors
/// The file cannot be read.
pub fn in_book(book: &Book, asked: &Asked<'_>) -> Result<Fills, BookError> {
    let cylinder = asked
        .cylinder
        .map(|name| Subject::Cylinder(name.to_owned()));
    let person = asked.person.map(|name| Subject::Person(name.to_owned()));
    let mut events = book.events(&Wanted {
        kinds: &KINDS,
        about: cylinder.as_ref().or(person.as_ref()),
        from: asked.from,
        until: asked.until,
        ..Wanted::default()
    })?;
    events.extend(book.of_unknown_kinds()?);
    Ok(of(&events, asked))
}

/// Fills about somebody or something, and of every bank they came from.
pub(crate) fn with_banks(
    book: &Book,
    subject: Subject,
    from: Option<Moment>,
    at: Option<Moment>,
) -> Result<Vec<Event>, BookError> {
    let mut subjects = vec![subject];
    let (mut done, mut events) = (0, Vec::new());
    while let Some(subject) = subjects.get(done) {
        done += 1;
        let fills = book.events(&Wanted {
            kinds: &[Kind::Fill],
            about: Some(subject),
            from,
            until: just_after(at),
            ..Wanted::default()
        })?;
        for fill in picked!(Seen::of(&fills, at), Fill) {
            let bank = fill.body.from_bank.map(Subject::Cylinder);
            subjects.extend(bank.filter(|bank| !subjects.contains(bank)));
        }
        events.extend(fills);
    }
    Ok(events)
}

fn count<'a>(
    fills: impl Iterator<Item = Option<&'a String>>,
    refusals: impl Iterator<Item = Option<&'a String>>,
) -> Vec<Count> {
    let mut all: BTreeMap<Option<&String>, (usize, usize)> = BTreeMap::new();
    fills.for_each(|name| all.entry(name).or_default().0 += 1);
    refusals.for_each(|name| all.entry(name).or_default().1 += 1);
    let count = |(name, (fills, refusals)): (Option<&String>, (usize, usize))| Count {
        name: name.cloned(),
        fills,
        refusals,
    };
    all.into_iter().map(count).collect()
}
