//! How long a bed lasts: the column run forward on a copy.
//!
//! Not here: which limit applies, and to what the hours are compared. The
//! maker's hours and the date on the cartridge stand above these.

use super::column::Passing;
use super::error::Bounds;
use super::{Bed, Feed, PurifierError, Tuning, WATER_KG_MOL};

/// How a look ahead ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// The outlet reached the limit.
    Reached,
    /// Not within the horizon; it will later.
    NotWithin,
    /// Not within the horizon, and this feed is drier than the limit.
    FeedDrier,
}

/// Running time left at unchanging conditions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remaining {
    /// Why the look ahead ended.
    pub outcome: Outcome,
    /// Seconds of flow until it ended; zero if the outlet is too wet now.
    pub seconds: f64,
    /// Water the bed takes in that time, kg.
    pub taken_kg: f64,
}

/// Runs a copy of `bed` forward in this air until the outlet's mole fraction
/// reaches `limit`, at most for `horizon_s`.
///
/// The moment is interpolated between the middles of two steps; a step moves
/// no cell by more than a fifth of its capacity, so the error is of the order of
/// the time in which one cell fills.
pub fn remaining(
    bed: &Bed,
    feed: &Feed,
    limit: f64,
    horizon_s: f64,
) -> Result<Remaining, PurifierError> {
    LIMIT.check(limit)?;
    RUNNING.check(feed.air_mol_s)?;
    let mut bed = bed.clone();
    let mut passing = Passing::new(&bed, feed, horizon_s)?;
    let mut before = None;
    while let Some(step) = passing.step(&mut bed) {
        if step.fraction < limit {
            before = Some(step);
            continue;
        }
        let seconds = before.map_or(0.0, |b| {
            let share = (limit - b.fraction) / (step.fraction - b.fraction);
            b.middle + share * (step.middle - b.middle)
        });
        let passed = passing.passed(&bed);
        let late = feed.air_mol_s * (feed.ratio() - limit / (1.0 - limit));
        let taken = passed.taken_mol - late * (passed.seconds - seconds);
        return Ok(Remaining {
            outcome: Outcome::Reached,
            seconds,
            taken_kg: if seconds > 0.0 {
                taken * WATER_KG_MOL
            } else {
                0.0
            },
        });
    }
    let outcome = if feed.water_fraction < limit {
        Outcome::FeedDrier
    } else {
        Outcome::NotWithin
    };
    Ok(Remaining {
        outcome,
        seconds: horizon_s,
        taken_kg: passing.passed(&bed).taken_mol * WATER_KG_MOL,
    })
}

/// How far a real bed may lie from the published figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Pessimistic.
    pub low: Tuning,
    /// Most likely.
    pub likely: Tuning,
    /// Optimistic.
    pub high: Tuning,
}

impl Spread {
    /// A bed in service. Usable loading 15, 17.5 and 20 per cent by mass
    /// where the isotherm says 24 (carbon dioxide, oil, imperfect activation:
    /// common practice, no source); transfer from half to six times the
    /// estimate, see [`super::Transfer`].
    pub const IN_SERVICE: Spread = Spread {
        low: Tuning {
            capacity: 0.62,
            transfer: 0.5,
        },
        likely: Tuning {
            capacity: 0.73,
            transfer: 1.0,
        },
        high: Tuning {
            capacity: 0.83,
            transfer: 6.0,
        },
    };
}

/// What makes a range as wide as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// How much of the adsorbent is usable.
    Capacity,
    /// How quickly water gets into the beads.
    Transfer,
}

/// Running time left as a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RemainingRange {
    /// With everything pessimistic.
    pub low: Remaining,
    /// As most likely.
    pub likely: Remaining,
    /// With everything optimistic.
    pub high: Remaining,
    /// Which of the two takes more off the likely time when pessimistic alone.
    pub mostly: Cause,
}

/// [`remaining`] over a spread. The bed's own tuning is replaced by the spread's.
pub fn remaining_range(
    bed: &Bed,
    feed: &Feed,
    limit: f64,
    horizon_s: f64,
    spread: &Spread,
) -> Result<RemainingRange, PurifierError> {
    let with = |tuning: Tuning| remaining(&bed.clone().tuned(tuning)?, feed, limit, horizon_s);
    let less_capacity = with(Tuning {
        capacity: spread.low.capacity,
        ..spread.likely
    })?;
    let slower = with(Tuning {
        transfer: spread.low.transfer,
        ..spread.likely
    })?;
    Ok(RemainingRange {
        low: with(spread.low)?,
        likely: with(spread.likely)?,
        high: with(spread.high)?,
        mostly: if slower.seconds < less_capacity.seconds {
            Cause::Transfer
        } else {
            Cause::Capacity
        },
    })
}

const LIMIT: Bounds = Bounds {
    what: "limit of water at the outlet",
    low: 1e-9,
    high: 0.5,
    unit: "mol/mol",
    remedy: "give a mole fraction above zero, 33e-6 for 33 ppm",
};

const RUNNING: Bounds = Bounds {
    what: "flow of dry air",
    low: 1e-9,
    high: 1e4,
    unit: "mol/s",
    remedy: "time left needs air that flows; give the charging rate",
};
