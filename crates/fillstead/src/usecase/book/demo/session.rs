//! One session's entries: checks, start, readings, fills, drains, stop, and what happened besides.

use insight::forecast::plain::Purifier;
use quantity::{Fraction, TimeSpan};

use super::calendar::{Brought, Session, sets};
use super::chance::Chance;
use super::machine::Told;
use super::scribe::{Time, Typed};
use super::telling::{Later, Missed, Teller, of_simulation};
use super::trouble::Landmark;
use crate::usecase::Trouble;
use crate::usecase::book::gate::Filled;

/// How fast the machine's clock was, s.
const CLOCK_FAST_S: i32 = 540;
/// Outlet at which the sample of the warm wet month is taken, mg/m³.
const SAMPLED_MG_M3: f64 = 32.0;
/// Above this an ordinary sample waits for the next session, mg/m³.
const ORDINARY_MG_M3: f64 = 15.0;
/// What people look at before they start.
const CHECKED: [&str; 3] = [
    "oil; intake upwind; drains shut",
    "oil; belt; intake upwind; hoses",
    "oil; intake clear; drains shut; whips",
];

/// Something that happens within a session, at a second of it.
enum Act {
    Enter(&'static str, Vec<Typed<'static>>),
    Fill(Vec<Typed<'static>>, bool),
    Refuse(Vec<Typed<'static>>),
}

/// What is special about this session.
#[derive(Default)]
struct Special {
    over: bool,
    misread: bool,
    twice: bool,
    clock: bool,
    refused: Vec<(&'static str, &'static str, &'static str)>,
}

impl<'s> Teller<'_, '_, 's> {
    /// A session at which the machine runs.
    pub(super) fn session(&mut self, index: usize, planned: Told<'s>) -> Result<(), Vec<Trouble>> {
        let year = self.year;
        let session = &year.sessions[index];
        let before: Time = (session.day, session.starts_s - 1200);
        let special = self.before(index, before)?;
        self.cartridge_where_due(session.operator, before)?;
        let brought = self.really_brought(index);
        self.release_for(&brought, (session.day, session.starts_s - 600))?;
        let told = self.really_ran(index, &brought, planned)?;
        let met = self.purifier.clone();
        let water = self.water(&told, session.air.humidity)?;
        let mut chance = Chance::new(self.seed, 1000 + index as u64);
        let mut acts = self.started(session, &told, &mut chance);
        acts.extend(drains(&water, &mut chance));
        acts.extend(self.fills(&brought, &told, &special, &mut chance)?);
        acts.extend(refusals(&special));
        acts.push(self.stopped(&told, &mut chance));
        acts.sort_by_key(|(second, _)| *second);
        self.write(session, acts, &special)?;
        self.mark(session.day);
        self.sample_where_due(session, &told, &met)
    }

    /// Landmarks due before the start; gives what they make special about the session.
    fn before(&mut self, index: usize, at: Time) -> Result<Special, Vec<Trouble>> {
        let mut special = Special::default();
        let due: Vec<Landmark> = self
            .landmarks
            .extract_if(.., |(when, _)| *when <= index)
            .map(|(_, mark)| mark)
            .collect();
        for mark in due {
            match mark {
                Landmark::Override => special.over = true,
                Landmark::Misread => special.misread = true,
                Landmark::Twice => special.twice = true,
                Landmark::Clock => special.clock = true,
                Landmark::Sample => self.sample_wanted = true,
                Landmark::Refused(id, to, with) => special.refused.push((id, to, with)),
                other => self.landmark(other, index, at)?,
            }
        }
        let has_lower = self.year.sessions[index]
            .brought
            .iter()
            .any(|b| b.shown_bar <= 200.0);
        if special.over && !has_lower {
            special.over = false;
            self.landmarks.push((index + 1, Landmark::Override));
        }
        Ok(special)
    }

    fn started(&self, session: &Session, told: &Told<'s>, chance: &mut Chance) -> Vec<(i32, Act)> {
        let start = vec![
            ("hours", format!("{:.1} h", self.hours)),
            (
                "tower",
                format!("{:.0} bar", self.works.tower.shows(told.tower_bar, chance)),
            ),
            (
                "intake-temperature",
                format!("{:.0} °C", session.air.celsius),
            ),
            ("humidity", format!("{:.0} %", session.air.humidity * 100.0)),
            ("checked", CHECKED[chance.whole(0, 2)].to_owned()),
        ];
        let mut acts = vec![(0, Act::Enter("start", start))];
        if let Some((after, opens)) = told.ran.pmv_opened()
            && chance.happens(0.8)
        {
            let read = self.works.tower.shows(opens.as_bar(), chance);
            let reading = vec![
                ("of", "pmv opens".to_owned()),
                ("value", format!("{read:.0} bar")),
            ];
            acts.push((after.as_second() as i32 + 5, Act::Enter("reading", reading)));
        }
        acts
    }

    fn fills(
        &mut self,
        brought: &[Brought],
        told: &Told<'s>,
        special: &Special,
        chance: &mut Chance,
    ) -> Result<Vec<(i32, Act)>, Vec<Trouble>> {
        let filled = told
            .ran
            .fills()
            .ok_or_else(|| of_simulation("a cylinder of the story does not get full"))?;
        let later = chance.happens(0.15);
        let mut acts = Vec::new();
        for (i, (one, done)) in brought.iter().zip(&filled).enumerate() {
            let mut typed = vec![
                ("cylinder", one.cylinder.id.to_owned()),
                ("person", one.person.to_owned()),
                (
                    "from",
                    format!("{:.0} bar", self.works.panel.shows(one.from_bar, chance)),
                ),
                ("to", format!("{:.0} bar", one.shown_bar)),
            ];
            let took = done.shut.as_minute() - done.opened.as_minute() + chance.normal(0.3);
            typed.push(("took", format!("{:.0} min", took.max(1.0))));
            if later {
                typed.extend(self.settled(told, i, chance)?);
            }
            let set = sets(brought)
                .find(|set| set.iter().any(|b| b == one))
                .unwrap_or_default();
            let with: Vec<&str> = set
                .iter()
                .filter(|b| *b != one)
                .map(|b| b.cylinder.id)
                .collect();
            if !with.is_empty() {
                typed.push(("with", with.join("; ")));
            }
            if one.shown_bar <= 200.0 {
                typed.push(match special.over {
                    true => ("override", "regulator away for service: EM stood at the gauge with a hand on the valve".into()),
                    false => ("protected-at", "215 bar".into()),
                });
            }
            self.filled.insert(one.cylinder.id);
            self.empty.remove(one.cylinder.id);
            let second = done.shut.as_second() + chance.between(10.0, 50.0);
            acts.push((second as i32, Act::Fill(typed, later)));
        }
        Ok(acts)
    }

    /// What a cylinder shows once it is as cold as the air of the day.
    fn settled(
        &self,
        told: &Told<'s>,
        i: usize,
        chance: &mut Chance,
    ) -> Result<Vec<Typed<'static>>, Vec<Trouble>> {
        let celsius = 14.0 + chance.normal(1.5).round();
        let at = quantity::Temperature::celsius(celsius);
        let bar = told.ran.settled(i, at).map_err(of_simulation)?;
        let read = self.works.panel.shows(bar.as_bar(), chance);
        Ok(vec![
            ("settled", format!("{read:.0} bar")),
            ("settled-at", format!("{celsius:.0} °C")),
        ])
    }

    fn stopped(&mut self, told: &Told<'s>, chance: &mut Chance) -> (i32, Act) {
        self.hours += told.ran.running().as_hour();
        let tower = self
            .works
            .tower
            .shows(told.ran.tower_after().as_bar(), chance);
        let typed = vec![
            ("hours", format!("{:.1} h", self.hours)),
            ("tower", format!("{tower:.0} bar")),
        ];
        (
            told.ran.stopped().as_second() as i32 + 90,
            Act::Enter("stop", typed),
        )
    }

    fn write(
        &mut self,
        session: &Session,
        acts: Vec<(i32, Act)>,
        special: &Special,
    ) -> Result<(), Vec<Trouble>> {
        let (by, day) = (session.operator, session.day);
        let mut fast = if special.clock { CLOCK_FAST_S } else { 0 };
        let (mut late, mut fills) = (Vec::new(), 0);
        for (second, act) in acts {
            let at = (day, session.starts_s + second + fast);
            match act {
                Act::Enter(form, typed) => drop(self.scribe.enter(by, at, form, &typed)?),
                Act::Refuse(typed) => self.refused(by, at, &typed)?,
                Act::Fill(typed, true) => late.push((at, typed)),
                Act::Fill(typed, false) => {
                    fills += 1;
                    self.fill(by, at, typed, fills, special)?;
                    if fast > 0 && fills == 2 {
                        fast = 0;
                        self.clock_set(by, (day, session.starts_s + second + 20))?;
                    }
                }
            }
        }
        let morning = 8 * 3600 + 1200;
        for (i, (at, typed)) in late.into_iter().enumerate() {
            let written = Some((day + 1, morning + 30 * i as i32));
            let filled = self.scribe.fill(by, at, written, &typed)?;
            must_be(true, &filled)?;
        }
        Ok(())
    }

    fn fill(
        &mut self,
        by: &str,
        at: Time,
        mut typed: Vec<Typed<'static>>,
        count: usize,
        special: &Special,
    ) -> Result<(), Vec<Trouble>> {
        let right = typed[2].1.clone();
        let misread = special.misread && count == 1;
        if misread {
            typed[2].1 = "160 bar".into();
        }
        let filled = self.scribe.fill(by, at, None, &typed)?;
        must_be(true, &filled)?;
        let soon = |seconds: i32| (at.0, at.1 + seconds);
        if misread {
            let why = "gauge misread: the needle stood a whole mark lower";
            let of = filled.added.seq;
            self.scribe
                .correct(by, soon(60), of, why, &[("from", right)])?;
        }
        if special.twice && count == 1 {
            let again = self.scribe.fill(by, soon(30), None, &typed)?;
            let why = "entered twice";
            self.scribe
                .correct(by, soon(80), again.added.seq, why, &[])?;
        }
        Ok(())
    }

    fn clock_set(&mut self, by: &str, at: Time) -> Result<(), Vec<Trouble>> {
        self.scribe.clock_set_back();
        let text = "clock of this machine was 9 min fast since the session began: set back";
        self.scribe
            .enter(by, at, "note", &[("text", text.into())])?;
        Ok(())
    }

    /// Somebody is turned away at the gate.
    pub(super) fn refused(
        &mut self,
        by: &str,
        at: Time,
        typed: &[Typed<'_>],
    ) -> Result<(), Vec<Trouble>> {
        let filled = self.scribe.fill(by, at, None, typed)?;
        must_be(false, &filled)
    }

    /// A sample where one is wanted and the air is as it should be, or where the change was missed:
    /// then while the water passes its limit. `before` is the cartridge as the run met it.
    fn sample_where_due(
        &mut self,
        session: &Session,
        told: &Told<'s>,
        before: &Purifier,
    ) -> Result<(), Vec<Trouble>> {
        let missed = self.missed == Missed::Now && self.outlet_mg_m3 >= SAMPLED_MG_M3;
        let minded = !matches!(self.missed, Missed::Now | Missed::Sampled);
        if missed {
            self.missed = Missed::Sampled;
            let mg_m3 = self.outlet_in(session, told, before)?;
            let result = Later::Result(mg_m3, session.day);
            self.waiting.push(((session.day + 6, 11 * 3600), result));
        } else if self.sample_wanted && minded && self.outlet_mg_m3 < ORDINARY_MG_M3 {
            self.sample_wanted = false;
            let result = Later::Result(self.outlet_mg_m3, session.day);
            self.waiting.push(((session.day + 6, 11 * 3600), result));
        }
        Ok(())
    }

    /// Water at the outlet in the minute of this run in which it has just risen past what is wanted.
    fn outlet_in(
        &self,
        session: &Session,
        told: &Told<'s>,
        before: &Purifier,
    ) -> Result<f64, Vec<Trouble>> {
        let humidity = Fraction::ratio(session.air.humidity);
        let after = |minutes: i32| {
            let time = TimeSpan::minute(f64::from(minutes));
            let machine = &self.works.machine;
            machine
                .outlet_after(&told.ran, humidity, before, time)
                .map_err(of_simulation)
        };
        let (mut low, mut high) = (0, told.ran.stopped().as_minute().floor() as i32);
        while high - low > 1 {
            let middle = i32::midpoint(low, high);
            match after(middle)? < SAMPLED_MG_M3 {
                true => low = middle,
                false => high = middle,
            }
        }
        after(high)
    }
}

/// The gate must have said what the story tells: filled, or turned away.
fn must_be(filled: bool, came: &Filled) -> Result<(), Vec<Trouble>> {
    if came.written == filled {
        return Ok(());
    }
    let verdict = &came.verdict;
    let what = format!(
        "the gate says otherwise than the story, of {} on {}: {}",
        verdict.cylinder, verdict.today, verdict.verdict
    );
    Err(vec![Trouble::new(what, "try another --seed")])
}

fn drains(water: &insight::forecast::plain::RunWater, chance: &mut Chance) -> Vec<(i32, Act)> {
    let mut acts = Vec::new();
    for (after, volume) in &water.drains {
        let read = (volume.as_millilitre() + chance.normal(1.5)).max(0.0);
        let typed = vec![("volume", format!("{:.0} mL", (read / 5.0).round() * 5.0))];
        acts.push((after.as_second() as i32 + 15, Act::Enter("drain", typed)));
    }
    acts
}

fn refusals(special: &Special) -> Vec<(i32, Act)> {
    let one = |(i, (id, to, with)): (usize, &(&'static str, &'static str, &'static str))| {
        let owner = super::people::named(id).map_or("a guest", |cylinder| cylinder.owner);
        let mut typed = vec![
            ("cylinder", (*id).to_owned()),
            ("person", owner.to_owned()),
            ("to", (*to).to_owned()),
        ];
        if !with.is_empty() {
            typed.push(("with", (*with).to_owned()));
        }
        (420 + 90 * i as i32, Act::Refuse(typed))
    };
    special.refused.iter().enumerate().map(one).collect()
}
