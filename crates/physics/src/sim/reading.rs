//! What a run reads: each vessel's pressure, temperatures and content.
//!
//! Not here: totals since the start (see [`super::totals`]).

use super::engine::Sim;
use super::event::{Snapshot, VesselReading};
use super::modes::Stand;
use super::plant::Action;

impl Sim<'_> {
    /// All readings now.
    pub fn snapshot(&self) -> Snapshot {
        self.read(self.t_s, &self.y)
    }

    /// How far a hand valve is open, 0..1; nothing where there is no such valve.
    pub fn opening(&self, hand_valve: usize) -> Option<f64> {
        self.modes.hands.get(hand_valve).copied()
    }

    /// Whether a valve stands open; not one that there is not.
    pub fn lifted(&self, valve: Option<usize>) -> bool {
        let open = |i: usize| match self.plant.valves.get(i).map(|v| v.action) {
            Some(Action::StuckOpen) => true,
            Some(Action::StuckShut) | None => false,
            Some(_) => self.modes.stands[i] != Stand::Shut,
        };
        valve.is_some_and(open)
    }

    /// Whether a burst disc has gone.
    pub fn burst(&self) -> bool {
        self.modes.burst.iter().any(|burst| *burst)
    }

    pub(super) fn read(&self, t_s: f64, y: &[f64]) -> Snapshot {
        let vessels = (0..self.plant.vessels.len())
            .map(|i| self.read_vessel(i, y))
            .collect();
        Snapshot { t_s, vessels }
    }

    pub(super) fn read_vessel(&self, vessel: usize, y: &[f64]) -> VesselReading {
        let row = self.layout.mass[vessel];
        let mass_kg = y[row];
        let rho = mass_kg / self.plant.vessels[vessel].volume_m3;
        let (p_pa, t_k) = self
            .plant
            .gas
            .pt(rho, y[row + 1] / mass_kg)
            .unwrap_or((f64::NAN, f64::NAN));
        let wall_k = self.layout.wall[vessel].map_or(t_k, |wall| y[wall]);
        VesselReading {
            p_pa,
            t_k,
            wall_k,
            mass_kg,
        }
    }
}
