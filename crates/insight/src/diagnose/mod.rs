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
mod before;
mod causes;
mod course;
mod found;
mod given;
mod next;
pub mod request;
mod runs;
mod say;
mod settings;
mod signs;
mod slips;
mod space;
mod suspects;
mod told;
mod weigh;

#[cfg(test)]
mod tests;

use answer::{Cause, Diagnosis, Noticed, Standing};
use causes::{KNOWLEDGE, Knowledge};
use course::Plan;
use next::Leading;
use request::Request;
use runs::Runs;
use signs::{Meaning, Note};
use space::{Datum, Space, Starts};
use station::{Reads, Station};
use suspects::Suspect;
use weigh::{Scales, Weighed};

use crate::assemble::Prepared;
use crate::forecast::prepared;
use crate::forecast::request::ForecastError;

/// Two causes at once are tried where the best single one leaves the readings so far off, in scales.
const SINGLE_ENOUGH: f64 = 1.2;
/// So many pairs, and of so many of the likeliest causes with each other.
const PAIRS: usize = 16;
/// Root mean square of the readings' distance, in scales, from which nothing fits.
const FITS: f64 = 2.2;

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
    let data = given::data(&as_it_was, request, &notes);
    let (asked, starts) = given::asked(&as_it_was, request, &data);
    given::one_set(&as_it_was, &asked)?;
    let (prepared, assumed) = prepared(&as_it_was, &asked)?;
    let assumed = assumed.iter().map(|a| format!("{}: {}", a.what, a.why));
    let case = Case {
        known: &KNOWLEDGE,
        plans: given::plans(&data, &notes, &request.readings),
        assumed: assumed.collect(),
        prepared: &prepared,
        notes: &notes,
        data,
        starts,
    };
    Ok(case.answer(progress))
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
        let fits = best.is_some_and(|w| told::misfit(space, w) < FITS);
        let standing = say::standing(&causes, space.data.len() + self.notes.len(), fits);
        let mut warnings = self.dangers();
        if standing == Standing::DoesNotFit {
            warnings.extend(self.rubbish(space));
        }
        let name = |reads: Reads| told::gauge_name(station, reads);
        let called = |ids: &[&str]| say::called(self.known, ids);
        let (next_reading, ahead) = match standing {
            Standing::NoReadings | Standing::DoesNotFit => (None, 0),
            _ => next::reading(space, &leading, &called, &name),
        };
        let sound = Suspect::sound(1.0);
        Diagnosis {
            station: station.name.clone(),
            invented: station.invented,
            headline: say::headline(standing, &causes, &settings),
            standing,
            next_reading,
            next_check: next::check(self.known, &leading, self.notes),
            readings: best.map_or_else(Vec::new, |w| told::judged(space, w, &sound, &name)),
            observations: self.notes.iter().map(|n| self.noticed(n)).collect(),
            trace: best.map_or_else(Vec::new, |w| told::trace(space, w, &sound)),
            misfit_bar: best.and_then(|w| told::misfit_bar(space, w)),
            clock_s: told::clock(space, weighed),
            warnings,
            assumed: self
                .assumed
                .iter()
                .cloned()
                .chain(given::taken(&space.plan))
                .collect(),
            runs: ahead + weighed.iter().map(|w| w.runs).sum::<usize>(),
            settings,
            causes: told::likely(causes, scales, weighed),
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
        let sound = Suspect::sound(1.0);
        let z = vec![0.0; space.dims.len()];
        let expected = Runs::new(space, &sound).predict(&z)?;
        slips::rubbish(space, &expected)
    }
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
        .map(|w| told::misfit(space, w))
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
