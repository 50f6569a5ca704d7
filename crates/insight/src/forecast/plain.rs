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
use crate::assemble::{Prepared, Variation};
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
        let prepared = Prepared::at_rest(station)?;
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

impl Machine<'_> {
    /// Water behind the last drying bed, mg/m³, so long after the start of a run that a purifier
    /// meets; the purifier stays as it is.
    ///
    /// **Errors** as [`Machine::water`].
    pub fn outlet_after(
        &self,
        ran: &Ran<'_>,
        humidity: Fraction,
        purifier: &Purifier,
        after: TimeSpan,
    ) -> Result<f64, ForecastError> {
        let plan = Plan::Asked(DrainPlan::WhenDue);
        let wet = self.wet.in_air(&ran.prepared, humidity, plan)?;
        let mut bed = purifier.0.clone();
        bed.begin_run();
        let until = |s: &physics::sim::Snapshot| s.t_s <= after.as_second();
        let count = ran.run.samples.partition_point(until);
        let whole = super::compare::followed(&ran.run);
        let begun = crate::water::Followed {
            samples: whole.samples.get(..count).unwrap_or_default(),
            ..whole
        };
        follow(&ran.prepared, &wet, &begun, Some(&mut bed))?;
        Ok(bed.outlet_mg_m3())
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

#[cfg(test)]
mod tests {
    use super::super::forecast;
    use super::*;

    const BOATHOUSE: &str = include_str!("../../../../stations/boathouse.toml");

    fn asked(pmv: f64, delivery: f64) -> PlainRun {
        PlainRun {
            fills: vec![PlainFill {
                kind: "steel 12".into(),
                from: GaugePressure::bar(50.0),
                to: GaugePressure::bar(232.0),
            }],
            intake_temperature: Temperature::celsius(12.0),
            tower: GaugePressure::bar(60.0),
            change_over: TimeSpan::minute(4.0),
            pmv,
            delivery,
        }
    }

    /// The forecast prepares the machine for its own air, this takes it over from the station's: both
    /// must tell the same run.
    #[test]
    fn it_is_the_run_of_the_forecast() {
        let reading = station::read(BOATHOUSE);
        let station = reading.usable().unwrap();
        let ran = Machine::new(station)
            .unwrap()
            .run(&asked(1.0, 1.0))
            .unwrap();
        let request = Request {
            cylinders: vec![CylinderStart {
                id: "steel 12".into(),
                start: Some(GaugePressure::bar(50.0)),
            }],
            intake_temperature: Some(Temperature::celsius(12.0)),
            tower: Some(GaugePressure::bar(60.0)),
            members: 0,
            ..Request::default()
        };
        let forecast = forecast(station, &request, &|_| {}).unwrap();
        let (plain_s, full_s) = (
            ran.running().as_second(),
            forecast.cylinders[0].full_s.unwrap(),
        );
        assert!(
            (plain_s / full_s - 1.0).abs() < 5e-3,
            "{plain_s} s, {full_s} s"
        );
        let settled = ran.settled(0, Temperature::celsius(15.0)).unwrap().as_bar();
        let expected = forecast.cylinders[0].settled_bar_15c;
        assert!(
            (settled - expected).abs() < 0.3,
            "{settled} bar, {expected} bar"
        );
    }

    #[test]
    fn a_lower_valve_opens_lower_and_a_slipping_belt_takes_longer() {
        let reading = station::read(BOATHOUSE);
        let machine = Machine::new(reading.usable().unwrap()).unwrap();
        let (good, worn) = (
            machine.run(&asked(1.0, 1.0)).unwrap(),
            machine.run(&asked(0.9, 0.93)).unwrap(),
        );
        let opened = |ran: &Ran<'_>| ran.pmv_opened().unwrap().1.as_bar();
        assert!((opened(&good) - 100.0).abs() < 0.2, "{}", opened(&good));
        assert!((opened(&worn) - 90.0).abs() < 0.2, "{}", opened(&worn));
        let ratio = worn.running().as_second() / good.running().as_second();
        assert!((ratio * 0.93 - 1.0).abs() < 0.02, "{ratio}");
    }

    #[test]
    fn the_purifier_carries_its_water_on() {
        let reading = station::read(BOATHOUSE);
        let machine = Machine::new(reading.usable().unwrap()).unwrap();
        let ran = machine.run(&asked(1.0, 1.0)).unwrap();
        let mut purifier = machine.fresh_purifier(&[]).unwrap().unwrap();
        let humidity = Fraction::percent(80.0);
        let before_g = purifier.held_g();
        let every = TimeSpan::minute(15.0);
        let water = machine.water(&ran, humidity, every, &mut purifier).unwrap();
        let taken_g = purifier.held_g() - before_g;
        // a fresh bed lets hardly anything through
        assert!(
            (taken_g / water.to_purifier_g - 1.0).abs() < 1e-3,
            "{taken_g} g, {water:?}"
        );
        let end = machine
            .outlet_after(&ran, humidity, &purifier, TimeSpan::second(0.0))
            .unwrap();
        assert_eq!(end, water.outlet_mg_m3);
    }
}
