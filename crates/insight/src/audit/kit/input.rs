//! A station as the rules look at it: its ladder, and its machine prepared once.

use super::finding::Measure;
use crate::assemble::{Conditions, Prepared};
use crate::forecast::request::DrainPlan;
use crate::ladder::{Ladder, Rung, RungKind, Say};
use crate::water::Wet;
use quantity::{GaugePressure, Quantity as _, Temperature, TemperatureDifference, show};
use station::Station;
use std::cell::OnceCell;

pub(in crate::audit) use crate::ladder::above;

/// What a rule is given.
pub struct AuditInput<'s> {
    /// The station.
    pub station: &'s Station,
    /// Its pressures, with their bands.
    pub ladder: Ladder,
    say: Say,
    machine: OnceCell<Result<Prepared<'s>, String>>,
    wet: OnceCell<Result<Wet, String>>,
}

impl<'s> AuditInput<'s> {
    /// Prepares nothing yet but the ladder.
    pub fn new(station: &'s Station) -> AuditInput<'s> {
        AuditInput {
            station,
            ladder: Ladder::of(station),
            say: Say {
                units: station.units,
            },
            machine: OnceCell::new(),
            wet: OnceCell::new(),
        }
    }

    /// The machine in today's air, or why it cannot be computed.
    pub(in crate::audit) fn machine(&self) -> Result<&Prepared<'s>, String> {
        let prepare = || {
            let conditions = Conditions {
                ambient: self.station.intake.temperature,
                tower: GaugePressure::bar(0.0),
                line: GaugePressure::bar(0.0),
                water_bath: false,
                faults: Vec::new(),
            };
            Prepared::new(self.station, &conditions, Vec::new()).map_err(|e| e.to_string())
        };
        self.machine
            .get_or_init(prepare)
            .as_ref()
            .map_err(Clone::clone)
    }

    /// How much water air holds, or why that cannot be computed.
    pub(in crate::audit) fn wet(&self) -> Result<&Wet, String> {
        let prepare = || {
            let humidity = self.station.intake.humidity;
            Wet::new(self.machine()?, humidity, DrainPlan::WhenDue).map_err(|e| e.to_string())
        };
        self.wet.get_or_init(prepare).as_ref().map_err(Clone::clone)
    }

    /// The rung of a kind.
    pub(in crate::audit) fn rung(&self, kind: RungKind) -> Option<&Rung> {
        self.ladder.rung(kind)
    }

    /// The working pressure, bar gauge.
    pub(in crate::audit) fn working_bar(&self) -> f64 {
        self.station.compressor.working_pressure.as_bar()
    }

    /// A gauge pressure in the station's unit.
    pub(in crate::audit) fn say(&self, bar: f64) -> String {
        self.say.pressure(bar)
    }

    /// A gauge pressure as evidence.
    pub(in crate::audit) fn bar(&self, what: impl Into<String>, bar: f64) -> Measure {
        Measure {
            what: what.into(),
            value: bar,
            unit: "bar",
            shown: self.say(bar),
        }
    }

    /// A temperature in the station's unit.
    pub(in crate::audit) fn degrees(&self, celsius: f64) -> String {
        let unit = self.station.units.preferred::<Temperature>();
        show(Temperature::celsius(celsius), unit, 0)
    }

    /// A temperature as evidence.
    pub(in crate::audit) fn celsius(&self, what: &str, celsius: f64) -> Measure {
        Measure {
            shown: self.degrees(celsius),
            ..self.figure(what, celsius, "°C", 0)
        }
    }

    /// A difference of temperatures as evidence.
    pub(in crate::audit) fn warmer(&self, what: &str, kelvin: f64) -> Measure {
        let symbol = self.station.units.preferred::<Temperature>().symbol;
        let unit = TemperatureDifference::unit(symbol).unwrap_or(TemperatureDifference::METRIC);
        Measure {
            shown: show(TemperatureDifference::kelvin(kelvin), unit, 0),
            ..self.figure(what, kelvin, "°C", 0)
        }
    }

    /// A figure as evidence.
    pub(in crate::audit) fn figure(
        &self,
        what: impl Into<String>,
        value: f64,
        unit: &'static str,
        decimals: usize,
    ) -> Measure {
        let space = if unit == "1" {
            String::new()
        } else {
            format!(" {unit}")
        };
        Measure {
            what: what.into(),
            value,
            unit,
            shown: format!("{value:.decimals$}{space}"),
        }
    }
}
