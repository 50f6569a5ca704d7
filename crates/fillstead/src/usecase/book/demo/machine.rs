//! The machine of the story: what is true of it on each day, and what the simulator says of a run.
//!
//! The pressure maintaining valve opens lower and lower until it is set; the belt slips more and more
//! until it is replaced. Not here: what people read of it ([`super::telling`]).

use insight::forecast::plain::{Machine, PlainFill, PlainRun, Ran};
use insight::forecast::request::ForecastError;
use quantity::{GaugePressure, Temperature, TimeSpan};
use station::Station;

use super::calendar::{Brought, Session, Year};
use super::chance::{Chance, Dial};

/// How much lower the valve opens when it is set, and how much less the machine delivers when the
/// belt is replaced.
const PMV_FALLS: f64 = 0.10;
const BELT_SLIPS: f64 = 0.07;
/// What the tower loses in a day, bar.
const LEAKS_BAR: f64 = 0.25;

/// What is true of the machine, day by day.
#[derive(Clone, Copy, Debug)]
pub struct Truth {
    /// Day on which the pressure maintaining valve is set.
    pub pmv_set: i32,
    /// Day on which the belt is replaced.
    pub belt: i32,
}

impl Truth {
    /// Where the valve opens, over what the station file says.
    pub fn pmv(self, day: i32) -> f64 {
        let since = if day < self.pmv_set {
            day
        } else {
            day - self.pmv_set
        };
        1.0 - PMV_FALLS * f64::from(since) / f64::from(self.pmv_set)
    }

    /// What the machine delivers, over what the station file says.
    pub fn delivery(self, day: i32) -> f64 {
        match day < self.belt {
            true => 1.0 - BELT_SLIPS * f64::from(day) / f64::from(self.belt),
            false => 1.0,
        }
    }
}

/// The machine with its gauges.
pub struct Works<'s> {
    /// The simulator's.
    pub machine: Machine<'s>,
    /// The station as its file describes it.
    pub station: &'s Station,
    /// What is true of it.
    pub truth: Truth,
    /// The gauge of the tower.
    pub tower: Dial,
    /// The gauge of the panel.
    pub panel: Dial,
    seed: u64,
}

/// A run of the story: what was asked of the simulator, and what it says.
pub struct Told<'s> {
    /// The tower before the start, bar.
    pub tower_bar: f64,
    /// The run.
    pub ran: Ran<'s>,
}

impl<'s> Works<'s> {
    /// The machine of this story.
    pub fn new(station: &'s Station, truth: Truth, seed: u64) -> Result<Works<'s>, ForecastError> {
        let mut chance = Chance::new(seed, 3);
        let mut dial = |name: &str| {
            let gauge = station.gauges.iter().find(|gauge| gauge.name == name);
            let span = gauge.map_or(400.0, |g| g.span.as_bar());
            let class = gauge.map_or(1.6, |g| g.class);
            let step = gauge.and_then(|g| g.resolution).map_or(2.0, |r| r.as_bar());
            Dial::new(&mut chance, span, class, step)
        };
        Ok(Works {
            machine: Machine::new(station)?,
            station,
            truth,
            tower: dial("tower"),
            panel: dial("panel"),
            seed,
        })
    }

    /// What the PMV is set to open at, bar.
    pub fn pmv_opens_bar(&self) -> f64 {
        let pmv = self.station.pmv.as_ref();
        pmv.map_or(0.0, |pmv| pmv.opens.as_bar())
    }

    /// The tower before a session's start: where the valve shut, less what leaked since.
    pub fn tower_before(&self, year: &Year, session: usize) -> f64 {
        let closes = self
            .station
            .pmv
            .as_ref()
            .map_or(0.0, |pmv| pmv.closes.as_bar());
        let day = year.sessions[session].day;
        let before = session
            .checked_sub(1)
            .map(|before| year.sessions[before].day);
        let (since, then) = before.map_or((4, 0), |before| (day - before, before));
        (closes * self.truth.pmv(then) - LEAKS_BAR * f64::from(since)).max(0.0)
    }

    /// What the simulator says of a session, cylinders and tower as told.
    pub fn run(
        &self,
        index: usize,
        session: &Session,
        brought: &[Brought],
        tower_bar: f64,
    ) -> Result<Told<'s>, ForecastError> {
        let mut chance = Chance::new(self.seed, 2000 + index as u64);
        let fill = |b: &Brought| PlainFill {
            kind: b.cylinder.kind.to_owned(),
            from: GaugePressure::bar(b.from_bar),
            to: GaugePressure::bar(self.panel.pressure_at(b.shown_bar, &mut chance)),
        };
        let fills = brought.iter().map(fill).collect();
        let asked = self.asked(session, fills, tower_bar);
        let ran = self.machine.run(&asked)?;
        Ok(Told { tower_bar, ran })
    }

    fn asked(&self, session: &Session, fills: Vec<PlainFill>, tower_bar: f64) -> PlainRun {
        PlainRun {
            fills,
            intake_temperature: Temperature::celsius(session.air.celsius),
            tower: GaugePressure::bar(tower_bar),
            change_over: TimeSpan::second(session.change_s),
            pmv: self.truth.pmv(session.day),
            delivery: self.truth.delivery(session.day),
        }
    }

    /// Every session of a year as it is planned, made on two threads.
    pub fn all(&self, year: &Year) -> Result<Vec<Told<'s>>, ForecastError> {
        let one = |i: usize| {
            let session = &year.sessions[i];
            self.run(i, session, &session.brought, self.tower_before(year, i))
        };
        let count = year.sessions.len();
        let half = |first: usize| {
            (first..count)
                .step_by(2)
                .map(one)
                .collect::<Result<Vec<_>, _>>()
        };
        let (even, odd) = std::thread::scope(|scope| {
            let odd = scope.spawn(|| half(1));
            let even = half(0);
            (
                even,
                odd.join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            )
        });
        let mut odd = odd?.into_iter();
        let mut all = Vec::with_capacity(count);
        for told in even? {
            all.push(told);
            all.extend(odd.next());
        }
        Ok(all)
    }
}
