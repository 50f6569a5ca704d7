//! The units of whoever asks: chosen for the length of one job, on its thread.
//!
//! The command line and the interface for programs choose nothing: the station's own units hold, and
//! a figure needs its unit. A page chooses for its reader ([`reading_in`]); then the station is seen
//! in those units ([`seen`]), a number alone is taken in them ([`whole`]), and what was typed in
//! others has its figure in them beside it ([`both`]).
//! Not here: stamps, which keep their own unit; how a choice is made and remembered.

use std::cell::Cell;

use book::{Amount, Book, Measure};
use quantity::{
    FreeVolume, GaugePressure, Quantity, Temperature, Typed, UnitSystem, display_as, show,
};
use station::Station;

use super::Trouble;
use super::book::gate::station_as_written;

thread_local! {
    static ASKED: Cell<Option<UnitSystem>> = const { Cell::new(None) };
}

/// Does a job for somebody who reads these units; for nobody in particular where none are given.
pub fn reading_in<T>(units: Option<UnitSystem>, job: impl FnOnce() -> T) -> T {
    let _before = Before(ASKED.replace(units));
    job()
}

/// What was chosen before. A thread is used again: however a job ends, its choice ends with it.
struct Before(Option<UnitSystem>);

impl Drop for Before {
    fn drop(&mut self) {
        ASKED.set(self.0);
    }
}

/// The units of whoever asks; none where nothing was chosen.
pub fn asked() -> Option<UnitSystem> {
    ASKED.get()
}

/// The units of the station itself; none where the book has no station that can be used.
pub fn of_station(book: &Book) -> Result<Option<UnitSystem>, Trouble> {
    Ok(station_as_written(book, None)?.map(|station| station.units))
}

/// The station in the units of whoever asks.
pub fn seen(station: Station) -> Station {
    Station {
        units: asked().unwrap_or(station.units),
        ..station
    }
}

/// What was typed; a number alone with the unit of whoever asks.
pub fn whole<Q: Quantity>(text: &str) -> String {
    let text = text.trim();
    match asked() {
        Some(units) if is_bare(text) => format!("{text} {}", units.preferred::<Q>().symbol),
        _ => text.to_owned(),
    }
}

/// Whether a text is a number without a unit.
pub fn is_bare(text: &str) -> bool {
    let text = text.trim();
    text.ends_with(|c: char| c.is_ascii_digit())
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || "+-.,".contains(c))
}

/// A figure as typed, with the same in the units of whoever asks where those are others.
pub fn both<Q: Quantity>(measure: &Measure<Q>) -> String {
    let other = asked().zip(measure.with_unit()).and_then(|(units, typed)| {
        let unit = units.preferred::<Q>();
        (typed.unit.symbol != unit.symbol).then(|| rounded(typed, units))
    });
    match other.flatten() {
        Some(other) => format!("{measure} ({other})"),
        None => measure.to_string(),
    }
}

/// The same of a figure of any kind; liquids, masses and times stay as typed.
pub fn both_of(amount: &Amount) -> String {
    match amount {
        Amount::Pressure(m) => both::<GaugePressure>(m),
        Amount::Temperature(m) => both::<Temperature>(m),
        Amount::FreeAir(m) => both::<FreeVolume>(m),
        other => other.to_string(),
    }
}

/// Whole psi and whole degrees, since no gauge here shows less; else four digits.
fn rounded<Q: Quantity>(typed: Typed<Q>, units: UnitSystem) -> Option<String> {
    let unit = units.preferred::<Q>();
    match unit.symbol {
        "psi" | "°F" | "°C" => Some(show(typed.value, unit, 0)),
        symbol => display_as(typed.value, symbol),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told<Q: Quantity>(units: Option<UnitSystem>, text: &str) -> String {
        let measure = Measure::<Q>::parse(text).unwrap();
        reading_in(units, || both(&measure))
    }

    /// NIST SP 811 (2008), B.9: 1 psi = 6.894757 kPa, t/°F = 1.8 t/°C + 32: 232 bar are 3364.9 psi,
    /// 3000 psi are 206.84 bar, 16 °C are 60.8 °F.
    #[test]
    fn what_was_typed_stands_first_and_the_readers_unit_beside_it() {
        let (us, metric) = (Some(UnitSystem::Us), Some(UnitSystem::Metric));
        assert_eq!(told::<GaugePressure>(us, "232 bar"), "232 bar (3365 psi)");
        assert_eq!(
            told::<GaugePressure>(metric, "3000 psi"),
            "3000 psi (206.8 bar)"
        );
        assert_eq!(told::<Temperature>(us, "16 °C"), "16 °C (61 °F)");
        assert_eq!(told::<GaugePressure>(metric, "232 bar"), "232 bar");
        assert_eq!(told::<GaugePressure>(None, "3000 psi"), "3000 psi");
    }

    #[test]
    fn a_number_alone_is_in_the_readers_unit_and_a_typed_unit_stays() {
        let read = |units, text| reading_in(units, || whole::<GaugePressure>(text));
        assert_eq!(read(Some(UnitSystem::Us), " 3000 "), "3000 psi");
        assert_eq!(read(Some(UnitSystem::Metric), "232.5"), "232.5 bar");
        assert_eq!(read(Some(UnitSystem::Us), "232 bar"), "232 bar");
        assert_eq!(read(None, "232"), "232");
        for text in ["", "A1", "12 L2", "bar", "."] {
            assert_eq!(read(Some(UnitSystem::Us), text), text);
        }
    }

    #[test]
    fn a_choice_holds_for_its_job_alone() {
        let failed = std::panic::catch_unwind(|| {
            reading_in(Some(UnitSystem::Us), || {
                assert_eq!(asked(), Some(UnitSystem::Us));
                panic!("in the middle")
            })
        });
        assert!(failed.is_err());
        assert_eq!(asked(), None);
    }
}
