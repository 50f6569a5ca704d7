//! The readings as a form: lines so far, the empty line, cylinders, tower, air, where lines come
//! from; with what is wrong beside each.

use insight::diagnose::request::Row;
use quantity::Temperature;
use station::Reads;

use crate::usecase::Trouble;
use crate::usecase::diagnose::check::Check;
use crate::usecase::diagnose::from_run::Offered;
use crate::usecase::diagnose::sent::pressure_unit;
use crate::usecase::diagnose::text::written;
use crate::usecase::plan::Choice;
use crate::web::page::{in_sentences, sentence};

/// What people notice most; anything may be typed.
const COMMON: [&str; 12] = [
    "air at the fill valve",
    "relief valve hisses",
    "relief valve does not hiss",
    "hissing at the drain",
    "hissing at the hose",
    "tower falls with everything shut",
    "belt squeals",
    "drained 40 mL",
    "little water drained",
    "machine stopped",
    "hose bled",
    "left running past full",
];

/// The form.
pub struct Form {
    /// Unit of pressures, behind each box.
    pub unit: &'static str,
    /// Unit of temperatures.
    pub degrees: &'static str,
    /// Lines so far.
    pub rows: Vec<Line>,
    /// Gauges to choose from: as sent, and the one chosen.
    pub gauges: Vec<(String, bool)>,
    /// What is often noticed.
    pub common: &'static [&'static str],
    /// An example of the next minute.
    pub next: String,
    /// Cylinders on the line, and one empty place.
    pub cylinders: Vec<Cylinder>,
    /// What is wrong with them.
    pub cylinder_error: Option<String>,
    /// Tower gauge before the start, with what is wrong.
    pub tower: (String, Option<String>),
    /// Air at the intake, with what is wrong.
    pub air: (String, Option<String>),
    /// Whether something is known beside the readings, or wrong with it.
    pub more_open: bool,
    /// Runs to choose from, and whether each is the one.
    pub runs: Vec<(Offered, bool)>,
    /// Entry of the start of the run they are of; empty for none.
    pub run: String,
    /// When it began.
    pub run_began: Option<String>,
    /// A list that could not be taken in.
    pub paste: String,
    /// What is wrong with it.
    pub paste_error: Vec<String>,
    /// What is wrong beside, in sentences.
    pub wrong: Vec<String>,
    /// What was passed over, in sentences.
    pub remarks: Vec<String>,
    /// The readings as text.
    pub text: String,
}

/// A line of the readings.
pub struct Line {
    /// Counted from one.
    pub number: usize,
    /// As typed.
    pub row: Row,
    /// What it is called where a screen is not seen.
    pub called: String,
    /// What is wrong with it.
    pub wrong: Option<Wrong>,
}

/// What is wrong with a line.
pub struct Wrong {
    /// Which field.
    pub field: &'static str,
    /// In sentences.
    pub text: String,
}

/// A cylinder on the line.
pub struct Cylinder {
    /// Counted from one.
    pub number: usize,
    /// Its name.
    pub id: String,
    /// Its pressure before filling.
    pub start: String,
    /// What can be chosen, and whether it is.
    pub choices: Vec<(Choice, bool)>,
}

impl Form {
    /// The form of what was sent.
    pub fn of(check: &Check) -> Form {
        let sent = &check.sent;
        let units = check.station.units;
        let about = |field: &str| error(&check.troubles, field);
        let (tower_error, air_error) = (about("tower"), about("intake-temperature"));
        let cylinder_error = about("cylinder");
        let last = sent.rows.last().map(|row| row.gauge.as_str());
        let beside = !sent.cylinders.is_empty()
            || !sent.tower.is_empty()
            || !sent.intake_temperature.is_empty();
        let wrong = cylinder_error.is_some() || tower_error.is_some() || air_error.is_some();
        let known = ["tower", "intake-temperature", "cylinder", "paste"];
        let others = check.troubles.iter();
        let others = others.filter(|t| !t.field.is_some_and(|field| known.contains(&field)));
        Form {
            unit: pressure_unit(units),
            degrees: units.preferred::<Temperature>().symbol,
            rows: sent.rows.iter().map(|row| line(check, row)).collect(),
            gauges: gauges(check, last.unwrap_or_default()),
            common: &COMMON,
            next: next(&sent.rows),
            cylinders: cylinders(check),
            cylinder_error,
            tower: (sent.tower.clone(), tower_error),
            air: (sent.intake_temperature.clone(), air_error),
            more_open: beside || wrong,
            runs: runs(check),
            run: sent.run.map(|seq| seq.to_string()).unwrap_or_default(),
            run_began: check.run_began.clone(),
            paste: sent.paste.clone(),
            paste_error: paste_error(&check.troubles),
            wrong: others.map(in_sentences).collect(),
            remarks: check.remarks.iter().map(|text| sentence(text)).collect(),
            text: written(&sent.rows).unwrap_or_default(),
        }
    }
}

fn error(troubles: &[Trouble], field: &str) -> Option<String> {
    let own = troubles.iter().filter(|t| t.field == Some(field));
    let told: Vec<String> = own.map(in_sentences).collect();
    (!told.is_empty()).then(|| told.join(" "))
}

fn paste_error(troubles: &[Trouble]) -> Vec<String> {
    const SHOWN: usize = 12;
    let own = troubles.iter().filter(|t| t.field == Some("paste"));
    own.take(SHOWN).map(in_sentences).collect()
}

fn line(check: &Check, row: &Row) -> Line {
    let problem = check.problems.iter().find(|p| p.line == row.line);
    let at = match row.time.is_empty() {
        true => format!("line {}", row.line),
        false => row.time.clone(),
    };
    let what = match row.reading.is_empty() {
        true => &row.observed,
        false => &row.reading,
    };
    Line {
        number: row.line,
        called: format!("{at}, {what}"),
        row: row.clone(),
        wrong: problem.map(|p| Wrong {
            field: p.field,
            text: format!("{} {}", sentence(&p.what), sentence(&p.remedy)).replace('`', "\""),
        }),
    }
}

/// The station's gauges, the tower's first; the one read last is chosen.
fn gauges(check: &Check, last: &str) -> Vec<(String, bool)> {
    let station = &check.station;
    let named = |reads: Reads| {
        let mut gauges = station.gauges.iter();
        gauges.find(|g| g.reads == reads).map(|g| g.name.clone())
    };
    let mut names = vec![
        named(Reads::Tower).unwrap_or_else(|| "tower".to_owned()),
        named(Reads::Line).unwrap_or_else(|| "line".to_owned()),
    ];
    let stages = 1..station.compressor.stage_count;
    let stage = stages.map(|n| named(Reads::Stage(n)).unwrap_or_else(|| format!("stage {n}")));
    names.extend(stage);
    let chosen = names.iter().position(|name| name == last).unwrap_or(0);
    let mark = |(i, name)| (name, i == chosen);
    names.into_iter().enumerate().map(mark).collect()
}

/// A minute after the last one.
fn next(rows: &[Row]) -> String {
    let whole = |row: &Row| row.time.split(':').next()?.trim().parse::<u32>().ok();
    let last = rows.iter().filter_map(whole).max();
    format!("{}:00", last.map_or(1, |minute| minute.saturating_add(1)))
}

fn cylinders(check: &Check) -> Vec<Cylinder> {
    let mut all = check.sent.cylinders.clone();
    all.push(Default::default());
    let one = |(i, (id, start)): (usize, (String, String))| {
        let mark = |choice: &Choice| (choice.clone(), choice.id == id);
        let mut choices: Vec<(Choice, bool)> = check.choices.iter().map(mark).collect();
        if !id.is_empty() && !choices.iter().any(|(_, chosen)| *chosen) {
            let unknown = Choice {
                id: id.clone(),
                about: "not in the station file or register".to_owned(),
                kind: false,
            };
            choices.insert(0, (unknown, true));
        }
        Cylinder {
            number: i + 1,
            id,
            start,
            choices,
        }
    };
    all.into_iter().enumerate().map(one).collect()
}

fn runs(check: &Check) -> Vec<(Offered, bool)> {
    let mark = |run: &Offered| (run.clone(), check.sent.run == Some(run.seq));
    check.runs.iter().map(mark).collect()
}
