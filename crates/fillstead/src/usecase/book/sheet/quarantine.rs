//! The list of cylinders set aside, with the fills under suspicion and who got them.
//!
//! Not here: which are set aside ([`book::answer::quarantine`]).

use std::collections::BTreeMap;

use book::answer::locks::{self, Lock, Reason};
use book::answer::quarantine::{self, Freed, Held, HeldFill, Suspicion};
use book::answer::register;
use book::body::Outcome;

use super::Room;
use crate::print::quarantine::{HeldRow, QuarantineSheet, ReleasedRow, Suspicion as SuspicionRow};
use crate::usecase::Trouble;
use crate::words::entry_numbers;

/// The list.
pub fn sheet(room: &Room<'_>) -> Result<QuarantineSheet, Trouble> {
    let begins = |text: &str| room.begins(text);
    let all = quarantine::in_book(room.book, room.at, &begins)?;
    let locks = locks::in_book(room.book, room.at, &begins)?;
    let owners = owners(room, &all.cylinders())?;
    let holding = all.suspicions.iter().filter(|s| !s.held.is_empty());
    let mut doubts: Vec<String> = locks
        .untold
        .iter()
        .map(|sample| {
            format!(
                "The air test of entry {} could not tell: {}.",
                sample.seq, sample.sentence
            )
        })
        .collect();
    if !all.unread.is_empty() {
        doubts.push(format!(
            "This program cannot read {}: more may have to be set aside.",
            entry_numbers(&all.unread)
        ));
    }
    Ok(QuarantineSheet {
        head: room.head()?,
        day: room.today()?.to_string(),
        count: all.cylinders().len(),
        locked: locks.standing().map(|lock| locked(room, lock)).collect(),
        suspicions: holding.map(|s| suspicion(room, s, &owners)).collect(),
        released: all
            .suspicions
            .iter()
            .flat_map(|s| released(room, s))
            .collect(),
        doubts,
    })
}

fn owners(room: &Room<'_>, names: &[&str]) -> Result<BTreeMap<String, String>, Trouble> {
    let begins = |text: &str| room.begins(text);
    let mut owners = BTreeMap::new();
    for name in names {
        let record = register::in_book(room.book, name, room.at, &begins)?;
        let owner = record.registered.and_then(|told| told.body.owner);
        owners.insert((*name).to_owned(), owner.unwrap_or_default());
    }
    Ok(owners)
}

/// `Symptom reported on 2026-05-20`, and its own words.
fn reason(room: &Room<'_>, reason: &Reason) -> (String, String) {
    let day = room.zone.minute(reason.mark().at);
    match reason {
        Reason::Symptom(told) => {
            let person = told.body.person.as_ref();
            let of = person.map(|p| format!(" of {p}")).unwrap_or_default();
            (
                format!("Symptom{of}, reported {day}"),
                told.body.what.clone(),
            )
        }
        Reason::FailedTest(sample) => {
            let word = match sample.outcome {
                Outcome::Fails => "failed",
                Outcome::Passes | Outcome::CannotTell => "did not pass",
            };
            (
                format!("Air test that {word}, entered {day}"),
                sample.sentence.clone(),
            )
        }
    }
}

fn suspicion(room: &Room<'_>, s: &Suspicion, owners: &BTreeMap<String, String>) -> SuspicionRow {
    let (what, words) = reason(room, &s.reason);
    let from = match (s.from, s.after_test) {
        (Some(from), Some(test)) => format!(
            "since the air test that passed before (entry {test}, air of {})",
            room.zone.day_text(from)
        ),
        _ => "since the book began: no air test passed before".to_owned(),
    };
    let until = match s.until {
        Some(until) => format!("until filling was free again, {}", room.zone.minute(until)),
        None => "until now: filling is still locked".to_owned(),
    };
    SuspicionRow {
        no: s.reason.mark().seq,
        what,
        words,
        span: format!("Under suspicion is every fill {from}, {until}."),
        held: s.held.iter().map(|held| row(room, held, owners)).collect(),
    }
}

fn row(room: &Room<'_>, held: &Held, owners: &BTreeMap<String, String>) -> HeldRow {
    let fill = |fill: &HeldFill| {
        let through = fill.through.as_ref();
        let through = through
            .map(|b| format!(", through bank {b}"))
            .unwrap_or_default();
        format!(
            "{}, entry {}{through}",
            room.zone.minute(fill.mark.at),
            fill.mark.seq
        )
    };
    let mut persons: Vec<&str> = held
        .fills
        .iter()
        .filter_map(|f| f.person.as_deref())
        .collect();
    persons.sort_unstable();
    persons.dedup();
    HeldRow {
        cylinder: held.cylinder.clone(),
        named: held.named,
        owner: owners.get(&held.cylinder).cloned().unwrap_or_default(),
        fills: held.fills.iter().map(fill).collect(),
        persons: match persons.is_empty() {
            true => "nobody entered".to_owned(),
            false => persons.join(", "),
        },
    }
}

/// What was set aside and released, gathered by day and reason.
fn released(room: &Room<'_>, suspicion: &Suspicion) -> Vec<ReleasedRow> {
    let mut alike: BTreeMap<(String, &str), Vec<&Freed>> = BTreeMap::new();
    for freed in &suspicion.freed {
        let key = (room.zone.day_text(freed.by.at), freed.why.as_str());
        alike.entry(key).or_default().push(freed);
    }
    let rows = alike.into_iter().map(|((on, why), freed)| {
        let mut entries: Vec<u64> = freed.iter().map(|one| one.by.seq).collect();
        entries.sort_unstable();
        entries.dedup();
        ReleasedRow {
            cylinders: freed.iter().map(|one| one.held.cylinder.clone()).collect(),
            of: suspicion.reason.mark().seq,
            on,
            by: entry_numbers(&entries),
            why: why.to_owned(),
        }
    });
    rows.collect()
}

/// Why a lock stands, and what lifts it.
pub(super) fn locked(room: &Room<'_>, lock: &Lock) -> String {
    let (what, words) = reason(room, &lock.reason);
    let wants = match (lock.needs_cause(), lock.needs_pass()) {
        (true, true) => "its cause must be recorded and a later air test must pass",
        (true, false) => "its cause must be recorded",
        (false, true) => "its cause is recorded; a later air test must pass",
        (false, false) => "ask the book again",
    };
    let seq = lock.reason.mark().seq;
    format!("{what} (entry {seq}): {words}. To open the gate again, {wants}.")
}
