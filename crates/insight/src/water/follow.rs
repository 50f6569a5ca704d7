//! A run's samples turned into pieces of the water ledger.

use super::answer::{Drain, Range, WaterAnswer};
use super::cartridge::{Cartridge, Load};
use crate::assemble::Prepared;
use crate::forecast::request::{DrainPlan, ForecastError};
use physics::moist::{Moist, MoistTable, Phase, ideal_mole_fraction, relative_uncertainty};
use physics::sim::Snapshot;
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

/// What the ledger needs of the day, prepared once.
pub(crate) struct Wet {
    moist: Moist,
    table: MoistTable,
    humidity: f64,
    /// Mole fraction at the intake if the air there were saturated, over the real one.
    saturated_over_real: f64,
    plan: DrainPlan,
}

/// A run as the ledger needs it.
pub(crate) struct Followed<'a> {
    pub samples: &'a [Snapshot],
    /// Spans in which the machine ran, s.
    pub running: &'a [(f64, f64)],
    pub separator: usize,
    pub purifier: usize,
    pub first: usize,
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

/// Follows the water through a run. The cartridge, where there is one, takes
/// what reaches it.
pub(crate) fn follow(
    prepared: &Prepared,
    wet: &Wet,
    run: &Followed,
    cartridge: Option<&mut Cartridge>,
) -> Result<WaterAnswer, ForecastError> {
    let mut walk = Walk::new(prepared, wet, run)?;
    walk.cartridge = cartridge;
    for pair in run.samples.windows(2) {
        walk.piece(&pair[0], &pair[1])?;
    }
    walk.finish()
}

struct Walk<'a, 'c> {
    prepared: &'a Prepared<'a>,
    wet: &'a Wet,
    run: &'a Followed<'a>,
    cartridge: Option<&'c mut Cartridge>,
    ledger: Ledger,
    /// Share of the separator's vessel that is separator.
    share: f64,
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
        run: &'a Followed,
    ) -> Result<Walk<'a, 'static>, ForecastError> {
        let station = prepared.station();
        let cooled_k = prepared.ambient_k + station.compressor.cooler_approach.as_kelvin();
        let separator = station.separator.volume.si();
        let share = if run.separator == run.purifier {
            separator / (separator + station.purifier.volume.si())
        } else {
            1.0
        };
        let (ledger, sump) = open_ledger(prepared, wet, run, cooled_k, share)?;
        let pmv = station.pmv.as_ref();
        let mut walk = Walk {
            prepared,
            wet,
            run,
            cartridge: None,
            ledger,
            share,
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
            DrainPlan::WhenDue => t.mid_s,
            DrainPlan::Every(time) => time.as_second().max(1.0),
            DrainPlan::Never => f64::INFINITY,
        };
        Ok(())
    }

    fn runs_at(&self, t_s: f64) -> bool {
        self.run
            .running
            .iter()
            .any(|(from, to)| (*from..*to).contains(&t_s))
    }

    fn piece(&mut self, from: &Snapshot, to: &Snapshot) -> Result<(), ForecastError> {
        let seconds = to.t_s - from.t_s;
        let p_first = 0.5 * (from.vessels[self.run.first].p_pa + to.vessels[self.run.first].p_pa);
        let running = self.runs_at(0.5 * (from.t_s + to.t_s));
        let air_in_kg = if running {
            self.prepared.flow(p_first) * seconds
        } else {
            0.0
        };
        let (a, b) = (
            &from.vessels[self.run.separator],
            &to.vessels[self.run.separator],
        );
        let (held_a, held_b) = (a.mass_kg * self.share, b.mass_kg * self.share);
        let air_out_kg = (air_in_kg - (held_b - held_a)).max(0.0);
        let mut cooler_pa = self.prepared.cooler_pa(p_first.min(HIGHEST_PA));
        let p_pa = b.p_pa.clamp(self.prepared.atmosphere_pa, HIGHEST_PA);
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
        self.feed_bed(
            seconds,
            air_out_kg,
            to_bed,
            p_pa,
            to.vessels[self.run.purifier].t_k,
        )?;
        self.mind_sump(to.t_s, seconds, running);
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
        let stopped = !running && self.since_drain_s > 0.0;
        let due = self.since_drain_s >= self.interval_s || stopped;
        if due && self.wet.plan != DrainPlan::Never {
            let ml = self.ledger.drain() * MILLILITRE;
            // a drain at the stop belongs to the end of the running, not to the sample after it
            let end = self
                .run
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

    fn finish(mut self) -> Result<WaterAnswer, ForecastError> {
        if let Some(cartridge) = &mut self.cartridge {
            self.to_cylinder_kg += cartridge.flush(&self.wet.moist)?;
        }
        let ledger = &self.ledger;
        let to_purifier = ledger.to_purifier_kg();
        let has_bed = self.cartridge.is_some();
        Ok(WaterAnswer {
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
        })
    }
}

/// The ledger at the start of a run; the separator's gas begins saturated.
fn open_ledger(
    prepared: &Prepared,
    wet: &Wet,
    run: &Followed,
    cooled_k: f64,
    share: f64,
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
    let start = run.samples.first().map(|s| &s.vessels[run.separator]);
    let (p_pa, held) = start.map_or((prepared.atmosphere_pa, 0.0), |v| {
        (v.p_pa, v.mass_kg * share)
    });
    let ledger = Ledger::new(
        &wet.moist,
        wet.table.clone(),
        train,
        (prepared.atmosphere_pa, prepared.ambient_k, wet.humidity),
        (p_pa.min(HIGHEST_PA), prepared.ambient_k, held),
    )?;
    Ok((ledger, sump))
}
