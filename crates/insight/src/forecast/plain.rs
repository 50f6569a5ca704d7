//! One run of a machine that changes from run to run, and nothing beside it.
//!
//! Start at [`Machine::new`], which prepares what all runs share; [`Machine::run`] then simulates one
//! and [`Machine::water`] follows its water into a purifier that is carried from run to run. Runs
//! may be made in parallel; the purifier goes through them in order. Not here: bands, comparisons,
//! hours left ([`super::forecast`]), gauges and whoever reads them.

use super::job::Job;
use super::operate;
use super::request::{CylinderStart, DrainPlan, ForecastError, Request};
use super::run::Run;
use crate::assemble::{Conditions, Prepared, Variation};
use crate::water::{Cartridge, Plan, Wet, follow};
use physics::purifier::Adsorbent;
use quantity::{Fraction, GaugePressure, Temperature, TimeSpan, Volume};
use station::Station;

/// Time between the samples that the water is followed by, s.
const SAMPLE_S: f64 = 20.0;

/// A station's machine, prepared once.
pub struct Machine<'s> {
    prepared: Prepared<'s>,
    wet: Wet,
}

/// One run to make.
#[derive(Debug, Clone, PartialEq)]
pub struct PlainRun {
    /// Cylinders in the order they are filled, as many at a time as there are whips.
    pub fills: Vec<PlainFill>,
    /// Air at the intake.
    pub intake_temperature: Temperature,
    /// Tower before the start.
    pub tower: GaugePressure,
    /// Time between sets of cylinders, with the machine stopped.
    pub change_over: TimeSpan,
    /// Where the PMV opens and closes, over what the station file says.
    pub pmv: f64,
    /// What the machine delivers, over what the station file says.
    pub delivery: f64,
}

/// One cylinder of it.
#[derive(Debug, Clone, PartialEq)]
pub struct PlainFill {
    /// A cylinder or kind of the station.
    pub kind: String,
    /// Pressure before.
    pub from: GaugePressure,
    /// Pressure at which its valve is shut.
    pub to: GaugePressure,
}

/// A run made.
pub struct Ran<'s> {
    prepared: Prepared<'s>,
    run: Run,
}

/// A cylinder filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filled {
    /// When its valve was opened, from the start.
    pub opened: TimeSpan,
    /// When it was shut.
    pub shut: TimeSpan,
    /// Its gas then.
    pub gas: Temperature,
}

/// A purifier carried from run to run.
#[derive(Debug, Clone)]
pub struct Purifier(Cartridge);

/// Where the water of a run went.
#[derive(Debug, Clone, PartialEq)]
pub struct RunWater {
    /// Drains: when, and how much came out.
    pub drains: Vec<(TimeSpan, Volume)>,
    /// Brought to the purifier, g.
    pub to_purifier_g: f64,
    /// Water held by the drying beds after it, g.
    pub held_g: f64,
    /// Water behind the last drying bed at the end, mg/m³ at 20 °C and 1 atm.
    pub outlet_mg_m3: f64,
}

impl<'s> Machine<'s> {
    /// Prepares the machine of a station.
    ///
    /// **Errors** a station that cannot be computed.
    pub fn new(station: &'s Station) -> Result<Machine<'s>, ForecastError> {
        let nothing = GaugePressure::bar(0.0);
        let conditions = Conditions {
            ambient: station.intake.temperature,
            tower: station.pmv.as_ref().map_or(nothing, |pmv| pmv.closes),
            line: nothing,
            water_bath: false,
            faults: Vec::new(),
        };
        let prepared = Prepared::new(station, &conditions, Vec::new())?;
        let wet = Wet::new(&prepared, station.intake.humidity, DrainPlan::WhenDue)?;
        Ok(Machine { prepared, wet })
    }

    /// A new purifier, none where the station describes no drying bed.
    ///
    /// **Errors** beds that cannot be computed.
    pub fn fresh_purifier(&self, own: &[Adsorbent]) -> Result<Option<Purifier>, ForecastError> {
        Ok(Cartridge::fresh(self.prepared.station(), own)?.map(Purifier))
    }

    /// Makes one run.
    ///
    /// **Errors** cylinders or pressures that do not fit the station.
    pub fn run(&self, asked: &PlainRun) -> Result<Ran<'s>, ForecastError> {
        let station = self.prepared.station();
        let start = |fill: &PlainFill| CylinderStart {
            id: fill.kind.clone(),
            start: Some(fill.from),
        };
        let request = Request {
            cylinders: asked.fills.iter().map(start).collect(),
            intake_temperature: Some(asked.intake_temperature),
            tower: Some(asked.tower),
            change_over: asked.change_over,
            sample_every: TimeSpan::second(SAMPLE_S),
            members: 0,
            ..Request::default()
        };
        let mut job = Job::of(station, &request)?;
        for (spec, fill) in job.cylinders.iter_mut().zip(&asked.fills) {
            spec.stop = fill.to;
        }
        let prepared =
            self.prepared
                .for_run(&job.conditions, job.cylinders.clone(), asked.delivery)?;
        let variation = Variation {
            pmv: asked.pmv,
            ..Variation::NONE
        };
        let run = operate::run_member(&prepared, &job, &variation)?;
        Ok(Ran { prepared, run })
    }

    /// Follows the water of a run into the purifier, drained each `every` of running and at the
    /// stop.
    ///
    /// **Errors** air that the models do not reach.
    pub fn water(
        &self,
        ran: &Ran<'_>,
        humidity: Fraction,
        every: TimeSpan,
        purifier: &mut Purifier,
    ) -> Result<RunWater, ForecastError> {
        let plan = Plan::Asked(DrainPlan::Every(every));
        let wet = self.wet.in_air(&ran.prepared, humidity, plan)?;
        purifier.0.begin_run();
        let followed = super::compare::followed(&ran.run);
        let water = follow(&ran.prepared, &wet, &followed, Some(&mut purifier.0))?;
        let drain =
            |d: &crate::water::answer::Drain| (TimeSpan::second(d.t_s), Volume::millilitre(d.ml));
        Ok(RunWater {
            drains: water.drains.iter().map(drain).collect(),
            to_purifier_g: water.to_purifier_g,
            held_g: purifier.0.held_kg() * 1e3,
            outlet_mg_m3: purifier.0.outlet_mg_m3(),
        })
    }
}

impl Purifier {
    /// Water held by its drying beds, g.
    pub fn held_g(&self) -> f64 {
        self.0.held_kg() * 1e3
    }
}

impl Ran<'_> {
    /// Time with the machine running.
    pub fn running(&self) -> TimeSpan {
        TimeSpan::second(self.run.running.iter().map(|(from, to)| to - from).sum())
    }

    /// When the machine stopped for good, from the start.
    pub fn stopped(&self) -> TimeSpan {
        TimeSpan::second(self.run.running.last().map_or(0.0, |(_, to)| *to))
    }

    /// When the PMV first opened, and at which tower pressure.
    pub fn pmv_opened(&self) -> Option<(TimeSpan, GaugePressure)> {
        let opened = self.run.events.iter().find(|e| e.kind == "pmv_opened")?;
        let tower = &opened.snapshot.vessels[self.run.places.tower];
        let bar = self.prepared.gauge_bar(tower.p_pa);
        Some((
            TimeSpan::second(opened.snapshot.t_s),
            GaugePressure::bar(bar),
        ))
    }

    /// The tower at rest after the last bleed.
    pub fn tower_after(&self) -> GaugePressure {
        let tower = &self.run.last.vessels[self.run.places.tower];
        GaugePressure::bar(self.prepared.gauge_bar(tower.p_pa))
    }

    /// The cylinders, in the order asked; none where one did not get full.
    pub fn fills(&self) -> Option<Vec<Filled>> {
        let one = |(i, full): (usize, &Option<physics::sim::Snapshot>)| {
            let full = full.as_ref()?;
            let began = self.run.running.iter().map(|(from, _)| *from);
            let opened = began.filter(|from| *from < full.t_s).fold(0.0, f64::max);
            let gas = full.vessels[self.run.places.cylinders[i]].t_k;
            Some(Filled {
                opened: TimeSpan::second(opened),
                shut: TimeSpan::second(full.t_s),
                gas: Temperature::kelvin(gas),
            })
        };
        self.run.full.iter().enumerate().map(one).collect()
    }

    /// What cylinder `i` shows once it has come to this temperature: real gas, constant mass.
    ///
    /// **Errors** a temperature the gas model does not reach.
    pub fn settled(&self, i: usize, at: Temperature) -> Result<GaugePressure, ForecastError> {
        let reading = &self.run.shut[i].vessels[self.run.places.cylinders[i]];
        let rho = reading.mass_kg / self.run.volumes_m3[i];
        let state = self.prepared.gas.state_rho_t(rho, at.as_kelvin())?;
        Ok(GaugePressure::bar(self.prepared.gauge_bar(state.p_pa)))
    }
}
