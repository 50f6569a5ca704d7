//! Which buttons a run has where it stands. Between calm states they never move.

use book::Moment;

use crate::usecase::run::course::Course;
use crate::usecase::run::judge::Verdict;
use crate::usecase::run::stage::{OverBecause, Stage, Standing};
use crate::usecase::run::view::{RunView, Scene, mmss, number, unit};

/// After a drain its amount is asked for this long, s.
const ASK_AMOUNT_S: f64 = 240.0;
/// Amounts offered, mL.
const AMOUNTS_ML: [u32; 5] = [10, 20, 40, 60, 90];
/// A reading is shown this long while it is inside its band, s.
const SHOWN_S: f64 = 240.0;

/// A button of the pad.
pub struct Button {
    /// What is recorded; none: it leads to a page.
    pub act: Option<&'static str>,
    /// Where it leads.
    pub href: &'static str,
    /// In large print.
    pub label: &'static str,
    /// Below it.
    pub sub: String,
    /// `do`: due now; `wr`: something is wrong; empty: plain.
    pub class: &'static str,
    /// Takes the whole row.
    pub wide: bool,
}

/// A fill whose settled pressure is wanted.
pub struct Unsettled {
    /// Number of its entry.
    pub seq: u64,
    /// The cylinder.
    pub cylinder: String,
    /// Where it should settle, as a value to offer.
    pub offer: Vec<String>,
}

/// What stands first between figures and buttons: one thing, so that the buttons do not move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum First {
    /// What to do or watch.
    Steps,
    /// A reading held against what was expected.
    Deviation,
    /// How much came out of the drain.
    Amount,
}

/// What can be pressed.
pub struct Pad {
    /// What stands above the buttons.
    pub first: First,
    /// The buttons.
    pub buttons: Vec<Button>,
    /// Values offered for the fill gauge at the stop, each with whether it is the planned one.
    pub values: Vec<(String, bool)>,
    /// The drain whose amount is asked for: its entry and when it was.
    pub amount_of: Option<(u64, String)>,
    /// Amounts offered.
    pub amounts: [u32; 5],
    /// The stop that can be taken back.
    pub undo_stop: Option<u64>,
    /// Fills whose settled pressure is wanted.
    pub unsettled: Vec<Unsettled>,
    /// The next cylinders can be started.
    pub next: bool,
    /// A new run can be started instead.
    pub anew: bool,
    /// Air can be noted to arrive.
    pub air: bool,
    /// The last reading is worth showing.
    pub deviation: bool,
}

/// The buttons of this view.
pub fn of(scene: &Scene, view: &RunView, now: Moment) -> Pad {
    let s = scene.standing(now);
    let drain = scene.log.drains.last().filter(|d| {
        let fresh = now.seconds_since(d.happened) < ASK_AMOUNT_S;
        fresh && d.body.volume.is_none() && s.over.is_none()
    });
    let stop = scene.log.stopped.as_ref();
    let deviation = s.stage.running()
        && s.judged.is_some_and(|j| {
            let old = s.elapsed_s - j.t_s > SHOWN_S;
            !old || j.verdict != Verdict::Inside
        });
    let calm = matches!(s.stage, Stage::Starting | Stage::Filling);
    Pad {
        first: match () {
            () if calm && deviation => First::Deviation,
            () if calm && drain.is_some() => First::Amount,
            () => First::Steps,
        },
        buttons: buttons(s.stage, s.over, view),
        values: at_stop(scene, &s),
        amount_of: drain.map(|d| {
            let t_s = d.happened.seconds_since(scene.log.started.happened);
            (d.seq, mmss(t_s))
        }),
        amounts: AMOUNTS_ML,
        undo_stop: stop
            .filter(|_| s.stage == Stage::GaugeAtStop)
            .map(|stop| stop.seq),
        unsettled: unsettled(scene, s.stage),
        next: s.stage == Stage::Between,
        anew: matches!(s.stage, Stage::Between | Stage::Cooling),
        air: s.stage == Stage::Starting,
        deviation,
    }
}

/// Values offered for the fill gauge at the stop.
fn at_stop(scene: &Scene, s: &Standing) -> Vec<(String, bool)> {
    if s.stage != Stage::GaugeAtStop {
        return Vec::new();
    }
    let units = scene.station.units;
    // Stopped early, the gauge shows what had been reached by then.
    let reached = |c: &Course| Some(c.fill_at(s.elapsed_s)?.bar.min(c.stop_bar));
    let likely = scene.course.as_deref().and_then(reached);
    let last = s.judged.map(|j| j.bar);
    let planned = scene.course.as_ref().map(|c| scene.pressure(c.stop_bar));
    around(likely.or(last).unwrap_or(200.0), units, &[-2, -1, 0, 1])
        .into_iter()
        .map(|value| (value.clone(), planned.as_ref() == Some(&value)))
        .collect()
}

/// Fills whose settled pressure is wanted, with values offered.
fn unsettled(scene: &Scene, stage: Stage) -> Vec<Unsettled> {
    let offer = |cylinder: &str| {
        let course = scene.course.as_ref()?;
        let at = course.settles.iter().find(|at| at.cylinder == cylinder)?;
        Some(around(at.bar, scene.station.units, &[-1, 0, 1]))
    };
    let fills = scene.log.fills.iter();
    let wanted = fills.filter(|f| stage == Stage::Cooling && f.body.settled.is_none());
    wanted
        .map(|f| Unsettled {
            seq: f.seq,
            cylinder: f.body.cylinder.clone(),
            offer: offer(&f.body.cylinder).unwrap_or_default(),
        })
        .collect()
}

/// Values a gauge may well show: the expected one on the scale's step, and so many steps beside it.
pub fn around(bar: f64, units: quantity::UnitSystem, steps: &[i32]) -> Vec<String> {
    let step = match units {
        quantity::UnitSystem::Metric => 5.0,
        quantity::UnitSystem::Us => 50.0 * 0.068_947_57,
    };
    let middle = (bar / step).round() * step;
    let value = |n: &i32| middle + f64::from(*n) * step;
    let mut all: Vec<f64> = steps.iter().map(value).filter(|v| *v >= 0.0).collect();
    // The very value planned is offered too, where it is no mark of the scale.
    if (bar - middle).abs() > 0.5 && bar > 0.0 && steps.len() < 6 {
        all.push(bar);
    }
    all.sort_by(f64::total_cmp);
    all.iter()
        .map(|bar| format!("{} {}", number(*bar, units), unit(units)))
        .collect()
}

/// The buttons of a stage.
fn buttons(stage: Stage, over: Option<OverBecause>, view: &RunView) -> Vec<Button> {
    let next = || match view.drain_at_s > view.elapsed_s {
        true => format!("next at {}", mmss(view.drain_at_s)),
        false => "next after the stop".to_owned(),
    };
    let press = || "press when done".to_owned();
    match stage {
        Stage::Starting | Stage::Filling => {
            four(drained("", next(), false), stopped("Stop", "", false))
        }
        Stage::DrainDue => four(drained("do", press(), false), stopped("Stop", "", false)),
        Stage::StopDue => four(
            drained("", next(), false),
            stopped("I stopped it", "do", false),
        ),
        Stage::Over if over == Some(OverBecause::Drain) => vec![
            drained("do", press(), true),
            stopped("Stop", "", false),
            wrong(),
        ],
        Stage::Over => vec![stopped("I have stopped it", "do", true), reading(), wrong()],
        Stage::Bleed => {
            let sub = "then disconnect".to_owned();
            vec![act("bled", "The hose reads 0", sub, "do", true), alone()]
        }
        Stage::LastDrain => vec![drained("do", "and shut again".to_owned(), true), alone()],
        Stage::GaugeAtStop => vec![alone()],
        Stage::Between | Stage::Cooling | Stage::Ended => vec![wrong()],
    }
}

/// The four that never move between calm states.
fn four(drained: Button, stopped: Button) -> Vec<Button> {
    vec![drained, reading(), stopped, wrong()]
}

fn drained(class: &'static str, sub: String, wide: bool) -> Button {
    act("drained", "Drained", sub, class, wide)
}

fn stopped(label: &'static str, class: &'static str, wide: bool) -> Button {
    act("stopped", label, "go to shut-down".to_owned(), class, wide)
}

fn act(
    act: &'static str,
    label: &'static str,
    sub: String,
    class: &'static str,
    wide: bool,
) -> Button {
    Button {
        act: Some(act),
        href: "",
        label,
        sub,
        class,
        wide,
    }
}

fn reading() -> Button {
    leads("/run/reading", "Gauge reading", "say what it shows", "")
}

fn wrong() -> Button {
    leads("/run/wrong", "Something is wrong", "what to do", "wr")
}

/// The same with a row to itself.
fn alone() -> Button {
    Button {
        wide: true,
        ..wrong()
    }
}

fn leads(href: &'static str, label: &'static str, sub: &str, class: &'static str) -> Button {
    Button {
        act: None,
        href,
        label,
        sub: sub.to_owned(),
        class,
        wide: false,
    }
}
