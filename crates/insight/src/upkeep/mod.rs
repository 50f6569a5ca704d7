//! What is due: parts, valves, oil, cartridge, air sample, cylinders, in one list.
//!
//! Start at [`upkeep`]. [`air_sample`] and [`cylinder_checks`] give rows of the same shape from
//! an air standard and from the fill gate; [`most_urgent_first`] sorts them all. [`HINTS`] are
//! what others do where no interval was set: shown, never applied. Not here: how a part is
//! serviced; the maker's manual decides how often and how.
//! Invariant: an interval is the owner's, the station file's or a standard's, and says which.

mod answer;
mod calendar;
mod hints;
mod other;
mod row;
#[cfg(test)]
mod tests;

pub use answer::{DueDates, DueItem, Item, LimitKind, LimitUse, State};
pub use calendar::{date_of, day_number};
pub use hints::{HINTS, Hint};
pub use other::{air_sample, cylinder_checks};

use station::{Date, Station};

/// How often something is due: whichever comes first. What is none is not counted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Interval {
    /// After so many running hours.
    pub running_h: Option<f64>,
    /// After so many months.
    pub months: Option<u32>,
    /// After so many litres of free air.
    pub free_air_litres: Option<f64>,
    /// Where that is written.
    pub source: String,
}

/// When something was last done.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// The day.
    pub day: Date,
    /// The hour meter then.
    pub running_h: Option<f64>,
    /// What was done, such as `replaced` or `tested`.
    pub what: String,
}

/// One thing that is looked after.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// What it is.
    pub item: Item,
    /// Which, where there are several.
    pub which: Option<String>,
    /// When it was last done; none: never recorded.
    pub done: Option<Done>,
    /// Running hours since, where they are known better than from the hour meter.
    pub since_running_h: Option<f64>,
    /// Free air since, litres.
    pub since_free_air_litres: Option<f64>,
    /// How often it is due; none: not set.
    pub interval: Option<Interval>,
}

/// Today, and how much the machine has been used of late.
#[derive(Debug, Clone, PartialEq)]
pub struct Usage {
    /// The day for which is told what is due.
    pub today: Date,
    /// The hour meter now.
    pub running_h: Option<f64>,
    /// Days over which the recent use was counted, such as 90.
    pub recent_days: f64,
    /// Running hours in them.
    pub recent_h: Option<f64>,
    /// Free air in them, litres.
    pub recent_free_air_litres: Option<f64>,
    /// Runs in them: the fewer, the wider the range of dates.
    pub recent_runs: Option<u32>,
}

/// What is due, most urgent first.
///
/// A cartridge without an interval of its own takes the maker's rated hours from the station
/// file, and without a date on record the change written there.
pub fn upkeep(kept: &[Kept], usage: &Usage, station: &Station) -> Vec<DueItem> {
    let mut rows: Vec<DueItem> = kept
        .iter()
        .map(|one| row::row(&with_station(one, station), usage, station))
        .collect();
    most_urgent_first(&mut rows);
    rows
}

/// Sorts rows: over, due, never recorded, soon, in time, without an interval; then by date, then
/// by how much of the interval is used.
pub fn most_urgent_first(rows: &mut [DueItem]) {
    rows.sort_by(|a, b| {
        let date = |row: &DueItem| {
            row.due
                .as_ref()
                .map_or(i64::MAX, |due| due.likely_day_number)
        };
        let fraction = |row: &DueItem| row.fraction.unwrap_or(0.0);
        a.state
            .cmp(&b.state)
            .then(date(a).cmp(&date(b)))
            .then(fraction(b).total_cmp(&fraction(a)))
            .then(a.name.cmp(&b.name))
    });
}

/// What the station file knows of a cartridge and the record does not.
fn with_station(one: &Kept, station: &Station) -> Kept {
    let mut one = one.clone();
    if one.item != Item::Cartridge {
        return one;
    }
    let purifier = &station.purifier;
    if one.done.is_none()
        && let Some(day) = purifier.changed
    {
        one.done = Some(Done {
            day,
            running_h: purifier.changed_at_hours.map(|h| h.as_hour()),
            what: "changed, by the station file".into(),
        });
    }
    if one.interval.is_none()
        && let Some(rated) = purifier.rated_hours
    {
        one.interval = Some(Interval {
            running_h: Some(rated.as_hour()),
            source: "the maker's rated hours, from the station file".into(),
            ..Interval::default()
        });
    }
    one
}
