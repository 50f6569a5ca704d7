//! What to read, or to look at, next: where the leading causes differ most.
//!
//! A reading is worth the information expected from it about which cause holds
//! ([`physics::fit::mixture::information`]). Not here: what is known already.

use super::answer::{Expected, Found, NextCheck, NextReading};
use super::causes::Knowledge;
use super::course::Plan;
use super::runs::Runs;
use super::signs::{Meaning, Note};
use super::space::{Datum, Space, Told, own_error};
use super::weigh::Weighed;
use physics::fit::mixture::{Part, information};
use station::Reads;

/// So many causes are held against each other, and from this probability.
const CAUSES: usize = 5;
const LEAST: f64 = 0.02;
/// Readings are suggested at steps of this, s.
const STEP_S: f64 = 30.0;
/// So many moments at most.
const MOMENTS: usize = 64;
/// A run not yet full is followed at most so long, s.
const LONGEST_S: f64 = 6.0 * 3600.0;
/// After the stop the station is watched so long, s.
const AFTER_S: f64 = 720.0;
/// The next reading is at least so long after the last, s.
const LATER_S: f64 = 30.0;
/// Less information than this is not worth a walk, bits.
const WORTH: f64 = 0.05;
/// Causes stand apart from so many standard deviations of their difference on.
const APART: f64 = 1.0;
/// Half of a normal 90 % interval, in standard deviations.
const NINETY: f64 = 1.645;

/// A cause with its probability, by its likeliest way.
pub(super) struct Leading<'a> {
    pub weighed: &'a Weighed,
    pub probability: f64,
}

/// The leading causes, each once.
pub(super) fn leading(weighed: &[Weighed]) -> Vec<Leading<'_>> {
    let mut all: Vec<Leading> = Vec::new();
    for w in weighed {
        match all
            .iter_mut()
            .find(|l| l.weighed.suspect.ids == w.suspect.ids)
        {
            Some(known) => {
                known.probability += w.weight;
                if w.weight > known.weighed.weight {
                    known.weighed = w;
                }
            }
            None => all.push(Leading {
                weighed: w,
                probability: w.weight,
            }),
        }
    }
    all.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    all
}

/// A place in the grid of readings that could be taken.
struct Place {
    reads: Reads,
    t_s: f64,
}

/// The reading that would best tell the leading causes apart, and the runs it took.
pub(super) fn reading(
    space: &Space,
    leading: &[Leading],
    called: &dyn Fn(&[&str]) -> (String, String),
    gauge_name: &dyn Fn(Reads) -> String,
) -> (Option<NextReading>, usize) {
    let some: Vec<&Leading> = (leading.iter().filter(|l| l.probability > LEAST))
        .take(CAUSES)
        .collect();
    if some.len() < 2 {
        return (None, 0);
    }
    let last_s = space.data.iter().map(|d| d.t_s).fold(0.0, f64::max);
    let Some((plan, stopped_s)) = plan_ahead(space, some[0].weighed, last_s) else {
        return (None, 0);
    };
    let again = stopped_s.is_some_and(|stopped| last_s > stopped - LATER_S);
    let from_s = if again { 0.0 } else { last_s + LATER_S };
    let grid = grid(space, from_s, plan.until_s, stopped_s);
    let ahead = ahead(space, plan, &grid);
    let mut runs = 0;
    let mut said: Vec<(&Leading, Vec<Part>)> = Vec::new();
    for cause in some {
        let (parts, made) = expected(&ahead, cause);
        runs += made;
        said.extend(parts.map(|parts| (cause, parts)));
    }
    let total: f64 = said.iter().map(|(l, _)| l.probability).sum();
    let at = |i: usize| -> Vec<Part> {
        let part = |(l, parts): &(&Leading, Vec<Part>)| Part {
            weight: l.probability / total,
            ..parts[i]
        };
        said.iter().map(part).collect()
    };
    let worth = |i: usize| worth(&at(i));
    let best = (0..grid.len()).max_by(|a, b| worth(*a).total_cmp(&worth(*b)));
    let Some(best) = best.filter(|i| worth(*i) > WORTH) else {
        return (None, runs);
    };
    let place = &grid[best];
    let one = |((l, _), part): (&(&Leading, Vec<Part>), Part)| shown(l, part, called);
    let expected: Vec<Expected> = said.iter().zip(at(best)).map(one).collect();
    let next = NextReading {
        gauge: gauge_name(place.reads),
        minute: place.t_s / 60.0,
        why: why(&expected, place, stopped_s),
        expected,
        bits: worth(best),
        again,
    };
    (Some(next), runs)
}

/// Information of a reading, bits; none where no two causes stand apart: nobody could read it off.
fn worth(parts: &[Part]) -> f64 {
    let differ = |a: &Part, b: &Part| (a.mean - b.mean).abs() > APART * a.sd.hypot(b.sd);
    if parts.iter().any(|a| parts.iter().any(|b| differ(a, b))) {
        information(parts)
    } else {
        0.0
    }
}

/// What the gauge would show if this cause holds.
fn shown(cause: &Leading, part: Part, called: &dyn Fn(&[&str]) -> (String, String)) -> Expected {
    let (id, called) = called(&cause.weighed.suspect.ids);
    Expected {
        id,
        called,
        bar: Found {
            value: part.mean,
            plus_minus: NINETY * part.sd,
        },
        probability: cause.probability,
    }
}

fn why(expected: &[Expected], place: &Place, stopped_s: Option<f64>) -> String {
    let when = match stopped_s {
        Some(stopped) if place.t_s > stopped => format!(
            "about {:.0} min after the stop, with the hose bled and everything shut",
            (place.t_s - stopped) / 60.0
        ),
        _ => "while the machine runs".to_owned(),
    };
    let apart = |e: &Expected, from: &Expected| {
        (e.bar.value - from.bar.value).abs() / e.bar.plus_minus.hypot(from.bar.plus_minus)
    };
    let Some((first, others)) = expected.split_first() else {
        return when;
    };
    // the likeliest, and the one that this reading holds furthest from it
    let other = others
        .iter()
        .max_by(|a, b| apart(a, first).total_cmp(&apart(b, first)));
    let two: Vec<String> = std::iter::once(first)
        .chain(other)
        .map(|e| format!("{:.0} bar if {}", e.bar.value, e.called))
        .collect();
    format!("{when}; it would show {}", two.join(", "))
}

/// What is done in the run to come: filled until full, bled, left standing.
fn plan_ahead(space: &Space, best: &Weighed, last_s: f64) -> Option<(Plan, Option<f64>)> {
    let plan = Plan {
        until_s: LONGEST_S,
        ..space.plan.clone()
    };
    let space = space.with(plan.clone(), Vec::new());
    let trace = space.trace(&space.settings(&best.suspect, &best.fit.z))?;
    let until_s = trace
        .stopped_s
        .map_or(last_s + AFTER_S, |s| s + AFTER_S)
        .max(last_s + AFTER_S);
    Some((Plan { until_s, ..plan }, trace.stopped_s))
}

fn grid(space: &Space, from_s: f64, until_s: f64, stopped_s: Option<f64>) -> Vec<Place> {
    let station = space.prepared.station();
    let mut gauges: Vec<Reads> = station.gauges.iter().map(|g| g.reads).collect();
    if gauges.is_empty() {
        gauges = vec![Reads::Tower, Reads::Line];
    }
    let step = ((until_s - from_s) / MOMENTS as f64 / STEP_S)
        .ceil()
        .max(1.0)
        * STEP_S;
    let mut places = Vec::new();
    let mut t_s = (from_s / STEP_S).ceil() * STEP_S;
    while t_s <= until_s {
        // nobody reads a gauge in the rush of stopping and bleeding
        let rush = stopped_s.is_some_and(|s| t_s > s - 20.0 && t_s < s + 240.0);
        let after = stopped_s.is_some_and(|s| t_s >= s);
        for &reads in gauges.iter().filter(|_| !rush) {
            let stage = matches!(reads, Reads::Stage(_));
            if !(stage && (after || !space.plan.stages)) {
                places.push(Place { reads, t_s });
            }
        }
        t_s += step;
    }
    places
}

fn ahead<'a>(space: &Space<'a>, plan: Plan, grid: &[Place]) -> Space<'a> {
    let station = space.prepared.station();
    let datum = |place: &Place| Datum {
        line: 0,
        t_s: place.t_s,
        t_sd_s: 5.0,
        what: Told::Gauge(place.reads),
        value: 0.0,
        sd: own_error(station, place.reads),
        crowd: 1.0,
    };
    space.with(plan, grid.iter().map(datum).collect())
}

/// What a cause says of each place, with what is still open in it.
fn expected(ahead: &Space, cause: &Leading) -> (Option<Vec<Part>>, usize) {
    let w = cause.weighed;
    let mut runs = Runs::new(ahead, &w.suspect);
    let Some(base) = runs.predict(&w.fit.z) else {
        return (None, runs.made);
    };
    let doubt = runs.doubt(&w.fit, &base);
    let part = |i: usize| Part {
        weight: 1.0,
        mean: base.mean[i],
        sd: doubt[i].hypot(base.scale[i]).max(1e-3),
    };
    (Some((0..base.mean.len()).map(part).collect()), runs.made)
}

/// The check by hand that tells most for its trouble.
pub(super) fn check(known: &Knowledge, leading: &[Leading], notes: &[Note]) -> Option<NextCheck> {
    let done = |which: usize| {
        let means = |m: &Meaning| matches!(m, Meaning::Sign { which: w, .. } if *w == which);
        notes.iter().any(|note| note.meaning.iter().any(means))
    };
    let worth = |which: usize| {
        let sign = &known.signs[which];
        let shares: Vec<(f64, f64)> = leading
            .iter()
            .map(|l| (l.probability, sign.share(&l.weighed.suspect.ids)))
            .collect();
        yes_or_no(&shares)
    };
    let open = (0..known.signs.len()).filter(|i| known.signs[*i].ask.is_some() && !done(*i));
    let value = |i: &usize| worth(*i) / known.signs[*i].trouble.max(1.0).sqrt();
    let best = open.max_by(|a, b| value(a).total_cmp(&value(b)))?;
    let (sign, bits) = (&known.signs[best], worth(best));
    if bits < WORTH {
        return None;
    }
    let likelier = |a: &&Leading, b: &&Leading| {
        let of = |l: &Leading| sign.share(&l.weighed.suspect.ids);
        (of(a).total_cmp(&of(b))).then(a.probability.total_cmp(&b.probability))
    };
    let by = &leading.iter().max_by(likelier)?.weighed.suspect.ids;
    let named = |id: &&str| known.cause(id).map(|c| c.called);
    let called: Vec<&str> = by.iter().filter_map(named).collect();
    let called = called.join(", and ");
    Some(NextCheck {
        what: sign.ask?.to_owned(),
        why: format!("met, it speaks for: {called}; not met, against it"),
        bits,
        caution: sign.caution.to_owned(),
    })
}

/// Information of a sign that is met or not, bits.
fn yes_or_no(shares: &[(f64, f64)]) -> f64 {
    let total: f64 = shares.iter().map(|(w, _)| w).sum();
    let met: f64 = shares.iter().map(|(w, s)| w / total * s).sum();
    let entropy = |p: f64| {
        if p <= 0.0 || p >= 1.0 {
            0.0
        } else {
            -p * p.log2() - (1.0 - p) * (1.0 - p).log2()
        }
    };
    let left: f64 = shares.iter().map(|(w, s)| w / total * entropy(*s)).sum();
    entropy(met) - left
}

#[cfg(test)]
mod tests {
    use super::yes_or_no;

    /// A sign that is always met under one of two equal causes and never under the other is worth
    /// one bit; one that is met as often under both, nothing (limits of Shannon's information).
    #[test]
    fn a_sign_is_worth_what_it_tells() {
        assert!((yes_or_no(&[(0.5, 1.0), (0.5, 0.0)]) - 1.0).abs() < 1e-12);
        assert!(yes_or_no(&[(0.5, 0.3), (0.5, 0.3)]).abs() < 1e-12);
        // a channel that errs once in ten tells 1 − H(0.1) = 0.531 bits (MacKay 2003, ch. 1)
        assert!((yes_or_no(&[(0.5, 0.9), (0.5, 0.1)]) - 0.531).abs() < 1e-3);
    }
}
