//! A run that goes on in a changed plant: a part begins to leak or seizes, a cylinder is changed.
//!
//! Every vessel keeps its mass, its energy and the temperature of its wall; valves stay as far
//! open as they were. Not here: what changes (see [`super::Plant`]).

use super::engine::{Sim, Start};
use super::layout::Layout;
use super::modes::Stand;
use super::plant::{Action, Plant, PlantError};
use crate::gas::Gas;
use std::borrow::Cow;

/// A vessel taken away and another put in its place: which, the other's state.
pub type Fresh = (usize, Start);

impl Sim<'_> {
    /// Goes on in `plant`, which has the same vessels, valves, discs and hand valves in the same
    /// order, and whatever links. Vessels named in `fresh` are other vessels of the same place.
    /// What crosses the boundary is counted anew from here ([`Sim::balance`]); events are kept,
    /// samples are not.
    ///
    /// **Errors** a plant that cannot be run, or that has other parts than this one.
    pub fn changed(
        self,
        plant: Plant,
        gas: &Gas,
        fresh: &[Fresh],
    ) -> Result<Sim<'static>, PlantError> {
        plant.check()?;
        self.same_parts(&plant)?;
        let layout = Layout::of(&plant);
        let mut y = vec![0.0; layout.len()];
        for vessel in 0..plant.vessels.len() {
            let other = fresh.iter().find(|(which, _)| *which == vessel);
            match other {
                Some((_, start)) => begin(&plant, gas, &layout, vessel, *start, &mut y)?,
                None => self.keep_vessel(&layout, vessel, &mut y),
            }
        }
        let mut modes = self.modes.clone();
        for (valve, new) in plant.valves.iter().enumerate() {
            let (stand, lift) = self.stands(valve, new.action);
            modes.stands[valve] = stand;
            if let Some(row) = layout.lift[valve] {
                y[row] = lift;
            }
        }
        let mut sim = Sim::at(Cow::Owned(plant), layout, modes, (self.t_s, y));
        sim.relative_tolerance = self.relative_tolerance;
        sim.stepper.effort = self.stepper.effort;
        sim.events = self.events;
        Ok(sim)
    }

    fn same_parts(&self, plant: &Plant) -> Result<(), PlantError> {
        let old = &self.plant;
        let pairs = [
            ("vessels", old.vessels.len(), plant.vessels.len()),
            ("valves", old.valves.len(), plant.valves.len()),
            ("discs", old.discs.len(), plant.discs.len()),
            (
                "hand valves",
                old.hand_valves.len(),
                plant.hand_valves.len(),
            ),
        ];
        match pairs.into_iter().find(|(_, before, after)| before != after) {
            None => Ok(()),
            Some((what, _, after)) => Err(PlantError::BadNumber {
                what: what.to_owned(),
                rule: "a changed plant must have as many as before",
                value: after as f64,
            }),
        }
    }

    fn keep_vessel(&self, layout: &Layout, vessel: usize, y: &mut [f64]) {
        let (to, from) = (layout.mass[vessel], self.layout.mass[vessel]);
        y[to] = self.y[from];
        y[to + 1] = self.y[from + 1];
        if let Some(wall) = layout.wall[vessel] {
            y[wall] = self.read_vessel(vessel, &self.y).wall_k;
        }
    }

    /// Where a valve stands and how far it is lifted once it moves in this way.
    fn stands(&self, valve: usize, next: Action) -> (Stand, f64) {
        let stand = self.modes.stands[valve];
        let lift = self.layout.lift[valve].map(|row| self.y[row]);
        match self.plant.valves[valve].action {
            Action::StuckOpen if next != Action::StuckOpen => (Stand::Lifted, 1.0),
            Action::StuckShut => (Stand::Shut, 0.0),
            _ => {
                let open = if stand == Stand::Shut { 0.0 } else { 1.0 };
                (stand, lift.unwrap_or(open))
            }
        }
    }
}

/// A vessel at its start.
pub(super) fn begin(
    plant: &Plant,
    gas: &Gas,
    layout: &Layout,
    vessel: usize,
    start: Start,
    y: &mut [f64],
) -> Result<(), PlantError> {
    let state = gas
        .state_p_t(start.p_pa, start.t_k)
        .map_err(|_| PlantError::BadNumber {
            what: plant.vessels[vessel].name.clone(),
            rule: "its pressure at the start must lie between 0 and 600 bar absolute",
            value: start.p_pa / 1e5,
        })?;
    let row = layout.mass[vessel];
    y[row] = state.rho * plant.vessels[vessel].volume_m3;
    y[row + 1] = y[row] * state.u;
    if let Some(wall) = layout.wall[vessel] {
        y[wall] = start.t_k;
    }
    Ok(())
}
