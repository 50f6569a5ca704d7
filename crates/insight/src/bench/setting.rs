//! What can be set before the bench starts: the day's air, the cylinder, the PMV.

use super::Refused;
use crate::forecast::request::{CylinderStart, Request};
use quantity::{
    Fraction, GaugePressure, PressureDifference, Quantity as _, Temperature, UnitSystem,
};
use station::Station;

/// Coldest and warmest intake air, °C; driest, % RH.
const COLDEST_C: f64 = -10.0;
const WARMEST_C: f64 = 45.0;
const DRIEST: f64 = 5.0;
/// Lowest PMV setting, bar.
const LOWEST_PMV_BAR: f64 = 20.0;
/// A cylinder starts at least this much below its stop, bar.
const ROOM_BAR: f64 = 1.0;
/// Hoses on a bench, at most: more than a class can mind.
pub const MOST_HOSES: usize = 4;

/// How the bench stands before the start.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// Air at the intake and around the machine.
    pub intake: Temperature,
    /// Its relative humidity.
    pub humidity: Fraction,
    /// Kind of cylinder, or one cylinder, by its id.
    pub cylinder: String,
    /// What each cylinder holds when it is put on.
    pub start: GaugePressure,
    /// Pressure at which the PMV opens; none: none is fitted.
    pub pmv_opens: Option<GaugePressure>,
    /// What the tower holds.
    pub tower: GaugePressure,
    /// Hoses in use, each with a cylinder.
    pub hoses: usize,
}

impl Setting {
    /// As the station file says.
    ///
    /// **Errors** a file that names no cylinder to fill.
    pub fn of(station: &Station) -> Result<Setting, Refused> {
        let nothing = GaugePressure::bar(0.0);
        let kind = station.cylinder_kinds.first().ok_or_else(|| {
            Refused::new(
                "the station file names no cylinder to fill",
                "add a [[cylinder_kind]] with its water_volume and working_pressure",
            )
        })?;
        let start = match station.units {
            UnitSystem::Metric => GaugePressure::bar(50.0),
            UnitSystem::Us => GaugePressure::psi(500.0),
        };
        Ok(Setting {
            intake: station.intake.temperature,
            humidity: station.intake.humidity,
            cylinder: kind.id.clone(),
            start,
            pmv_opens: station.pmv.as_ref().map(|pmv| pmv.opens),
            tower: station.pmv.as_ref().map_or(nothing, |pmv| pmv.closes),
            hoses: 1,
        })
    }

    /// What does not fit, in the order of the fields: the field's name and why.
    pub fn troubles(&self, station: &Station) -> Vec<(&'static str, Refused)> {
        let mut all = Vec::new();
        let mut out = |field, is: bool, what: String, remedy: &str| {
            if is {
                all.push((field, Refused::new(what, remedy)));
            }
        };
        let c = self.intake.as_celsius();
        out(
            "intake",
            !(COLDEST_C..=WARMEST_C).contains(&c),
            format!("intake air of {c:.0} °C is not for this bench"),
            "choose between -10 and 45 °C",
        );
        let humidity = self.humidity.as_percent();
        out(
            "humidity",
            !(DRIEST..=100.0).contains(&humidity),
            format!("a humidity of {humidity:.0} % is not for this bench"),
            "choose between 5 and 100 %",
        );
        let working = station.compressor.working_pressure.as_bar();
        let opens = self.pmv_opens.map_or(LOWEST_PMV_BAR, |p| p.as_bar());
        out(
            "pmv",
            !(LOWEST_PMV_BAR..=working - 10.0).contains(&opens),
            format!("a PMV that opens at {opens:.0} bar is not for this bench"),
            "choose from 20 bar up to 10 bar below working pressure",
        );
        let start = self.start.as_bar();
        out(
            "start",
            !(0.0..=working - ROOM_BAR).contains(&start),
            format!("a cylinder that starts at {start:.0} bar cannot be filled here"),
            "choose from 0 up to 1 bar below working pressure",
        );
        let most = station.whip.count.clamp(1, MOST_HOSES);
        out(
            "hoses",
            !(1..=most).contains(&self.hoses),
            format!("{} hoses are not on this bench", self.hoses),
            "choose from 1 up to as many as the station file names, and 4 at most",
        );
        all
    }

    /// The station as it is set here: its PMV, with the gap between open and shut in proportion.
    pub fn applied(&self, station: &Station) -> Station {
        let mut set = station.clone();
        set.intake.temperature = self.intake;
        set.intake.humidity = self.humidity;
        if let (Some(pmv), Some(opens)) = (&mut set.pmv, self.pmv_opens) {
            let factor = opens.si() / pmv.opens.si().max(1.0);
            pmv.closes = GaugePressure::bar(pmv.closes.as_bar() * factor);
            let above = pmv.full_open_above.as_bar() * factor;
            pmv.full_open_above = PressureDifference::bar(above);
            pmv.opens = opens;
        }
        set.now.line = None;
        set.now.cylinders.clear();
        set
    }

    /// The same as a request.
    pub(super) fn request(&self) -> Request {
        let one = CylinderStart {
            id: self.cylinder.clone(),
            start: Some(self.start),
        };
        Request {
            cylinders: vec![one; self.hoses],
            intake_temperature: Some(self.intake),
            humidity: Some(self.humidity),
            tower: Some(self.tower),
            ..Request::default()
        }
    }
}
