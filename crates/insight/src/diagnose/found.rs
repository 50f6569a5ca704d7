//! Settings as the readings show them, all suspects together by their probability.
//!
//! Not here: the words.

use super::answer::{SettingFound, Verdict};
use super::settings::Settings;
use super::space::{Space, Told};
use super::suspects::{Effect, litres_per_minute};
use super::weigh::Weighed;
use physics::fit::mixture::{Part, below, quantile};
use station::{Reads, Station};

/// Step of a difference quotient, in prior standard deviations.
const STEP: f64 = 0.05;
/// A setting counts as read where its range is narrower than this share of what it was before.
const NARROWER: f64 = 0.85;
/// Probability from which a verdict is given.
const SURE: f64 = 0.8;

/// A setting to be found.
struct Wanted {
    name: &'static str,
    called: &'static str,
    unit: &'static str,
    specified: f64,
    tolerance: f64,
    /// Where only one side matters: leaks.
    one_sided: bool,
    of: Box<dyn Fn(&Settings) -> f64>,
}

/// All settings of the station, found or not.
pub(super) fn settings(space: &Space, weighed: &[Weighed]) -> Vec<SettingFound> {
    let all = wanted(space);
    all.iter()
        .map(|wanted| one(space, weighed, wanted))
        .collect()
}

fn wanted(space: &Space) -> Vec<Wanted> {
    let station = space.prepared.station().clone();
    let t = station.tolerances.clone();
    let mut all = Vec::new();
    let mut bar =
        |name, called, specified: f64, tolerance: f64, of: fn(&Settings, &Station) -> f64| {
            let station = station.clone();
            all.push(Wanted {
                name,
                called,
                unit: "bar",
                specified,
                tolerance,
                one_sided: false,
                of: Box::new(move |s| of(s, &station)),
            });
        };
    if let Some(pmv) = &station.pmv {
        let (opens, closes) = (pmv.opens.as_bar(), pmv.closes.as_bar());
        let share = t.pmv.as_ratio();
        bar("pmv_opens", "PMV opens", opens, share * opens, |s, st| {
            s.pmv_opens_bar(st).unwrap_or(0.0)
        });
        bar(
            "pmv_closes",
            "PMV closes",
            closes,
            share * closes,
            |s, st| s.pmv_closes_bar(st).unwrap_or(0.0),
        );
    }
    if let Some(relief) = &station.relief {
        let lifts = relief.lifts.as_bar();
        let share = t.relief.as_ratio();
        bar(
            "relief_lifts",
            "relief valve lifts",
            lifts,
            share * lifts,
            |s, st| s.relief_lifts_bar(st).unwrap_or(0.0),
        );
    }
    for (reads, name, called) in [
        (Reads::Tower, "tower_gauge", "tower gauge reads high by"),
        (Reads::Line, "line_gauge", "line gauge reads high by"),
    ] {
        if space.data.iter().any(|d| d.what == Told::Gauge(reads)) {
            let error = super::space::error_of(&station, reads);
            let of: fn(&Settings, &Station) -> f64 = match reads {
                Reads::Tower => |s, _| s.reads_high(Reads::Tower),
                _ => |s, _| s.reads_high(Reads::Line),
            };
            bar(name, called, 0.0, error, of);
        }
    }
    all.extend(flows(space, t.delivery.as_ratio()));
    all
}

/// What is delivered, and what is lost, in free air.
fn flows(space: &Space, tolerance: f64) -> Vec<Wanted> {
    let rated = litres_per_minute(space.prepared);
    let leak = |name, called, effect: Effect| Wanted {
        name,
        called,
        unit: "L/min",
        specified: 0.0,
        tolerance: 0.02 * rated,
        one_sided: true,
        of: Box::new(move |s: &Settings| {
            let lost = s.effects.iter().filter(|(e, _)| *e == effect);
            lost.map(|(_, size)| size).sum()
        }),
    };
    let delivered = move |s: &Settings| {
        let slow: f64 = s
            .effects
            .iter()
            .map(|(e, size)| e.delivers(*size))
            .product();
        rated * s.variation.delivery * slow
    };
    vec![
        Wanted {
            name: "delivery",
            called: "air delivered at working pressure",
            unit: "L/min",
            specified: rated,
            tolerance: tolerance * rated,
            one_sided: false,
            of: Box::new(delivered),
        },
        leak("tower_leak", "lost from the tower", Effect::TowerLeak),
        leak("whip_leak", "lost from hose and joints", Effect::WhipLeak),
    ]
}

fn one(space: &Space, weighed: &[Weighed], wanted: &Wanted) -> SettingFound {
    let parts: Vec<Part> = weighed.iter().map(|w| part(space, w, wanted)).collect();
    let total: f64 = parts.iter().map(|p| p.weight).sum();
    let parts: Vec<Part> = parts
        .into_iter()
        .filter(|p| p.weight > 1e-6 * total)
        .map(|p| Part {
            weight: p.weight / total,
            ..p
        })
        .collect();
    let range = |q| quantile(&parts, q);
    let known = wanted.one_sided || known(space, weighed, wanted);
    let bar = wanted.unit == "bar";
    let mut found = SettingFound {
        name: wanted.name,
        called: wanted.called,
        unit: wanted.unit,
        found: None,
        plus_minus: None,
        low: None,
        high: None,
        specified: Some(wanted.specified),
        tolerance: Some(wanted.tolerance),
        found_bar: None,
        plus_minus_bar: None,
        specified_bar: bar.then_some(wanted.specified),
        verdict: Verdict::NotReached,
    };
    let (Some(low), Some(middle), Some(high)) = (range(0.05), range(0.5), range(0.95)) else {
        return found;
    };
    // a leak that no likely cause has is not found at all, and not found to be nothing
    if !known || (wanted.one_sided && high < 0.1 * wanted.tolerance) {
        return found;
    }
    (found.found, found.plus_minus) = (Some(middle), Some(0.5 * (high - low)));
    (found.low, found.high) = (Some(low), Some(high));
    if bar {
        (found.found_bar, found.plus_minus_bar) = (found.found, found.plus_minus);
    }
    let under = below(&parts, wanted.specified - wanted.tolerance);
    let over = 1.0 - below(&parts, wanted.specified + wanted.tolerance);
    found.verdict = if under > SURE && !wanted.one_sided {
        Verdict::Below
    } else if over > SURE {
        Verdict::Above
    } else if 1.0 - over - if wanted.one_sided { 0.0 } else { under } > SURE {
        Verdict::Within
    } else {
        Verdict::CannotTell
    };
    found
}

/// The setting under one suspect: value and standard deviation from the fit's covariance.
fn part(space: &Space, w: &Weighed, wanted: &Wanted) -> Part {
    let at = |z: &[f64]| (wanted.of)(&space.settings(&w.suspect, z));
    let mean = at(&w.fit.z);
    let slopes = slopes(&w.fit.z, &at, mean);
    let mut variance = 0.0;
    for (i, a) in slopes.iter().enumerate() {
        for (j, b) in slopes.iter().enumerate() {
            variance += a * b * w.fit.covariance[(i, j)];
        }
    }
    // nothing is known to less than a thousandth of its tolerance
    let sd = variance
        .max(0.0)
        .sqrt()
        .max(1e-3 * wanted.tolerance.max(1e-3));
    Part {
        weight: w.weight,
        mean,
        sd,
    }
}

fn slopes(z: &[f64], at: &dyn Fn(&[f64]) -> f64, mean: f64) -> Vec<f64> {
    let slope = |j: usize| {
        let mut moved = z.to_vec();
        moved[j] += STEP;
        (at(&moved) - mean) / STEP
    };
    (0..z.len()).map(slope).collect()
}

/// Whether the readings tell anything of this setting: under the likeliest suspect its range is
/// narrower than before, or the suspect itself moves it.
fn known(space: &Space, weighed: &[Weighed], wanted: &Wanted) -> bool {
    let Some(best) = weighed.iter().max_by(|a, b| a.weight.total_cmp(&b.weight)) else {
        return false;
    };
    let at = |z: &[f64]| (wanted.of)(&space.settings(&best.suspect, z));
    let slopes = slopes(&best.fit.z, &at, at(&best.fit.z));
    let before: f64 = slopes.iter().map(|s| s * s).sum::<f64>().sqrt();
    let after = part(space, best, wanted).sd;
    wanted.name.ends_with("gauge") || (before > 0.0 && after < NARROWER * before)
}
