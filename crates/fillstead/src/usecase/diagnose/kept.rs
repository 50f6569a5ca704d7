//! Checks that were kept: the last good run, to compare with, and the fields with which this one is
//! kept.
//!
//! Not here: writing it down, which is done by the book's own form.

use book::{Body, Book, Kind, Measure, Wanted};
use insight::diagnose::answer::{Diagnosis, Standing, Verdict};
use quantity::GaugePressure;

use super::said::Settings;
use crate::draw::figures::{Figures, short};
use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// No gauge here tells a setting to less than this, bar: what is closer was not read.
const LEAST_BAR: f64 = 0.5;

/// A run kept as a good one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Good {
    /// The day it was kept.
    pub day: String,
    /// The entry.
    pub seq: u64,
    /// Entry of the run's start.
    pub run: Option<u64>,
    /// What was found then.
    pub says: String,
    /// Its settings: name, and what was found with its give or take.
    pub settings: Vec<(&'static str, String)>,
}

impl Good {
    /// What was found of a setting then.
    pub fn setting(&self, name: &str) -> Option<&str> {
        let found = self.settings.iter().find(|(known, _)| *known == name);
        found.map(|(_, text)| text.as_str())
    }
}

/// The latest run kept as a good one.
pub fn last_good(book: &Book, zone: &Zone, figures: Figures) -> Result<Option<Good>, Trouble> {
    let events = book.events(&Wanted {
        kinds: &[Kind::CheckKept],
        ..Wanted::default()
    })?;
    let good = events.iter().rev().find_map(|event| match &event.body {
        Ok(Body::CheckKept(kept)) if kept.baseline && !event.withdrawn => Some(Good {
            day: zone.day_text(event.happened),
            seq: event.seq,
            run: kept.run,
            says: kept.says.clone(),
            settings: kept
                .settings()
                .map(|setting| {
                    let shown = |m: &Measure<GaugePressure>| figures.set(m.value().as_bar());
                    let within = setting.within.map(|m| format!(" ± {}", shown(m)));
                    let (found, unit) = (shown(setting.found), figures.unit());
                    let text = format!("{found}{} {unit}", within.unwrap_or_default());
                    (setting.name, text)
                })
                .collect(),
        }),
        _ => None,
    });
    Ok(good)
}

/// The fields of the book's form with which a check is kept; `baseline` marks the run as a good one.
pub fn fields(
    diagnosis: &Diagnosis,
    run: Option<u64>,
    figures: Figures,
    baseline: bool,
) -> Vec<(&'static str, String)> {
    let mut fields = vec![("says", diagnosis.headline.clone())];
    fields.extend(run.map(|seq| ("run", seq.to_string())));
    if baseline {
        fields.push(("baseline", "yes".to_owned()));
    }
    let names = [
        ("pmv_opens", "pmv-opens", "pmv-opens-within"),
        ("pmv_closes", "pmv-closes", "pmv-closes-within"),
        ("relief_lifts", "relief-lifts", "relief-lifts-within"),
        ("relief_reseats", "relief-reseats", "relief-reseats-within"),
    ];
    let pressures = Settings {
        units: figures.units,
    };
    for (name, found_as, within_as) in names {
        let setting = diagnosis.settings.iter().find(|s| s.name == name);
        let known = setting.and_then(|s| Some((s, s.found?, s.plus_minus?)));
        let told = known.filter(|(setting, _, within)| {
            setting.verdict != Verdict::NotReached && *within >= LEAST_BAR
        });
        if let Some((setting, found, within)) = told {
            let shown = |bar: f64| {
                let number = short(pressures.number(setting, bar), 1);
                format!("{number} {}", figures.unit())
            };
            fields.extend([(found_as, shown(found)), (within_as, shown(within))]);
        }
    }
    fields
}

/// Whether this run may be kept as a good one.
pub fn is_good(diagnosis: &Diagnosis) -> bool {
    diagnosis.standing == Standing::Sound
}
