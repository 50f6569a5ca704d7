//! The bench itself: a plant, its water, what is wrong with it, what was done.
//!
//! Not here: what the gauges show ([`super::state`]), drills ([`super::drill`]).

use super::begin::Begin;
use super::drill::Course;
use super::log::{Happening, Note, NoteKind};
use super::sump::Sump;
use super::trouble::prepare;
use super::wrong::{Kind, Wrong};
use super::{Act, Refused, Setting};
use crate::assemble::{Places, Variation};
use crate::fault::Fault;
use physics::gas::Gas;
use physics::sim::{Control, EventKind, Outcome, Sim, Snapshot, Start};
use station::Station;
use std::collections::VecDeque;
use std::sync::Arc;

/// Readings kept for the trace: the last ten minutes, one a second.
pub const TRACE_S: usize = 600;
/// Lines of the log kept.
const MOST_NOTES: usize = 400;
/// A bench is over after this time, s: a long day.
pub const LONGEST_S: u64 = 12 * 3600;
/// A hose is safe to undo below this gauge pressure, bar: the dial shows nothing.
pub const UNDO_BAR: f64 = 1.0;
/// Past the stop by this much a cylinder counts as over-filled, bar.
const OVER_BAR: f64 = 4.0;

/// A teaching station.
#[derive(Debug, Clone)]
pub struct Bench {
    /// As the file says.
    pub(super) original: Arc<Station>,
    /// As set here.
    pub(super) station: Arc<Station>,
    pub(super) setting: Setting,
    pub(super) begin: Begin,
    pub(super) wrong: Vec<Wrong>,
    /// What is wrong is kept from everybody until it is revealed.
    pub(super) hidden: bool,
    pub(super) gas: Gas,
    pub(super) sim: Sim<'static>,
    /// The same station sound, under the same hands: for the trace.
    pub(super) sound: Option<Sim<'static>>,
    pub(super) places: Places,
    pub(super) cylinders: Vec<(String, f64)>,
    starts: Vec<Start>,
    pub(super) sump: Option<Sump>,
    /// Why there is no water to tell of.
    pub(super) dry_because: Option<String>,
    pub(super) connected: Vec<bool>,
    pub(super) t_s: u64,
    pub(super) trace: VecDeque<Trace>,
    pub(super) notes: Vec<Note>,
    pub(super) happened: Vec<(u64, Happening)>,
    /// Why the bench is over.
    pub(super) over: Option<String>,
    pub(super) put_in_s: Option<u64>,
    pub(super) named: Vec<(u64, Option<String>, &'static str, bool)>,
    pub(super) course: Option<Course>,
}

/// One second of the trace, gauge bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trace {
    /// Bench seconds.
    pub t_s: u64,
    /// As the tower gauge shows it.
    pub tower_bar: f64,
    /// As the line gauge shows it.
    pub line_bar: f64,
    /// The first cylinder.
    pub cylinder_bar: f64,
    /// The tower of a sound machine under the same hands.
    pub sound_bar: Option<f64>,
}

impl Bench {
    /// A bench of this station, set like this, with these things wrong from the start.
    ///
    /// **Errors** a setting that does not fit, or a station that cannot be run.
    pub fn new(
        station: &Arc<Station>,
        setting: Setting,
        begin: Begin,
        wrong: Vec<Wrong>,
    ) -> Result<Bench, Refused> {
        if let Some((_, trouble)) = setting.troubles(station).into_iter().next() {
            return Err(trouble);
        }
        let set = Arc::new(setting.applied(station));
        let prepared = prepare(&set, &setting, &[])?;
        let healthy = prepared.assembly(&Variation::NONE)?;
        let sim = Sim::owning(healthy.plant, &prepared.gas, &healthy.starts)?;
        let (places, starts) = (healthy.places, healthy.starts);
        let on = (places.separator, places.first);
        let start = &sim.snapshot().vessels[places.separator];
        let (sump, dry_because) = match Sump::new(&prepared, setting.humidity, on, start) {
            Ok(sump) => (Some(sump), None),
            Err(why) => (None, Some(why.to_string())),
        };
        let cylinders = prepared.cylinders.iter();
        let mut bench = Bench {
            original: station.clone(),
            station: set.clone(),
            begin,
            hidden: false,
            gas: prepared.gas.clone(),
            sim,
            sound: None,
            cylinders: cylinders.map(|c| (c.id.clone(), c.stop.as_bar())).collect(),
            connected: vec![true; places.hoses.len()],
            starts,
            places,
            sump,
            dry_because,
            t_s: 0,
            trace: VecDeque::new(),
            notes: Vec::new(),
            happened: Vec::new(),
            over: None,
            put_in_s: (!wrong.is_empty()).then_some(0),
            named: Vec::new(),
            course: None,
            setting,
            wrong: Vec::new(),
        };
        if !wrong.is_empty() {
            bench.sound = Some(bench.sim.clone());
            bench.refit(wrong)?;
        }
        begin.bring(&mut bench);
        bench.left_by_hands(&bench.wrong.clone());
        bench.sim.take_events();
        bench.remember();
        Ok(bench)
    }

    /// Lets so many seconds pass, or as many as there are until the bench is over.
    pub fn advance(&mut self, seconds: u64) {
        for _ in 0..seconds {
            if self.over() {
                return;
            }
            self.second();
        }
    }

    /// Whether nothing moves any more.
    pub fn over(&self) -> bool {
        self.over.is_some() || self.course.as_ref().is_some_and(Course::ended)
    }

    fn second(&mut self) {
        let until = self.sim.t_s().floor() + 1.0;
        let (before, drain) = (self.sim.balance(), self.drain_link());
        let outcome = self.sim.advance(until, &[]);
        if let Some(sound) = &mut self.sound
            && let Outcome::Stopped(_) = sound.advance(until, &[])
        {
            self.sound = None;
        }
        if let Outcome::Stopped(reason) = outcome {
            let why = format!("the bench cannot follow this any further: {reason}");
            self.note(None, why.clone(), NoteKind::Happened);
            self.over = Some(why);
            return;
        }
        self.t_s += 1;
        let after = self.sim.balance();
        let drawn = after.mass_in_kg - before.mass_in_kg;
        let open = self.places.drain.and_then(|i| self.sim.opening(i));
        let blown = drain.map_or(0.0, |i| after.mass_out_kg[i] - before.mass_out_kg[i]);
        let blown = open.filter(|o| *o > 0.0).map(|_| blown);
        self.follow_water(drawn, blown);
        self.look_around();
        self.remember();
        if let Some(mut course) = self.course.take() {
            course.look(self);
            self.course = Some(course);
        }
        if self.t_s >= LONGEST_S {
            self.over = Some("twelve hours on the bench are enough: go back to the start".into());
        }
    }

    fn drain_link(&self) -> Option<usize> {
        let links = &self.sim.plant().links;
        links.iter().position(|link| link.name == "drain")
    }

    fn follow_water(&mut self, drawn_kg: f64, drained_kg: Option<f64>) {
        let Some(mut sump) = self.sump.take() else {
            return;
        };
        let now = self.sim.snapshot();
        let compressor = self.sim.plant().compressor.as_ref();
        let delivery = compressor.map(|c| &c.delivery);
        match sump.piece(delivery, (drawn_kg, drained_kg), &now) {
            Ok(over) => {
                if over {
                    self.happen_once(Happening::SumpOver);
                }
                self.sump = Some(sump);
            }
            Err(why) => self.dry_because = Some(why.to_string()),
        }
    }

    /// What the simulation reported, and what nobody but the bench watches for.
    fn look_around(&mut self) {
        for event in self.sim.take_events() {
            let places = &self.places;
            let happening = match event.kind {
                EventKind::ValveOpened(i) if places.pmv == Some(i) => Happening::PmvOpened,
                EventKind::ValveClosed(i) if places.pmv == Some(i) => Happening::PmvClosed,
                EventKind::ValveOpened(_) => Happening::ReliefLifted,
                EventKind::ValveClosed(_) => Happening::ReliefReseated,
                EventKind::DiscBurst(_) => Happening::DiscBurst,
                _ => continue,
            };
            self.happen(happening);
        }
        if let Some(sound) = &mut self.sound {
            sound.take_events();
        }
        let now = self.sim.snapshot();
        let over = |(vessel, (_, stop)): (&usize, &(String, f64))| {
            self.bar(&now, *vessel) > stop + OVER_BAR
        };
        if (self.places.cylinders.iter().zip(&self.cylinders)).any(over) {
            self.happen_once(Happening::OverFilled);
        }
    }

    fn happen_once(&mut self, happening: Happening) {
        if !self.happened.iter().any(|(_, h)| *h == happening) {
            self.happen(happening);
        }
    }

    pub(super) fn happen(&mut self, happening: Happening) {
        self.happened.push((self.t_s, happening));
        let kind = match happening.danger() {
            true => NoteKind::Danger,
            false => NoteKind::Happened,
        };
        self.note(None, happening.words().to_owned(), kind);
    }

    pub(super) fn note(&mut self, who: Option<&str>, words: String, kind: NoteKind) {
        if self.notes.len() >= MOST_NOTES {
            self.notes.remove(0);
        }
        self.notes.push(Note {
            t_s: self.t_s,
            who: who.map(str::to_owned),
            words,
            kind,
        });
    }

    fn remember(&mut self) {
        let now = self.sim.snapshot();
        let tower = self.places.tower;
        let sound = self.sound.as_ref().map(Sim::snapshot);
        self.trace.push_back(Trace {
            t_s: self.t_s,
            tower_bar: self.bar(&now, tower) + self.offset(true),
            line_bar: self.bar(&now, self.places.line) + self.offset(false),
            cylinder_bar: self.bar(&now, self.places.cylinders[0]),
            sound_bar: sound.map(|s| self.bar(&s, tower)),
        });
        if self.trace.len() > TRACE_S + 1 {
            self.trace.pop_front();
        }
    }

    /// What a gauge shows too much of, bar.
    pub(super) fn offset(&self, tower: bool) -> f64 {
        let one = |wrong: &Wrong| match wrong.kind {
            Kind::Part(Fault::TowerGaugeOffset(by)) if tower => by.as_bar(),
            Kind::Part(Fault::LineGaugeOffset(by)) if !tower => by.as_bar(),
            _ => 0.0,
        };
        self.wrong.iter().map(one).sum()
    }

    /// Gauge pressure in a vessel, bar.
    pub(super) fn bar(&self, now: &Snapshot, vessel: usize) -> f64 {
        let p_pa = now.vessels.get(vessel).map_or(f64::NAN, |v| v.p_pa);
        (p_pa - self.sim.plant().atmosphere_pa) / 1e5
    }

    /// Density of air at this absolute pressure in the room, kg/m³.
    pub(super) fn density(&self, p_pa: f64) -> Option<f64> {
        let t_k = self.setting.intake.as_kelvin();
        self.gas.state_p_t(p_pa, t_k).ok().map(|state| state.rho)
    }

    /// Hoses on the bench.
    pub fn hoses(&self) -> usize {
        self.places.hoses.len()
    }

    /// Turns something without asking and without telling; the sound machine's as well.
    pub(super) fn turn(&mut self, act: Act) {
        let Some(control) = self.control(act) else {
            return;
        };
        self.sim.control(control);
        if let Some(sound) = &mut self.sound {
            sound.control(control);
        }
    }

    pub(super) fn control(&self, act: Act) -> Option<Control> {
        let hose = |i: usize| self.places.hoses.get(i);
        let (valve, open) = match act {
            Act::Motor(on) => return Some(Control::Compressor(on)),
            Act::Drain(open) => (self.places.drain?, open),
            Act::Vent(open) => (self.places.vent?, open),
            Act::Fill(i, open) => (hose(i)?.fill, open),
            Act::Cylinder(i, open) => (hose(i)?.valve, open),
            Act::Bleed(i, open) => (hose(i)?.bleed, open),
            Act::Undo(i) => (hose(i)?.end, true),
            Act::Connect(i) => (hose(i)?.end, false),
            Act::TagOut | Act::SetAside | Act::Name(_) => return None,
        };
        let opening = if open { 1.0 } else { 0.0 };
        Some(Control::Hand { valve, opening })
    }

    /// Puts another cylinder on, as the first was at the start.
    pub(super) fn next_cylinder(&mut self, hose: usize) -> Result<(), Refused> {
        let vessel = self.places.cylinders[hose];
        let fresh = [(vessel, self.starts[vessel])];
        let swap = |sim: &Sim<'static>| {
            let plant = sim.plant().clone();
            sim.clone().changed(plant, &self.gas, &fresh)
        };
        let sound = self.sound.as_ref().map(swap).transpose()?;
        self.sim = swap(&self.sim)?;
        self.sound = sound;
        Ok(())
    }

    /// Lets the hoses settle before the bench's time begins.
    pub(super) fn settle(&mut self, seconds: u64) {
        let until = self.sim.t_s() + seconds as f64;
        self.sim.advance(until, &[]);
        if let Some(sound) = &mut self.sound {
            sound.advance(until, &[]);
        }
    }
}
