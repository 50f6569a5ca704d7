//! Letting the air out: how long, how hard it pushes, how much was in there, what stays.
//!
//! Start at [`vent`]. The times come from the simulation of the assembled
//! station at rest, with the closed form for an ideal gas beside them.
//! Not here: whether a hose or a vessel may be undone. A calculated zero is no
//! zero: the bleed that no longer hisses decides.

pub mod answer;
mod energy;
mod reach;
mod room;
mod run;
mod stays;
#[cfg(test)]
mod tests;

use crate::assemble::Conditions;
use crate::forecast::answer::Assumption;
use crate::forecast::request::ForecastError;
use answer::{GaugeDoubt, VentAnswer};
use quantity::{GaugePressure, Length, Temperature};
use room::Room;
use station::{Reads, Station};

/// What to let out, and from where.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct VentRequest {
    /// Tower gauge at the start; else working pressure.
    pub tower: Option<GaugePressure>,
    /// Pressure in the whip at the start; else working pressure.
    pub line: Option<GaugePressure>,
    /// Air around the machine; else the station file's.
    pub temperature: Option<Temperature>,
    /// Bore of a fill hose; else 5 mm.
    pub hose_bore: Option<Length>,
    /// Passage of a cylinder's own valve; else that of the station's fill valve.
    pub valve_bore: Option<Length>,
}

/// Bore of a fill hose where none is given (common practice, no source).
const HOSE_BORE_MM: f64 = 5.0;
/// Pressures that can be asked for, bar: the range of the gas model with room for heat.
const HIGHEST_BAR: f64 = 450.0;
/// Passages that can be asked for, mm.
const BORES_MM: std::ops::RangeInclusive<f64> = 0.05..=50.0;

/// Follows every way out of a station at rest, compressor off and cylinders shut.
///
/// **Errors** a request that does not fit, or a station that cannot be computed.
pub fn vent(station: &Station, request: &VentRequest) -> Result<VentAnswer, ForecastError> {
    let working = station.compressor.working_pressure;
    let tower = request.tower.unwrap_or(working);
    let line = request.line.unwrap_or(working);
    fits(request, tower, line)?;
    let conditions = Conditions {
        ambient: request.temperature.unwrap_or(station.intake.temperature),
        tower,
        line,
        water_bath: false,
        faults: Vec::new(),
    };
    let room = Room::new(station, &conditions)?;
    let mut ways = room.station_ways()?;
    let valve_bore = request.valve_bore.unwrap_or(station.whip.fill_bore);
    ways.extend(room.cylinders(valve_bore)?);
    let hose_bore = request
        .hose_bore
        .unwrap_or_else(|| Length::millimetre(HOSE_BORE_MM));
    Ok(VentAnswer {
        station: station.name.clone(),
        invented: station.invented,
        zero_means_bar: run::ZERO_BAR,
        ways,
        thrust: energy::thrust(hose_bore, line, station.ambient_pressure.as_pascal()),
        stored: room.stored(tower, line)?,
        sources: energy::SOURCES.to_vec(),
        gauges: gauges(station),
        not_known: not_known(station),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        assumed: assumed(request, hose_bore, valve_bore, working),
    })
}

fn fits(
    request: &VentRequest,
    tower: GaugePressure,
    line: GaugePressure,
) -> Result<(), ForecastError> {
    for (what, p) in [("the tower", tower), ("the whip", line)] {
        if !(0.0..=HIGHEST_BAR).contains(&p.as_bar()) {
            return Err(ForecastError::Unfit {
                what: format!("{what} at {:.0} bar cannot be computed", p.as_bar()),
                remedy: format!("Give what the gauge shows, 0 to {HIGHEST_BAR} bar"),
            });
        }
    }
    let asked = [request.hose_bore, request.valve_bore];
    match asked
        .into_iter()
        .flatten()
        .find(|b| !BORES_MM.contains(&b.as_millimetre()))
    {
        Some(bore) => Err(ForecastError::Unfit {
            what: format!("a bore of {} mm cannot be computed", bore.as_millimetre()),
            remedy: "Give the narrowest passage, 0.05 to 50 mm".into(),
        }),
        None => Ok(()),
    }
}

/// Gauges of tower and line near zero.
fn gauges(station: &Station) -> Vec<GaugeDoubt> {
    let of_air = station
        .gauges
        .iter()
        .filter(|g| !matches!(g.reads, Reads::Stage(_)));
    let doubt = |gauge: &station::Gauge| GaugeDoubt {
        name: gauge.name.clone(),
        bar: gauge.greatest_error().as_bar(),
    };
    of_air.map(doubt).collect()
}

fn not_known(station: &Station) -> Vec<String> {
    let mut all = vec![
        "between the stages, and from the last stage to the first non-return valve: open every \
         interstage drain"
            .to_owned(),
    ];
    if station.vent.is_none() {
        all.push(
            "no tower vent is written down: the tower is let out through the drain, or as the \
             maker's manual says"
                .into(),
        );
    }
    if !station.banks.is_empty() {
        all.push("how the banks are piped: their valves are taken as shut".into());
    }
    all
}

const CAUTIONS: [&str; 6] = [
    "Shut the cylinder's valve first, then the fill valve, then bleed the whip; undo it only when \
     the bleed has stopped hissing and the gauge rests on its pin",
    "If it goes on hissing or a fitting will not turn by hand, it is under pressure: stop, and let \
     it out another way",
    "Keep face and body out of line with hose ends, bleeds and the outlets of relief valve and disc",
    "Open slowly and hold the hose; wear ear and eye protection",
    "Escaping air chills: ice can plug a small passage and look like zero",
    "Never loosen, tighten or take out a plug, relief valve or disc under pressure",
];

fn assumed(
    request: &VentRequest,
    hose: Length,
    valve: Length,
    working: GaugePressure,
) -> Vec<Assumption> {
    let mut all = vec![Assumption {
        what: "compressor off, cylinders shut, valves fully open".into(),
        why: "opened by a crack, as is right, it takes longer".into(),
    }];
    let mut note = |given: bool, what: String, why: &str| {
        if !given {
            let why = why.to_owned();
            all.push(Assumption { what, why });
        }
    };
    let at = |what: &str| format!("{what} at {:.0} bar", working.as_bar());
    let why = "not given: working pressure, as after a run";
    note(request.tower.is_some(), at("tower"), why);
    note(request.line.is_some(), at("whip"), why);
    note(
        request.hose_bore.is_some(),
        format!("hose bore {:.1} mm", hose.as_millimetre()),
        "not given (common practice, no source)",
    );
    note(
        request.valve_bore.is_some(),
        format!("cylinder valve {:.1} mm", valve.as_millimetre()),
        "not given: the station's fill valve is taken",
    );
    all
}
