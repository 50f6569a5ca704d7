//! The water ledger along a run, piece by piece: drains, purifier, drying bed.
//!
//! Not here: the pieces themselves ([`super::samples`], [`crate::logged`]).

use super::answer::{Drain, Range, WaterAnswer};
use super::cartridge::{Cartridge, Load};
use crate::assemble::Prepared;
use crate::forecast::request::{DrainPlan, ForecastError};
use physics::moist::{Moist, MoistTable, Phase, ideal_mole_fraction, relative_uncertainty};
use physics::water::{DrainRule, Ledger, Piece, Sump, Train, drain_interval, weather_phase};
use quantity::Fraction;
use quantity::Quantity as _;

/// Oil in the condensate where the file does not say, by volume of water
/// (common practice, no source).
const OIL_SHARE: f64 = 0.05;
/// Where the moisture model ends, Pa absolute. A tower above that is in danger for
/// other reasons; its water is taken as at this pressure.
const HIGHEST_PA: f64 = 450e5;
/// Grams in a kilogram, millilitres in 10⁻³ m³.
const GRAM: f64 = 1e3;
const MILLILITRE: f64 = 1e6;
/// Density of condensate, g/mL (water at 30 °C, from memory).
const CONDENSATE_G_ML: f64 = 0.996;

/// What the ledger needs of the day, prepared once.
pub(crate) struct Wet {
    moist: Moist,
    table: MoistTable,
    humidity: f64,
    /// Mole fraction at the intake if the air there were saturated, over the real one.
    saturated_over_real: f64,
    /// May change: the air stays what it is.
    pub plan: Plan,
}

/// When the sump is drained in the run followed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Plan {
    /// As a request asks.
    Asked(DrainPlan),
    /// At these times, s, in order: as somebody wrote down.
    At(Vec<f64>),
}

/// One piece of a run, from one moment to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    /// Its end, s from the start of the run.
    pub t_s: f64,
    /// Its length, s.
    pub seconds: f64,
    /// Whether the machine ran.
    pub running: bool,
    /// Dry air drawn in, kg.
    pub air_in_kg: f64,
    /// Pressure the compressor works against, Pa absolute.
    pub first_pa: f64,
    /// Separator pressure at the end, Pa absolute.
    pub p_pa: f64,
    /// Air in the separator at the start and at the end, kg.
    pub held_kg: (f64, f64),
    /// Gas in the purifier at the end, K.
    pub purifier_k: f64,
}

/// What was followed, and what the contract's answer does not hold.
pub(crate) struct Walked {
    pub water: WaterAnswer,
    /// Vapour in the separator's gas at the end less that at the start, g.
    pub kept_g: f64,
}

impl Wet {
    /// Mole fraction of water in saturated air; nothing out of range.
    pub fn saturated(&self, p_pa: f64, t_k: f64) -> Option<f64> {
        self.table.y_sat(p_pa, t_k)
    }

    /// Relative humidity at the intake, 0..1.
    pub fn humidity(&self) -> f64 {
        self.humidity
    }

    /// The moisture model.
    pub fn moist(&self) -> &Moist {
        &self.moist
    }

    pub fn new(
        prepared: &Prepared,
        humidity: Fraction,
        plan: DrainPlan,
    ) -> Result<Wet, ForecastError> {
        let moist = Moist::new(&prepared.gas)?;
        let table = MoistTable::new(&moist, Phase::Stable)?;
        Wet::of(moist, table, prepared, humidity, Plan::Asked(plan))
    }

    /// The same model in the air of another day.
    pub fn in_air(
        &self,
        prepared: &Prepared,
        humidity: Fraction,
        plan: Plan,
    ) -> Result<Wet, ForecastError> {
        let (moist, table) = (self.moist.clone(), self.table.clone());
        Wet::of(moist, table, prepared, humidity, plan)
    }

    fn of(
        moist: Moist,
        table: MoistTable,
        prepared: &Prepared,
        humidity: Fraction,
        plan: Plan,
    ) -> Result<Wet, ForecastError> {
        let humidity = humidity.as_ratio();
        let phase = weather_phase(prepared.ambient_k);
        let at = |humidity: f64| {
            moist.mole_fraction(prepared.atmosphere_pa, prepared.ambient_k, humidity, phase)
        };
        let (real, full) = (at(humidity)?, at(1.0)?);
        let saturated_over_real = full / real.max(1e-9);
        Ok(Wet {
            moist,
            table,
            humidity,
            saturated_over_real,
            plan,
        })
    }
}

/// Follows the water through a run known piece by piece. The cartridge, where there is one,
/// takes what reaches it. The run begins with the separator's pressure
/// (Pa absolute) and the air in it (kg).
pub(crate) fn walk(
    prepared: &Prepared,
    wet: &Wet,
    start: (f64, f64),
    running: &[(f64, f64)],
    steps: impl Iterator<Item = Step>,
    cartridge: Option<&mut Cartridge>,
) -> Result<Walked, ForecastError> {
    let mut walk = Walk::new(prepared, wet, start, running)?;
    walk.cartridge = cartridge;
    for step in steps {
        walk.piece(&step)?;
    }
    walk.finish()
}

/// Volume of condensate, oil included, of so much water.
pub(crate) fn condensate_ml(water_g: f64) -> f64 {
    water_g * (1.0 + OIL_SHARE) / CONDENSATE_G_ML
}

struct Walk<'a, 'c> {
    prepared: &'a Prepared<'a>,
    wet: &'a Wet,
    running: &'a [(f64, f64)],
    cartridge: Option<&'c mut Cartridge>,
    ledger: Ledger,
    /// Vapour in the separator's gas at the start, kg.
    initial_kg: f64,
    cooled_k: f64,
    opens_pa: f64,
    opened: bool,
    interval_s: f64,
    drain_range: Option<Range>,
    since_drain_s: f64,
    drains: Vec<Drain>,
    most_m3: f64,
    below_pmv_kg: f64,
    ideal_kg: f64,
    weighted_uncertainty: f64,
    to_cylinder_kg: f64,
}

impl<'a> Walk<'a, '_> {
    fn new(
        prepared: &'a Prepared,
        wet: &'a Wet,
        start: (f64, f64),
        running: &'a [(f64, f64)],
    ) -> Result<Walk<'a, 'static>, ForecastError> {
        let station = prepared.station();
        let cooled_k = prepared.ambient_k + station.compressor.cooler_approach.as_kelvin();
        let (ledger, sump) = open_ledger(prepared, wet, start, cooled_k)?;
        let pmv = station.pmv.as_ref();
        let mut walk = Walk {
            prepared,
            wet,
            running,
            cartridge: None,
            initial_kg: ledger.held_kg,
            ledger,
            cooled_k,
            opens_pa: pmv.map_or(0.0, |pmv| prepared.absolute(pmv.opens)),
            opened: pmv.is_none(),
            interval_s: f64::INFINITY,
            drain_range: None,
            since_drain_s: 0.0,
            drains: Vec::new(),
            most_m3: 0.0,
            below_pmv_kg: 0.0,
            ideal_kg: 0.0,
            weighted_uncertainty: 0.0,
            to_cylinder_kg: 0.0,
        };
        walk.find_interval(sump)?;
        Ok(walk)
    }

    /// The drain interval at working pressure in today's air.
    fn find_interval(&mut self, sump: Sump) -> Result<(), ForecastError> {
        let p_pa = self
            .prepared
            .absolute(self.prepared.station().compressor.working_pressure);
        let flow = self.prepared.flow(p_pa);
        let mut hour = self.ledger.clone();
        hour.drain();
        let cooler_pa = self.prepared.cooler_pa(p_pa);
        // a minute in a sump that cannot overflow
        let air = flow * 60.0;
        let before = hour.sump_kg + hour.overflow_kg;
        hour.held_kg = 0.0;
        hour.piece(&Piece {
            air_in_kg: air,
            cooler_pa: &cooler_pa,
            air_out_kg: air,
            air_held_kg: 0.0,
            p_pa,
        })?;
        let liquid_kg = hour.sump_kg + hour.overflow_kg - before;
        let rate = liquid_kg / 60.0 * (1.0 + sump.oil_share) / 996.0;
        let vapour = (hour.intake_ratio() * air - liquid_kg).max(0.0);
        let saturated = hour.intake_ratio() * air * self.wet.saturated_over_real - vapour;
        let saturated = saturated / 60.0 * (1.0 + sump.oil_share) / 996.0;
        let t = drain_interval(sump.volume_m3, rate, saturated, DrainRule::USUAL);
        let range = Range {
            low: t.low_s / 60.0,
            mid: t.mid_s / 60.0,
            high: t.high_s / 60.0,
        };
        self.drain_range = range.high.is_finite().then_some(range);
        self.interval_s = match self.wet.plan {
            Plan::Asked(DrainPlan::WhenDue) => t.mid_s,
            Plan::Asked(DrainPlan::Every(time)) => time.as_second().max(1.0),
            Plan::Asked(DrainPlan::Never) | Plan::At(_) => f64::INFINITY,
        };
        Ok(())
    }

    fn piece(&mut self, step: &Step) -> Result<(), ForecastError> {
        let (held_a, held_b) = step.held_kg;
        let air_in_kg = step.air_in_kg;
        let air_out_kg = (air_in_kg - (held_b - held_a)).max(0.0);
        let mut cooler_pa = self.prepared.cooler_pa(step.first_pa.min(HIGHEST_PA));
        let p_pa = step.p_pa.clamp(self.prepared.atmosphere_pa, HIGHEST_PA);
        if let Some(last) = cooler_pa.last_mut() {
            *last = p_pa;
        }
        let to_bed = self.ledger.piece(&Piece {
            air_in_kg,
            cooler_pa: &cooler_pa,
            air_out_kg,
            air_held_kg: held_b,
            p_pa,
        })?;
        self.opened |= p_pa >= self.opens_pa;
        if !self.opened {
            self.below_pmv_kg += to_bed;
        }
        let ideal = ideal_mole_fraction(p_pa, self.cooled_k, Phase::Stable)?;
        self.ideal_kg += air_out_kg
            * (ideal * physics::purifier::WATER_KG_MOL / physics::purifier::AIR_KG_MOL)
                .min(self.ledger.intake_ratio());
        self.weighted_uncertainty += to_bed * relative_uncertainty(p_pa, self.cooled_k);
        self.feed_bed(step.seconds, air_out_kg, to_bed, p_pa, step.purifier_k)?;
        self.mind_sump(step.t_s, step.seconds, step.running);
        Ok(())
    }

    fn feed_bed(
        &mut self,
        seconds: f64,
        air_kg: f64,
        water_kg: f64,
        p_pa: f64,
        t_k: f64,
    ) -> Result<(), ForecastError> {
        if let Some(cartridge) = &mut self.cartridge {
            let load = Load {
                seconds,
                air_kg,
                water_kg,
                p_pa,
                t_k,
            };
            self.to_cylinder_kg += cartridge.take(&self.wet.moist, &load)?;
        }
        Ok(())
    }

    /// Drains when it is due, while the machine runs and when it has stopped.
    fn mind_sump(&mut self, t_s: f64, seconds: f64, running: bool) {
        self.most_m3 = self.most_m3.max(self.ledger.sump_m3());
        if running {
            self.since_drain_s += seconds;
        }
        if let Plan::At(times) = &self.wet.plan {
            let passed = times.iter().filter(|t| **t > t_s - seconds && **t <= t_s);
            for _ in passed {
                let ml = self.ledger.drain() * MILLILITRE;
                self.drains.push(Drain { t_s, ml });
            }
            return;
        }
        let stopped = !running && self.since_drain_s > 0.0;
        let due = self.since_drain_s >= self.interval_s || stopped;
        if due && self.wet.plan != Plan::Asked(DrainPlan::Never) {
            let ml = self.ledger.drain() * MILLILITRE;
            // a drain at the stop belongs to the end of the running, not to the sample after it
            let end = self
                .running
                .iter()
                .map(|(_, to)| *to)
                .filter(|to| *to <= t_s);
            let t_s = if stopped {
                end.fold(0.0, f64::max)
            } else {
                t_s
            };
            self.drains.push(Drain { t_s, ml });
            self.since_drain_s = 0.0;
        }
    }

    fn finish(mut self) -> Result<Walked, ForecastError> {
        if let Some(cartridge) = &mut self.cartridge {
            self.to_cylinder_kg += cartridge.flush(&self.wet.moist)?;
        }
        let ledger = &self.ledger;
        let to_purifier = ledger.to_purifier_kg();
        let has_bed = self.cartridge.is_some();
        let kept_g = (ledger.held_kg - self.initial_kg) * GRAM;
        let water = WaterAnswer {
            intake_g: ledger.intake_kg * GRAM,
            condensed_g: ledger.condensed_kg.iter().map(|kg| kg * GRAM).collect(),
            separator_g: (ledger.drained_kg + ledger.sump_kg) * GRAM,
            sump_ml: self.most_m3 * MILLILITRE,
            sump_capacity_ml: self.prepared.station().separator.sump_volume.si() * MILLILITRE,
            to_purifier_g: to_purifier * GRAM,
            carried_g: ledger.carried_kg * GRAM,
            overflow_g: ledger.overflow_kg * GRAM,
            below_pmv_g: self.below_pmv_kg * GRAM,
            to_purifier_ideal_g: self.ideal_kg * GRAM,
            to_cylinder_g: has_bed.then_some(self.to_cylinder_kg * GRAM),
            drain_interval_min: self.drain_range.map(|range| range.mid),
            drain_interval: self.drain_range,
            drain_rule: "the sump must take one missed drain, and condensate foams to 1.3 to 2 \
                         times its volume (common practice, no source); low end: saturated air"
                .into(),
            drains: self.drains,
            uncertainty: self.weighted_uncertainty / to_purifier.max(f64::MIN_POSITIVE),
            residual: ledger.residual(),
        };
        Ok(Walked { water, kept_g })
    }
}

/// The ledger at the start of a run; the separator's gas begins saturated.
pub(crate) fn open_ledger(
    prepared: &Prepared,
    wet: &Wet,
    (p_pa, held): (f64, f64),
    cooled_k: f64,
) -> Result<(Ledger, Sump), ForecastError> {
    let station = prepared.station();
    let sump = Sump {
        volume_m3: station.separator.sump_volume.si(),
        oil_share: OIL_SHARE,
    };
    let train = Train {
        cooled_k: vec![cooled_k; station.compressor.stage_count.max(1)],
        efficiency: station.separator.efficiency.as_ratio(),
        sump,
    };
    let ledger = Ledger::new(
        &wet.moist,
        wet.table.clone(),
        train,
        (prepared.atmosphere_pa, prepared.ambient_k, wet.humidity),
        (p_pa.min(HIGHEST_PA), prepared.ambient_k, held),
    )?;
    Ok((ledger, sump))
}
