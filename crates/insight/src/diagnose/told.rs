//! What was found, reading by reading and moment by moment, as data for the answer.
//!
//! Not here: causes and settings ([`super::found`], [`super::say`]).

use super::answer::{Cause, Found, ReadingJudged, TracePoint};
use super::course::Series;
use super::runs::Runs;
use super::slips;
use super::space::{Datum, Dim, Space, Told};
use super::suspects::Suspect;
use super::weigh::{self, Scales, Weighed};
use physics::fit::Predicted;
use physics::fit::mixture::{Part, quantile};
use station::{Reads, Station};

/// Probability below which a cause is not worth a line.
const LEAST: f64 = 0.005;
/// Evidence apart by less than this, gauges cannot tell two causes apart.
const ALIKE: f64 = 0.7;
/// Half of a normal 90 % interval, in standard deviations.
const NINETY: f64 = 1.645;
/// Moments of the drawing.
const POINTS: usize = 121;

/// Causes worth a line, each with those that the gauges cannot tell from it.
pub(super) fn likely(causes: Vec<Cause>, scales: &Scales, weighed: &[Weighed]) -> Vec<Cause> {
    let evidence = |id: &str| {
        let of = weighed.iter().filter(|w| w.suspect.ids.join("+") == id);
        of.map(|w| w.fit.log_evidence).reduce(f64::max)
    };
    let kept: Vec<Cause> = causes
        .into_iter()
        .filter(|c| c.probability >= LEAST)
        .collect();
    let alike = |a: &Cause, b: &Cause| {
        let near = evidence(&a.id).zip(evidence(&b.id));
        a.id != b.id && near.is_some_and(|(x, y)| (x - y).abs() < ALIKE)
    };
    let looks: Vec<Vec<String>> = kept
        .iter()
        .map(|a| {
            let like = kept.iter().filter(|b| alike(a, b));
            like.map(|b| b.called.clone()).collect()
        })
        .collect();
    let read = !scales.space.data.is_empty();
    let with = |(cause, looks_like): (Cause, Vec<String>)| Cause {
        looks_like: if read { looks_like } else { Vec::new() },
        ..cause
    };
    kept.into_iter().zip(looks).map(with).collect()
}

/// How far the readings are from the fitted run, in scales.
pub(super) fn misfit(space: &Space, w: &Weighed) -> f64 {
    weigh::off(&space.values(), &w.fit.predicted)
}

pub(super) fn misfit_bar(space: &Space, w: &Weighed) -> Option<f64> {
    let gauges = space.data.iter().zip(&w.fit.predicted.mean);
    let gauges = gauges.filter(|(d, _)| matches!(d.what, Told::Gauge(_)));
    let off: Vec<f64> = gauges.map(|(d, m)| (d.value - m).powi(2)).collect();
    (!off.is_empty()).then(|| (off.iter().sum::<f64>() / off.len() as f64).sqrt())
}

/// By how much the watch runs ahead of the machine's start.
pub(super) fn clock(space: &Space, weighed: &[Weighed]) -> Option<Found> {
    let place = space.dims.iter().position(|(d, _)| *d == Dim::Clock)?;
    let scale = space.dims[place].1;
    let total: f64 = weighed.iter().map(|w| w.weight).sum();
    let part = |w: &Weighed| Part {
        weight: w.weight / total,
        mean: scale * w.fit.z[place],
        sd: (scale * w.fit.covariance[(place, place)].max(0.0).sqrt()).max(1e-3),
    };
    let parts: Vec<Part> = weighed
        .iter()
        .filter(|w| w.weight > 1e-6)
        .map(part)
        .collect();
    let at = |q| quantile(&parts, q);
    Some(Found {
        value: at(0.5)?,
        plus_minus: 0.5 * (at(0.95)? - at(0.05)?),
    })
}

pub(super) fn judged(
    space: &Space,
    best: &Weighed,
    sound: &Suspect,
    name: &dyn Fn(Reads) -> String,
) -> Vec<ReadingJudged> {
    let z = vec![0.0; space.dims.len()];
    let specified = Runs::new(space, sound).predict(&z);
    let settings = space.settings(&best.suspect, &best.fit.z);
    let Some(trace) = space.trace(&settings) else {
        return Vec::new();
    };
    let mut judged = Vec::new();
    for (i, datum) in space.data.iter().enumerate() {
        let Told::Gauge(reads) = datum.what else {
            continue;
        };
        let (fitted, scale) = (best.fit.predicted.mean[i], best.fit.predicted.scale[i]);
        judged.push(ReadingJudged {
            line: datum.line,
            t_s: datum.t_s,
            gauge: name(reads),
            bar: datum.value,
            fitted_bar: fitted,
            specified_bar: specified.as_ref().map_or(fitted, |p| p.mean[i]),
            sd_bar: scale,
            apart: slips::apart(datum, fitted, scale, &trace),
        });
    }
    judged
}

/// What a fitted run shows, and half the 90 % band about each value.
fn banded(drawn: &Space, best: &Weighed) -> (Option<Predicted>, Vec<f64>) {
    let mut runs = Runs::new(drawn, &best.suspect);
    let Some(base) = runs.predict(&best.fit.z) else {
        return (None, Vec::new());
    };
    let doubt = runs.doubt(&best.fit, &base);
    (
        Some(base),
        doubt.into_iter().map(|sd| NINETY * sd).collect(),
    )
}

/// The run as fitted, with its band, and as specified.
pub(super) fn trace(space: &Space, best: &Weighed, sound: &Suspect) -> Vec<TracePoint> {
    let until_s = space.plan.until_s;
    let times: Vec<f64> = (0..POINTS)
        .map(|i| until_s * i as f64 / (POINTS - 1) as f64)
        .collect();
    let datum = |t_s: f64, reads| Datum {
        line: 0,
        t_s,
        t_sd_s: 1.0,
        what: Told::Gauge(reads),
        value: 0.0,
        sd: 0.0,
        crowd: 1.0,
    };
    let both = |t: &f64| [datum(*t, Reads::Tower), datum(*t, Reads::Line)];
    let drawn = space.with(space.plan.clone(), times.iter().flat_map(both).collect());
    let (base, band) = banded(&drawn, best);
    let settings = drawn.settings(sound, &vec![0.0; drawn.dims.len()]);
    let (Some(base), Some(specified)) = (base, drawn.trace(&settings)) else {
        return Vec::new();
    };
    let at = |series, t| specified.at(series, t).unwrap_or(0.0);
    let point = |(i, t): (usize, &f64)| TracePoint {
        t_s: *t,
        tower: base.mean[2 * i],
        tower_band: band[2 * i],
        line: base.mean[2 * i + 1],
        line_band: band[2 * i + 1],
        tower_specified: at(Series::Tower, *t),
        line_specified: at(Series::Line, *t),
    };
    times.iter().enumerate().map(point).collect()
}

/// What a gauge is called: its name in the station file.
pub(super) fn gauge_name(station: &Station, reads: Reads) -> String {
    let gauge = station.gauges.iter().find(|g| g.reads == reads);
    gauge.map_or_else(
        || match reads {
            Reads::Tower => "tower".into(),
            Reads::Line => "line".into(),
            Reads::Stage(n) => format!("stage {n}"),
        },
        |g| g.name.clone(),
    )
}
