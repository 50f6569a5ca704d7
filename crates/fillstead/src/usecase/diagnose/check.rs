//! The Check page's answer: the readings that were sent, worked out against the station of a book.
//!
//! Start at [`check`]. Nothing is written down. Not here: how it is shown.

use std::path::Path;
use std::sync::Arc;

use insight::diagnose::answer::Diagnosis;
use insight::diagnose::request::{Row, RowProblem};
use station::Station;

use super::from_run::{Offered, of_run};
use super::kept::{Good, last_good};
use super::sent::{Act, Sent};
use super::text::{self, MOST_ROWS};
use super::valve::{self, Setting};
use super::{Undone, diagnose_rows};
use crate::draw::figures::Figures;
use crate::usecase::book::desk;
use crate::usecase::book::machine::station_file;
use crate::usecase::plan::{Choice, Shelf};
use crate::usecase::{Trouble, units};

/// What was found, and everything to go on with.
pub struct Check {
    /// The station in force with its register, in the person's units.
    pub station: Station,
    /// What was sent, lines taken in and counted anew.
    pub sent: Sent,
    /// Lines that cannot be used.
    pub problems: Vec<RowProblem>,
    /// What else is wrong, by field.
    pub troubles: Vec<Trouble>,
    /// What was passed over, in parts of sentences.
    pub remarks: Vec<String>,
    /// Why it is not worked out, on purpose.
    pub refused: Option<Trouble>,
    /// The diagnosis; none without readings, or where something is wrong with them.
    pub diagnosis: Option<Diagnosis>,
    /// The valve to be set, with what is on record of it.
    pub valve: Option<Setting>,
    /// Cylinders to choose from.
    pub choices: Vec<Choice>,
    /// Runs to choose from.
    pub runs: Arc<Vec<Offered>>,
    /// When the run began that the readings are of.
    pub run_began: Option<String>,
    /// The last run kept as a good one.
    pub good: Option<Good>,
}

impl Check {
    /// Whether something was sent that cannot be used.
    pub fn is_wrong(&self) -> bool {
        !self.problems.is_empty() || !self.troubles.is_empty() || self.refused.is_some()
    }
}

/// Works out what was sent; `runs` are those that can be chosen.
pub fn check(path: &Path, sent: Sent, runs: Arc<Vec<Offered>>) -> Result<Check, Trouble> {
    let mut check = taken(path, sent, runs)?;
    if check.sent.rows.is_empty() || check.is_wrong() {
        return Ok(check);
    }
    match diagnose_rows(
        &check.station,
        &check.sent.rows,
        &check.sent.asked(),
        &|_| (),
    ) {
        Ok(diagnosis) => {
            check.valve = valve::setting(path, &check.station, &diagnosis)?;
            check.diagnosis = Some(diagnosis);
        }
        Err(Undone::Wrong { lines, troubles }) => {
            (check.problems, check.troubles) = (lines, troubles);
        }
        Err(Undone::Refused(trouble)) => check.refused = Some(trouble),
        Err(Undone::Unusable(_)) => check.troubles.push(no_station()),
    }
    Ok(check)
}

/// What was sent, with the lines that were pasted or are of a run.
fn taken(path: &Path, sent: Sent, runs: Arc<Vec<Offered>>) -> Result<Check, Trouble> {
    let file = station_file(path)?;
    let station = units::seen(file.station().cloned().ok_or_else(no_station)?);
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let shelf = Shelf {
        station: &station,
        book: &book,
        zone: &zone,
    };
    let mut check = Check {
        choices: shelf.choices(),
        runs,
        good: last_good(
            &book,
            &zone,
            Figures {
                units: station.units,
            },
        )?,
        station,
        sent,
        problems: Vec::new(),
        troubles: Vec::new(),
        remarks: Vec::new(),
        refused: None,
        diagnosis: None,
        valve: None,
        run_began: None,
    };
    match check.sent.act.clone() {
        Act::Check => {}
        Act::Clear => check.sent = Sent::default(),
        Act::Paste => check.pasted(),
        Act::Run(seq) => check.run(path, seq),
    }
    if let (Some(seq), None) = (check.sent.run, &check.run_began) {
        let known = check.runs.iter().find(|run| run.seq == seq);
        check.run_began = known.map(|run| run.began.clone());
    }
    if check.sent.too_many {
        let what = format!("only the first {MOST_ROWS} lines are kept");
        check
            .troubles
            .push(Trouble::new(what, "send the readings of one run"));
    }
    Ok(check)
}

impl Check {
    fn pasted(&mut self) {
        match text::rows(&self.sent.paste) {
            Ok(lines) => {
                self.add(lines.rows);
                self.remarks = lines.remarks;
                self.sent.paste.clear();
            }
            Err(troubles) => {
                let about = |trouble: Trouble| trouble.about("paste");
                self.troubles.extend(troubles.into_iter().map(about));
            }
        }
    }

    fn add(&mut self, rows: Vec<Row>) {
        self.sent.rows.extend(rows);
        self.sent.number();
    }

    fn run(&mut self, path: &Path, seq: Option<u64>) {
        match of_run(path, &self.station, seq) {
            Ok(run) => {
                if run.rows.is_empty() {
                    let what = "no reading of that run is in the book";
                    let trouble = Trouble::new(what, "enter what was read, or choose another");
                    self.troubles.push(trouble.about("run"));
                }
                self.sent.take(&run.asked);
                self.sent.rows = run.rows;
                self.sent.number();
                self.sent.run = Some(run.seq);
                self.run_began = Some(run.began);
            }
            Err(trouble) => self.troubles.push(trouble),
        }
    }
}

fn no_station() -> Trouble {
    Trouble::new(
        "the book has no station file that can be used, and a check needs the machine",
        "enter it under Station, or with `book add BOOK station FILE`",
    )
}
