//! A simulated run's samples turned into pieces of the water ledger.
//!
//! Not here: the ledger ([`super::follow`]).

use super::answer::WaterAnswer;
use super::cartridge::Cartridge;
use super::follow::{Step, Wet, walk};
use crate::assemble::Prepared;
use crate::forecast::request::ForecastError;
use physics::sim::Snapshot;
use quantity::Quantity as _;

/// A run as the ledger needs it.
pub(crate) struct Followed<'a> {
    pub samples: &'a [Snapshot],
    /// Spans in which the machine ran, s.
    pub running: &'a [(f64, f64)],
    pub separator: usize,
    pub purifier: usize,
    pub first: usize,
}

/// Follows the water through a run. The cartridge, where there is one, takes
/// what reaches it.
pub(crate) fn follow(
    prepared: &Prepared,
    wet: &Wet,
    run: &Followed,
    cartridge: Option<&mut Cartridge>,
) -> Result<WaterAnswer, ForecastError> {
    let share = separator_share(prepared, run.separator == run.purifier);
    let start = run.samples.first().map(|s| &s.vessels[run.separator]);
    let start = start.map_or((prepared.atmosphere_pa, 0.0), |v| {
        (v.p_pa, v.mass_kg * share)
    });
    let steps = run
        .samples
        .windows(2)
        .map(|pair| step(prepared, run, share, &pair[0], &pair[1]));
    Ok(walk(prepared, wet, start, run.running, steps, cartridge)?.water)
}

/// Share of the separator's vessel that is separator.
fn separator_share(prepared: &Prepared, with_purifier: bool) -> f64 {
    let station = prepared.station();
    let separator = station.separator.volume.si();
    if with_purifier {
        separator / (separator + station.purifier.volume.si())
    } else {
        1.0
    }
}

/// The piece of a run between two samples.
fn step(prepared: &Prepared, run: &Followed, share: f64, from: &Snapshot, to: &Snapshot) -> Step {
    let seconds = to.t_s - from.t_s;
    let first_pa = 0.5 * (from.vessels[run.first].p_pa + to.vessels[run.first].p_pa);
    let middle_s = 0.5 * (from.t_s + to.t_s);
    let runs = |(from, to): &(f64, f64)| (*from..*to).contains(&middle_s);
    let running = run.running.iter().any(runs);
    let (a, b) = (&from.vessels[run.separator], &to.vessels[run.separator]);
    Step {
        t_s: to.t_s,
        seconds,
        running,
        air_in_kg: if running {
            prepared.flow(first_pa) * seconds
        } else {
            0.0
        },
        first_pa,
        p_pa: b.p_pa,
        held_kg: (a.mass_kg * share, b.mass_kg * share),
        purifier_k: to.vessels[run.purifier].t_k,
    }
}
