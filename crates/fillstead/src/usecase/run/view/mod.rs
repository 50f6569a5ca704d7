//! A run as a page or a program shows it: words and figures for where it stands.
//!
//! Start at [`Scene::view`]. The names of the fields of [`RunView`] are a contract: `/run/state.json`
//! gives them. Not here: where it stands ([`super::stage`]), what is in the book ([`super::log`]).

mod figures;
mod list;
mod shape;

use book::Moment;
use quantity::UnitSystem;
use station::Station;

use crate::usecase::run::course::{Course, Settles, on_line};
use crate::usecase::run::judge::{self, Gauge, Verdict};
use crate::usecase::run::log::Log;
use crate::usecase::run::stage::{Judged, OverBecause, Setup, Stage, Standing, standing};

use figures::{from_bar, round_up};
pub use figures::{mmss, number, unit};
pub use shape::{Counter, Deviation, Next, Readout, RunView, Step};

/// A fill stopped this near the plan settles as forecast, bar.
const AS_PLANNED_BAR: f64 = 3.0;

/// Everything a view is made from.
pub struct Scene {
    /// What is in the book.
    pub log: Log,
    /// What was expected; none where nothing was planned or it cannot be computed.
    pub course: Option<std::sync::Arc<Course>>,
    /// Why there is none.
    pub without: Option<String>,
    /// The station as it was at the start.
    pub station: Station,
    /// Cylinders filled in earlier starts of the same job.
    pub before: usize,
}

impl Scene {
    /// The cylinders on the line.
    pub fn on_line(&self) -> &[book::body::Planned] {
        on_line(&self.station, &self.log.started.body.planned)
    }

    /// Those that come after.
    pub fn waiting(&self) -> &[book::body::Planned] {
        let all = &self.log.started.body.planned;
        all.get(self.on_line().len()..).unwrap_or_default()
    }

    /// What is settled about the station.
    pub fn setup(&self) -> Setup {
        let every = self.log.started.body.drain_every.as_ref();
        let every = every.map_or(self.station.separator.drain_interval, |m| m.value());
        Setup {
            drain_every_s: every.as_second(),
            relief_bar: self.station.relief.as_ref().map(|r| r.lifts.as_bar()),
        }
    }

    /// Where it stands.
    pub fn standing(&self, now: Moment) -> Standing {
        standing(
            &self.log,
            self.course.as_deref(),
            self.setup(),
            (self.on_line(), self.waiting().len()),
            now,
        )
    }

    /// What hangs on the line, by name.
    pub fn names(&self) -> String {
        let names: Vec<&str> = self.on_line().iter().map(|p| p.cylinder.as_str()).collect();
        match names.is_empty() {
            true => "the cylinder".to_owned(),
            false => names.join(" + "),
        }
    }

    /// The run at a moment.
    pub fn view(&self, now: Moment) -> RunView {
        let s = self.standing(now);
        let units = self.station.units;
        let (word, mark) = word(&s);
        let (steps_title, steps) = self.steps(&s);
        let course = self.course.as_deref().filter(|_| s.stage.running());
        RunView {
            state: s.stage,
            word,
            mark,
            running: s.stage.running(),
            run: self.log.started.seq,
            seq: self.log.last_seq,
            now_us: now.0,
            cylinders: self.names(),
            position: self.position(),
            clock: counter(&s),
            gauge: self.readout(&s),
            next: self.next(&s),
            steps_title,
            steps,
            deviation: s.judged.map(|j| self.deviation(&j)),
            notes: self.notes(&s),
            elapsed_s: s.elapsed_s,
            drain_at_s: s.elapsed_s + s.drain_in_s,
            stop_at_s: s.stop_in_s.map(|left| s.elapsed_s + left),
            alarm_at_s: s.alarm_in_s.map(|left| s.elapsed_s + left),
            curve: course.map(|c| curve(c, &s, units)).unwrap_or_default(),
            unit: unit(units),
        }
    }

    /// `A1, 1 of 2`.
    fn position(&self) -> String {
        let here = self.on_line().len();
        let total = self.before + here + self.waiting().len();
        match (here, total) {
            (0, _) => String::new(),
            (1, 1) => self.names(),
            (1, _) => format!("{}, {} of {total}", self.names(), self.before + 1),
            (_, total) if total == here => self.names(),
            _ => format!(
                "{}, {} to {} of {total}",
                self.names(),
                self.before + 1,
                self.before + here
            ),
        }
    }

    fn readout(&self, s: &Standing) -> Option<Readout> {
        let units = self.station.units;
        let (gauge, expected) = s.expected?;
        let (label, note) = match (gauge, s.stage) {
            (Gauge::Tower, _) => {
                let fill = self.course.as_ref()?.at(s.elapsed_s)?.fill.bar;
                let note = format!("Fill gauge stays at {}", number(fill, units));
                ("Tower should read now", Some(note))
            }
            (Gauge::Fill, Stage::Over) => ("Fill gauge is near", self.planned_stop(s)),
            (Gauge::Fill, _) => {
                let ahead = (s.ahead_s > 0.0).then(|| "By your last reading".to_owned());
                ("Fill gauge should read now", ahead)
            }
        };
        let within = round_up(expected.give_or_take, units);
        Some(Readout {
            label,
            text: number(expected.bar, units),
            give_or_take: format!("± {within} {}", unit(units)),
            bar: expected.bar,
            within_bar: expected.give_or_take,
            note,
        })
    }

    fn planned_stop(&self, s: &Standing) -> Option<String> {
        let course = self.course.as_ref()?;
        let at = s.elapsed_s + s.stop_in_s?;
        Some(format!(
            "Planned stop was {} at {}",
            self.pressure(course.stop_bar),
            mmss(at)
        ))
    }

    fn next(&self, s: &Standing) -> Option<Next> {
        let stop = self.course.as_ref().map(|c| self.pressure(c.stop_bar));
        let act = |label: &str, text: String| Next {
            label: label.to_owned(),
            text,
            at_s: None,
            tenths: None,
            kind: "act",
        };
        match s.stage {
            Stage::Starting => wait("PMV opens in", s.air_in_s?, s.elapsed_s, s.elapsed_s),
            Stage::Filling => {
                let every = self.setup().drain_every_s;
                match s
                    .stop_in_s
                    .filter(|stop| *stop <= s.drain_in_s.max(0.0) + 60.0)
                {
                    Some(left) => wait(
                        &format!("Stop at {} in", stop.unwrap_or_default()),
                        left,
                        s.elapsed_s,
                        s.elapsed_s,
                    ),
                    None => wait("Drain in", s.drain_in_s, every - s.drain_in_s, s.elapsed_s),
                }
            }
            Stage::DrainDue => Some(act("Drain now", format!("due {} ago", mmss(-s.drain_in_s)))),
            Stage::StopDue => Some(act("Stop at", stop.unwrap_or_default())),
            Stage::Over => self.over_next(s),
            Stage::GaugeAtStop => Some(act("Machine is off", "Read the gauge".to_owned())),
            Stage::Bleed => Some(act(
                "Bleed the hose before you disconnect",
                format!("to 0 {}", unit(self.station.units)),
            )),
            Stage::LastDrain => Some(act("Drain once more", "then shut it".to_owned())),
            Stage::Between => {
                let next: Vec<&str> = on_line(&self.station, self.waiting())
                    .iter()
                    .map(|p| p.cylinder.as_str())
                    .collect();
                Some(act("Next on the line", next.join(" + ")))
            }
            Stage::Cooling => Some(act("When cold to the hand", "Read it again".to_owned())),
            Stage::Ended => None,
        }
    }

    fn over_next(&self, s: &Standing) -> Option<Next> {
        let left = s.relief_in_s.filter(|_| s.over != Some(OverBecause::Drain));
        let next = match left {
            Some(left) => wait(
                "Relief lifts in about",
                left,
                -s.stop_in_s.unwrap_or(0.0),
                s.elapsed_s,
            )?,
            None => Next {
                label: "Drain is overdue by".to_owned(),
                text: mmss(-s.drain_in_s),
                at_s: None,
                tenths: None,
                kind: "danger",
            },
        };
        Some(Next {
            kind: "danger",
            ..next
        })
    }

    fn deviation(&self, j: &Judged) -> Deviation {
        let by = (j.bar - j.expected.bar).abs();
        let side = match j.verdict {
            Verdict::Inside => "inside the band".to_owned(),
            Verdict::High => format!("high by {}", self.pressure(by)),
            Verdict::Low => format!("low by {}", self.pressure(by)),
        };
        let name = match j.gauge {
            Gauge::Tower => "Tower",
            Gauge::Fill => "Fill gauge",
        };
        Deviation {
            seq: j.seq,
            text: format!("{name} {} at {}: {side}", self.pressure(j.bar), mmss(j.t_s)),
            verdict: j.verdict,
            meaning: judge::meaning(j.gauge, j.verdict),
            remedy: judge::remedy(j.gauge, j.verdict, j.twice),
            twice: j.twice,
        }
    }

    fn notes(&self, s: &Standing) -> Vec<String> {
        let mut notes = Vec::new();
        if let Some(why) = self.without.as_ref().filter(|_| s.stage.running()) {
            notes.push(why.clone());
        }
        if s.clock_back {
            notes.push(
                "The server's clock went back. Times stand still until it has caught up: keep time \
                 by your watch."
                    .to_owned(),
            );
        }
        if s.stage == Stage::Cooling
            && let Some(course) = &self.course
        {
            let as_planned = |at: &&Settles| {
                let fill = self.log.fill(&at.cylinder);
                let to = fill.and_then(|f| f.body.to.as_ref()).map(|m| m.value());
                to.is_some_and(|to| (to.as_bar() - course.stop_bar).abs() < AS_PLANNED_BAR)
            };
            notes.extend(course.settles.iter().filter(as_planned).map(|at| {
                format!(
                    "{} should settle at {} ± {} {} at {}",
                    at.cylinder,
                    number(at.bar, self.station.units),
                    round_up(at.give_or_take, self.station.units),
                    unit(self.station.units),
                    self.celsius(at.at_c)
                )
            }));
        }
        notes
    }

    /// A pressure with its unit.
    pub fn pressure(&self, bar: f64) -> String {
        let units = self.station.units;
        format!("{} {}", number(bar, units), unit(units))
    }

    fn celsius(&self, at_c: f64) -> String {
        match self.station.units {
            UnitSystem::Metric => format!("{at_c:.0} °C"),
            UnitSystem::Us => format!("{:.0} °F", at_c * 1.8 + 32.0),
        }
    }
}

/// The word of a stage, and its signal.
fn word(s: &Standing) -> (&'static str, &'static str) {
    match (s.stage, s.over) {
        (Stage::Starting, _) => ("Starting, no air yet", "note"),
        (Stage::Filling, _) => ("Filling", "normal"),
        (Stage::DrainDue, _) => ("Drain due", "action"),
        (Stage::StopDue, _) => ("Stop now", "action"),
        (Stage::Over, Some(OverBecause::Drain)) => ("Drain overdue", "danger"),
        (Stage::Over, _) => ("Over-running", "danger"),
        (Stage::GaugeAtStop | Stage::Bleed | Stage::LastDrain, _) => ("Shut-down", "note"),
        (Stage::Between, _) => ("Change cylinders", "note"),
        (Stage::Cooling, _) => ("Cooling", "note"),
        (Stage::Ended, _) => ("Done", "normal"),
    }
}

fn counter(s: &Standing) -> Counter {
    let past = match s.over {
        Some(OverBecause::Drain) => Some(("Drain overdue by", -s.drain_in_s)),
        Some(_) => {
            let past = s.stop_in_s.filter(|left| *left < 0.0);
            past.map(|left| ("Past the stop by", -left))
        }
        None => None,
    };
    let (label, seconds) = match (past, s.since_stop_s) {
        (Some(past), _) => past,
        (None, Some(since)) => ("Since stop", since),
        (None, None) => ("Elapsed", s.elapsed_s),
    };
    Counter {
        label,
        text: mmss(seconds),
        seconds,
        over: s.over.is_some(),
    }
}

/// A wait of which `gone` seconds are over and `left` remain.
fn wait(label: &str, left: f64, gone: f64, elapsed_s: f64) -> Option<Next> {
    let left = left.max(0.0);
    let share = gone.max(0.0) / (gone.max(0.0) + left).max(1.0);
    Some(Next {
        label: label.to_owned(),
        text: mmss(left),
        at_s: Some(elapsed_s + left),
        tenths: Some((share * 10.0).round().clamp(0.0, 10.0) as u32),
        kind: "wait",
    })
}

/// What the gauge to look at should show from now on, for a page that counts by itself.
fn curve(course: &Course, s: &Standing, units: UnitSystem) -> Vec<(f64, f64, f64)> {
    let gauge = s.expected.map(|(gauge, _)| gauge);
    let value = |bar: f64| (from_bar(bar, units) * 10.0).round() / 10.0;
    let ahead = s.ahead_s;
    let mut points: Vec<(f64, f64, f64)> = course
        .points
        .iter()
        .map(|p| {
            let e = match gauge {
                Some(Gauge::Tower) => p.tower,
                _ => p.fill,
            };
            (p.t_s - ahead, value(e.bar), value(e.give_or_take))
        })
        .filter(|(t, ..)| *t > s.elapsed_s - 30.0)
        .collect();
    if gauge == Some(Gauge::Fill)
        && let Some(far) = course.fill_at(course.stop_s.0 + 600.0)
    {
        let t = course.stop_s.0 + 600.0 - ahead;
        points.push((t, value(far.bar), value(far.give_or_take)));
    }
    points
}
