//! A trend in one sentence.

use super::answer::{Crossing, Interval, Standing, TrendAnswer};
use super::{Setting, answer::Apart};
use quantity::{GaugePressure, UnitSystem};

/// Where it stands, how it moves, and when it leaves its tolerance, for a reader of these units.
pub fn sentence(answer: &TrendAnswer, today: f64, units: UnitSystem) -> String {
    let value = |of: Interval| value(answer.setting, of, units);
    let name = capital(answer.setting.called());
    let Some(level) = answer.level else {
        return format!("{name} has no reading that counts.");
    };
    let mut text = format!("{name} stands at {}", value(level));
    text += match answer.standing {
        Standing::Within => ", within its tolerance",
        Standing::LikelyWithin => ", likely within its tolerance",
        Standing::LikelyOutside => ", likely outside its tolerance",
        Standing::Outside => ", outside its tolerance",
        Standing::Unknown => "",
    };
    text += &match answer.per_year {
        Some(slope) if answer.significant => {
            format!(" and moves by {} a year", value(slope))
        }
        Some(_) if matches!(answer.crossing, Crossing::CannotTell { .. }) => String::new(),
        Some(_) => "; no movement is seen in the readings".into(),
        None => String::new(),
    };
    text += &match &answer.crossing {
        Crossing::Outside => ": have it seen to as the maker's manual says.".into(),
        Crossing::Crosses {
            earliest_day,
            median_day,
            latest_day,
            ..
        } => format!(
            ": it leaves its tolerance {} ({} at the earliest, {} at the latest).",
            within(median_day - today),
            within(earliest_day - today),
            latest_day.map_or("not known".into(), |day| within(day - today)),
        ),
        Crossing::NotWithin { years } => {
            format!(": it stays within its tolerance for {years:.0} years or more as it goes.")
        }
        Crossing::CannotTell { why, .. } => {
            format!(". Whether it will leave its tolerance cannot be told: {why}.")
        }
    };
    if let Some(apart) = &answer.apart {
        text += &left_out(&number(answer.setting, apart.value, units), apart);
    }
    text
}

fn left_out(value: &str, apart: &Apart) -> String {
    if apart.latest {
        format!(
            " The latest reading, {value}, stands apart and is left out: read it again, it may be \
             the first sign of a change."
        )
    } else {
        format!(" One reading, {value}, stands apart and is left out.")
    }
}

fn value(setting: Setting, of: Interval, units: UnitSystem) -> String {
    format!(
        "{} ({} to {})",
        number(setting, of.mid, units),
        number(setting, of.low, units),
        number(setting, of.high, units)
    )
}

fn number(setting: Setting, value: f64, units: UnitSystem) -> String {
    match (setting, units) {
        (Setting::ChargingRate, _) => format!("{:.0} %", value * 100.0),
        (_, UnitSystem::Metric) => format!("{value:.1} bar"),
        (_, UnitSystem::Us) => format!("{:.0} psi", GaugePressure::bar(value).as_psi() + 0.0),
    }
}

/// How far ahead a day is: `within a month`, `in about 4 months`.
fn within(days: f64) -> String {
    let months = days / 30.44;
    match months {
        m if m < 1.0 => "within a month".into(),
        m if m < 1.5 => "in about a month".into(),
        m if m < 24.0 => format!("in about {m:.0} months"),
        m => format!("in about {:.1} years", m / 12.0),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
