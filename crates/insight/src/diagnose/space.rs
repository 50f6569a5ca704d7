//! What may differ from the station file in one run, as standard numbers, and what readings it gives.
//!
//! A tolerance of ±x in the station file is two standard deviations. A gauge's class (its greatest
//! error, EN 837-1) is split into a part that is the same in all its readings and one that is not.
//! Not here: what is wrong ([`super::suspects`]).

use super::course::{self, Plan, Series, Trace};
use super::settings::Settings;
use super::suspects::Suspect;
use crate::assemble::{Prepared, Variation};
use physics::fit::Predicted;
use station::{Reads, Station};

/// Shares of a gauge's greatest error: standard deviation of what is the same in all its readings,
/// and of what is not. Together half of it, as for the tolerances.
const SAME: f64 = 0.35;
const OWN: f64 = 0.40;
/// What the model itself may be off, as a share of the pressure and in bar (an estimate).
const MODEL_SHARE: f64 = 0.01;
const MODEL_BAR: f64 = 1.2;
/// The same for interstage pressures, whose stages are seldom described.
const STAGE_SHARE: f64 = 0.03;
/// Factor on a stage gauge's whole scale of pressures, standard deviation.
const STAGE_FACTOR: f64 = 0.06;
/// A watch against the start of the machine, standard deviation, s.
const CLOCK_S: f64 = 8.0;
/// A tower let down through the PMV is cold, and its pressure rises as it warms: by how much
/// depends on the mass of its walls, which few know. Standard deviation as a share (an estimate
/// from runs with and without walls).
const WARMING: f64 = 0.05;
/// ln of the factor on the film between the tower's gas and its walls and beds, standard
/// deviation: from a gas that warms by itself to one that follows them (an estimate; no station
/// file says it).
const TOWER_HEAT: f64 = 1.3;
/// Starting pressures that nobody wrote down, standard deviation, bar.
const UNKNOWN_BAR: f64 = 35.0;
/// Those of the station file, standard deviation, bar.
const FILED_BAR: f64 = 8.0;
/// Those reckoned back from the first readings, standard deviation, bar.
const RECKONED_BAR: f64 = 15.0;
/// A PMV heard or seen to open: how closely that tells its pressure, bar.
const HEARD_BAR: f64 = 6.0;

/// One thing that may differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Dim {
    Delivery,
    Pmv,
    PmvCloses,
    Relief,
    ReliefReseats,
    TowerVolume,
    Heat,
    /// How closely the tower's gas follows its walls and beds, as a logarithm.
    TowerHeat,
    TowerStart,
    CylinderStart,
    /// Not of the machine but of the reading: from here on no run is needed.
    Clock,
    /// How far the tower warms up again after it was let down.
    Warming,
    Gauge(Reads),
}

/// One datum that a model must explain.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Datum {
    /// The line it was written on.
    pub line: usize,
    pub t_s: f64,
    pub t_sd_s: f64,
    pub what: Told,
    /// The value to explain.
    pub value: f64,
    /// Standard uncertainty of the reading alone.
    pub sd: f64,
    /// Factor on its whole error: readings crowded together share what the model is off, and many
    /// tell no more than some.
    pub crowd: f64,
}

/// What a datum tells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Told {
    /// A gauge reading, bar.
    Gauge(Reads),
    /// The PMV opened at that moment: the tower stood at its opening pressure.
    PmvOpens,
}

/// Everything one machine and its run may be.
pub(super) struct Space<'a> {
    pub prepared: &'a Prepared<'a>,
    pub plan: Plan,
    pub dims: Vec<(Dim, f64)>,
    pub data: Vec<Datum>,
}

impl<'a> Space<'a> {
    pub fn new(
        prepared: &'a Prepared<'a>,
        plan: Plan,
        data: Vec<Datum>,
        starts: Starts,
    ) -> Space<'a> {
        let station = prepared.station();
        let t = &station.tolerances;
        let half = |share: f64| share / 2.0;
        let ambient = t.intake_temperature.as_kelvin() / prepared.ambient_k;
        let delivery = [t.delivery.as_ratio(), t.volume.as_ratio(), ambient];
        let delivery = half(delivery.iter().map(|x| x * x).sum::<f64>().sqrt());
        let pmv = station.pmv.as_ref();
        let closes = pmv.map_or(0.0, |p| half(t.pmv.as_ratio()) * p.closes.as_bar());
        let reseats = station.relief.as_ref();
        let reseats = reseats.map_or(0.0, |r| half(t.relief.as_ratio()) * r.reseats.as_bar());
        let mut dims = vec![
            (Dim::Delivery, delivery),
            (Dim::Pmv, pmv.map_or(0.0, |_| half(t.pmv.as_ratio()))),
            (Dim::PmvCloses, closes),
            (Dim::Relief, half(t.relief.as_ratio())),
            (Dim::ReliefReseats, reseats),
            (Dim::TowerVolume, half(t.volume.as_ratio())),
            (Dim::Heat, half(t.heat_transfer.as_ratio())),
            (Dim::TowerHeat, TOWER_HEAT),
            (Dim::TowerStart, starts.tower.sd_bar(station)),
            (Dim::CylinderStart, starts.cylinders.sd_bar(station)),
            (Dim::Clock, CLOCK_S),
            (Dim::Warming, WARMING),
        ];
        let mut gauges: Vec<Reads> = Vec::new();
        for datum in &data {
            if let Told::Gauge(reads) = datum.what
                && !gauges.contains(&reads)
            {
                gauges.push(reads);
            }
        }
        let same = |reads: Reads| match reads {
            Reads::Stage(_) => (Dim::Gauge(reads), STAGE_FACTOR),
            _ => (Dim::Gauge(reads), SAME * error_of(station, reads)),
        };
        dims.extend(gauges.into_iter().map(same));
        // a relief valve that is not reached is not asked about
        let relief = |dim: &Dim| matches!(dim, Dim::Relief | Dim::ReliefReseats);
        dims.retain(|(dim, sd)| *sd > 0.0 && (plan.runs_on || !relief(dim)));
        Space {
            prepared,
            plan,
            dims,
            data,
        }
    }

    /// The same machine in another run, or with other readings to be explained.
    pub fn with(&self, plan: Plan, data: Vec<Datum>) -> Space<'a> {
        Space {
            prepared: self.prepared,
            plan,
            dims: self.dims.clone(),
            data,
        }
    }

    fn value(&self, z: &[f64], dim: Dim) -> f64 {
        let found = self.dims.iter().zip(z).find(|((d, _), _)| *d == dim);
        found.map_or(0.0, |((_, sd), z)| sd * z)
    }

    /// The settings that the standard numbers stand for: those of the space, then one for each
    /// part of the suspect that has a size.
    pub fn settings(&self, suspect: &Suspect, z: &[f64]) -> Settings {
        let factor = |dim| (1.0 + self.value(z, dim)).max(0.1);
        let (own, sizes) = z.split_at(self.dims.len().min(z.len()));
        let mut settings = Settings {
            variation: Variation {
                delivery: factor(Dim::Delivery),
                pmv: factor(Dim::Pmv),
                relief: factor(Dim::Relief),
                tower_volume: factor(Dim::TowerVolume),
                heat: factor(Dim::Heat),
                tower_start_pa: 1e5 * self.value(own, Dim::TowerStart),
                cylinder_start_pa: 1e5 * self.value(own, Dim::CylinderStart),
                ..Variation::NONE
            },
            pmv_closes_bar: self.value(own, Dim::PmvCloses),
            relief_reseats_bar: self.value(own, Dim::ReliefReseats),
            effects: Vec::new(),
            clock_s: self.value(own, Dim::Clock),
            warming: self.value(own, Dim::Warming),
            tower_heat: self.value(own, Dim::TowerHeat).exp(),
            gauges: [Reads::Tower, Reads::Line].map(|reads| self.value(own, Dim::Gauge(reads))),
        };
        let mut sizes = sizes.iter();
        for part in &suspect.parts {
            let z = if part.sized() {
                sizes.next().copied()
            } else {
                None
            };
            settings
                .effects
                .push((part.effect, part.size(z.unwrap_or(0.0))));
        }
        settings
    }

    /// The run with these settings.
    pub fn trace(&self, settings: &Settings) -> Option<Trace> {
        let ailing = settings.ailing(self.prepared)?;
        let prepared = ailing.as_ref().unwrap_or(self.prepared);
        let mut assembly = prepared.assembly(&settings.variation).ok()?;
        settings.adjust(&mut assembly);
        course::run(prepared, &assembly, &self.plan)
    }

    /// What all readings would be in this run.
    pub fn readings(&self, trace: &Trace, settings: &Settings, z: &[f64]) -> Option<Predicted> {
        let mut predicted = Predicted {
            mean: Vec::new(),
            scale: Vec::new(),
        };
        for datum in &self.data {
            let (mean, scale) = self.expected(trace, settings, z, datum)?;
            predicted.mean.push(mean);
            predicted.scale.push(scale);
        }
        Some(predicted)
    }

    /// What one datum would be, and the scale of its error.
    pub fn expected(
        &self,
        trace: &Trace,
        settings: &Settings,
        z: &[f64],
        datum: &Datum,
    ) -> Option<(f64, f64)> {
        let t_s = datum.t_s - settings.clock_s;
        let (mean, spread) = match datum.what {
            Told::Gauge(reads) => {
                let (true_bar, spread) = trace.about(series(reads), t_s, datum.t_sd_s)?;
                let bled_s = trace.stopped_s.map(|s| s + course::BLEED_AFTER_S);
                let let_down = reads == Reads::Tower && bled_s.is_some_and(|s| t_s > s);
                let warmed = if let_down { settings.warming } else { 0.0 };
                let true_bar = true_bar * (1.0 + warmed);
                let shown = match reads {
                    Reads::Stage(_) => true_bar * (1.0 + self.value(z, Dim::Gauge(reads))),
                    _ => true_bar + settings.reads_high(reads),
                };
                // a needle rests at its stop
                (shown.max(0.0), spread)
            }
            Told::PmvOpens => {
                let (tower, spread) = trace.about(Series::Tower, t_s, datum.t_sd_s)?;
                (
                    tower - settings.pmv_opens_bar(self.prepared.station())?,
                    spread,
                )
            }
        };
        let model = match datum.what {
            Told::Gauge(Reads::Stage(_)) => STAGE_SHARE * mean.abs(),
            _ => (MODEL_SHARE * mean).hypot(MODEL_BAR),
        };
        Some((mean, datum.crowd * datum.sd.hypot(model).hypot(spread)))
    }

    /// The scales below which no error lies.
    pub fn floor(&self) -> Vec<f64> {
        self.data
            .iter()
            .map(|d| d.crowd * d.sd.hypot(MODEL_BAR))
            .collect()
    }

    pub fn values(&self) -> Vec<f64> {
        self.data.iter().map(|d| d.value).collect()
    }
}

pub(super) fn series(reads: Reads) -> Series {
    match reads {
        Reads::Tower => Series::Tower,
        Reads::Line => Series::Line,
        Reads::Stage(n) => Series::Stage(n),
    }
}

/// A reading's own standard uncertainty from the gauge's class and what can be read off, bar.
pub(super) fn own_error(station: &Station, reads: Reads) -> f64 {
    let gauge = station.gauges.iter().find(|g| g.reads == reads);
    let step = gauge.and_then(|g| g.resolution).map_or(0.0, |d| d.as_bar());
    // within a step every value is as likely as another: step/√12
    (OWN * error_of(station, reads)).hypot(step / 12f64.sqrt())
}

/// A gauge's greatest error, bar: its class; 1.6 % of 400 bar where the file has no such gauge.
pub(super) fn error_of(station: &Station, reads: Reads) -> f64 {
    let gauge = station.gauges.iter().find(|g| g.reads == reads);
    gauge.map_or(6.4, |g| g.greatest_error().as_bar())
}

/// How well the pressures before the start are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Starts {
    pub tower: Start,
    pub cylinders: Start,
}

/// Where a starting pressure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Start {
    /// Read off before this run.
    Read,
    /// From the station file: of some other day, perhaps.
    Filed,
    /// Reckoned back from the first readings.
    Reckoned,
    /// From nowhere.
    Unknown,
}

impl Start {
    /// Standard deviation, bar.
    fn sd_bar(self, station: &Station) -> f64 {
        let stated = station.tolerances.start_pressure.map(|d| d.as_bar());
        match self {
            Start::Read => stated.unwrap_or_else(|| best_error(station)) / 2.0,
            Start::Filed => FILED_BAR,
            Start::Reckoned => RECKONED_BAR,
            Start::Unknown => UNKNOWN_BAR,
        }
    }
}

fn best_error(station: &Station) -> f64 {
    error_of(station, Reads::Tower).min(error_of(station, Reads::Line))
}

/// A datum of something heard: the PMV opening at a moment.
pub(super) fn heard(line: usize, t_s: f64, t_sd_s: f64) -> Datum {
    Datum {
        line,
        t_s,
        t_sd_s,
        what: Told::PmvOpens,
        value: 0.0,
        sd: HEARD_BAR,
        crowd: 1.0,
    }
}
