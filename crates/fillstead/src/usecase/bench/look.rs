//! A bench as it stands now, copied out, so that nobody waits while it is drawn.

use book::Moment;
use insight::bench::drill::{Drill, Score};
use insight::bench::question::Question;
use insight::bench::{Note, State, Trace, wrong};
use quantity::UnitSystem;

use super::Room;
use super::room::{Mark, Speed};

/// One pressure of the station beside the trace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rung {
    /// What it is called.
    pub name: &'static str,
    /// Gauge bar.
    pub bar: f64,
}

/// Everything a page shows of a bench.
#[derive(Clone)]
pub struct Look {
    /// Its place in addresses.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// What tells it from the next look.
    pub mark: Mark,
    /// The station as it is set here.
    pub station: station::Station,
    /// What can be seen.
    pub state: State,
    /// The log, newest first.
    pub notes: Vec<Note>,
    /// The last ten minutes.
    pub trace: Vec<Trace>,
    /// Set pressures by the file, for scale.
    pub rungs: Vec<Rung>,
    /// The drill and how it stands.
    pub drill: Option<(&'static Drill, Score)>,
    /// Whether nothing moves any more.
    pub over: bool,
    /// Whether time passes.
    pub running: bool,
    /// How fast.
    pub speed: Speed,
    /// Who is here.
    pub people: Vec<String>,
    /// What is asked, what this person has said, how many said what, and why it is so.
    pub question: Option<Asked>,
    /// What can be wrong here.
    pub faults: Vec<&'static wrong::Entry>,
    /// How it is set, as it would be typed.
    pub set: Vec<(String, String)>,
}

/// A question as one person sees it.
#[derive(Clone)]
pub struct Asked {
    /// The question.
    pub question: &'static Question,
    /// What this person has answered.
    pub mine: Option<usize>,
    /// How many chose each.
    pub counts: Vec<usize>,
    /// Why.
    pub because: String,
}

impl Room {
    /// As it stands for this person.
    pub fn look(
        &self,
        id: &str,
        who: Option<&str>,
        units: Option<UnitSystem>,
        now: Moment,
    ) -> Look {
        let mut station = self.bench.station().clone();
        station.units = units.unwrap_or(station.units);
        let course = self.bench.course();
        let mut notes = self.bench.notes().to_vec();
        notes.reverse();
        let question = self.asked.map(|question| Asked {
            question,
            mine: who.and_then(|who| self.said(who)),
            counts: self.counts(),
            because: question.because(&self.bench),
        });
        Look {
            id: id.to_owned(),
            name: self.name.clone(),
            mark: self.mark(now),
            state: self.bench.state(),
            notes,
            trace: self.bench.trace(),
            rungs: rungs(&station),
            drill: course.map(|course| (course.drill, course.score())),
            over: self.bench.over(),
            running: self.running,
            speed: self.speed,
            people: self.people(now),
            question,
            faults: self.faults(),
            set: super::typed(self.bench.setting(), station.units),
            station,
        }
    }
}

fn rungs(station: &station::Station) -> Vec<Rung> {
    let rung = |name, bar| Rung { name, bar };
    let mut all = vec![rung(
        "working",
        station.compressor.working_pressure.as_bar(),
    )];
    if let Some(pmv) = &station.pmv {
        all.push(rung("PMV opens", pmv.opens.as_bar()));
        all.push(rung("PMV closes", pmv.closes.as_bar()));
    }
    if let Some(relief) = &station.relief {
        all.push(rung("relief lifts", relief.lifts.as_bar()));
    }
    all
}
