//! What is in force: the station file and the rules chosen.

use crate::answer::{Seen, Told, picked, read};
use crate::body::{Kind, RulesChosen, StationRevised};
use crate::book::Book;
use crate::entry::Moment;
use crate::error::BookError;
use crate::query::Event;

/// The station file in force.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Station {
    /// The last revision; none where there was none.
    pub revised: Option<Told<StationRevised>>,
    /// Entries that could not be read: one of them may be a later revision.
    pub unread: Vec<u64>,
}

impl Station {
    /// The text of the file.
    pub fn text(&self) -> Option<&str> {
        self.revised.as_ref().map(|told| told.body.file.as_str())
    }
}

/// One rule in force.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// Its name.
    pub name: String,
    /// The entry that chose it.
    pub seq: u64,
    /// From when on.
    pub from: Moment,
}

/// The rules in force.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rules {
    /// The requalification rule for cylinders.
    pub cylinder_rule: Option<Chosen>,
    /// The air standard.
    pub air_standard: Option<Chosen>,
    /// Entries that could not be read.
    pub unread: Vec<u64>,
}

/// The station file in force at a moment by these events.
pub fn of(events: &[Event], at: Option<Moment>) -> Station {
    let seen = Seen::of(events, at);
    Station {
        revised: picked!(seen, StationRevised).pop(),
        unread: seen.unread,
    }
}

/// The rules in force at a moment by these events: what a later choice leaves out stays.
pub fn rules_of(events: &[Event], at: Option<Moment>) -> Rules {
    let seen = Seen::of(events, at);
    let mut rules = Rules::default();
    for told in picked!(seen, RulesChosen) {
        let chosen = |name: Option<String>| {
            name.map(|name| Chosen {
                name,
                seq: told.seq,
                from: told.happened,
            })
        };
        let RulesChosen {
            cylinder_rule,
            air_standard,
        } = told.body.clone();
        rules.cylinder_rule = chosen(cylinder_rule).or(rules.cylinder_rule);
        rules.air_standard = chosen(air_standard).or(rules.air_standard);
    }
    rules.unread = seen.unread;
    rules
}

/// The station file in force in a book at a moment; without one, the last.
///
/// # Errors
/// The file cannot be read.
pub fn station_text(book: &Book, at: Option<Moment>) -> Result<Station, BookError> {
    Ok(of(&read(book, &[Kind::StationRevised], None, at)?, at))
}

/// The rules in force in a book at a moment; without one, the last.
///
/// # Errors
/// The file cannot be read.
pub fn rules_in_force(book: &Book, at: Option<Moment>) -> Result<Rules, BookError> {
    Ok(rules_of(&read(book, &[Kind::RulesChosen], None, at)?, at))
}
