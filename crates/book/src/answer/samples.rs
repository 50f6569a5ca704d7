//! Air tests as evidence: when each sample was taken and from when on its air was made.

use crate::answer::{Seen, picked};
use crate::body::Outcome;
use crate::entry::Moment;

/// The first moment of a day such as `2026-05-20` at the station; none where the text is no day.
pub type DayBegins<'a> = &'a dyn Fn(&str) -> Option<Moment>;

/// The earliest moment that is this day, month or year anywhere on earth (zone UTC+14): where the
/// station's zone is not at hand. Reads `2026-05-20`, `2026-05` and `2026`.
pub fn earliest(text: &str) -> Option<Moment> {
    let [year, month, day] = parts(text)?;
    let days = days_since_1970(year.into(), month.into(), day.into());
    let hours = days.checked_mul(24)?.checked_sub(14)?;
    hours.checked_mul(3_600_000_000).map(Moment)
}

/// Year, month and day; what a stamp does not give is the first.
pub(crate) fn parts(text: &str) -> Option<[u16; 3]> {
    let mut parts = [0, 1, 1];
    let mut given = text.trim().split('-');
    for (i, part) in parts.iter_mut().enumerate() {
        let Some(digits) = given.next() else {
            return (i > 0).then_some(parts).filter(exists);
        };
        let wanted = if i == 0 { 4 } else { 2 };
        if digits.len() != wanted || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        *part = digits.parse().ok()?;
    }
    given.next().is_none().then_some(parts).filter(exists)
}

fn exists(&[year, month, day]: &[u16; 3]) -> bool {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let last = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    };
    (1..=12).contains(&month) && (1..=last).contains(&day)
}

/// Days from 1970-01-01 in the Gregorian calendar, by the Julian day number less 2440588 (Fliegel
/// and Van Flandern, Communications of the ACM 11 (1968) 657; from memory).
fn days_since_1970(year: i64, month: i64, day: i64) -> i64 {
    let late = (month - 14) / 12;
    let julian =
        day - 32_075 + 1461 * (year + 4800 + late) / 4 + 367 * (month - 2 - late * 12) / 12
            - 3 * ((year + 4900 + late) / 100) / 4;
    julian - 2_440_588
}

/// An air test as evidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// Number of its entry.
    pub seq: u64,
    /// When it was entered.
    pub entered: Moment,
    /// What came of it.
    pub outcome: Outcome,
    /// The same in a sentence.
    pub sentence: String,
    /// When it was taken: the day's first moment, never later than it was entered.
    pub taken: Moment,
    /// Whether `taken` is from the day on the report; else it is when it was entered.
    pub by_day: bool,
    /// The cylinder it was taken from.
    pub cylinder: Option<String>,
    /// When the air in the sample was made: as `taken`, or at the cylinder's last fill before it
    /// (whatever of that day). None where no such fill is recorded.
    pub made: Option<Moment>,
}

impl Sample {
    /// Whether it is later evidence than a failed test: entered later, and taken no earlier.
    pub(crate) fn answers(&self, failed: &Sample) -> bool {
        self.outcome == Outcome::Passes
            && (self.entered, self.seq) > (failed.entered, failed.seq)
            && self.made.is_some_and(|made| made >= failed.taken)
    }
}

/// All air tests in the order they were entered.
pub(crate) fn samples(seen: &Seen<'_>, day_begins: DayBegins<'_>) -> Vec<Sample> {
    let fills = picked!(seen, Fill);
    let sample = |test: crate::answer::Told<crate::body::AirTest>| {
        let day = test.body.sampled.as_deref().and_then(day_begins);
        let taken = day.map_or(test.happened, |day| day.min(test.happened));
        let filled = |name: &String| {
            let before = fills.iter().rev().filter(|f| f.happened <= taken);
            let mut own = before.filter(|f| f.body.cylinder == *name);
            own.next().map(|f| f.happened)
        };
        Sample {
            seq: test.seq,
            entered: test.happened,
            outcome: test.body.outcome,
            taken,
            by_day: day.is_some(),
            made: test.body.cylinder.as_ref().map_or(Some(taken), filled),
            cylinder: test.body.cylinder,
            sentence: test.body.sentence,
        }
    };
    picked!(seen, AirTest).into_iter().map(sample).collect()
}
