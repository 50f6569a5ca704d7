//! One drill being done: what is due, what was done, what went wrong.

use super::score::{Mark, Row, Score, Slip};
use super::{Drill, Meanwhile, When};
use crate::bench::engine::UNDO_BAR;
use crate::bench::log::NoteKind;
use crate::bench::{Begin, Bench, Refused, Wrong};
use station::Station;
use std::sync::Arc;

/// After the last step the bench is watched on for this long, s: nothing may go wrong meanwhile.
const AFTER_S: u64 = 10;

/// Something done in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Done {
    pub act: String,
    pub t_s: u64,
    pub who: Option<String>,
}

/// A drill being done, or done.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The drill.
    pub drill: &'static Drill,
    /// From when each step is due, once that is known, s.
    pub(super) due: Vec<Option<u64>>,
    pub(super) done: Vec<Done>,
    slips: Vec<Slip>,
    told: usize,
    complete_s: Option<u64>,
    ended_s: Option<u64>,
    /// How often the bench was held meanwhile.
    pub holds: u32,
}

impl Bench {
    /// A bench set up for this drill, at its start.
    ///
    /// **Errors** a station that lacks a part the drill is about.
    pub fn drill(station: &Arc<Station>, drill: &'static Drill) -> Result<Bench, Refused> {
        let setting = super::text::setting(drill, station)?;
        let named = drill.wrong.iter().map(|key| Wrong::named(key, station));
        let wrong: Vec<Option<Wrong>> = named.collect::<Result<_, _>>()?;
        let wrong = wrong.into_iter().flatten().collect();
        let mut bench = Bench::new(station, setting, drill.begin, wrong)?;
        bench.note(None, drill.given.clone(), NoteKind::Told);
        let mut course = Course {
            drill,
            due: vec![None; drill.steps.len()],
            done: Vec::new(),
            slips: Vec::new(),
            told: 0,
            complete_s: None,
            ended_s: None,
            holds: 0,
        };
        course.look(&mut bench);
        bench.course = Some(course);
        Ok(bench)
    }

    /// The bench as it was before its first second: the same drill, setting and faults.
    ///
    /// **Errors** as at its making.
    pub fn again(&self) -> Result<Bench, Refused> {
        match &self.course {
            Some(course) => Bench::drill(&self.original, course.drill),
            None => {
                let wrong = self.wrong.clone();
                let setting = self.setting.clone();
                let mut bench = Bench::new(&self.original, setting, Begin::Rest, wrong)?;
                bench.hidden = self.hidden;
                Ok(bench)
            }
        }
    }

    /// Notes that nobody was there and no time has passed.
    pub fn waited(&mut self) {
        let words = "nobody looked for a while, so the bench waited".to_owned();
        self.note(None, words, NoteKind::Told);
    }

    /// Notes that the bench was held: a drill tells how often.
    pub fn held(&mut self) {
        if let Some(course) = &mut self.course
            && !course.ended()
        {
            course.holds += 1;
        }
    }
}

impl Course {
    /// Whether it is over.
    pub fn ended(&self) -> bool {
        self.ended_s.is_some()
    }

    /// How long it is from its start to its end at most, s.
    pub fn seconds(&self) -> u64 {
        self.drill.seconds
    }

    /// Somebody did something, with the motor running or not and so much pressure in the hose.
    pub(in crate::bench) fn did(
        &mut self,
        act: &str,
        t_s: u64,
        who: Option<&str>,
        (running, hose_bar): (bool, f64),
    ) {
        let before = |other: &String| !self.done.iter().any(|d| d.act == *other);
        let slips = self.drill.nots.iter().filter(|not| {
            not.act == act
                && match &not.meanwhile {
                    Meanwhile::Always => true,
                    Meanwhile::Pressure => hose_bar >= UNDO_BAR,
                    Meanwhile::Running => running,
                    Meanwhile::Before(other) => before(other),
                }
        });
        let slips: Vec<Slip> = slips
            .map(|not| Slip {
                what: not.act.clone(),
                t_s,
                who: who.map(str::to_owned),
                why: not.why.clone(),
            })
            .collect();
        self.slips.extend(slips);
        self.done.push(Done {
            act: act.to_owned(),
            t_s,
            who: who.map(str::to_owned),
        });
    }

    /// Looks at the bench: what is due now, what has happened, whether it is over.
    pub(in crate::bench) fn look(&mut self, bench: &mut Bench) {
        if self.ended() {
            return;
        }
        let t_s = bench.t_s;
        while let Some((at, text)) = self.drill.tells.get(self.told)
            && *at <= t_s
        {
            bench.note(None, text.clone(), NoteKind::Told);
            self.told += 1;
        }
        let done = |act: &str| self.done.iter().any(|d| d.act == act);
        let mut before = true;
        for (step, due) in self.drill.steps.iter().zip(&mut self.due) {
            // a pressure that falls is waited for once everything before it is done
            let turn = before || !matches!(step.when, When::Falls(..));
            if due.is_none() && turn && step.when.come(bench, &done) {
                *due = Some(t_s);
            }
            before = done(&step.act);
        }
        for never in &self.drill.nevers {
            let found = bench.happened.iter().find(|(_, h)| *h == never.happening);
            if let Some((at, what)) = found
                && !self.slips.iter().any(|s| s.what == what.words())
            {
                self.slips.push(Slip {
                    what: what.words().to_owned(),
                    t_s: *at,
                    who: None,
                    why: never.why.clone(),
                });
            }
        }
        let all = self.rows().iter().all(|row| row.done_s.is_some());
        if all && self.complete_s.is_none() {
            self.complete_s = Some(t_s);
        }
        let complete = self.complete_s.is_some_and(|at| t_s >= at + AFTER_S);
        if complete || t_s >= self.drill.seconds || bench.over.is_some() {
            self.ended_s = Some(t_s);
            bench.note(None, "the drill is over".to_owned(), NoteKind::Told);
        }
    }

    /// Each step with when it was due and when it was done.
    pub(super) fn rows(&self) -> Vec<Row> {
        let one = |(step, due): (&super::Step, &Option<u64>)| {
            let of_it = self.done.iter().filter(|d| d.act == step.act);
            let within = |d: &&Done| due.is_some_and(|due| d.t_s >= due);
            let in_time = of_it.clone().find(within);
            let early = of_it.clone().next();
            let last_s = due.map(|due| due + step.within_s);
            let mark = match (in_time, early, last_s) {
                (Some(d), _, Some(last)) if d.t_s <= last => Mark::InTime,
                (Some(_), ..) => Mark::Late,
                (None, Some(_), _) => Mark::Early,
                (None, None, _) => Mark::Missing,
            };
            let shown = in_time.or(early);
            Row {
                act: step.act.clone(),
                why: step.why.clone(),
                due_s: *due,
                last_s,
                done_s: shown.map(|d| d.t_s),
                who: shown.and_then(|d| d.who.clone()),
                mark,
            }
        };
        self.drill.steps.iter().zip(&self.due).map(one).collect()
    }

    /// How it went. Only the end is a result.
    pub fn score(&self) -> Score {
        let rows = self.rows();
        let in_time = rows.iter().filter(|r| r.mark == Mark::InTime).count();
        Score {
            passed: in_time == rows.len() && self.slips.is_empty(),
            in_time,
            rows,
            slips: self.slips.clone(),
            ended_s: self.ended_s,
            holds: self.holds,
        }
    }
}
