//! Figures of the machine as the station file in force gives them.
//!
//! Not here: what was measured; that is in the records.

use quantity::{GaugePressure, Quantity, UnitSystem, display_as};
use station::{Drive, Output, Station};

use crate::print::Shown;
use crate::print::support::Fact;

/// The figures a technician asks for.
pub fn machine(station: &Station) -> Vec<Fact> {
    let say = Say(station.units);
    let mut facts = vec![
        say.pressure("working pressure", station.compressor.working_pressure),
        say.plain("stages", station.compressor.stage_count.to_string()),
        output(station, say),
        drive(station, say),
    ];
    if let Some(pmv) = &station.pmv {
        facts.push(say.pressure("PMV opens", pmv.opens));
        facts.push(say.pressure("PMV closes", pmv.closes));
    }
    if let Some(relief) = &station.relief {
        facts.push(say.pressure("final relief lifts", relief.lifts));
        facts.push(say.pressure("final relief reseats", relief.reseats));
    }
    if let Some(disc) = &station.burst_disc {
        facts.push(say.pressure("burst disc", disc.bursts));
    }
    let rated = station.tower.rated_pressure;
    facts.extend(rated.map(|rated| say.pressure("tower rated", rated)));
    let hose = station.whip.rated_pressure;
    facts.extend(hose.map(|rated| say.pressure("fill hose rated", rated)));
    let sump = station.separator.sump_volume.as_millilitre();
    facts.push(say.plain("sump holds", format!("{sump:.0} mL")));
    let interval = station.separator.drain_interval.as_minute();
    facts.push(say.plain("drain every", format!("{interval:.0} min")));
    facts
}

/// What is to be read now: the air, then every gauge.
pub fn gauges(station: Option<&Station>) -> Vec<String> {
    let mut all = vec!["air at the intake, humidity".to_owned()];
    match station {
        Some(station) if !station.gauges.is_empty() => {
            let say = Say(station.units);
            let gauge = |g: &station::Gauge| format!("{} gauge, to {}", g.name, say.of(g.span));
            all.extend(station.gauges.iter().map(gauge));
        }
        _ => all.extend(["tower gauge", "fill panel gauge"].map(str::to_owned)),
    }
    all.push("hour meter".to_owned());
    all
}

/// Figures in the units of the station.
#[derive(Clone, Copy)]
struct Say(UnitSystem);

impl Say {
    fn of<Q: Quantity>(self, q: Q) -> String {
        display_as(q, self.0.preferred::<Q>().symbol).unwrap_or_default()
    }

    fn pressure(self, name: &str, pressure: GaugePressure) -> Fact {
        Fact {
            name: name.to_owned(),
            figure: Shown::pressure(pressure, &self.of(pressure)),
            note: String::new(),
        }
    }

    fn plain(self, name: &str, figure: String) -> Fact {
        Fact {
            name: name.to_owned(),
            figure: Shown::plain(figure),
            note: String::new(),
        }
    }
}

fn output(station: &Station, say: Say) -> Fact {
    match &station.compressor.output {
        Output::ChargingRate(rate) => say.plain("charging rate", say.of(*rate)),
        Output::FreeAirDelivery(rate) => say.plain("free air delivery", say.of(*rate)),
        Output::Stages(stages) => say.plain("stages listed", stages.len().to_string()),
        Output::Delivery(points) => say.plain(
            "delivery measured at",
            format!("{} pressures", points.len()),
        ),
    }
}

fn drive(station: &Station, say: Say) -> Fact {
    let drive = match station.compressor.drive {
        Some(Drive::Electric) => "electric",
        Some(Drive::Petrol) => "petrol",
        Some(Drive::Diesel) => "diesel",
        None => "not stated",
    };
    let power = station.compressor.power.map(|power| say.of(power));
    let speed = station.compressor.speed.map(|speed| say.of(speed));
    let all = super::super::joined([Some(drive.to_owned()), power, speed], ", ");
    say.plain("drive", all)
}
