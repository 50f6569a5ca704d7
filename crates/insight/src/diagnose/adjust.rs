//! How far a valve moves when its screw is turned, learnt from adjustments written down; and from
//! that, which way and how much of a turn.
//!
//! Start at [`advise`]. Nothing is guessed: without a recorded adjustment there is a direction and
//! no amount, and nothing is said beyond what was tried. Not here: relief valves, on purpose: one is
//! set by a licensed person on a test rig, never at the machine.

use quantity::GaugePressure;
use serde::Serialize;
use thiserror::Error;

/// Two-sided 90 % of the normal distribution (standard tables: 1.6449).
const NINE_IN_TEN: f64 = 1.6449;

/// A valve that can be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Valve {
    /// The pressure maintaining valve.
    Pmv,
    /// The final relief valve: nothing is advised.
    Relief,
}

/// A pressure with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    /// The pressure.
    pub value: GaugePressure,
    /// Its standard uncertainty, bar.
    pub sd_bar: f64,
}

/// An adjustment as it was written down.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjustment {
    /// What people know it by: a day, an entry.
    pub name: String,
    /// Where the valve opened before.
    pub before: Uncertain,
    /// Where it opened after.
    pub after: Uncertain,
    /// Turns of its screw, clockwise positive.
    pub turns: f64,
}

/// What the record tells of a valve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Learnt {
    /// By how much a full turn clockwise moves it, bar.
    pub bar_per_turn: f64,
    /// Its standard uncertainty, bar.
    pub sd_bar: f64,
    /// Adjustments it was learnt from.
    pub adjustments: usize,
    /// The lowest pressure it was set to or from, bar.
    pub lowest_bar: f64,
    /// The highest, bar.
    pub highest_bar: f64,
    /// The largest turn made at once.
    pub largest_turn: f64,
}

/// Towards which pressure to go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Towards {
    /// It opens too early.
    Higher,
    /// It opens too late.
    Lower,
}

/// What to do about a setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Advice {
    /// Found and wanted differ by less than the readings can tell.
    Leave,
    /// Only which way; `why` says why not how far.
    Direction {
        /// Which way.
        towards: Towards,
        /// Why the amount is not told, as a part of a sentence.
        why: String,
    },
    /// Which way and how far.
    Turn {
        /// Which way.
        towards: Towards,
        /// Whether the record shows that this is clockwise.
        clockwise: bool,
        /// How much of a turn.
        turns: f64,
        /// Its 90 % interval.
        low: f64,
        /// Its upper end.
        high: f64,
        /// True where more would be needed than was ever turned at once: `turns` is that much.
        part_of_the_way: bool,
    },
    /// Not to be set here.
    Licensed,
}

/// Why the record tells nothing. Each text is a sentence's part: cause; remedy.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AdjustError {
    /// Not a number, or an uncertainty that is none.
    #[error("{name}: a figure in it is no number; correct the entry")]
    Unreadable {
        /// Which adjustment.
        name: String,
    },
    /// The screw was not turned.
    #[error("{name}: a turn of zero moves nothing; correct the entry, or leave the turns out")]
    NoTurn {
        /// Which adjustment.
        name: String,
    },
    /// The pressure did not move.
    #[error(
        "{name}: the valve opens where it opened before, though it was turned; read it again, and \
         correct the entry"
    )]
    NoChange {
        /// Which adjustment.
        name: String,
    },
    /// Clockwise raised it once and lowered it another time.
    #[error(
        "the record contradicts itself: clockwise raised the pressure in {raised} and lowered it in \
         {lowered}; correct the entry with the wrong sign"
    )]
    Contradicts {
        /// An adjustment in which it went up.
        raised: String,
        /// One in which it went down.
        lowered: String,
    },
}

/// How far a turn moves the valve: weighted least squares of the change against the turns, through
/// the origin. None where nothing is recorded.
///
/// With w = 1/(u²(before) + u²(after)), b = Σ w·turns·change / Σ w·turns² and u(b) = (Σ w·turns²)^-½
/// (the ordinary formulas of weighted least squares; JCGM 100:2008, annex H.3, without a constant).
/// Where the adjustments scatter more than their uncertainties allow, u(b) grows by that ratio
/// (Birge).
///
/// # Errors
/// The record holds something that cannot be so.
pub fn learn(adjustments: &[Adjustment]) -> Result<Option<Learnt>, AdjustError> {
    for one in adjustments {
        check(one)?;
    }
    contradiction(adjustments)?;
    if adjustments.is_empty() {
        return Ok(None);
    }
    let sum = |term: &dyn Fn(&Adjustment) -> f64| adjustments.iter().map(term).sum::<f64>();
    let xx = sum(&|a| a.weight() * a.turns * a.turns);
    let slope = sum(&|a| a.weight() * a.turns * a.change()) / xx;
    let misfit = sum(&|a| a.weight() * (a.change() - slope * a.turns).powi(2));
    let free = adjustments.len() as f64 - 1.0;
    let birge = match free > 0.0 {
        true => (misfit / free).sqrt().max(1.0),
        false => 1.0,
    };
    let ends = adjustments
        .iter()
        .flat_map(|a| [a.before.value.as_bar(), a.after.value.as_bar()]);
    let turned = adjustments.iter().map(|a| a.turns.abs());
    Ok(Some(Learnt {
        bar_per_turn: slope,
        sd_bar: birge / xx.sqrt(),
        adjustments: adjustments.len(),
        lowest_bar: ends.clone().fold(f64::INFINITY, f64::min),
        highest_bar: ends.fold(f64::NEG_INFINITY, f64::max),
        largest_turn: turned.fold(0.0, f64::max),
    }))
}

impl Adjustment {
    fn change(&self) -> f64 {
        self.after.value.as_bar() - self.before.value.as_bar()
    }

    fn variance(&self) -> f64 {
        self.before.sd_bar.powi(2) + self.after.sd_bar.powi(2)
    }

    fn weight(&self) -> f64 {
        1.0 / self.variance()
    }

    /// Whether clockwise raised it, where the change is more than reading it can tell.
    fn clockwise_raises(&self) -> Option<bool> {
        let clear = self.change().abs() > NINE_IN_TEN * self.variance().sqrt();
        clear.then_some(self.change() * self.turns > 0.0)
    }
}

fn check(one: &Adjustment) -> Result<(), AdjustError> {
    let name = one.name.clone();
    let figures = [one.change(), one.turns, one.variance()];
    if figures.iter().any(|f| !f.is_finite()) || one.variance() <= 0.0 {
        return Err(AdjustError::Unreadable { name });
    }
    if one.turns == 0.0 {
        return Err(AdjustError::NoTurn { name });
    }
    if one.change() == 0.0 {
        return Err(AdjustError::NoChange { name });
    }
    Ok(())
}

fn contradiction(adjustments: &[Adjustment]) -> Result<(), AdjustError> {
    let first = |raises: bool| {
        let mut all = adjustments.iter();
        all.find(|a| a.clockwise_raises() == Some(raises))
    };
    match (first(true), first(false)) {
        (Some(raised), Some(lowered)) => Err(AdjustError::Contradicts {
            raised: raised.name.clone(),
            lowered: lowered.name.clone(),
        }),
        _ => Ok(()),
    }
}

/// Which way and how much of a turn takes the valve from `found` to `wanted`.
///
/// The interval is Fieller's for a ratio of two uncertain figures (E. C. Fieller, J. R. Stat. Soc. B
/// 16, 1954): the turns t for which |wanted - found - t·b| is no more than 1.645 of its standard
/// uncertainty.
///
/// # Errors
/// The record holds something that cannot be so.
pub fn advise(
    valve: Valve,
    adjustments: &[Adjustment],
    found: Uncertain,
    wanted: GaugePressure,
) -> Result<Advice, AdjustError> {
    if valve == Valve::Relief {
        return Ok(Advice::Licensed);
    }
    let way = wanted.as_bar() - found.value.as_bar();
    let reads = [way, found.sd_bar];
    if reads.iter().any(|f| !f.is_finite()) || found.sd_bar < 0.0 {
        let name = "the setting found".to_owned();
        return Err(AdjustError::Unreadable { name });
    }
    let learnt = learn(adjustments)?;
    if way.abs() <= NINE_IN_TEN * found.sd_bar || way == 0.0 {
        return Ok(Advice::Leave);
    }
    let towards = match way > 0.0 {
        true => Towards::Higher,
        false => Towards::Lower,
    };
    let direction = |why: String| Ok(Advice::Direction { towards, why });
    let Some(learnt) = learnt else {
        return direction("no adjustment of this valve is on record".to_owned());
    };
    let beyond = NINE_IN_TEN * found.sd_bar;
    let tried = learnt.lowest_bar - beyond..=learnt.highest_bar + beyond;
    if ![wanted.as_bar(), found.value.as_bar()]
        .iter()
        .all(|bar| tried.contains(bar))
    {
        return direction(format!(
            "the adjustments on record lie between {:.0} and {:.0} bar, and say nothing beyond",
            learnt.lowest_bar, learnt.highest_bar
        ));
    }
    let Some((low, high)) = fieller(way, found.sd_bar, learnt.bar_per_turn, learnt.sd_bar) else {
        return direction(
            "the adjustments on record moved it by no more than the gauge can tell".to_owned(),
        );
    };
    Ok(turn(&learnt, towards, way, (low, high)))
}

/// The turn, no larger than was ever made at once.
fn turn(learnt: &Learnt, towards: Towards, way: f64, (low, high): (f64, f64)) -> Advice {
    let turns = way / learnt.bar_per_turn;
    let most = learnt.largest_turn;
    let (low, high) = match turns > 0.0 {
        true => (low, high),
        false => (-high, -low),
    };
    Advice::Turn {
        towards,
        clockwise: turns > 0.0,
        turns: turns.abs().min(most),
        low: low.max(0.0).min(most),
        high: high.min(most),
        part_of_the_way: turns.abs() > most,
    }
}

/// The 90 % interval of a/b; none where b cannot be told from nothing.
fn fieller(a: f64, sd_a: f64, b: f64, sd_b: f64) -> Option<(f64, f64)> {
    let z2 = NINE_IN_TEN * NINE_IN_TEN;
    // (a - t b)² = z² (sd_a² + t² sd_b²), a quadratic in t
    let (square, linear, constant) = (
        b * b - z2 * sd_b * sd_b,
        -2.0 * a * b,
        a * a - z2 * sd_a * sd_a,
    );
    if square <= 0.0 {
        return None;
    }
    let root = (linear * linear - 4.0 * square * constant).max(0.0).sqrt();
    Some((
        (-linear - root) / (2.0 * square),
        (-linear + root) / (2.0 * square),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(bar: f64, sd_bar: f64) -> Uncertain {
        Uncertain {
            value: GaugePressure::bar(bar),
            sd_bar,
        }
    }

    fn set(name: &str, before: f64, after: f64, turns: f64, sd: f64) -> Adjustment {
        Adjustment {
            name: name.to_owned(),
            before: at(before, sd),
            after: at(after, sd),
            turns,
        }
    }

    fn advice(adjustments: &[Adjustment], found: (f64, f64), wanted: f64) -> Advice {
        let found = at(found.0, found.1);
        advise(Valve::Pmv, adjustments, found, GaugePressure::bar(wanted)).unwrap()
    }

    /// By hand: half a turn raised it from 100 to 120 bar, so a turn is 40 bar; each reading 3 and
    /// 4 bar uncertain, so the change 5 bar (3-4-5), so a turn 10 bar.
    #[test]
    fn one_adjustment_is_enough_for_a_value_with_its_uncertainty() {
        let one = Adjustment {
            name: "A".into(),
            before: at(100.0, 3.0),
            after: at(120.0, 4.0),
            turns: 0.5,
        };
        let learnt = learn(&[one]).unwrap().unwrap();
        assert!((learnt.bar_per_turn - 40.0).abs() < 1e-9, "{learnt:?}");
        assert!((learnt.sd_bar - 10.0).abs() < 1e-9, "{learnt:?}");
        assert_eq!((learnt.lowest_bar, learnt.highest_bar), (100.0, 120.0));
    }

    /// By hand: changes 10 and 18 for half a turn and a whole one, equal weights:
    /// b = (0.5·10 + 1·18)/(0.25 + 1) = 18.4. With u² = 2 for each change u(b) = √(2/1.25); the
    /// misfit is (0.8² + 0.4²)/2 = 0.4, below one, so nothing grows.
    #[test]
    fn several_are_weighed_through_the_origin() {
        let all = [
            set("A", 100.0, 110.0, 0.5, 1.0),
            set("B", 110.0, 128.0, 1.0, 1.0),
        ];
        let learnt = learn(&all).unwrap().unwrap();
        assert!((learnt.bar_per_turn - 18.4).abs() < 1e-9, "{learnt:?}");
        assert!((learnt.sd_bar - 1.6f64.sqrt()).abs() < 1e-9, "{learnt:?}");
    }

    /// By hand: half a turn moved it by 10, then by 20 bar, read to 0.5 bar: b = 30, each off by
    /// 5 bar with u² = 0.5, so the misfit is 2·25/0.5 = 100 and u(b) = 1 grows tenfold.
    #[test]
    fn adjustments_that_scatter_make_it_less_sure() {
        let all = [
            set("A", 100.0, 110.0, 0.5, 0.5),
            set("B", 110.0, 130.0, 0.5, 0.5),
        ];
        let learnt = learn(&all).unwrap().unwrap();
        assert!((learnt.bar_per_turn - 30.0).abs() < 1e-9, "{learnt:?}");
        assert!((learnt.sd_bar - 10.0).abs() < 1e-9, "{learnt:?}");
    }

    /// By hand: 40 bar a turn, exactly known; 10 bar missing, 2 bar uncertain: a quarter turn, give
    /// or take 1.6449·2/40 = 0.0822.
    #[test]
    fn with_a_sure_slope_the_interval_is_that_of_the_finding() {
        let all = [set("A", 100.0, 120.0, 0.5, 1e-9)];
        let Advice::Turn {
            towards,
            clockwise,
            turns,
            low,
            high,
            part_of_the_way,
        } = advice(&all, (105.0, 2.0), 115.0)
        else {
            panic!("no turn");
        };
        assert_eq!(
            (towards, clockwise, part_of_the_way),
            (Towards::Higher, true, false)
        );
        assert!((turns - 0.25).abs() < 1e-9);
        assert!((low - (0.25 - 0.082_245)).abs() < 1e-6, "{low}");
        assert!((high - (0.25 + 0.082_245)).abs() < 1e-6, "{high}");
    }

    /// By hand: a turn 40 ± 10 bar, 10 bar missing and known: Fieller's ends are
    /// a/(b ± 1.6449 u) = 10/56.449 and 10/23.551.
    #[test]
    fn with_a_sure_finding_the_interval_is_that_of_the_slope() {
        let all = [Adjustment {
            name: "A".into(),
            before: at(100.0, 3.0),
            after: at(120.0, 4.0),
            turns: 0.5,
        }];
        let Advice::Turn { low, high, .. } = advice(&all, (105.0, 0.0), 115.0) else {
            panic!("no turn");
        };
        assert!((low - 10.0 / 56.449).abs() < 1e-6, "{low}");
        assert!((high - 10.0 / 23.551).abs() < 1e-6, "{high}");
    }

    #[test]
    fn a_screw_that_lowers_clockwise_is_turned_the_other_way() {
        let all = [set("A", 120.0, 100.0, 0.5, 0.1)];
        let told = advice(&all, (105.0, 0.1), 115.0);
        let Advice::Turn {
            towards,
            clockwise,
            turns,
            low,
            high,
            ..
        } = told
        else {
            panic!("{told:?}");
        };
        assert_eq!((towards, clockwise), (Towards::Higher, false));
        assert!((turns - 0.25).abs() < 1e-9 && low < turns && turns < high);
    }

    #[test]
    fn without_a_record_there_is_only_a_direction() {
        let told = advice(&[], (131.0, 2.0), 150.0);
        let Advice::Direction { towards, why } = told else {
            panic!("{told:?}");
        };
        assert_eq!(towards, Towards::Higher);
        assert!(why.contains("on record"), "{why}");
        let lower = advice(&[], (160.0, 2.0), 150.0);
        assert!(matches!(
            lower,
            Advice::Direction {
                towards: Towards::Lower,
                ..
            }
        ));
    }

    #[test]
    fn nothing_is_said_beyond_what_was_tried() {
        let all = [set("A", 100.0, 120.0, 0.5, 0.5)];
        let beyond = advice(&all, (105.0, 1.0), 150.0);
        assert!(
            matches!(&beyond, Advice::Direction { why, .. } if why.contains("between 100 and 120 bar")),
            "{beyond:?}"
        );
        let many = [
            set("A", 100.0, 110.0, 0.25, 0.5),
            set("B", 110.0, 120.0, 0.25, 0.5),
        ];
        let far = advice(&many, (101.0, 0.1), 119.0);
        assert!(
            matches!(far, Advice::Turn { turns, part_of_the_way: true, .. } if turns == 0.25),
            "{far:?}"
        );
    }

    #[test]
    fn a_difference_that_cannot_be_read_is_left_alone() {
        assert_eq!(advice(&[], (149.0, 2.0), 150.0), Advice::Leave);
        assert_eq!(advice(&[], (150.0, 0.0), 150.0), Advice::Leave);
        let unclear = [set("A", 148.0, 149.0, 0.25, 2.0)];
        let told = advice(&unclear, (148.0, 0.1), 149.0);
        assert!(
            matches!(&told, Advice::Direction { why, .. } if why.contains("gauge can tell")),
            "{told:?}"
        );
    }

    #[test]
    fn a_relief_valve_is_never_set_here() {
        let all = [set("A", 250.0, 255.0, 0.25, 1.0)];
        let told = advise(
            Valve::Relief,
            &all,
            at(240.0, 1.0),
            GaugePressure::bar(255.0),
        );
        assert_eq!(told, Ok(Advice::Licensed));
    }

    #[test]
    fn what_cannot_be_so_is_told_with_its_entry() {
        let told = |all: &[Adjustment]| learn(all).unwrap_err().to_string();
        assert!(
            told(&[set("entry 7", 100.0, 120.0, 0.0, 1.0)]).contains("entry 7: a turn of zero")
        );
        assert!(told(&[set("entry 7", 100.0, 100.0, 0.5, 1.0)]).contains("opened before"));
        assert!(told(&[set("entry 7", 100.0, f64::NAN, 0.5, 1.0)]).contains("no number"));
        assert!(told(&[set("entry 7", 100.0, 110.0, 0.5, 0.0)]).contains("no number"));
        let both = [
            set("entry 7", 100.0, 120.0, 0.5, 1.0),
            set("entry 9", 120.0, 140.0, -0.5, 1.0),
        ];
        let text = told(&both);
        assert!(text.contains("contradicts itself"), "{text}");
        assert!(text.contains("entry 7") && text.contains("entry 9"));
    }

    proptest! {
        /// A valve that moves in proportion to its screw is found again, and the turn advised takes
        /// it where it is wanted.
        #[test]
        fn what_was_put_in_comes_out(
            slope in prop_oneof![-80.0..-5.0f64, 5.0..80.0f64],
            turns in prop::collection::vec(0.1..1.0f64, 1..6),
            share in 0.05..0.95f64,
            sd in 0.01..0.2f64,
        ) {
            let mut bar = 120.0;
            let mut all = Vec::new();
            for t in &turns {
                all.push(set("A", bar, bar + slope * t, *t, sd));
                bar += slope * t;
            }
            let learnt = learn(&all).unwrap().unwrap();
            prop_assert!((learnt.bar_per_turn - slope).abs() < 1e-6);
            let found = learnt.lowest_bar;
            let wanted = found + share * (learnt.highest_bar - found);
            let told = advice(&all, (found, 0.1 * sd), wanted);
            if let Advice::Turn { turns, low, high, clockwise, part_of_the_way, .. } = told {
                let signed = if clockwise { turns } else { -turns };
                prop_assert!(part_of_the_way || (signed * slope - (wanted - found)).abs() < 1e-6);
                prop_assert!(low <= turns && turns <= high, "{low} {turns} {high}");
                prop_assert!(high <= learnt.largest_turn);
            } else {
                let said = matches!(told, Advice::Leave | Advice::Direction { .. });
                prop_assert!(said);
            }
        }
    }
}
