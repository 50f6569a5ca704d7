//! A known fault in a machine that differs from its file, and the readings taken of it.

use insight::diagnose::request::{Reading, Request, Shown};
use insight::fault::Fault;
use insight::forecast::answer::{Forecast, Sample};
use insight::forecast::request::{CylinderStart, Request as RunRequest, Until};
use quantity::{FlowRate, Fraction, GaugePressure, PressureDifference, Quantity, TimeSpan};
use rand::{RngExt as _, SeedableRng};
use rand_pcg::Pcg64Mcg;
use station::{Output, Reads, Station};

/// What is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Healthy,
    Slow,
    PmvEarly,
    PmvLate,
    PmvDoesNotHold,
    PmvStuckShut,
    ReliefEarly,
    ReliefLate,
    ReliefWeeps,
    TowerLeak,
    WhipLeak,
    TowerGaugeHigh,
    TowerGaugeLow,
    LineGaugeHigh,
    LineGaugeLow,
    StageValve,
}

impl Kind {
    pub const ALL: [Kind; 16] = [
        Kind::Healthy,
        Kind::Slow,
        Kind::PmvEarly,
        Kind::PmvLate,
        Kind::PmvDoesNotHold,
        Kind::PmvStuckShut,
        Kind::ReliefEarly,
        Kind::ReliefLate,
        Kind::ReliefWeeps,
        Kind::TowerLeak,
        Kind::WhipLeak,
        Kind::TowerGaugeHigh,
        Kind::TowerGaugeLow,
        Kind::LineGaugeHigh,
        Kind::LineGaugeLow,
        Kind::StageValve,
    ];

    /// The name the diagnosis has for it.
    pub fn id(self) -> &'static str {
        match self {
            Kind::Healthy => "healthy",
            Kind::Slow => "slow_delivery",
            Kind::PmvEarly => "pmv_opens_early",
            Kind::PmvLate => "pmv_opens_late",
            Kind::PmvDoesNotHold => "pmv_does_not_hold",
            Kind::PmvStuckShut => "pmv_stuck_shut",
            Kind::ReliefEarly => "relief_lifts_early",
            Kind::ReliefLate => "relief_lifts_late",
            Kind::ReliefWeeps => "relief_weeps",
            Kind::TowerLeak => "tower_leak",
            Kind::WhipLeak => "whip_leak",
            Kind::TowerGaugeHigh => "tower_gauge_reads_high",
            Kind::TowerGaugeLow => "tower_gauge_reads_low",
            Kind::LineGaugeHigh => "line_gauge_reads_high",
            Kind::LineGaugeLow => "line_gauge_reads_low",
            Kind::StageValve => "leaking_stage_valve",
        }
    }
}

/// A case: what is asked, and the truth.
pub struct Case {
    pub request: Request,
    /// What is wrong, in figures.
    pub what: String,
    /// True settings by the names of the answer.
    pub truth: Vec<(&'static str, f64)>,
    ran: Forecast,
    gauges: Gauges,
}

impl Case {
    /// One more reading of the same run by the same gauges.
    pub fn more(&self, station: &Station, reads: Reads, t_s: f64, seed: u64) -> Reading {
        let mut dice = Dice(Pcg64Mcg::seed_from_u64(seed));
        self.gauges.read(station, &self.ran, reads, t_s, &mut dice)
    }

    /// How long the run was followed, s.
    pub fn length_s(&self) -> f64 {
        self.ran.samples.last().map_or(0.0, |s| s.t_s)
    }
}

/// What is the same in all readings of one case.
struct Gauges {
    tower_bar: f64,
    line_bar: f64,
    clock_s: f64,
}

impl Gauges {
    fn of(station: &Station, fault: &Option<Fault>, dice: &mut Dice) -> Gauges {
        let mut off =
            |reads| dice.between(-0.5, 0.5) * error(station, reads) + gauge_off(fault, reads);
        Gauges {
            tower_bar: off(Reads::Tower),
            line_bar: off(Reads::Line),
            clock_s: dice.normal(5.0),
        }
    }

    /// A reading near this moment: half the gauge's class anew each time, to the step that can be
    /// read off.
    fn read(
        &self,
        station: &Station,
        ran: &Forecast,
        reads: Reads,
        t_s: f64,
        dice: &mut Dice,
    ) -> Reading {
        let sample = sample(ran, (t_s + dice.normal(4.0)).max(0.0));
        let (value, share) = match reads {
            Reads::Line => (sample.line_bar + self.line_bar, 0.5),
            Reads::Tower => (sample.tower_bar + self.tower_bar, 0.5),
            Reads::Stage(n) => (sample.stages_bar.get(n - 1).copied().unwrap_or(0.0), 0.7),
        };
        let value = value + dice.between(-share, share) * error(station, reads);
        let gauge = station.gauges.iter().find(|g| g.reads == reads);
        let step = gauge
            .and_then(|g| g.resolution)
            .map_or(0.05, |d| d.as_bar());
        one(t_s + self.clock_s, reads, (value / step).round() * step)
    }
}

fn error(station: &Station, reads: Reads) -> f64 {
    let gauge = station.gauges.iter().find(|g| g.reads == reads);
    gauge.map_or(6.4, |g| g.greatest_error().as_bar())
}

struct Dice(Pcg64Mcg);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0.random_range(low..high)
    }

    fn normal(&mut self, sd: f64) -> f64 {
        let u: f64 = 1.0 - self.0.random::<f64>();
        let angle = std::f64::consts::TAU * self.0.random::<f64>();
        sd * (-2.0 * u.ln()).sqrt() * angle.cos()
    }
}

/// Makes a case; none where the machine cannot be run so.
pub fn make(station: &Station, kind: Kind, readings: usize, ears: bool, seed: u64) -> Option<Case> {
    let mut dice = Dice(Pcg64Mcg::seed_from_u64(seed ^ ((kind as u64) << 32)));
    let mut machine = station.clone();
    let (slow, fault) = wrong(kind, station, &mut dice);
    let t = station.tolerances.clone();
    let delivery = (1.0 + dice.normal(t.delivery.as_ratio() / 2.0)) * (1.0 - slow);
    if let Output::ChargingRate(rate) = &mut machine.compressor.output {
        *rate = FlowRate::from_si(rate.si() * delivery);
    }
    let pmv = 1.0 + dice.normal(t.pmv.as_ratio() / 2.0);
    if let Some(valve) = &mut machine.pmv {
        valve.opens = GaugePressure::bar(valve.opens.as_bar() * pmv);
        valve.closes = GaugePressure::bar(valve.closes.as_bar() * pmv);
    }
    let relief = 1.0 + dice.normal(t.relief.as_ratio() / 2.0);
    if let Some(valve) = &mut machine.relief {
        valve.lifts = GaugePressure::bar(valve.lifts.as_bar() * relief);
        valve.reseats = GaugePressure::bar(valve.reseats.as_bar() * relief);
    }
    let start = GaugePressure::bar(dice.between(30.0, 80.0));
    let tower = GaugePressure::bar(dice.between(0.0, 70.0));
    let over = matches!(kind, Kind::ReliefLate);
    let run = RunRequest {
        cylinders: vec![CylinderStart {
            id: "A1".into(),
            start: Some(start),
        }],
        tower: Some(tower),
        faults: fault.into_iter().collect(),
        members: 0,
        sample_every: TimeSpan::second(5.0),
        until: if over {
            Until::For(TimeSpan::minute(34.0))
        } else {
            Until::Full
        },
        ..RunRequest::default()
    };
    let ran = insight::forecast::forecast(&machine, &run, &|_| {}).ok()?;
    let truth = truth(&machine, kind, fault);
    let gauges = Gauges::of(station, &fault, &mut dice);
    let mut seen = read(station, kind, &ran, &gauges, readings, &mut dice);
    if ears {
        seen.extend(heard(kind, &mut dice));
    }
    let request = Request {
        readings: seen,
        cylinders: run.cylinders,
        tower: Some(tower),
        intake_temperature: None,
    };
    let what = format!("{fault:?} slow {slow:.2}");
    Some(Case {
        request,
        what,
        truth,
        ran,
        gauges,
    })
}

/// What is wrong, as a share of delivery lost and a fault.
fn wrong(kind: Kind, station: &Station, dice: &mut Dice) -> (f64, Option<Fault>) {
    let bar = |p: f64| PressureDifference::bar(p);
    let flow = |p: f64| FlowRate::litre_per_minute(p);
    let lifts = station.relief.as_ref().map_or(255.0, |r| r.lifts.as_bar());
    let fault = match kind {
        Kind::Healthy => None,
        Kind::Slow => return (dice.between(0.12, 0.35), None),
        Kind::PmvEarly => Some(Fault::PmvLow(bar(dice.between(14.0, 40.0)))),
        Kind::PmvLate => Some(Fault::PmvHigh(bar(dice.between(14.0, 50.0)))),
        Kind::PmvDoesNotHold if dice.between(0.0, 1.0) < 0.3 => Some(Fault::PmvStuckOpen),
        Kind::PmvDoesNotHold => Some(Fault::PmvLeaksBack(flow(dice.between(4.0, 30.0)))),
        Kind::PmvStuckShut => Some(Fault::PmvStuckShut),
        Kind::ReliefEarly => Some(Fault::ReliefLow(bar(lifts - dice.between(170.0, 222.0)))),
        Kind::ReliefLate => Some(Fault::ReliefHigh(bar(dice.between(14.0, 35.0)))),
        Kind::ReliefWeeps => Some(Fault::ReliefWeeps(flow(dice.between(6.0, 30.0)))),
        Kind::TowerLeak => Some(Fault::TowerLeak(flow(dice.between(6.0, 30.0)))),
        Kind::WhipLeak => Some(Fault::WhipLeak(flow(dice.between(10.0, 40.0)))),
        Kind::TowerGaugeHigh => Some(Fault::TowerGaugeOffset(bar(dice.between(12.0, 30.0)))),
        Kind::TowerGaugeLow => Some(Fault::TowerGaugeOffset(bar(-dice.between(12.0, 30.0)))),
        Kind::LineGaugeHigh => Some(Fault::LineGaugeOffset(bar(dice.between(12.0, 30.0)))),
        Kind::LineGaugeLow => Some(Fault::LineGaugeOffset(bar(-dice.between(12.0, 30.0)))),
        Kind::StageValve => {
            let share = Fraction::percent(dice.between(12.0, 40.0));
            Some(Fault::StageValveLeak(2, share))
        }
    };
    (0.0, fault)
}

fn truth(machine: &Station, kind: Kind, fault: Option<Fault>) -> Vec<(&'static str, f64)> {
    let mut truth = Vec::new();
    if let Some(pmv) = &machine.pmv {
        let shift = match fault {
            Some(Fault::PmvLow(by)) => -by.as_bar(),
            Some(Fault::PmvHigh(by)) => by.as_bar(),
            _ => 0.0,
        };
        let stuck = matches!(fault, Some(Fault::PmvStuckOpen | Fault::PmvStuckShut));
        if !stuck {
            truth.push(("pmv_opens", pmv.opens.as_bar() + shift));
            truth.push(("pmv_closes", pmv.closes.as_bar() + shift));
        }
    }
    if let Some(relief) = &machine.relief {
        let shift = match fault {
            Some(Fault::ReliefLow(by)) => -by.as_bar(),
            Some(Fault::ReliefHigh(by)) => by.as_bar(),
            _ => 0.0,
        };
        truth.push(("relief_lifts", relief.lifts.as_bar() + shift));
    }
    if kind != Kind::StageValve
        && let Output::ChargingRate(rate) = &machine.compressor.output
    {
        // as a factor on the station's own figure: turned into litres by the score
        truth.push(("delivery_factor", rate.si()));
    }
    match fault {
        Some(Fault::TowerLeak(f)) => truth.push(("tower_leak", f.si() * 6e4)),
        Some(Fault::WhipLeak(f)) => truth.push(("whip_leak", f.si() * 6e4)),
        _ => {}
    }
    truth
}

/// When a careful person looks, in shares of the time to full; what follows the stop in minutes.
fn moments(ran: &Forecast, readings: usize, dice: &mut Dice) -> Vec<(f64, Reads)> {
    let stop = ran.events.iter().find(|e| e.kind == "compressor_stopped");
    let stop = stop.map_or(1500.0, |e| e.t_s);
    let last = ran.samples.last().map_or(stop, |s| s.t_s);
    let routine = [
        (30.0, Reads::Tower),
        (60.0, Reads::Tower),
        (120.0, Reads::Line),
        (0.35 * stop, Reads::Tower),
        (0.6 * stop, Reads::Line),
        (0.97 * stop, Reads::Tower),
        (0.97 * stop, Reads::Line),
        (last - 5.0, Reads::Tower),
    ];
    let mut all: Vec<(f64, Reads)> = routine.into_iter().take(readings).collect();
    while all.len() < readings {
        let reads = if all.len().is_multiple_of(2) {
            Reads::Line
        } else {
            Reads::Tower
        };
        all.push((dice.between(0.05, 0.95) * stop, reads));
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

fn read(
    station: &Station,
    kind: Kind,
    ran: &Forecast,
    gauges: &Gauges,
    readings: usize,
    dice: &mut Dice,
) -> Vec<Reading> {
    let mut places = moments(ran, readings, dice);
    if kind == Kind::StageValve {
        let stop = ran.events.iter().find(|e| e.kind == "compressor_stopped");
        let stop = stop.map_or(1500.0, |e| e.t_s);
        let stages = station.compressor.stage_count;
        let both = [0.3, 0.8].into_iter();
        places.extend(
            both.flat_map(|share| (1..stages).map(move |n| (share * stop, Reads::Stage(n)))),
        );
    }
    let read = |(t, reads)| gauges.read(station, ran, reads, t, dice);
    places.into_iter().map(read).collect()
}

fn gauge_off(fault: &Option<Fault>, reads: Reads) -> f64 {
    match (fault, reads) {
        (Some(Fault::TowerGaugeOffset(by)), Reads::Tower)
        | (Some(Fault::LineGaugeOffset(by)), Reads::Line) => by.as_bar(),
        _ => 0.0,
    }
}

fn one(t_s: f64, reads: Reads, bar: f64) -> Reading {
    Reading {
        line: 1,
        t_s: Some(t_s.max(0.0)),
        t_sd_s: 4.0,
        shown: Some(Shown {
            reads,
            value: GaugePressure::bar(bar.max(0.0)),
            typed: String::new(),
        }),
        observed: String::new(),
    }
}

fn sample(ran: &Forecast, t_s: f64) -> &Sample {
    let far = |s: &&Sample| (s.t_s - t_s).abs();
    let near = ran.samples.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
    near.unwrap_or(&ran.samples[0])
}

/// What somebody beside the machine hears, four times in five: where air is lost.
fn heard(kind: Kind, dice: &mut Dice) -> Option<Reading> {
    let observed = match kind {
        Kind::ReliefWeeps | Kind::ReliefEarly => "air at the relief valve's outlet",
        Kind::TowerLeak => "hiss at the drain",
        Kind::WhipLeak => "hiss at the hose",
        _ => return None,
    };
    (dice.between(0.0, 1.0) < 0.8).then(|| Reading {
        line: 40,
        t_s: None,
        t_sd_s: 0.0,
        shown: None,
        observed: observed.to_owned(),
    })
}
