//! What the stamps on a cylinder's shoulder say.
//!
//! Start at [`read_stamp`]. Words it does not know are kept, not guessed at.
//! Not here: single words ([`super::stamp_word`]), whether it may be filled
//! ([`super::fill`]).

use super::pressure::both;
use super::stamp_word::{Word, read_word};
use super::when::When;
use quantity::{GaugePressure, Typed};
use serde::Serialize;
use station::{Date, Material};

/// A stamp as read.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct StampReading {
    /// As typed.
    pub text: String,
    /// Specification, such as `3AA`.
    pub specification: Option<String>,
    /// Number of a special permit or exemption.
    pub permit: Option<String>,
    /// Service (working) pressure.
    pub service: Option<StampPressure>,
    /// Test pressure.
    pub test: Option<StampPressure>,
    /// Dates in the order stamped; the latest counts.
    pub dates: Vec<StampDate>,
    /// Whether a plus mark follows the service pressure itself.
    pub plus_at_pressure: bool,
    /// Alloy, such as `6351`.
    pub alloy: Option<String>,
    /// What it is made of, where the specification or alloy says so.
    #[serde(skip)]
    pub material: Option<Material>,
    /// Whether it is marked as condemned.
    pub condemned: bool,
    /// What cannot be, or contradicts itself: read the stamp again before filling.
    pub implausible: Vec<String>,
    /// What was taken to read it.
    pub notes: Vec<String>,
    /// Words that were not understood.
    pub unread: Vec<String>,
}

/// A stamped pressure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StampPressure {
    /// In its own unit.
    #[serde(serialize_with = "super::pressure::serialize")]
    pub pressure: Typed<GaugePressure>,
    /// What says which unit it is, where the stamp does not.
    pub unit_from: Option<String>,
}

/// A stamped date.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StampDate {
    /// As stamped.
    pub text: String,
    /// When.
    pub when: When,
    /// Whether a plus mark follows.
    pub plus: bool,
    /// Whether a star follows.
    pub star: bool,
}

/// Service pressures that breathing-air cylinders have, bar (common practice, no source).
const SERVICE_BAR: std::ops::RangeInclusive<f64> = 100.0..=500.0;
/// Test over service pressure: 1.5 (EN, ISO) or 5/3 (49 CFR), with room for rounding.
const TEST_RATIO: std::ops::RangeInclusive<f64> = 1.3..=1.8;
/// Before this no breathing-air cylinder in use was made.
const OLDEST: u16 = 1930;

/// Reads the stamps, words and numbers parted by spaces: `3AA2400+ 06^19+`,
/// `DOT-3AL3000 6061 04-20`, `PW 232 BAR PT 348 BAR 2019/06`.
pub fn read_stamp(text: &str, today: Date) -> StampReading {
    let mut stamp = StampReading {
        text: text.to_owned(),
        ..StampReading::default()
    };
    let upper = text.to_uppercase();
    let words: Vec<&str> = upper
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';'))
        .filter(|w| !w.is_empty())
        .collect();
    let mut at = 0;
    while let Some(rest) = words.get(at..)
        && !rest.is_empty()
    {
        let (word, used) = read_word(rest, today);
        take(&mut stamp, word);
        at += used.max(1);
    }
    judge_pressures(&mut stamp);
    judge_dates(&mut stamp, today);
    stamp
}

impl StampReading {
    fn keep_service(&mut self, new: Option<StampPressure>) {
        once(&mut self.service, new, "service", &mut self.implausible);
    }

    fn keep_test(&mut self, new: Option<StampPressure>) {
        once(&mut self.test, new, "test", &mut self.implausible);
    }

    /// The latest date stamped.
    pub fn latest(&self) -> Option<&StampDate> {
        self.dates.iter().max_by_key(|date| date.when.first_day())
    }

    /// The earliest date stamped: as a rule the first test, when it was made.
    pub fn earliest(&self) -> Option<&StampDate> {
        self.dates.iter().min_by_key(|date| date.when.first_day())
    }
}

fn take(stamp: &mut StampReading, word: Word) {
    match word {
        Word::Specification {
            name,
            material,
            service,
            plus,
        } => {
            stamp.material = Some(material);
            stamp.specification = Some(name);
            stamp.plus_at_pressure |= plus;
            stamp.keep_service(service);
        }
        Word::Permit { number, service } => {
            stamp.permit = Some(number);
            stamp.keep_service(service);
        }
        Word::Service(p) => stamp.keep_service(Some(p)),
        Word::Test(p) => stamp.keep_test(Some(p)),
        Word::Date(date) => stamp.dates.push(date),
        Word::Alloy(alloy) => {
            stamp.material = Some(Material::Aluminium);
            stamp.alloy = Some(alloy);
        }
        Word::Made(material) => stamp.material = Some(material),
        Word::Condemned => stamp.condemned = true,
        Word::Known => {}
        Word::Doubtful(why) => stamp.implausible.push(why),
        Word::Unread(text) => stamp.unread.push(text),
    }
}

/// Keeps a pressure; a second one that differs is a contradiction.
fn once(
    place: &mut Option<StampPressure>,
    new: Option<StampPressure>,
    what: &str,
    implausible: &mut Vec<String>,
) {
    match (place, new) {
        (Some(old), Some(new)) if differ(&old.pressure, &new.pressure) => {
            implausible.push(format!(
                "two {what} pressures: {} and {}",
                both(&old.pressure),
                both(&new.pressure)
            ))
        }
        (place @ None, new) => *place = new,
        _ => {}
    }
}

/// Whether two pressures are more than 2 % apart.
pub(super) fn differ(one: &Typed<GaugePressure>, other: &Typed<GaugePressure>) -> bool {
    (one.value.as_bar() / other.value.as_bar() - 1.0).abs() > 0.02
}

/// Dates that cannot be.
fn judge_dates(stamp: &mut StampReading, today: Date) {
    for date in &stamp.dates {
        if date.when.is_ahead(today) {
            stamp
                .implausible
                .push(format!("{} ({}) is still to come", date.text, date.when));
        }
        if date.when.first_day().year() < OLDEST {
            stamp
                .implausible
                .push(format!("{} ({}) is too long ago", date.text, date.when));
        }
    }
}

/// Pressures that cannot be, and units that were not stamped.
fn judge_pressures(stamp: &mut StampReading) {
    if let Some(service) = &stamp.service {
        let p = &service.pressure;
        if !SERVICE_BAR.contains(&p.value.as_bar()) {
            let swapped = if p.unit.symbol == "psi" { "bar" } else { "psi" };
            stamp.implausible.push(format!(
                "service pressure {}: no breathing-air cylinder has that; is {} {swapped} meant?",
                both(p),
                p.number
            ));
        }
    }
    if let (Some(service), Some(test)) = (&stamp.service, &stamp.test) {
        let ratio = test.pressure.value.as_bar() / service.pressure.value.as_bar();
        if !TEST_RATIO.contains(&ratio) {
            stamp.implausible.push(format!(
                "test pressure {} is {ratio:.2} times the service pressure {}: 1.5 or 5/3 is usual",
                both(&test.pressure),
                both(&service.pressure)
            ));
        }
    }
    for pressure in [&stamp.service, &stamp.test].into_iter().flatten() {
        if let Some(from) = &pressure.unit_from {
            stamp
                .notes
                .push(format!("{}: {from}", both(&pressure.pressure)));
        }
    }
}
