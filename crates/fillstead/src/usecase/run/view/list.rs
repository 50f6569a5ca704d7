//! The list of a run: what to look at, what to do now, how far the shut-down has come.

use super::{Scene, Step};
use crate::usecase::run::stage::{OverBecause, Stage, Standing};
use crate::usecase::run::steps;

impl Scene {
    /// What the list is called, and its lines.
    pub(super) fn steps(&self, s: &Standing) -> (String, Vec<Step>) {
        let names = self.names();
        if !s.stage.running() {
            return self.shut_down(s, &names);
        }
        let mut steps: Vec<Step> = Vec::new();
        if s.stage == Stage::Starting {
            let checked = &self.log.started.body.checked;
            let looked = steps::before_start(&self.station);
            let left = looked
                .iter()
                .filter(|check| checked.iter().all(|c| c != check.key));
            steps.extend(left.take(2).map(|check| Step {
                text: check.text.to_owned(),
                state: "later",
            }));
        }
        let drain_only = s.over == Some(OverBecause::Drain);
        let of = match drain_only {
            true => Stage::DrainDue,
            false => s.stage,
        };
        let acts = matches!(s.stage, Stage::DrainDue | Stage::StopDue | Stage::Over);
        let own = steps::steps(of, &self.station, &names);
        steps.extend(own.into_iter().enumerate().map(|(i, text)| Step {
            text,
            state: match acts && i == 0 {
                true => "now",
                false => "later",
            },
        }));
        let title = match s.stage {
            Stage::Filling => "Watch",
            _ => "Do now",
        };
        (title.to_owned(), steps)
    }

    fn shut_down(&self, s: &Standing, names: &str) -> (String, Vec<Step>) {
        let order = [Stage::GaugeAtStop, Stage::Bleed, Stage::LastDrain];
        let place = |stage: Stage| {
            order
                .iter()
                .position(|s| *s == stage)
                .unwrap_or(order.len())
        };
        let here = place(s.stage);
        let all = steps::shut_down(&self.station, names);
        let count = all.len();
        let done = all.iter().filter(|(_, until)| place(*until) < here).count();
        let step = |(text, until): (String, Stage)| Step {
            text,
            state: match place(until) {
                at if at < here => "done",
                at if at == here => "now",
                _ => "later",
            },
        };
        let title = match here < order.len() {
            true => format!("Shut-down, {done} of {count} done"),
            false => "Shut-down done".to_owned(),
        };
        (title, all.into_iter().map(step).collect())
    }
}
