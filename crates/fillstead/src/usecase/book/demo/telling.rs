//! The story told in order: session after session, what came of each, and what waits.
//!
//! Start at [`Teller::tell`]. What depends on what came before is decided here: the cartridge's water,
//! what is set aside, whether filling is locked. Not here: a session's entries
//! ([`super::session`]), samples and what follows from them ([`super::sample`]).

use std::collections::BTreeSet;

use insight::forecast::plain::Purifier;
use quantity::{Fraction, TimeSpan};

use super::calendar::{Brought, DAYS, Year, arranged};
use super::chance::Chance;
use super::machine::{Told, Works};
use super::scribe::{Scribe, Time};
use super::trouble::{LANDMARKS, Landmark, SYMPTOM};
use crate::usecase::Trouble;

/// A problem of the simulation as one of the program's.
pub fn of_simulation(error: impl std::fmt::Display) -> Vec<Trouble> {
    let what = format!("the story cannot be simulated: {error}");
    vec![Trouble::new(what, "try another --seed")]
}

/// Hours after which a cartridge is changed, by the club's habit: from, to.
const CARTRIDGE_H: (f64, f64) = (29.0, 34.0);
/// Water behind the bed at which its indicator has turned, mg/m³.
const INDICATOR_MG_M3: f64 = 4.0;
/// The drain is opened so often, min.
pub const DRAIN_MIN: f64 = 25.0;

/// What waits for its time.
#[derive(Clone, Debug, PartialEq)]
pub enum Later {
    /// A laboratory's result: water in mg/m³, day of the sample, why it was taken.
    Result(f64, i32),
    /// A symptom is reported.
    Symptom,
    /// Its cause is written down: number of the symptom.
    SymptomCause(u64),
    /// Everything set aside is released.
    ReleaseAll(u64),
    /// Cause of a failed test: number of the test. The cartridge goes in, a new sample is taken.
    FailedCause(u64),
    /// One cylinder is released late.
    ReleaseOne(u64, &'static str),
    /// Somebody wants the forgotten cylinder filled.
    Refused(&'static str),
    /// The machine is put by.
    Parked,
    /// And looked over before it starts again.
    Unparked,
}

/// Where the warm wet spell's missed change of cartridge stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Missed {
    /// Not yet.
    Ahead,
    /// Nobody thinks of the cartridge.
    Now,
    /// The sample is away, and nobody knows yet.
    Sampled,
    /// The new cartridge is in.
    Over,
}

/// Who tells.
pub struct Teller<'a, 'p, 's> {
    pub year: &'a Year,
    pub works: &'a Works<'s>,
    pub scribe: Scribe<'p>,
    pub seed: u64,
    /// Running hours by the meter, exact.
    pub hours: f64,
    pub purifier: Purifier,
    fresh: Purifier,
    changed_at_h: f64,
    change_after_h: f64,
    pub outlet_mg_m3: f64,
    pub missed: Missed,
    /// The entry that locks filling.
    pub locked: Option<u64>,
    /// Cylinders filled since the last sample that passed was taken: they are set aside with it.
    pub filled: BTreeSet<&'static str>,
    /// Cylinders set aside, and empty once released.
    pub aside: BTreeSet<&'static str>,
    pub empty: BTreeSet<&'static str>,
    /// The failed test, for releases.
    pub failed: Option<u64>,
    /// The cylinder that is released late, and the one that never is.
    pub late: Option<&'static str>,
    pub forgotten: Option<&'static str>,
    pub waiting: Vec<(Time, Later)>,
    pub landmarks: Vec<(usize, Landmark)>,
    /// Whether the tower was opened since the last run.
    pub vented: bool,
    pub sample_wanted: bool,
    pub marks: Vec<Truth>,
}

/// What was true at the end of a run, beside what was written of it: for tests.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Truth {
    /// Day of the story.
    pub day: i32,
    /// Water held by the drying bed, g.
    pub held_g: f64,
    /// Hours run since the book began, h.
    pub hours: f64,
    /// Where the pressure maintaining valve opened, bar.
    pub pmv_bar: f64,
}

impl<'a, 'p, 's> Teller<'a, 'p, 's> {
    /// Begins to tell a year.
    pub fn new(
        year: &'a Year,
        works: &'a Works<'s>,
        scribe: Scribe<'p>,
        seed: u64,
    ) -> Result<Teller<'a, 'p, 's>, Vec<Trouble>> {
        let fresh = works.machine.fresh_purifier(&[]).map_err(of_simulation)?;
        let fresh = fresh.ok_or_else(|| of_simulation("the station has no drying bed"))?;
        let mut landmarks: Vec<(usize, Landmark)> = LANDMARKS
            .iter()
            .map(|(share, mark)| (year.at(*share), *mark))
            .collect();
        landmarks.sort_by_key(|(at, _)| *at);
        let mut teller = Teller {
            year,
            works,
            scribe,
            seed,
            hours: super::METER_H,
            purifier: fresh.clone(),
            fresh,
            changed_at_h: super::METER_H,
            change_after_h: 0.0,
            outlet_mg_m3: 0.0,
            missed: Missed::Ahead,
            locked: None,
            filled: BTreeSet::new(),
            aside: BTreeSet::new(),
            empty: BTreeSet::new(),
            failed: None,
            late: None,
            forgotten: None,
            waiting: Vec::new(),
            landmarks,
            vented: false,
            sample_wanted: false,
            marks: Vec::new(),
        };
        teller.change_after_h = teller.habit();
        teller.wait_for_symptom();
        super::winter::wait(&mut teller);
        Ok(teller)
    }

    fn habit(&self) -> f64 {
        let (from, to) = CARTRIDGE_H;
        Chance::new(self.seed, 4000 + self.hours as u64).between(from, to)
    }

    fn wait_for_symptom(&mut self) {
        let far = |share: &f64| self.year.at(*share).abs_diff(self.year.wet);
        let share = SYMPTOM.iter().max_by_key(|share| far(share));
        let session = &self.year.sessions[self.year.at(share.copied().unwrap_or(SYMPTOM[0]))];
        self.waiting
            .push(((session.day + 1, 12 * 3600 + 900), Later::Symptom));
    }

    /// Tells the whole year.
    pub fn tell(mut self, told: Vec<Told<'s>>) -> Result<Vec<Truth>, Vec<Trouble>> {
        for (index, told) in told.into_iter().enumerate() {
            let session = &self.year.sessions[index];
            self.until((session.day, session.starts_s - 1800))?;
            self.minded(index)?;
            match self.locked {
                Some(_) => self.turned_away(index)?,
                None => self.session(index, told)?,
            }
        }
        self.until((DAYS - 1, 23 * 3600))?;
        Ok(self.marks)
    }

    /// Everything that waited for a time before this.
    fn until(&mut self, time: Time) -> Result<(), Vec<Trouble>> {
        loop {
            let next = self
                .waiting
                .iter()
                .enumerate()
                .min_by_key(|(_, (at, _))| *at);
            match next {
                Some((which, (at, _))) if *at < time => {
                    let (at, later) = self.waiting.remove(which);
                    self.comes(at, later)?;
                }
                _ => return Ok(()),
            }
        }
    }

    /// Whether the change of the cartridge is missed from here on.
    fn minded(&mut self, index: usize) -> Result<(), Vec<Trouble>> {
        let near = self.year.sessions[self.year.wet.min(self.year.sessions.len() - 1)].day - 35;
        if self.missed == Missed::Ahead && self.year.sessions[index].day >= near {
            self.missed = Missed::Now;
        }
        Ok(())
    }

    /// A new cartridge, where it is time and somebody thinks of it.
    pub fn cartridge_where_due(&mut self, by: &str, at: Time) -> Result<(), Vec<Trouble>> {
        let since = self.hours - self.changed_at_h;
        let due = since >= self.change_after_h || self.outlet_mg_m3 > INDICATOR_MG_M3;
        match due && !matches!(self.missed, Missed::Now | Missed::Sampled) {
            true => self.change_cartridge(by, at),
            false => Ok(()),
        }
    }

    /// A new cartridge goes in; the tower was vented for it.
    pub fn change_cartridge(&mut self, by: &str, at: Time) -> Result<(), Vec<Trouble>> {
        let typed = [
            ("part", "cartridge".into()),
            ("hours", format!("{:.1} h", self.hours)),
            (
                "detail",
                "13X 420 g and carbon 120 g, from sealed bag".into(),
            ),
            ("done-by", by.to_owned()),
        ];
        self.scribe.enter(by, at, "replaced", &typed)?;
        self.purifier = self.fresh.clone();
        self.changed_at_h = self.hours;
        self.change_after_h = self.habit();
        (self.outlet_mg_m3, self.vented) = (0.0, true);
        Ok(())
    }

    /// What is really brought: not what is set aside, and what was vented is empty.
    pub fn really_brought(&self, index: usize) -> Vec<Brought> {
        let planned = self.year.sessions[index].brought.iter().cloned();
        let there = planned.filter(|b| !self.kept_away(b.cylinder.id));
        let mut brought = arranged(there.collect());
        for one in &mut brought {
            if self.aside.contains(one.cylinder.id) || self.empty.contains(one.cylinder.id) {
                one.from_bar = 0.0;
            }
        }
        brought
    }

    fn kept_away(&self, id: &str) -> bool {
        let away = [self.late, self.forgotten]
            .into_iter()
            .flatten()
            .any(|one| one == id);
        away && self.aside.contains(id)
    }

    /// The run as it really was: as planned, or simulated again.
    pub fn really_ran(
        &mut self,
        index: usize,
        brought: &[Brought],
        planned: Told<'s>,
    ) -> Result<Told<'s>, Vec<Trouble>> {
        let session = &self.year.sessions[index];
        let tower_bar = if self.vented { 0.0 } else { planned.tower_bar };
        self.vented = false;
        if brought == session.brought && tower_bar == planned.tower_bar {
            return Ok(planned);
        }
        self.works
            .run(index, session, brought, tower_bar)
            .map_err(of_simulation)
    }

    /// Follows the water of a run into the cartridge; gives the drains.
    pub fn water(
        &mut self,
        told: &Told<'s>,
        humidity: f64,
    ) -> Result<insight::forecast::plain::RunWater, Vec<Trouble>> {
        let (every, humidity) = (TimeSpan::minute(DRAIN_MIN), Fraction::ratio(humidity));
        let machine = &self.works.machine;
        let met = self.purifier.clone();
        let water = machine
            .water(&told.ran, humidity, every, &mut self.purifier)
            .map_err(of_simulation)?;
        // what a laboratory is sent passes while the machine runs, not while it is bled
        let stopped = told.ran.stopped();
        self.outlet_mg_m3 = machine
            .outlet_after(&told.ran, humidity, &met, stopped)
            .map_err(of_simulation)?;
        Ok(water)
    }

    /// What was true when a run had ended.
    pub fn mark(&mut self, day: i32) {
        let opens = self.works.pmv_opens_bar();
        self.marks.push(Truth {
            day,
            held_g: self.purifier.held_g(),
            hours: self.hours - super::METER_H,
            pmv_bar: opens * self.works.truth.pmv(day),
        });
    }
}
