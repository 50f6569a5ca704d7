//! What the Check page sends: readings that travel in the form itself, what is added to them, and
//! what is known beside. Names of fields and texts as typed.
//!
//! Not here: what it means ([`super::check`]).

use insight::diagnose::request::Row;
use quantity::{GaugePressure, Temperature, UnitSystem};

use super::Asked;
use super::text::{LONGEST, MOST_ROWS};
use crate::usecase::book::form::Given;
use crate::usecase::plan::query::{pressure, with_unit};

/// Cylinders on one line, at most.
const MOST_CYLINDERS: usize = 8;

/// What is to be done with it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Act {
    /// Work it out.
    #[default]
    Check,
    /// Take in what was pasted.
    Paste,
    /// Take in a run of the book; the latest without a number.
    Run(Option<u64>),
    /// Begin anew.
    Clear,
}

/// What was sent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sent {
    /// The readings so far, numbered from 1.
    pub rows: Vec<Row>,
    /// Name and start pressure of each cylinder.
    pub cylinders: Vec<(String, String)>,
    /// Tower gauge before the start.
    pub tower: String,
    /// Air at the intake.
    pub intake_temperature: String,
    /// Entry of the start of the run they are of.
    pub run: Option<u64>,
    /// A list as text.
    pub paste: String,
    /// What to do.
    pub act: Act,
    /// Whether more lines were sent than are read.
    pub too_many: bool,
}

impl Sent {
    /// Reads the fields of a form; a number without a unit has that of the page.
    pub fn of(given: &Given, units: UnitSystem) -> Sent {
        let mut sent = Sent::default();
        let mut columns: [Vec<String>; 4] = Default::default();
        let (mut names, mut starts) = (Vec::new(), Vec::new());
        let mut run = None;
        let (mut fresh, mut decide) = (Row::default(), Row::default());
        for (name, text) in given {
            if name == "paste" {
                sent.paste.clone_from(text);
                continue;
            }
            let text: String = text.trim().chars().take(LONGEST).collect();
            let [times, gauges, readings, observed] = &mut columns;
            match name.as_str() {
                "time" => times.push(text),
                "gauge" => gauges.push(text),
                "reading" => readings.push(pressure(text, units)),
                "observed" => observed.push(text),
                "new-time" => fresh.time = text,
                "new-gauge" => fresh.gauge = text,
                "new-reading" => fresh.reading = pressure(text, units),
                "new-observed" => fresh.observed = text,
                "decide-time" => decide.time = text,
                "decide-gauge" => decide.gauge = text,
                "decide-reading" => decide.reading = pressure(text, units),
                "cylinder" => names.push(text),
                "start" => starts.push(pressure(text, units)),
                "tower" => sent.tower = pressure(text, units),
                "intake-temperature" => {
                    let unit = units.preferred::<Temperature>().symbol;
                    sent.intake_temperature = with_unit(text, unit);
                }
                "run" => run = text.parse().ok(),
                "of-run" => sent.run = text.parse().ok(),
                "do" => sent.act = act(&text),
                _ => {}
            }
        }
        if let Act::Run(wanted) = &mut sent.act {
            *wanted = run;
        }
        sent.cylinders = paired(names, starts);
        sent.rows = rows(columns, drop_of(given));
        sent.add(fresh, decide);
        sent
    }

    /// What was typed into the empty line, and into the box of the next reading.
    fn add(&mut self, mut fresh: Row, decide: Row) {
        // A gauge is always chosen, and says nothing alone.
        if fresh.reading.is_empty() && !fresh.observed.is_empty() {
            fresh.gauge.clear();
        }
        if !fresh.reading.is_empty() || !fresh.observed.is_empty() {
            self.rows.push(fresh);
        }
        if !decide.reading.is_empty() {
            self.rows.push(decide);
        }
        self.number();
    }

    /// Puts the lines in the order of time, those without one last, and counts them anew.
    pub fn number(&mut self) {
        let late = |row: &Row| seconds(&row.time).unwrap_or(f64::INFINITY);
        self.rows.sort_by(|a, b| late(a).total_cmp(&late(b)));
        self.too_many |= self.rows.len() > MOST_ROWS;
        self.rows.truncate(MOST_ROWS);
        for (i, row) in self.rows.iter_mut().enumerate() {
            row.line = i + 1;
        }
    }

    /// What is known beside the readings.
    pub fn asked(&self) -> Asked {
        let some = |text: &String| Some(text.clone()).filter(|text| !text.is_empty());
        let wish = |(id, start): &(String, String)| match start.is_empty() {
            true => id.clone(),
            false => format!("{id}@{start}"),
        };
        Asked {
            cylinders: self.cylinders.iter().map(wish).collect(),
            tower: some(&self.tower),
            intake_temperature: some(&self.intake_temperature),
        }
    }

    /// Takes what a run of the book tells beside its readings.
    pub fn take(&mut self, asked: &Asked) {
        let parted = |wish: &String| match wish.rsplit_once('@') {
            Some((id, start)) => (id.to_owned(), start.to_owned()),
            None => (wish.clone(), String::new()),
        };
        self.cylinders = asked.cylinders.iter().map(parted).collect();
        self.tower = asked.tower.clone().unwrap_or_default();
        self.intake_temperature = asked.intake_temperature.clone().unwrap_or_default();
    }
}

/// A time roughly, for the order of lines; none where it is not plain.
fn seconds(text: &str) -> Option<f64> {
    let parts = text.split(':').map(|part| {
        let part = part.trim().trim_end_matches(" min").replace(',', ".");
        part.parse::<f64>().ok()
    });
    let parts: Option<Vec<f64>> = parts.collect();
    match parts?.as_slice() {
        [minutes] => Some(60.0 * minutes),
        [minutes, seconds] => Some(60.0 * minutes + seconds),
        [hours, minutes, seconds] => Some(3600.0 * hours + 60.0 * minutes + seconds),
        _ => None,
    }
}

fn act(text: &str) -> Act {
    match text {
        "paste" => Act::Paste,
        "run" => Act::Run(None),
        "clear" => Act::Clear,
        _ => Act::Check,
    }
}

/// The line to be taken out, counted from 1.
fn drop_of(given: &Given) -> Option<usize> {
    let text = given.iter().rev().find(|(name, _)| name == "drop");
    text.and_then(|(_, text)| text.parse().ok())
}

/// The fields of each line, in the order in which a browser sends them.
fn rows(columns: [Vec<String>; 4], dropped: Option<usize>) -> Vec<Row> {
    let count = columns.iter().map(Vec::len).max().unwrap_or(0);
    let cell = |column: &Vec<String>, i: usize| column.get(i).cloned().unwrap_or_default();
    let [times, gauges, readings, observed] = &columns;
    let row = |i: usize| Row {
        line: i + 1,
        time: cell(times, i),
        gauge: cell(gauges, i),
        reading: cell(readings, i),
        observed: cell(observed, i),
    };
    let kept = (0..count).filter(|i| dropped != Some(i + 1));
    kept.map(row).collect()
}

fn paired(names: Vec<String>, starts: Vec<String>) -> Vec<(String, String)> {
    let starts = starts.into_iter().chain(std::iter::repeat(String::new()));
    let pairs = names.into_iter().zip(starts);
    pairs
        .filter(|(name, _)| !name.is_empty())
        .take(MOST_CYLINDERS)
        .collect()
}

/// What a person is shown behind a box for a pressure.
pub fn pressure_unit(units: UnitSystem) -> &'static str {
    units.preferred::<GaugePressure>().symbol
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(fields: &[(&str, &str)]) -> Sent {
        let given = fields
            .iter()
            .map(|(n, t)| ((*n).to_owned(), (*t).to_owned()));
        Sent::of(&given.collect(), UnitSystem::Metric)
    }

    const LINE: [(&str, &str); 8] = [
        ("time", "1:00"),
        ("gauge", "tower"),
        ("reading", "75 bar"),
        ("observed", ""),
        ("time", "9"),
        ("gauge", ""),
        ("reading", ""),
        ("observed", "drained 40 mL"),
    ];

    #[test]
    fn lines_travel_and_the_new_one_joins_them() {
        let mut fields = LINE.to_vec();
        fields.extend([
            ("new-time", "2:00"),
            ("new-gauge", "tower"),
            ("new-reading", "126"),
            ("new-observed", ""),
            ("decide-time", "12:00"),
            ("decide-gauge", "panel"),
            ("decide-reading", "2900 psi"),
        ]);
        let sent = sent(&fields);
        let told: Vec<_> = sent
            .rows
            .iter()
            .map(|r| (r.line, r.time.as_str(), r.reading.as_str()))
            .collect();
        assert_eq!(
            told,
            [
                (1, "1:00", "75 bar"),
                (2, "2:00", "126 bar"),
                (3, "9", ""),
                (4, "12:00", "2900 psi")
            ]
        );
    }

    #[test]
    fn a_line_is_taken_out_and_an_idle_gauge_says_nothing() {
        let mut fields = LINE.to_vec();
        fields.extend([("drop", "1"), ("new-gauge", "tower"), ("new-time", "3")]);
        let rest = sent(&fields);
        assert_eq!(rest.rows.len(), 1);
        assert_eq!(rest.rows[0].observed, "drained 40 mL");
        let seen = sent(&[
            ("new-gauge", "tower"),
            ("new-observed", "relief valve hisses"),
        ]);
        assert_eq!(seen.rows[0].gauge, "");
    }

    #[test]
    fn cylinders_keep_their_pressure_and_units_are_added() {
        let sent = sent(&[
            ("cylinder", "A1"),
            ("start", "60"),
            ("cylinder", ""),
            ("start", ""),
            ("tower", "0"),
            ("intake-temperature", "18"),
            ("do", "run"),
            ("run", "12"),
        ]);
        assert_eq!(sent.act, Act::Run(Some(12)));
        let asked = sent.asked();
        assert_eq!(asked.cylinders, ["A1@60 bar"]);
        assert_eq!(asked.tower.as_deref(), Some("0 bar"));
        assert_eq!(asked.intake_temperature.as_deref(), Some("18 °C"));
    }

    #[test]
    fn more_lines_than_are_read_are_told() {
        let many: Vec<(&str, &str)> = vec![("time", "1:00"); MOST_ROWS + 5];
        let sent = sent(&many);
        assert!(sent.too_many && sent.rows.len() == MOST_ROWS);
    }
}
