//! One space let out through one hand valve: by the simulation, and in closed form.
//!
//! Not here: which spaces and valves there are ([`super`]), what stays ([`super::stays`]).

use super::reach::{Held, held};
use crate::forecast::request::ForecastError;
use physics::gas::Gas;
use physics::sim::{Control, Gate, Outcome, Plant, Sim, Snapshot, Start, Watch};
use physics::vent::isothermal_vent_s;

/// Below this a dial shows nothing, bar. The flow near rest is smoothed over as much.
pub(super) const ZERO_BAR: f64 = 0.1;
/// The first mark that is asked for, bar.
const FIRST_BAR: f64 = 1.0;
/// The simulation is given up after this many times the ideal time, and a while, s.
const PATIENCE: f64 = 20.0;
const A_WHILE_S: f64 = 600.0;
/// Readings looked at for the lowest temperature.
const LOOKS: f64 = 400.0;

/// What is opened: a plant at rest, a hand valve, the space it lets out.
pub(super) struct Opening<'a> {
    pub plant: &'a Plant,
    pub starts: &'a [Start],
    pub gas: &'a Gas,
    /// Which of the plant's hand valves.
    pub hand: usize,
    /// The space it stands on.
    pub vessel: usize,
}

/// What came of it.
pub(super) struct Followed {
    /// When each mark was passed, s.
    pub first_s: Option<f64>,
    pub zero_s: Option<f64>,
    /// The same in closed form, s.
    pub ideal_first_s: f64,
    pub ideal_zero_s: f64,
    /// Coldest gas in the space, K.
    pub coldest_k: f64,
    /// What holds each space's air back.
    pub held: Vec<Held>,
    pub last: Snapshot,
    /// Why it did not come to the end.
    pub ended_early: Option<String>,
}

/// Opens the valve and waits.
pub(super) fn follow(opening: &Opening) -> Result<Followed, ForecastError> {
    let held = held(opening.plant, opening.starts, opening.vessel);
    let ideal = |bar: f64| ideal_s(opening, &held, bar);
    let (ideal_first_s, ideal_zero_s) = (ideal(FIRST_BAR), ideal(ZERO_BAR));
    let limit_s = PATIENCE * ideal_zero_s + A_WHILE_S;
    let sim = Sim::new(opening.plant, opening.gas, opening.starts)?;
    let mut sim = sim.sampled_every((ideal_zero_s / LOOKS).max(limit_s * 1e-5));
    sim.control(Control::Hand {
        valve: opening.hand,
        opening: 1.0,
    });
    let (marks, ended_early) = wait(&mut sim, opening, limit_s);
    let last = sim.snapshot();
    let temperature = |s: &Snapshot| s.vessels.get(opening.vessel).map_or(f64::NAN, |v| v.t_k);
    let coldest_k = sim.samples().iter().map(temperature);
    Ok(Followed {
        first_s: marks[0],
        zero_s: marks[1],
        ideal_first_s,
        ideal_zero_s,
        coldest_k: coldest_k.fold(temperature(&last), f64::min),
        held,
        last,
        ended_early,
    })
}

/// When each mark was passed, and why it did not come to the end.
fn wait(sim: &mut Sim, opening: &Opening, limit_s: f64) -> ([Option<f64>; 2], Option<String>) {
    let mut marks = [None; 2];
    for (mark, bar) in marks.iter_mut().zip([FIRST_BAR, ZERO_BAR]) {
        let watch = Watch {
            vessel: opening.vessel,
            threshold_pa: opening.plant.atmosphere_pa + bar * 1e5,
            rising: false,
        };
        let why = match sim.advance(limit_s, &[watch]) {
            Outcome::Watched(_) => {
                *mark = Some(sim.t_s());
                continue;
            }
            Outcome::Reached => format!("still above {bar} bar after {limit_s:.0} s"),
            Outcome::Stopped(reason) => reason.to_string(),
        };
        return (marks, Some(why));
    }
    (marks, None)
}

/// The closed form: the space falls with every other that gives its air, each down
/// to where it is held.
fn ideal_s(opening: &Opening, held: &[Held], to_bar: f64) -> f64 {
    let plant = opening.plant;
    let Some(start) = opening.starts.get(opening.vessel) else {
        return 0.0;
    };
    let area_m2 = plant
        .links
        .iter()
        .find(|link| link.gate == Gate::Hand(opening.hand))
        .map_or(0.0, |link| link.area_m2);
    let end_pa = plant.atmosphere_pa + to_bar * 1e5;
    let mut marks: Vec<f64> = held.iter().map(Held::floor_pa).collect();
    marks.extend(opening.starts.iter().map(|s| s.p_pa));
    marks.retain(|p| (end_pa..start.p_pa).contains(p));
    marks.extend([start.p_pa, end_pa]);
    marks.sort_by(|a, b| b.total_cmp(a));
    marks
        .windows(2)
        .map(|pair| {
            let &[high, low] = pair else { return 0.0 };
            let volume = volume_m3(plant, opening.starts, held, 0.5 * (high + low));
            isothermal_vent_s(volume, area_m2, start.t_k, high, low, plant.atmosphere_pa)
        })
        .sum()
}

/// Gas space that gives air at this pressure, m³.
pub(super) fn volume_m3(plant: &Plant, starts: &[Start], held: &[Held], p_pa: f64) -> f64 {
    let spaces = plant.vessels.iter().zip(starts).zip(held);
    spaces
        .filter(|((_, start), held)| held.floor_pa() < p_pa && p_pa <= start.p_pa)
        .map(|((vessel, _), _)| vessel.volume_m3)
        .sum()
}
