//! What was found, in words, drawings and tables.

use insight::diagnose::answer::{Cause, Diagnosis, NextReading, Noticed, ReadingJudged, Standing};
use insight::diagnose::request::gauge_called;
use insight::ladder::Ladder;
use station::Reads;

use crate::draw::Table;
use crate::draw::bells::{self, Bell};
use crate::draw::figures::{Figures, short, time};
use crate::draw::trace::fitted::{self, Fitted};
use crate::usecase::diagnose::check::Check;
use crate::usecase::diagnose::kept::{Good, fields, is_good};
use crate::usecase::diagnose::said::{
    Sort, Todo, chance, looks_like, nothing_leads, over_causes, standing, todo, worth_showing,
};
use crate::web::address;
use crate::web::page::sentence;
use crate::words::{capital, counted};

use super::setting::{self, SettingRow, ValveView};

/// Everything found.
pub struct Found {
    /// All of it in a sentence.
    pub headline: String,
    /// Its mark.
    pub mark: &'static str,
    /// How far the readings decide.
    pub standing: String,
    /// What was looked at: how many readings, of which run.
    pub of: String,
    /// What to be told first.
    pub warnings: Vec<String>,
    /// The chart, where a run could be fitted.
    pub chart: Option<String>,
    /// How near the readings lie to it.
    pub misfit: String,
    /// Each reading.
    pub readings: Table,
    /// Readings that stand apart, in sentences.
    pub apart: Vec<String>,
    /// What was noticed, and what was made of it.
    pub noticed: Vec<[String; 3]>,
    /// Settings found.
    pub settings: Vec<SettingRow>,
    /// What stands over the causes.
    pub over_causes: &'static str,
    /// Likely causes.
    pub causes: Vec<CauseView>,
    /// The next reading.
    pub next: Option<NextView>,
    /// The next check: what, why, caution.
    pub check: Option<[String; 3]>,
    /// What to do: mark, first words, the rest.
    pub todo: Vec<(&'static str, &'static str, String)>,
    /// The valve to be set.
    pub valve: Option<ValveView>,
    /// What was assumed, in sentences.
    pub assumed: Vec<String>,
    /// The last good run: what it says, and where it is.
    pub good: Option<(String, String)>,
    /// Where what was found is kept.
    pub keep: String,
    /// Where the run is kept as a good one; none where it is not one.
    pub keep_good: Option<String>,
}

/// A cause with its bar.
pub struct CauseView {
    /// The number of its part.
    pub balloon: Option<u8>,
    /// What it is called, with its size.
    pub name: String,
    /// Its chance, for the bar, in percent.
    pub percent: f64,
    /// The same in words.
    pub chance: String,
    /// Name and text of what is known of it.
    pub facts: Vec<(&'static str, String)>,
}

/// The next reading with a box for it.
pub struct NextView {
    /// When and where.
    pub sentence: String,
    /// What is read.
    pub label: String,
    /// The gauge as it is sent.
    pub gauge: String,
    /// The time as it is sent.
    pub time: String,
    /// The curves.
    pub bells: Option<String>,
    /// The same as rows.
    pub table: Table,
    /// Whether the run has to be made again.
    pub again: bool,
}

impl Found {
    /// What was found in this check; none where nothing was worked out.
    pub fn of(check: &Check) -> Option<Found> {
        let diagnosis = check.diagnosis.as_ref()?;
        let units = check.station.units;
        let figures = Figures { units };
        let ladder = Ladder::of(&check.station);
        let shown = on_chart(check, &diagnosis.readings);
        let drawn = Fitted {
            diagnosis,
            ladder: &ladder,
            units,
            shown: &shown,
        };
        let sentences = |all: &[String]| all.iter().map(|text| sentence(text)).collect();
        Some(Found {
            headline: sentence(&diagnosis.headline),
            mark: mark(diagnosis),
            standing: sentence(standing(diagnosis.standing)),
            of: of(check, diagnosis),
            warnings: sentences(&diagnosis.warnings),
            chart: fitted::draw(&drawn).map(|drawing| drawing.svg()),
            misfit: misfit(diagnosis, figures),
            readings: fitted::table(diagnosis, units),
            apart: diagnosis.readings.iter().filter_map(apart).collect(),
            noticed: diagnosis.observations.iter().map(noticed).collect(),
            settings: setting::rows(check, &diagnosis.settings),
            over_causes: over_causes(diagnosis),
            causes: worth_showing(diagnosis)
                .map(|cause| cause_view(cause, &ladder))
                .collect(),
            next: diagnosis
                .next_reading
                .as_ref()
                .map(|next| next_view(next, figures)),
            check: diagnosis.next_check.as_ref().map(|next| {
                let caution = match next.caution.is_empty() {
                    true => String::new(),
                    false => sentence(&next.caution),
                };
                [sentence(&next.what), sentence(&next.why), caution]
            }),
            todo: todo(diagnosis).into_iter().map(marked).collect(),
            valve: check.valve.as_ref().map(setting::valve),
            assumed: sentences(&diagnosis.assumed),
            good: check.good.as_ref().map(good),
            keep: keep(check, diagnosis, false),
            keep_good: is_good(diagnosis).then(|| keep(check, diagnosis, true)),
        })
    }
}

/// The last good run, and where it is looked at.
fn good(good: &Good) -> (String, String) {
    let href = match good.run {
        Some(run) => format!("/check?run={run}"),
        None => format!("/book/entry/{}", good.seq),
    };
    let text = format!("last good run, kept {}: {}", good.day, good.says);
    (sentence(&text), href)
}

/// The book's form, filled in with what was found.
fn keep(check: &Check, diagnosis: &Diagnosis, baseline: bool) -> String {
    let figures = Figures {
        units: check.station.units,
    };
    let fields = fields(diagnosis, check.sent.run, figures, baseline);
    let fields: Vec<(&str, &str)> = fields.iter().map(|(n, t)| (*n, t.as_str())).collect();
    address::with("/book/add/check", &fields)
}

fn mark(diagnosis: &Diagnosis) -> &'static str {
    match diagnosis.standing {
        Standing::Leading if nothing_leads(diagnosis) => "m-note",
        Standing::Likely | Standing::Leading | Standing::DoesNotFit => "m-abnormal",
        Standing::Sound => "m-normal",
        Standing::CannotTell | Standing::NoReadings => "m-note",
    }
}

/// `10 readings, run of 2026-03-05 18:50`.
fn of(check: &Check, diagnosis: &Diagnosis) -> String {
    let mut text = counted(diagnosis.readings.len(), "reading");
    if !diagnosis.observations.is_empty() {
        text += &format!(", {}", counted(diagnosis.observations.len(), "observation"));
    }
    if let Some(began) = &check.run_began {
        text += &format!("; run of {began}");
    }
    text
}

/// Lines of the readings that share the chart's scale: the tower's and the line's.
fn on_chart(check: &Check, readings: &[ReadingJudged]) -> Vec<usize> {
    let high = |one: &&ReadingJudged| {
        let written = check.sent.rows.iter().find(|row| row.line == one.line);
        let name = written.map_or(one.gauge.as_str(), |row| row.gauge.as_str());
        let reads = gauge_called(&check.station, name);
        matches!(reads, Some(Reads::Tower | Reads::Line))
    };
    readings.iter().filter(high).map(|one| one.line).collect()
}

fn misfit(diagnosis: &Diagnosis, figures: Figures) -> String {
    let unit = figures.unit();
    let figure = |bar: f64| short(figures.value(bar), 1);
    let first = diagnosis
        .misfit_bar
        .map(|bar| format!("Misfit {} {unit}", figure(bar)));
    let errors: Vec<f64> = diagnosis.readings.iter().map(|r| r.sd_bar).collect();
    let mean = errors.iter().sum::<f64>() / errors.len().max(1) as f64;
    match first {
        Some(first) if !errors.is_empty() => {
            format!(
                "{first}; a reading is taken as uncertain by {} {unit}.",
                figure(mean)
            )
        }
        Some(first) => format!("{first}."),
        None => String::new(),
    }
}

fn apart(reading: &ReadingJudged) -> Option<String> {
    let why = reading.apart.as_ref()?;
    let at = time(reading.t_s);
    Some(sentence(&format!("at {at}, {}: {why}", reading.gauge)))
}

fn noticed(one: &Noticed) -> [String; 3] {
    let at = one.t_s.map(time).unwrap_or_default();
    [at, one.text.clone(), sentence(&one.understood)]
}

fn cause_view(cause: &Cause, ladder: &Ladder) -> CauseView {
    let size = cause.size.as_deref().map(|size| format!(", {size}"));
    let facts = [
        ("Why", cause.why.clone()),
        ("Looks like", looks_like(cause)),
        ("Shown by", cause.check.clone()),
        ("Remedy", cause.remedy.clone()),
        ("By whom", cause.who.clone()),
        ("Source", cause.source.clone()),
    ];
    let told = facts.into_iter().filter(|(_, text)| !text.is_empty());
    CauseView {
        balloon: setting::balloon(ladder, cause.valve.unwrap_or(&cause.id)),
        name: capital(&cause.called) + &size.unwrap_or_default(),
        percent: (100.0 * cause.probability).clamp(0.5, 100.0).round(),
        chance: chance(cause.probability),
        facts: told.map(|(name, text)| (name, sentence(&text))).collect(),
    }
}

fn next_view(next: &NextReading, figures: Figures) -> NextView {
    let at = time(next.minute * 60.0);
    let gauge = gauge_named(&next.gauge);
    let first = match next.again {
        true => format!("Run it again from the start; at {at} read the {gauge}"),
        false => format!("Go on; at {at} read the {gauge}"),
    };
    let bell = |one: &insight::diagnose::answer::Expected| Bell {
        name: one.called.clone(),
        bar: one.bar.value,
        plus_minus: one.bar.plus_minus,
        weight: one.probability,
    };
    let all: Vec<Bell> = next.expected.iter().map(bell).collect();
    let of = format!("{gauge} at {at}");
    NextView {
        label: capital(&of),
        sentence: sentence(&format!("{first}, {}", next.why)),
        bells: bells::draw(&all, &of, figures).map(|drawing| drawing.svg()),
        table: bells::table(&all.iter().collect::<Vec<_>>(), figures),
        gauge: next.gauge.clone(),
        time: at,
        again: next.again,
    }
}

/// Something to do, with its mark.
fn marked(todo: Todo) -> (&'static str, &'static str, String) {
    let mark = match todo.sort {
        Sort::Action => "m-action",
        Sort::Caution => "m-abnormal",
        Sort::Good => "m-normal",
        Sort::Note => "m-note",
    };
    (mark, todo.first, todo.text)
}

/// `tower gauge`.
fn gauge_named(name: &str) -> String {
    match name.to_lowercase().ends_with("gauge") {
        true => name.to_owned(),
        false => format!("{name} gauge"),
    }
}
