//! What a run is expected to do, as the companion needs it: gauges through time, and when to act.
//!
//! Made once from a forecast with a fixed seed, so that two phones and a restarted server show the
//! same. Not here: what was done in the run ([`super::log`]).

use book::body::Planned;
use insight::forecast::answer::{Band, Forecast, Sample};
use insight::forecast::forecast;
use insight::forecast::request::{CylinderStart, DrainPlan, Request};
use quantity::{Fraction, GaugePressure, Temperature, TimeSpan};
use station::{Reads, Station};

use crate::usecase::Trouble;
use crate::usecase::forecast::{tower_can_be_at, trouble_of};

/// Time between points of the curve, s.
const STEP_S: f64 = 10.0;
/// A gauge whose class is not known is taken to be of this one, % of its span.
const USUAL_CLASS: f64 = 2.5;
/// A gauge that the station file does not describe reaches this far above the working pressure.
const USUAL_SPAN: f64 = 1.6;
/// The rise at the end of a fill is taken over this time, s.
const RISE_OVER_S: f64 = 60.0;

/// What is going to be done, in one start of the machine.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// Every cylinder still to be filled, in order; the first few hang on the whips.
    pub planned: Vec<Planned>,
    /// Tower gauge before the start.
    pub tower: Option<GaugePressure>,
    /// Air at the intake.
    pub intake_temperature: Option<Temperature>,
    /// Its humidity.
    pub humidity: Option<Fraction>,
    /// Time between drains.
    pub drain_every: Option<TimeSpan>,
}

/// What a gauge should show: the middle, and how far off it may be and still be as expected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// Gauge, bar.
    pub bar: f64,
    /// The gauge's own error included, bar.
    pub give_or_take: f64,
}

/// One moment of the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Since the start, s.
    pub t_s: f64,
    /// Tower gauge.
    pub tower: Expected,
    /// Fill gauge.
    pub fill: Expected,
}

/// Where a cylinder settles.
#[derive(Clone, Debug, PartialEq)]
pub struct Settles {
    /// Its name.
    pub cylinder: String,
    /// Cold, bar.
    pub bar: f64,
    /// Half of the band.
    pub give_or_take: f64,
    /// At this temperature.
    pub at_c: f64,
}

/// What a run is expected to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Through time until the last cylinder on the line is full.
    pub points: Vec<Point>,
    /// When air passes the PMV, s: in the run as specified, and the latest that is likely.
    pub air_s: Option<(f64, f64)>,
    /// When the gauge shows the stop, s: in the run as specified, and the latest that is likely.
    pub stop_s: (f64, f64),
    /// Where to stop, bar.
    pub stop_bar: f64,
    /// How fast the gauge rises at the end, bar/s.
    pub rise_bar_s: f64,
    /// Where each cylinder settles.
    pub settles: Vec<Settles>,
    /// What was taken for granted.
    pub assumed: Vec<String>,
}

/// The cylinders on the line in this start: as many as there are whips.
pub fn on_line<'p>(station: &Station, planned: &'p [Planned]) -> &'p [Planned] {
    let many = station.whip.count.max(1).min(planned.len());
    planned.get(..many).unwrap_or_default()
}

impl Course {
    /// What this job is expected to do at this station.
    pub fn of(station: &Station, job: &Job) -> Result<Course, Trouble> {
        let planned = on_line(station, &job.planned);
        if planned.is_empty() {
            return Err(Trouble::new(
                "no cylinder is named",
                "choose one, with the pressure its gauge shows",
            )
            .about("cylinder"));
        }
        tower_can_be_at(station, job.tower.or(station.now.tower))?;
        let start = |p: &Planned| CylinderStart {
            id: p.cylinder.clone(),
            start: p.from.as_ref().map(|m| m.value()),
        };
        let to = |p: &Planned| p.to.as_ref().map(|m| m.value());
        let stop_at = planned.iter().filter_map(to);
        let request = Request {
            cylinders: planned.iter().map(start).collect(),
            tower: job.tower,
            intake_temperature: job.intake_temperature,
            humidity: job.humidity,
            drain: job.drain_every.map_or(DrainPlan::WhenDue, DrainPlan::Every),
            stop_at: stop_at.min_by(|a, b| a.as_bar().total_cmp(&b.as_bar())),
            sample_every: TimeSpan::second(STEP_S),
            ..Request::default()
        };
        let forecast = forecast(station, &request, &|_| ()).map_err(trouble_of)?;
        drawn(station, &forecast)
    }

    /// What the gauges should show this long after the start; none past the end.
    pub fn at(&self, t_s: f64) -> Option<Point> {
        let after = self.points.partition_point(|p| p.t_s < t_s);
        let next = self.points.get(after)?;
        let Some(before) = after.checked_sub(1).and_then(|i| self.points.get(i)) else {
            return Some(*next);
        };
        let share = (t_s - before.t_s) / (next.t_s - before.t_s);
        let mix = |a: Expected, b: Expected| Expected {
            bar: a.bar + (b.bar - a.bar) * share,
            give_or_take: a.give_or_take + (b.give_or_take - a.give_or_take) * share,
        };
        Some(Point {
            t_s,
            tower: mix(before.tower, next.tower),
            fill: mix(before.fill, next.fill),
        })
    }

    /// The fill gauge this long after the start; past the stop, as it would go on rising.
    pub fn fill_at(&self, t_s: f64) -> Option<Expected> {
        if let Some(point) = self.at(t_s).filter(|_| t_s <= self.stop_s.0) {
            return Some(point.fill);
        }
        let end = self.points.last()?;
        Some(Expected {
            bar: self.stop_bar + self.rise_bar_s * (t_s - self.stop_s.0).max(0.0),
            ..end.fill
        })
    }
}

/// The curve of a forecast until its cylinders are full.
fn drawn(station: &Station, forecast: &Forecast) -> Result<Course, Trouble> {
    let unending = || {
        Trouble::new(
            format!(
                "these cylinders would not get full: {}",
                forecast.stopped_because
            ),
            "check the pressures typed, and the compressor in the station file",
        )
    };
    let full = forecast.cylinders.iter().filter_map(|c| c.full_s);
    let stop_s = full.fold(0.0, f64::max);
    if stop_s <= 0.0 {
        return Err(unending());
    }
    let latest = forecast.cylinders.iter().filter_map(|c| c.full);
    let latest = latest.map(|band| band.high).fold(stop_s, f64::max);
    let stop_bar = forecast
        .cylinders
        .iter()
        .map(|c| c.stop_bar)
        .fold(f64::INFINITY, f64::min);
    let air = forecast.events.iter().find(|e| e.kind == "pmv_opened");
    let errors = (
        gauge_error(station, Reads::Tower),
        gauge_error(station, Reads::Line),
    );
    let until = |s: &&Sample| s.t_s <= stop_s;
    let mut points: Vec<Point> = forecast
        .samples
        .iter()
        .filter(until)
        .map(|s| point(s, errors))
        .collect();
    let last = points.last().copied().ok_or_else(unending)?;
    points.push(Point {
        t_s: stop_s,
        fill: Expected {
            bar: stop_bar,
            ..last.fill
        },
        ..last
    });
    Ok(Course {
        rise_bar_s: rise(&points, stop_s),
        points,
        air_s: air.map(|e| (e.t_s, e.when.map_or(e.t_s, |band| band.high.max(e.t_s)))),
        stop_s: (stop_s, latest),
        stop_bar,
        settles: forecast.cylinders.iter().map(settles).collect(),
        assumed: forecast
            .assumed
            .iter()
            .map(|a| format!("{}: {}", a.what, a.why))
            .collect(),
    })
}

fn settles(end: &insight::forecast::answer::CylinderEnd) -> Settles {
    let band = match end.reference_c > 18.0 {
        true => end.settled_21c,
        false => end.settled_15c,
    };
    Settles {
        cylinder: end.id.clone(),
        bar: band.median,
        give_or_take: half(band),
        at_c: end.reference_c,
    }
}

fn half(band: Band) -> f64 {
    (band.high - band.median)
        .max(band.median - band.low)
        .max(0.0)
}

/// One point of the curve: the fill gauge shows the cylinder that is being filled, or, before air
/// arrives, the one with the least in it.
fn point(sample: &Sample, (tower_error, fill_error): (f64, f64)) -> Point {
    let filling = sample
        .cylinders
        .iter()
        .min_by(|a, b| a.bar.total_cmp(&b.bar));
    let fill = filling.map_or((sample.line_bar, 0.0), |c| (c.bar, half(c.band)));
    Point {
        t_s: sample.t_s,
        tower: Expected {
            bar: sample.tower_bar,
            give_or_take: half(sample.tower).hypot(tower_error),
        },
        fill: Expected {
            bar: fill.0.max(0.0),
            give_or_take: fill.1.hypot(fill_error),
        },
    }
}

/// How far a gauge of this kind may be off, bar: its class is a share of its span.
fn gauge_error(station: &Station, reads: Reads) -> f64 {
    let working = station.compressor.working_pressure.as_bar();
    match station.gauges.iter().find(|gauge| gauge.reads == reads) {
        Some(gauge) => gauge.greatest_error().as_bar(),
        None => working * USUAL_SPAN * USUAL_CLASS / 100.0,
    }
}

/// How fast the fill gauge rises at the end, bar/s.
fn rise(points: &[Point], stop_s: f64) -> f64 {
    let (Some(last), Some(before)) = (
        points.last(),
        points.iter().rev().find(|p| p.t_s <= stop_s - RISE_OVER_S),
    ) else {
        return 0.0;
    };
    ((last.fill.bar - before.fill.bar) / (last.t_s - before.t_s)).max(0.0)
}
