//! Where each quantity stands in the state vector.
//!
//! States: per vessel its mass (kg) and internal energy (J), then its wall's
//! temperature (K) where it has one; then the lift (0..1) of each proportional
//! valve. Totals follow: see [`Totals`].

use super::plant::{Action, End, Plant, Thermal};

/// Positions in the state vector of one plant.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    /// Position of each vessel's mass; its energy is the next.
    pub mass: Vec<usize>,
    /// Position of each vessel's wall temperature.
    pub wall: Vec<Option<usize>>,
    /// Position of each valve's lift, for the proportional ones.
    pub lift: Vec<Option<usize>>,
    /// Number of states.
    pub states: usize,
    /// Positions of the totals, counted in the whole vector.
    pub totals: Totals,
}

/// Totals since the start: what crossed the station's boundary.
#[derive(Debug, Clone)]
pub(super) struct Totals {
    /// Mass delivered by the compressor, kg.
    pub mass_in: usize,
    /// Enthalpy that came with it, J.
    pub enthalpy_in: usize,
    /// Shaft work of the compressor, J.
    pub work: usize,
    /// Enthalpy of all gas let out, J.
    pub enthalpy_out: usize,
    /// Heat taken from the surroundings, J.
    pub heat: usize,
    /// Mass let out through each link to the atmosphere, kg (per link).
    pub mass_out: Vec<Option<usize>>,
    /// Number of totals.
    pub count: usize,
}

impl Layout {
    pub fn of(plant: &Plant) -> Layout {
        let mut next = 0;
        let mut take = |n: usize| {
            next += n;
            next - n
        };
        let (mut mass, mut wall) = (Vec::new(), Vec::new());
        for vessel in &plant.vessels {
            mass.push(take(2));
            let walled = matches!(vessel.thermal, Thermal::Walled { .. });
            wall.push(walled.then(|| take(1)));
        }
        let proportional = |action| action == Action::Proportional;
        let lift = plant
            .valves
            .iter()
            .map(|v| proportional(v.action).then(|| take(1)))
            .collect();
        let states = take(0);
        let totals = Totals {
            mass_in: take(1),
            enthalpy_in: take(1),
            work: take(1),
            enthalpy_out: take(1),
            heat: take(1),
            mass_out: plant
                .links
                .iter()
                .map(|link| (link.to == End::Atmosphere).then(|| take(1)))
                .collect(),
            count: take(0) - states,
        };
        Layout {
            mass,
            wall,
            lift,
            states,
            totals,
        }
    }

    /// States and totals together.
    pub fn len(&self) -> usize {
        self.states + self.totals.count
    }
}
