//! The water of run after run, and the bed that takes it.

use super::answer::{CartridgeAnswer, LedgerBalance, RunWater};
use super::path::{Rebuilt, rebuild};
use super::{LoggedDrain, LoggedRun};
use crate::assemble::Prepared;
use crate::forecast::request::{DrainPlan, ForecastError};
use crate::water::answer::Range;
use crate::water::{Cartridge, Plan, Walked, Wet, stand, walk};
use physics::purifier::Adsorbent;
use quantity::{Fraction, Temperature, TimeSpan};
use station::Station;

/// Room temperature below which drying beds are not computed, K.
const COLDEST_BED_K: f64 = 253.15;
/// Factor from standard uncertainty to a 90 % range.
const NINETY: f64 = 1.645;
/// Days of standing that count at all.
const STOOD_DAYS: f64 = 0.5;

/// The day for which hours left are told.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Today {
    /// Air at the intake; else the station file's.
    pub intake_temperature: Option<Temperature>,
    /// Its relative humidity; else the station file's.
    pub humidity: Option<Fraction>,
}

/// Carries the station's cartridge through `runs`, oldest first. None where the station file
/// describes no drying bed.
///
/// A run that cannot be followed is named in the notes and left out; the others still count.
///
/// **Errors** a station that cannot be computed: the message says what to do.
pub fn cartridge(
    station: &Station,
    runs: &[LoggedRun],
    today: &Today,
    adsorbents: &[Adsorbent],
) -> Result<Option<CartridgeAnswer>, ForecastError> {
    let Some(fresh) = Cartridge::fresh(station, adsorbents)? else {
        return Ok(None);
    };
    let prepared = Prepared::at_rest(station)?;
    let wet = Wet::new(&prepared, station.intake.humidity, DrainPlan::WhenDue)?;
    let mut carry = Carry {
        prepared: &prepared,
        wet: &wet,
        bed: fresh.clone(),
        fresh,
        runs: Vec::new(),
        balance: LedgerBalance::default(),
        crept: ZERO,
        doubt_g: 0.0,
        soaked_g: 0.0,
        running_s: 0.0,
        air_kg: 0.0,
        notes: Vec::new(),
        ended_day: None,
        first: 0,
    };
    for (index, run) in runs.iter().enumerate() {
        carry.one(index, run)?;
    }
    carry.answer(runs, today).map(Some)
}

const ZERO: Range = Range {
    low: 0.0,
    mid: 0.0,
    high: 0.0,
};

pub(super) struct Carry<'a> {
    pub prepared: &'a Prepared<'a>,
    pub wet: &'a Wet,
    pub fresh: Cartridge,
    pub bed: Cartridge,
    pub runs: Vec<RunWater>,
    pub balance: LedgerBalance,
    pub crept: Range,
    /// Doubt in the water brought, g: of all runs alike, so it adds up.
    pub doubt_g: f64,
    /// What crept in and found room in the bed, g.
    pub soaked_g: f64,
    pub running_s: f64,
    pub air_kg: f64,
    pub notes: Vec<String>,
    pub ended_day: Option<f64>,
    /// The first run since the change.
    pub first: usize,
}

/// A run in its own air.
pub(super) struct Aired<'a> {
    pub prepared: Prepared<'a>,
    pub wet: Wet,
    pub humidity: Fraction,
    pub unread: bool,
}

impl<'a> Carry<'a> {
    fn one(&mut self, index: usize, run: &LoggedRun) -> Result<(), ForecastError> {
        if run.fresh_cartridge {
            self.change(index);
        }
        match self.follow(run) {
            Err(why) if is_of_the_water(&why) => {
                let note = format!("run {} is left out: {why}", run.name);
                self.notes.push(note);
                Ok(())
            }
            other => other,
        }
    }

    /// A new cartridge goes in.
    fn change(&mut self, index: usize) {
        self.bed = self.fresh.clone();
        self.runs.clear();
        self.notes.clear();
        (self.balance, self.crept) = (LedgerBalance::default(), ZERO);
        (self.doubt_g, self.soaked_g) = (0.0, 0.0);
        (self.running_s, self.air_kg) = (0.0, 0.0);
        self.first = index;
    }

    fn follow(&mut self, run: &LoggedRun) -> Result<(), ForecastError> {
        let mut notes = Vec::new();
        let mut aired = self.air_of(run, &mut notes)?;
        if aired.prepared.ambient_k < COLDEST_BED_K {
            let why = "nothing is known of drying beds below -20 °C";
            self.notes
                .push(format!("run {} is left out: {why}", run.name));
            return Ok(());
        }
        let crept = self.stood(run, &aired, &mut notes)?;
        let Some(rebuilt) = rebuild(&aired.prepared, run)? else {
            let why = "neither its time nor a fill was written down";
            self.notes
                .push(format!("run {} is left out: {why}", run.name));
            return Ok(());
        };
        aired.wet.plan = drain_plan(run.drains.as_deref(), rebuilt.ran_s);
        let mut bed = self.bed.clone();
        bed.begin_run();
        let walked = pass(&aired.prepared, &aired.wet, &rebuilt, &mut bed)?;
        self.bed = bed;
        notes.extend(rebuilt.notes.iter().cloned());
        self.record(run, &aired, &rebuilt, &walked, crept, notes);
        Ok(())
    }

    /// What crept in since the last run, where the tower had lost its pressure.
    fn stood(
        &mut self,
        run: &LoggedRun,
        aired: &Aired,
        notes: &mut Vec<String>,
    ) -> Result<Option<Range>, ForecastError> {
        let since = self.ended_day.map(|ended| run.start_day - ended);
        let days = run.stood_days.or(since).unwrap_or(0.0);
        self.ended_day = Some(run.start_day);
        if days < STOOD_DAYS || run.fresh_cartridge {
            return Ok(None);
        }
        let known = [run.stood_tower, run.tower_start].into_iter().flatten();
        let Some(tower) = known.min_by(|a, b| a.as_bar().total_cmp(&b.as_bar())) else {
            if days > 7.0 {
                notes.push(format!(
                    "the tower's pressure over {days:.0} days was not written down: taken as kept"
                ));
            }
            return Ok(None);
        };
        let mut standing = aired.prepared.clone();
        standing.tower_start = tower;
        let before_kg = self.bed.held_kg();
        let crept = stand(&standing, &aired.wet, &mut self.bed, TimeSpan::day(days))?;
        self.soaked_g += (self.bed.held_kg() - before_kg) * 1e3;
        if let Some(crept) = crept {
            self.crept.low += crept.low;
            self.crept.mid += crept.mid;
            self.crept.high += crept.high;
        }
        Ok(crept)
    }

    fn answer(
        mut self,
        runs: &[LoggedRun],
        today: &Today,
    ) -> Result<CartridgeAnswer, ForecastError> {
        let station = self.prepared.station();
        let held_fresh_g = self.fresh.held_kg() * 1e3;
        let held = self.bed.held_kg() * 1e3;
        let crept = self.crept;
        let low = NINETY * self.doubt_g + (crept.mid - crept.low);
        let high = NINETY * self.doubt_g + (crept.high - crept.mid);
        let held_g = Range {
            low: (held - low).max(held_fresh_g.min(held)),
            mid: held,
            high: held + high,
        };
        let (hours_left, mostly) = match self.hours_left(runs, today, &held_g) {
            Ok((hours, mostly)) => (Some(hours), Some(mostly)),
            Err(why) if is_of_the_water(&why) => {
                self.notes
                    .push(format!("no hours are told for today: {why}"));
                (None, None)
            }
            Err(other) => return Err(other),
        };
        let running_h = self.running_s / 3600.0;
        let b = &mut self.balance;
        b.residual_g = b.intake_g - b.separator_g - b.to_purifier_g - b.kept_g;
        b.bed_residual_g = held_fresh_g + b.to_purifier_g + self.soaked_g - held - b.to_cylinders_g;
        let mut notes: Vec<String> = self.fresh.notes().to_vec();
        notes.append(&mut self.notes);
        let free = self.prepared.gas.state_p_t(101_325.0, 288.15)?.rho;
        let rated_h = station.purifier.rated_hours.map(|h| h.as_hour());
        Ok(CartridgeAnswer {
            station: station.name.clone(),
            invented: station.invented,
            runs: self.runs,
            running_h,
            free_air_litres: self.air_kg / free * 1e3,
            held_fresh_g,
            held_g,
            crept_in_g: crept,
            used: hours_left.map(|left| running_h / (running_h + left.mid).max(f64::MIN_POSITIVE)),
            hours_left,
            rated_h,
            rated_left_h: rated_h.map(|rated| (rated - running_h).max(0.0)),
            mostly,
            limit: Cartridge::limit_in_words(),
            today_c: today
                .intake_temperature
                .unwrap_or(station.intake.temperature)
                .as_celsius(),
            today_humidity: today.humidity.unwrap_or(station.intake.humidity).as_ratio(),
            balance: self.balance,
            notes,
        })
    }
}

/// Whether it is a state that the models of water and gas do not reach, of this run only.
fn is_of_the_water(why: &ForecastError) -> bool {
    matches!(
        why,
        ForecastError::Moist(_)
            | ForecastError::Water(_)
            | ForecastError::Purifier(_)
            | ForecastError::Gas(_)
    )
}

/// The water of one rebuilt run through the bed.
pub(super) fn pass(
    prepared: &Prepared,
    wet: &Wet,
    rebuilt: &Rebuilt,
    bed: &mut Cartridge,
) -> Result<Walked, ForecastError> {
    let steps = rebuilt.steps.iter().copied();
    walk(
        prepared,
        wet,
        rebuilt.start,
        &rebuilt.running,
        steps,
        Some(bed),
    )
}

/// When the sump was drained: as written down, drains without a time spread evenly.
fn drain_plan(drains: Option<&[LoggedDrain]>, ran_s: f64) -> Plan {
    let Some(drains) = drains else {
        return Plan::Asked(DrainPlan::WhenDue);
    };
    let count = drains.len() as f64;
    let time = |(i, drain): (usize, &LoggedDrain)| {
        let even = ran_s * (i + 1) as f64 / count;
        // the last one at the stop at the latest
        drain
            .after
            .map_or(even, TimeSpan::as_second)
            .clamp(1.0, ran_s.max(1.0))
            - 0.5
    };
    let mut times: Vec<f64> = drains.iter().enumerate().map(time).collect();
    times.sort_by(f64::total_cmp);
    Plan::At(times)
}
