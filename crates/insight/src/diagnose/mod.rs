//! What is wrong, how sure, and what to read next.
//!
//! Start at [`diagnose`]. Each cause of `causes.txt` is run through the same simulation as a
//! forecast, fitted to the readings with everything that may differ besides (tolerances, starting
//! pressures, the watch, the gauges' own errors), and weighed by how well it explains them, its
//! freedom paid for ([`physics::fit`]). Causes that explain them alike stay alike: the answer says
//! so, and says which reading or check would tell them apart.
//! [`adjust`] says how far a valve's screw moves it, where that is on record.
//!
//! Not here: how readings are written down in files and pages, and setting a valve: that is done
//! only as the maker's manual says.

pub mod adjust;
pub mod answer;
mod causes;
mod course;
mod found;
mod next;
pub mod request;
mod say;
mod signs;
mod slips;
mod space;
mod suspects;
mod weigh;

#[cfg(test)]
mod tests;

use answer::{Cause, Diagnosis, Found, Noticed, ReadingJudged, Standing, TracePoint};
use causes::{KNOWLEDGE, Knowledge};
use course::{Plan, Series};
use next::Leading;
use physics::fit::mixture::Part;
use quantity::GaugePressure;
use request::{Reading, Request};
use signs::{Meaning, Note};
use space::{Datum, Runs, Space, Start, Starts, Told, own_error};
use station::{Reads, Station};
use suspects::Suspect;
use weigh::{Scales, Weighed};

use crate::assemble::Prepared;
use crate::forecast::request::Request as RunRequest;
use crate::forecast::request::{CylinderStart, ForecastError};
use crate::forecast::set_up;

/// Readings of one gauge that still tell something each: beyond, they share what the model is off.
const MOST_READINGS: f64 = 20.0;
/// Readings this soon after the start show the pressures before it, s.
const AT_START_S: f64 = 5.0;
/// The line shows the cylinders' pressure this long after the start, s.
const LINE_START_S: f64 = 120.0;
/// A run is followed a little past its last reading, s.
const PAST_S: f64 = 60.0;
/// A gauge that falls by this much shows that the machine was stopped, bar.
const FALLEN_BAR: f64 = 40.0;
/// It was stopped so soon after the last high reading, s.
const SOON_S: f64 = 20.0;
/// Two causes at once are tried where the best single one leaves the readings so far off, in scales.
const SINGLE_ENOUGH: f64 = 1.2;
/// So many pairs, and of so many of the likeliest causes with each other.
const PAIRS: usize = 16;
/// Root mean square of the readings' distance, in scales, from which nothing fits.
const FITS: f64 = 2.2;
/// Probability below which a cause is not worth a line.
const LEAST: f64 = 0.005;
/// Evidence apart by less than this, gauges cannot tell two causes apart.
const ALIKE: f64 = 0.7;
/// Moments of the drawing.
const POINTS: usize = 121;

/// Finds what may be wrong. `progress` is told how many suspects have been weighed.
///
/// **Errors** cylinders that the station file does not have, or a station that cannot be computed:
/// each says what to do.
pub fn diagnose(
    station: &Station,
    request: &Request,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Diagnosis, ForecastError> {
    let mut as_it_was = station.clone();
    // what has been is not refused again
    as_it_was.intake.place = None;
    let notes = signs::notes(&KNOWLEDGE, &request.readings);
    let data = data(&as_it_was, request, &notes);
    let (asked, starts) = asked(&as_it_was, request, &data);
    let (prepared, assumed) = set_up(&as_it_was, &asked)?;
    let assumed = assumed.iter().map(|a| format!("{}: {}", a.what, a.why));
    let case = Case {
        known: &KNOWLEDGE,
        plans: plans(&data, &notes, &request.readings),
        assumed: assumed.collect(),
        prepared: &prepared,
        notes: &notes,
        data,
        starts,
    };
    Ok(case.answer(progress))
}

/// The gauge readings and what was heard of the PMV, as data to explain.
fn data(station: &Station, request: &Request, notes: &[Note]) -> Vec<Datum> {
    let mut data = Vec::new();
    for reading in &request.readings {
        if let (Some(shown), Some(t_s)) = (&reading.shown, reading.t_s) {
            data.push(Datum {
                line: reading.line,
                t_s,
                t_sd_s: reading.t_sd_s,
                what: Told::Gauge(shown.reads),
                value: shown.value.as_bar(),
                sd: own_error(station, shown.reads),
                crowd: 1.0,
            });
        }
    }
    crowded(&mut data);
    // the first time only: later openings follow from it
    let opened = notes
        .iter()
        .find(|n| n.meaning.contains(&Meaning::PmvOpened));
    if let Some(note) = opened.filter(|_| station.pmv.is_some())
        && let Some(t_s) = note.t_s
    {
        let t_sd_s = request.readings[note.reading].t_sd_s;
        data.push(space::heard(note.line, t_s, t_sd_s));
    }
    data
}

/// A gauge read more often than [`MOST_READINGS`] tells no more than that many readings.
fn crowded(data: &mut [Datum]) {
    let count = |what: Told| data.iter().filter(|d| d.what == what).count() as f64;
    let crowd = |d: &Datum| (count(d.what) / MOST_READINGS).max(1.0).sqrt();
    let crowds: Vec<f64> = data.iter().map(crowd).collect();
    for (datum, crowd) in data.iter_mut().zip(crowds) {
        datum.crowd = crowd;
    }
}

/// The run as a forecast would be asked for it, and how well its start is known.
fn asked(station: &Station, request: &Request, data: &[Datum]) -> (RunRequest, Starts) {
    let first = |reads: Reads, until_s: f64| {
        let of = |d: &&Datum| d.what == Told::Gauge(reads) && d.t_s <= until_s;
        data.iter()
            .filter(of)
            .min_by(|a, b| a.t_s.total_cmp(&b.t_s))
            .map(|d| GaugePressure::bar(d.value.max(0.0)))
    };
    let read = first(Reads::Tower, AT_START_S);
    let (tower, tower_start) = match (request.tower, read, station.now.tower) {
        (Some(tower), _, _) => (Some(tower), Start::Read),
        (None, Some(read), _) => (Some(read), Start::Unknown),
        (None, None, Some(_)) => (None, Start::Filed),
        (None, None, None) => (None, Start::Unknown),
    };
    let mut cylinders = request.cylinders.clone();
    if cylinders.is_empty() {
        let one = station.cylinders.first().map(|c| c.id.clone());
        let id = one.or_else(|| station.cylinder_kinds.first().map(|k| k.id.clone()));
        cylinders.extend(id.map(|id| CylinderStart { id, start: None }));
    }
    let filed = |id: &str| station.now.cylinders.iter().any(|(known, _)| known == id);
    let (mut known, mut all_filed) = (true, true);
    let line = first(Reads::Line, LINE_START_S);
    for cylinder in &mut cylinders {
        if cylinder.start.is_some() {
            continue;
        }
        known = false;
        all_filed &= filed(&cylinder.id);
        if !filed(&cylinder.id) {
            cylinder.start = line;
        }
    }
    let cylinder_start = match (known, all_filed) {
        (true, _) => Start::Read,
        (false, true) => Start::Filed,
        (false, false) => Start::Unknown,
    };
    let asked = RunRequest {
        cylinders,
        intake_temperature: request.intake_temperature,
        tower,
        ..RunRequest::default()
    };
    let starts = Starts {
        tower: tower_start,
        cylinders: cylinder_start,
    };
    (asked, starts)
}

/// What may have been done in the run: what was said; and where nothing was, stopped when full,
/// given up before, or left running.
fn plans(data: &[Datum], notes: &[Note], readings: &[Reading]) -> Vec<Plan> {
    let when = |meaning: Meaning| {
        let said = notes.iter().find(|n| n.meaning.contains(&meaning));
        said.and_then(|n| n.t_s)
    };
    let last = readings.iter().filter_map(|r| r.t_s).fold(0.0, f64::max);
    let stages = data
        .iter()
        .any(|d| matches!(d.what, Told::Gauge(Reads::Stage(_))));
    let full = Plan {
        stopped_s: when(Meaning::Stopped),
        given_up_s: None,
        runs_on: notes.iter().any(|n| n.meaning.contains(&Meaning::RanOn)),
        bled_s: when(Meaning::Bled),
        until_s: last + PAST_S,
        stages,
    };
    if full.stopped_s.is_some() || full.runs_on {
        return vec![full];
    }
    let given_up = given_up(data).map(|s| Plan {
        given_up_s: Some(s),
        ..full.clone()
    });
    let runs_on = Plan {
        runs_on: true,
        ..full.clone()
    };
    let given_up = given_up.into_iter();
    let mut all: Vec<Plan> = given_up.collect();
    all.splice(0..0, [full, runs_on]);
    all
}

/// When the machine was stopped at the latest: soon after the last new height on any gauge before
/// one of them fell.
fn given_up(data: &[Datum]) -> Option<f64> {
    let pressures = |d: &&Datum| matches!(d.what, Told::Gauge(Reads::Tower | Reads::Line));
    let mut of: Vec<&Datum> = data.iter().filter(pressures).collect();
    of.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    let (mut tower, mut line, mut last_s) = (0.0_f64, 0.0_f64, 0.0);
    for datum in of {
        let highest = match datum.what {
            Told::Gauge(Reads::Line) => &mut line,
            _ => &mut tower,
        };
        if datum.value > *highest {
            (*highest, last_s) = (datum.value, datum.t_s);
        } else if datum.value < *highest - FALLEN_BAR {
            return Some(last_s + SOON_S);
        }
    }
    None
}

/// Everything that one diagnosis works with.
struct Case<'a> {
    known: &'static Knowledge,
    prepared: &'a Prepared<'a>,
    plans: Vec<Plan>,
    notes: &'a [Note],
    data: Vec<Datum>,
    starts: Starts,
    assumed: Vec<String>,
}

impl Case<'_> {
    fn answer(&self, progress: &(dyn Fn(usize) + Sync)) -> Diagnosis {
        let space = self.likeliest();
        let scales = Scales {
            space: &space,
            known: self.known,
            notes: self.notes,
        };
        let singles = suspects::all(self.prepared, self.known, &self.data);
        let mut weighed = scales.weigh(singles, progress);
        let prior = |id: &str| self.known.cause(id).map_or(1.0, |c| c.prior);
        let left = scales.something_else(prior("something_else"));
        let left = left.unwrap_or(f64::NEG_INFINITY);
        weigh::normalise(&mut weighed, left);
        let pairs = pairs(&space, &weighed, prior("healthy"));
        weighed.extend(scales.weigh(pairs, &|_| {}));
        weigh::normalise(&mut weighed, left);
        scales.carefully(&mut weighed);
        let left = weigh::normalise(&mut weighed, left);
        self.told(&space, &scales, &weighed, left)
    }

    /// The run by the plan that some cause explains best.
    fn likeliest(&self) -> Space<'_> {
        let space =
            |plan: &Plan| Space::new(self.prepared, plan.clone(), self.data.clone(), self.starts);
        let outlook = |space: &Space| {
            let scales = Scales {
                space,
                known: self.known,
                notes: self.notes,
            };
            scales.outlook(&suspects::all(self.prepared, self.known, &self.data))
        };
        let mut best = space(&self.plans[0]);
        if self.plans.len() > 1 && !self.data.is_empty() {
            let mut most = outlook(&best);
            for plan in &self.plans[1..] {
                let other = space(plan);
                let here = outlook(&other);
                // the usual way unless another explains more
                if here > most + 1.0 {
                    (best, most) = (other, here);
                }
            }
        }
        best
    }

    fn told(&self, space: &Space, scales: &Scales, weighed: &[Weighed], left: f64) -> Diagnosis {
        let station = self.prepared.station();
        let leading = next::leading(weighed);
        let mut causes = self.causes(space, &leading, left);
        causes.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        let settings = found::settings(space, weighed);
        let best = leading.first().map(|l| l.weighed);
        let fits = best.is_some_and(|w| misfit(space, w) < FITS);
        let standing = say::standing(&causes, space.data.len() + self.notes.len(), fits);
        let mut warnings = self.dangers();
        if standing == Standing::DoesNotFit {
            warnings.extend(self.rubbish(space));
        }
        let name = |reads: Reads| gauge_name(station, reads);
        let called = |ids: &[&str]| say::called(self.known, ids);
        let (next_reading, ahead) = match standing {
            Standing::NoReadings | Standing::DoesNotFit => (None, 0),
            _ => next::reading(space, &leading, &called, &name),
        };
        let sound = Suspect {
            ids: Vec::new(),
            parts: Vec::new(),
            prior: 1.0,
        };
        Diagnosis {
            station: station.name.clone(),
            invented: station.invented,
            headline: say::headline(standing, &causes, &settings),
            standing,
            next_reading,
            next_check: next::check(self.known, &leading, self.notes),
            readings: best.map_or_else(Vec::new, |w| judged(space, w, &sound, &name)),
            observations: self.notes.iter().map(|n| self.noticed(n)).collect(),
            trace: best.map_or_else(Vec::new, |w| trace(space, w, &sound)),
            misfit_bar: best.and_then(|w| misfit_bar(space, w)),
            clock_s: clock(space, weighed),
            warnings,
            assumed: self
                .assumed
                .iter()
                .cloned()
                .chain(taken(&space.plan))
                .collect(),
            runs: ahead + weighed.iter().map(|w| w.runs).sum::<usize>(),
            settings,
            causes: likely(causes, scales, weighed),
        }
    }

    fn causes(&self, space: &Space, leading: &[Leading], left: f64) -> Vec<Cause> {
        let mut causes: Vec<Cause> = leading
            .iter()
            .map(|l| Cause {
                size: say::size(space, l.weighed),
                ..say::cause(self.known, &l.weighed.suspect.ids, l.probability)
            })
            .collect();
        causes.push(say::cause(self.known, &["something_else"], left));
        causes
    }

    fn noticed(&self, note: &Note) -> Noticed {
        Noticed {
            line: note.line,
            t_s: note.t_s,
            text: note.text.clone(),
            understood: signs::understood(self.known, note),
        }
    }

    fn dangers(&self) -> Vec<String> {
        let all = self.notes.iter().flat_map(|n| &n.meaning);
        let danger = |m: &Meaning| match m {
            Meaning::Danger(what) => Some((*what).to_owned()),
            _ => None,
        };
        all.filter_map(danger).collect()
    }

    fn rubbish(&self, space: &Space) -> Option<String> {
        let sound = Suspect {
            ids: Vec::new(),
            parts: Vec::new(),
            prior: 1.0,
        };
        let z = vec![0.0; space.dims.len()];
        let expected = Runs::new(space, &sound).predict(&z)?;
        slips::rubbish(space, &expected)
    }
}

/// What was taken for granted of the run's end.
fn taken(plan: &Plan) -> Option<String> {
    if plan.stopped_s.is_some() {
        return None;
    }
    let of = if plan.runs_on {
        "the machine was left running past full"
    } else if plan.given_up_s.is_some() {
        "the machine was stopped before the cylinder was full"
    } else {
        "the machine was stopped when the cylinder was full, and the hose bled a minute later"
    };
    Some(format!(
        "{of}: it fits the readings best; write `stopped` with its time to say otherwise"
    ))
}

/// Two at once, of the likeliest single ones, where none explains the readings alone.
fn pairs(space: &Space, weighed: &[Weighed], healthy: f64) -> Vec<Suspect> {
    let mut single: Vec<&Weighed> = weighed
        .iter()
        .filter(|w| !w.suspect.parts.is_empty())
        .collect();
    single.sort_by(|a, b| b.fit.log_evidence.total_cmp(&a.fit.log_evidence));
    let least = weighed
        .iter()
        .map(|w| misfit(space, w))
        .fold(f64::INFINITY, f64::min);
    let Some(first) = single.first().filter(|_| least > SINGLE_ENOUGH) else {
        return Vec::new();
    };
    let with_first = single.iter().skip(1).map(|other| (*first, *other));
    let with_second = single
        .iter()
        .skip(2)
        .take(3)
        .map(|other| (single[1], *other));
    let clash = |a: &Suspect, b: &Suspect| {
        let part = |id: &str| {
            let words = if id.starts_with("pmv") || id.starts_with("relief") {
                1
            } else {
                2
            };
            id.split('_').take(words).collect::<Vec<_>>().join("_")
        };
        a.ids
            .iter()
            .any(|x| b.ids.iter().any(|y| x == y || part(x) == part(y)))
    };
    with_first
        .chain(with_second)
        .filter(|(a, b)| !clash(&a.suspect, &b.suspect))
        .take(PAIRS)
        .map(|(a, b)| a.suspect.with(&b.suspect, healthy))
        .collect()
}

/// Causes worth a line, each with those that the gauges cannot tell from it.
fn likely(causes: Vec<Cause>, scales: &Scales, weighed: &[Weighed]) -> Vec<Cause> {
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
fn misfit(space: &Space, w: &Weighed) -> f64 {
    weigh::off(&space.values(), &w.fit.predicted)
}

fn misfit_bar(space: &Space, w: &Weighed) -> Option<f64> {
    let gauges = space.data.iter().zip(&w.fit.predicted.mean);
    let gauges = gauges.filter(|(d, _)| matches!(d.what, Told::Gauge(_)));
    let off: Vec<f64> = gauges.map(|(d, m)| (d.value - m).powi(2)).collect();
    (!off.is_empty()).then(|| (off.iter().sum::<f64>() / off.len() as f64).sqrt())
}

/// By how much the watch runs ahead of the machine's start.
fn clock(space: &Space, weighed: &[Weighed]) -> Option<Found> {
    let place = space
        .dims
        .iter()
        .position(|(d, _)| *d == space::Dim::Clock)?;
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
    let at = |q| physics::fit::mixture::quantile(&parts, q);
    Some(Found {
        value: at(0.5)?,
        plus_minus: 0.5 * (at(0.95)? - at(0.05)?),
    })
}

fn judged(
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

/// The run as fitted, with its band, and as specified.
fn trace(space: &Space, best: &Weighed, sound: &Suspect) -> Vec<TracePoint> {
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
    let drawn = Space {
        prepared: space.prepared,
        plan: space.plan.clone(),
        dims: space.dims.clone(),
        data: times.iter().flat_map(both).collect(),
    };
    let mut fitted = Runs::new(&drawn, &best.suspect);
    let base = fitted.predict(&best.fit.z);
    let mut band = vec![0.0; drawn.data.len()];
    if let Some(base) = &base {
        let slopes: Vec<Vec<f64>> = (0..best.fit.z.len())
            .map(|j| {
                let mut z = best.fit.z.clone();
                z[j] += 0.3;
                let moved = fitted.predict(&z).unwrap_or_else(|| base.clone());
                moved
                    .mean
                    .iter()
                    .zip(&base.mean)
                    .map(|(a, b)| (a - b) / 0.3)
                    .collect()
            })
            .collect();
        for (i, band) in band.iter_mut().enumerate() {
            let mut variance = 0.0;
            for (a, x) in slopes.iter().enumerate() {
                for (b, y) in slopes.iter().enumerate() {
                    variance += x[i] * y[i] * best.fit.covariance[(a, b)];
                }
            }
            *band = 1.645 * variance.max(0.0).sqrt();
        }
    }
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
fn gauge_name(station: &Station, reads: Reads) -> String {
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
