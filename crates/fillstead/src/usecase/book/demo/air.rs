//! The air of the place, day by day: seasons with weather on top.
//!
//! An invented shore with cool summers and mild winters. Not here: anything measured.

use jiff::civil::Date;

use super::chance::Chance;

/// Air at the intake.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// °C.
    pub celsius: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
}

/// Mean of the year and swing of the seasons, °C; the warmest day of the year. Invented, as is the
/// place; such figures are common on the coasts of north-west Europe (from memory).
const MEAN_C: f64 = 11.0;
const SWING_C: f64 = 6.5;
const WARMEST_DAY: f64 = 205.0;
/// A warm wet spell: so much warmer, and so humid at least.
const SPELL_K: f64 = 3.5;
const SPELL_HUMIDITY: f64 = 0.84;

/// The air of a day.
pub fn of(date: Date, spell: bool, chance: &mut Chance) -> Air {
    let day = f64::from(date.day_of_year());
    let season = ((day - WARMEST_DAY) / 365.25 * std::f64::consts::TAU).cos();
    let celsius = MEAN_C + SWING_C * season + chance.normal(2.0);
    let humidity = 0.80 - 0.06 * season + chance.normal(0.07);
    let (warmer, dampest) = match spell {
        true => (SPELL_K, SPELL_HUMIDITY),
        false => (0.0, 0.45),
    };
    Air {
        celsius: (celsius + warmer).round(),
        humidity: humidity.clamp(dampest, 0.97),
    }
}
