//! Which spaces empty with the one that is opened, and how far down.
//!
//! Air follows a link forwards always and backwards only where it has no check
//! action; a pressure maintaining valve shuts on the way. Not here: how long it
//! takes ([`super::run`]).

use physics::sim::{Action, End, Gate, Link, Plant, Start};

/// What holds a space's air back from the one that is opened.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Held {
    /// Nothing: it falls with it to the end.
    Not,
    /// A valve that shuts on the way down.
    Until {
        /// Which of the plant's valves.
        valve: usize,
        /// At this absolute pressure in the space it senses.
        floor_pa: f64,
    },
    /// It never gets there: this link (by index) lets no air through that way.
    Whole {
        /// The link that keeps it; none where nothing connects the two.
        link: Option<usize>,
    },
}

impl Held {
    /// Absolute pressure below which the space no longer gives air, Pa.
    pub fn floor_pa(&self) -> f64 {
        match self {
            Held::Not => 0.0,
            Held::Until { floor_pa, .. } => *floor_pa,
            Held::Whole { .. } => f64::INFINITY,
        }
    }
}

/// For every vessel: what holds its air back when `opened` is let out.
pub(super) fn held(plant: &Plant, starts: &[Start], opened: usize) -> Vec<Held> {
    let mut held = vec![Held::Whole { link: None }; plant.vessels.len()];
    if let Some(first) = held.get_mut(opened) {
        *first = Held::Not;
    }
    // a chain of spaces: after as many rounds as there are links nothing changes any more
    for _ in 0..plant.links.len() {
        for (index, link) in plant.links.iter().enumerate() {
            let End::Vessel(to) = link.to else { continue };
            better(plant, starts, &mut held, (index, link), (link.from, to));
            if link.two_way {
                better(plant, starts, &mut held, (index, link), (to, link.from));
            } else {
                blocked(&mut held, index, (to, link.from));
            }
        }
    }
    held
}

/// Notes that air of `from` comes through `link` to `to`, as far as a valve lets it.
fn better(
    plant: &Plant,
    starts: &[Start],
    held: &mut [Held],
    (index, link): (usize, &Link),
    (from, to): (usize, usize),
) {
    let Some(onward) = held.get(to).cloned() else {
        return;
    };
    if let Held::Whole { link: kept } = onward {
        if let Some(kept) = kept {
            blocked(held, kept, (from, to));
        }
        return;
    }
    let here = match link.gate {
        Gate::Open => onward,
        Gate::Auto(valve) => match shuts(plant, starts, valve) {
            Some(floor_pa) if floor_pa > onward.floor_pa() => Held::Until { valve, floor_pa },
            Some(_) => onward,
            None => return blocked(held, index, (from, to)),
        },
        Gate::Hand(_) | Gate::Disc(_) => return blocked(held, index, (from, to)),
    };
    if let Some(known) = held.get_mut(from)
        && here.floor_pa() < known.floor_pa()
    {
        *known = here;
    }
}

/// Notes the link that keeps the air of `from` away from `to`.
fn blocked(held: &mut [Held], index: usize, (from, to): (usize, usize)) {
    let reached = |h: Option<&Held>| !matches!(h, Some(Held::Whole { link: None }) | None);
    if !reached(held.get(to)) {
        return;
    }
    if let Some(unknown @ Held::Whole { link: None }) = held.get_mut(from) {
        *unknown = Held::Whole { link: Some(index) };
    }
}

/// Pressure at which an automatic valve that is open now shuts, Pa; none where it is shut.
fn shuts(plant: &Plant, starts: &[Start], valve: usize) -> Option<f64> {
    let valve = plant.valves.get(valve)?;
    let sensed = starts.get(valve.senses)?.p_pa;
    match valve.action {
        Action::StuckOpen => Some(0.0),
        Action::StuckShut => None,
        Action::Snap | Action::Proportional => {
            (sensed >= valve.opens_pa).then_some(valve.closes_pa)
        }
    }
}
