//! Things that can be wrong with a station, by name and size.
//!
//! [`Fault::parse`] reads `name` or `name=size`; [`CATALOGUE`] lists them all
//! for help pages and for the checks. What a fault does to the plant is in
//! [`crate::assemble`].

use quantity::{FlowRate, Fraction, Length, PressureDifference, parse};
use thiserror::Error;

/// One thing wrong, with its size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// Rings worn: the last stage loses this share of its intake.
    WornRings(Fraction),
    /// The suction or discharge valve of a stage (counted from 1) leaks back this share.
    StageValveLeak(usize, Fraction),
    /// PMV seized open.
    PmvStuckOpen,
    /// PMV seized shut.
    PmvStuckShut,
    /// PMV opens and closes this much too high.
    PmvHigh(PressureDifference),
    /// PMV opens and closes this much too low.
    PmvLow(PressureDifference),
    /// PMV does not hold, and its check leaks: free air passing back at working pressure.
    PmvLeaksBack(FlowRate),
    /// Relief lifts this much too high.
    ReliefHigh(PressureDifference),
    /// Relief lifts this much too low.
    ReliefLow(PressureDifference),
    /// Relief weeps: free air lost at working pressure.
    ReliefWeeps(FlowRate),
    /// Relief seized shut.
    ReliefStuckShut,
    /// Drain, vent or seals of the tower leak: free air lost at working pressure.
    TowerLeak(FlowRate),
    /// Whip or its connections leak: free air lost at working pressure.
    WhipLeak(FlowRate),
    /// Purifier blocked down to a passage of this bore.
    PurifierBlocked(Length),
    /// The tower gauge reads this much too high (negative: too low).
    TowerGaugeOffset(PressureDifference),
    /// The gauge on the line reads this much too high (negative: too low).
    LineGaugeOffset(PressureDifference),
}

/// A fault as help pages list it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entry {
    /// The name to type.
    pub name: &'static str,
    /// An example with its size, or the bare name.
    pub example: &'static str,
    /// What it is.
    pub meaning: &'static str,
}

/// Every fault that can be injected.
pub const CATALOGUE: [Entry; 16] = [
    entry(
        "worn-rings",
        "worn-rings=15%",
        "the last stage loses this share of each stroke past its rings",
    ),
    entry(
        "stage-valve-leak",
        "stage-valve-leak=2:20%",
        "a valve of this stage (from 1) lets this share back",
    ),
    entry(
        "pmv-stuck-open",
        "pmv-stuck-open",
        "the pressure maintaining valve no longer closes",
    ),
    entry(
        "pmv-stuck-shut",
        "pmv-stuck-shut",
        "the pressure maintaining valve no longer opens",
    ),
    entry(
        "pmv-high",
        "pmv-high=20 bar",
        "it opens and closes this much too high",
    ),
    entry(
        "pmv-low",
        "pmv-low=20 bar",
        "it opens and closes this much too low",
    ),
    entry(
        "pmv-leaks-back",
        "pmv-leaks-back=2 L/min",
        "it does not hold: free air passing either way at working pressure",
    ),
    entry(
        "relief-high",
        "relief-high=15 bar",
        "the final relief valve lifts this much too high",
    ),
    entry(
        "relief-low",
        "relief-low=15 bar",
        "the final relief valve lifts this much too low",
    ),
    entry(
        "relief-weeps",
        "relief-weeps=5 L/min",
        "the final relief valve lets this much free air past at working pressure",
    ),
    entry(
        "relief-stuck-shut",
        "relief-stuck-shut",
        "the final relief valve no longer lifts",
    ),
    entry(
        "tower-leak",
        "tower-leak=5 L/min",
        "drain, vent or seals of the tower lose this much free air at working pressure",
    ),
    entry(
        "whip-leak",
        "whip-leak=5 L/min",
        "the whip or its connections lose this much free air at working pressure",
    ),
    entry(
        "purifier-blocked",
        "purifier-blocked=0.3 mm",
        "the purifier is choked down to a passage of this bore",
    ),
    entry(
        "tower-gauge-offset",
        "tower-gauge-offset=8 bar",
        "the tower gauge reads this much high (negative: low)",
    ),
    entry(
        "line-gauge-offset",
        "line-gauge-offset=-5 bar",
        "the line gauge reads this much high (negative: low)",
    ),
];

const fn entry(name: &'static str, example: &'static str, meaning: &'static str) -> Entry {
    Entry {
        name,
        example,
        meaning,
    }
}

/// Why a fault could not be read.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FaultError {
    /// No such fault.
    #[error("there is no fault called `{name}`{}", .suggestion.map_or(String::new(), |s| format!("; did you mean `{s}`?")))]
    Unknown {
        /// What was typed.
        name: String,
        /// The nearest name.
        suggestion: Option<&'static str>,
    },
    /// A size is wanted.
    #[error("`{name}` needs a size: write it like `{example}`")]
    SizeMissing {
        /// The fault.
        name: &'static str,
        /// How to write it.
        example: &'static str,
    },
    /// No size belongs here.
    #[error("`{name}` takes no size: write just `{name}`")]
    SizeUnwanted {
        /// The fault.
        name: &'static str,
    },
    /// The size cannot be read.
    #[error("the size of `{name}` cannot be read: {why}; write it like `{example}`")]
    BadSize {
        /// The fault.
        name: &'static str,
        /// How to write it.
        example: &'static str,
        /// What is wrong.
        why: String,
    },
}

impl Fault {
    /// Reads `name` or `name=size`, as in [`CATALOGUE`].
    pub fn parse(text: &str) -> Result<Fault, FaultError> {
        let (name, size) = match text.split_once('=') {
            Some((name, size)) => (name.trim(), Some(size.trim())),
            None => (text.trim(), None),
        };
        let Some(entry) = CATALOGUE.iter().find(|e| e.name.eq_ignore_ascii_case(name)) else {
            return Err(FaultError::Unknown {
                name: name.to_owned(),
                suggestion: nearest(name),
            });
        };
        let sized = entry.example.contains('=');
        match (sized, size) {
            (true, None) => Err(FaultError::SizeMissing {
                name: entry.name,
                example: entry.example,
            }),
            (false, Some(_)) => Err(FaultError::SizeUnwanted { name: entry.name }),
            (_, size) => build(entry, size.unwrap_or_default()),
        }
    }
}

fn build(entry: &Entry, size: &str) -> Result<Fault, FaultError> {
    let bad = |why: String| FaultError::BadSize {
        name: entry.name,
        example: entry.example,
        why,
    };
    let flow = || positive::<FlowRate>(size).map_err(bad);
    let pressure = || positive::<PressureDifference>(size).map_err(bad);
    let any_pressure = || {
        parse::<PressureDifference>(size)
            .map(|t| t.value)
            .map_err(|e| bad(e.cause()))
    };
    Ok(match entry.name {
        "worn-rings" => Fault::WornRings(share(size).map_err(bad)?),
        "stage-valve-leak" => {
            let (stage, size) = size
                .split_once(':')
                .ok_or_else(|| bad("stage and share are wanted".into()))?;
            let stage = stage
                .trim()
                .parse::<usize>()
                .ok()
                .filter(|s| (1..=6).contains(s));
            let stage = stage.ok_or_else(|| bad("the stage is a number from 1 to 6".into()))?;
            Fault::StageValveLeak(stage, share(size.trim()).map_err(bad)?)
        }
        "pmv-stuck-open" => Fault::PmvStuckOpen,
        "pmv-stuck-shut" => Fault::PmvStuckShut,
        "pmv-high" => Fault::PmvHigh(pressure()?),
        "pmv-low" => Fault::PmvLow(pressure()?),
        "pmv-leaks-back" => Fault::PmvLeaksBack(flow()?),
        "relief-high" => Fault::ReliefHigh(pressure()?),
        "relief-low" => Fault::ReliefLow(pressure()?),
        "relief-weeps" => Fault::ReliefWeeps(flow()?),
        "relief-stuck-shut" => Fault::ReliefStuckShut,
        "tower-leak" => Fault::TowerLeak(flow()?),
        "whip-leak" => Fault::WhipLeak(flow()?),
        "purifier-blocked" => Fault::PurifierBlocked(positive(size).map_err(bad)?),
        "tower-gauge-offset" => Fault::TowerGaugeOffset(any_pressure()?),
        _ => Fault::LineGaugeOffset(any_pressure()?),
    })
}

fn positive<Q: quantity::Quantity>(size: &str) -> Result<Q, String> {
    let typed = parse::<Q>(size).map_err(|e| e.cause())?;
    if typed.value.si() > 0.0 {
        Ok(typed.value)
    } else {
        Err("it must be above zero".into())
    }
}

fn share(size: &str) -> Result<Fraction, String> {
    let share: Fraction = positive(size)?;
    if share.as_ratio() < 0.95 {
        Ok(share)
    } else {
        Err("it must be below 95 %".into())
    }
}

/// The nearest name, where one is near enough to be meant.
fn nearest(name: &str) -> Option<&'static str> {
    let lower = name.to_lowercase();
    let likeness = |entry: &Entry| strsim::jaro_winkler(&lower, entry.name);
    let best = CATALOGUE
        .iter()
        .max_by(|a, b| likeness(a).total_cmp(&likeness(b)))?;
    (likeness(best) > 0.75).then_some(best.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every entry's example is read, and by its own name.
    #[test]
    fn every_example_is_read() {
        for entry in CATALOGUE {
            assert!(entry.example.starts_with(entry.name), "{}", entry.name);
            assert!(
                Fault::parse(entry.example).is_ok(),
                "{:?}",
                Fault::parse(entry.example)
            );
        }
        let stage = Fault::parse("stage-valve-leak=2:20%");
        assert_eq!(stage, Ok(Fault::StageValveLeak(2, Fraction::percent(20.0))));
        let low = Fault::parse("line-gauge-offset=-5 bar");
        assert_eq!(
            low,
            Ok(Fault::LineGaugeOffset(PressureDifference::bar(-5.0)))
        );
    }

    #[test]
    fn messages_name_cause_and_remedy() {
        let message = |text: &str| Fault::parse(text).unwrap_err().to_string();
        assert_eq!(
            message("pmv-stuck-opne"),
            "there is no fault called `pmv-stuck-opne`; did you mean `pmv-stuck-open`?"
        );
        assert_eq!(
            message("tower-leak"),
            "`tower-leak` needs a size: write it like `tower-leak=5 L/min`"
        );
        assert_eq!(
            message("pmv-stuck-shut=3 bar"),
            "`pmv-stuck-shut` takes no size: write just `pmv-stuck-shut`"
        );
        assert_eq!(
            message("worn-rings=120%"),
            "the size of `worn-rings` cannot be read: it must be below 95 %; write it like `worn-rings=15%`"
        );
        assert!(message("tower-leak=-1 L/min").contains("must be above zero"));
        assert!(
            message("tower-leak=5").contains("unit"),
            "{}",
            message("tower-leak=5")
        );
        assert!(message("stage-valve-leak=0:5%").contains("from 1 to 6"));
        assert!(message("é").starts_with("there is no fault called `é`"));
    }
}
