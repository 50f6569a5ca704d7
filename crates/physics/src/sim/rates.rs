//! The equations of a run: rates of every state, and their exact Jacobian.
//!
//! Per vessel  dm/dt = Σṁ,  dU/dt = Σṁ·h_upstream + Q
//! per wall    C·dT_w/dt = Q_out − Q
//! per lift    dx/dt = (max(0, x_up(p) − x) − max(0, x − x_down(p)))/τ while lifted,
//!             −x/τ once shut
//!
//! Not here: when discrete states change (see [`super::engine`]).

use super::accuracy;
use super::layout::Layout;
use super::modes::{Modes, Stand, ramp};
use super::plant::{Compressor, End, Gate, Link, Plant, Thermal};
use super::rosenbrock::System;
use super::stream::{Local, Sink, Slopes};
use crate::heat::{Heat, OuterFilm};
use crate::nozzle::{Flow, Orifice};

/// Time in which a valve's lift follows the pressure, s.
const LIFT_TIME_S: f64 = 0.1;

/// Lift at which a closing valve drops onto its seat: so that it has closed at
/// `closes`, instead of easing shut for ever.
const SEATING: f64 = 0.02;

/// A plant in one mode, ready to be integrated.
pub(super) struct Equations<'a> {
    pub plant: &'a Plant,
    pub layout: &'a Layout,
    pub modes: &'a Modes,
    pub relative_tolerance: f64,
    /// Scratch: gas state, density and energy per vessel, inflow and its slopes.
    pub vessels: &'a mut Vec<Local>,
}

impl System for Equations<'_> {
    fn sizes(&self) -> (usize, usize) {
        (self.layout.states, self.layout.totals.count)
    }

    fn rates(&mut self, y: &[f64], rates: &mut [f64]) -> bool {
        self.evaluate(y, rates, None)
    }

    fn jacobian(&mut self, y: &[f64], rates: &mut [f64], jacobian: &mut [f64]) -> bool {
        jacobian.fill(0.0);
        self.evaluate(y, rates, Some(jacobian))
    }

    fn weights(&self, y: &[f64], weights: &mut [f64]) {
        let tolerance = self.relative_tolerance;
        accuracy::weights(self.plant, self.layout, tolerance, y, weights);
    }

    fn stands(&self, y: &[f64]) -> bool {
        accuracy::all_gas(self.plant, self.layout, y)
    }
}

impl Equations<'_> {
    fn evaluate(&mut self, y: &[f64], rates: &mut [f64], jacobian: Option<&mut [f64]>) -> bool {
        rates.fill(0.0);
        if !self.look(y, jacobian.is_some()) {
            return false;
        }
        let mut sink = Sink {
            rates,
            jacobian,
            rows: self.layout.len(),
        };
        if let Some(compressor) = self
            .plant
            .compressor
            .as_ref()
            .filter(|_| self.modes.running)
            && !self.add_compressor(compressor, &mut sink)
        {
            return false;
        }
        for (index, link) in self.plant.links.iter().enumerate() {
            self.add_link(index, link, y, &mut sink);
        }
        for vessel in 0..self.plant.vessels.len() {
            self.add_heat(vessel, y, &mut sink);
        }
        self.add_lifts(y, &mut sink);
        true
    }

    /// Finds the gas state in every vessel; false where there is none.
    fn look(&mut self, y: &[f64], with_slopes: bool) -> bool {
        for ((vessel, &row), local) in self
            .plant
            .vessels
            .iter()
            .zip(&self.layout.mass)
            .zip(self.vessels.iter_mut())
        {
            let (mass, u) = (y[row], y[row + 1] / y[row]);
            let rho = mass / vessel.volume_m3;
            let known = if with_slopes {
                let gas = self.plant.gas.at(rho, u);
                gas.map(|gas| local.set_with_slopes(&gas, mass, vessel.volume_m3, u))
            } else {
                self.plant
                    .gas
                    .pt(rho, u)
                    .map(|(p, t)| local.set(p, t, rho, u))
            };
            if known.is_none() {
                return false;
            }
        }
        true
    }

    fn add_compressor(&self, compressor: &Compressor, sink: &mut Sink) -> bool {
        let into = &self.vessels[compressor.into];
        let Some(d) = compressor.delivery.at(into.p) else {
            return false;
        };
        let (row, totals) = (self.layout.mass[compressor.into], &self.layout.totals);
        for (mass, enthalpy) in [(row, row + 1), (totals.mass_in, totals.enthalpy_in)] {
            sink.add(mass, d.mass);
            sink.add(enthalpy, d.mass * d.h);
        }
        sink.add(totals.work, d.power);
        let enthalpy_by_p = d.mass_by_p * d.h + d.mass * d.h_by_p;
        let by_p = [
            (row, d.mass_by_p),
            (row + 1, enthalpy_by_p),
            (totals.mass_in, d.mass_by_p),
            (totals.enthalpy_in, enthalpy_by_p),
            (totals.work, d.power_by_p),
        ];
        for (target, slope) in by_p {
            for k in 0..2 {
                sink.add_slope(target, row + k, slope * into.p_by[k]);
            }
        }
        true
    }

    fn add_link(&mut self, index: usize, link: &Link, y: &[f64], sink: &mut Sink) {
        let gate = self.gate(link, y);
        if gate.shut() {
            return;
        }
        let ahead = self.pressure_at(link.to);
        let forwards = self.vessels[link.from].p >= ahead;
        match (forwards, link.two_way, link.to) {
            (true, _, to) => self.add_flow(index, link, link.from, to, &gate, sink),
            (false, true, End::Vessel(to)) => {
                self.add_flow(index, link, to, End::Vessel(link.from), &gate, sink);
            }
            _ => {}
        }
    }

    fn pressure_at(&self, end: End) -> f64 {
        match end {
            End::Vessel(vessel) => self.vessels[vessel].p,
            End::Atmosphere => self.plant.atmosphere_pa,
        }
    }

    /// Gas flowing from vessel `from` to `to` through `link`.
    fn add_flow(
        &mut self,
        index: usize,
        link: &Link,
        from: usize,
        to: End,
        gate: &GateNow,
        sink: &mut Sink,
    ) {
        let up = &self.vessels[from];
        let orifice = Orifice {
            area_m2: link.area_m2,
        };
        let flow = orifice.flow(up.p, up.rho, self.pressure_at(to));
        let mass = gate.opening * flow.mass;
        let enthalpy = mass * up.h;
        let row = self.layout.mass[from];
        let (to_mass, to_enthalpy) = match to {
            End::Vessel(vessel) => {
                self.vessels[vessel].inflow += mass;
                let row = self.layout.mass[vessel];
                (row, row + 1)
            }
            End::Atmosphere => {
                let totals = &self.layout.totals;
                (
                    totals.mass_out[index].unwrap_or(totals.mass_in),
                    totals.enthalpy_out,
                )
            }
        };
        sink.move_gas([row, row + 1], [to_mass, to_enthalpy], mass, enthalpy);
        if sink.wants_slopes() {
            let mut slopes = Slopes::default();
            self.add_slopes(&mut slopes, from, to, flow, gate);
            sink.move_slopes([row, row + 1], [to_mass, to_enthalpy], &slopes);
            if let End::Vessel(vessel) = to {
                self.vessels[vessel].receive(&slopes);
            }
        }
    }

    /// The slopes of a flow through a gate in every state it depends on.
    fn add_slopes(&self, slopes: &mut Slopes, from: usize, to: End, flow: Flow, gate: &GateNow) {
        let up = &self.vessels[from];
        let (row, opening) = (self.layout.mass[from], gate.opening);
        for k in 0..2 {
            let rho_by = if k == 0 { up.rho_by_mass } else { 0.0 };
            let mass = opening * (flow.by_p1 * up.p_by[k] + flow.by_rho1 * rho_by);
            slopes.push(
                row + k,
                mass,
                mass * up.h + opening * flow.mass * up.h_by[k],
            );
        }
        if let End::Vessel(to) = to {
            let (row, down) = (self.layout.mass[to], &self.vessels[to]);
            for k in 0..2 {
                let mass = opening * flow.by_p2 * down.p_by[k];
                slopes.push(row + k, mass, mass * up.h);
            }
        }
        for (column, slope) in gate.slopes.iter().flatten() {
            let mass = flow.mass * slope;
            slopes.push(*column, mass, mass * up.h);
        }
    }

    /// How far the link's gate is open now, and the states that move it.
    fn gate(&self, link: &Link, y: &[f64]) -> GateNow {
        let fixed = |opening: f64| GateNow {
            opening,
            slopes: [None; 2],
        };
        match link.gate {
            Gate::Open => fixed(1.0),
            Gate::Hand(i) => fixed(self.modes.hands[i]),
            Gate::Disc(i) => fixed(if self.modes.burst[i] { 1.0 } else { 0.0 }),
            Gate::Auto(i) => {
                if let Some(column) = self.layout.lift[i] {
                    return GateNow {
                        opening: y[column],
                        slopes: [Some((column, 1.0)), None],
                    };
                }
                let valve = &self.plant.valves[i];
                let sensed = &self.vessels[valve.senses];
                let (opening, slope) = self.modes.opening(i, valve, sensed.p);
                let row = self.layout.mass[valve.senses];
                let by = |k: usize| (slope != 0.0).then(|| (row + k, slope * sensed.p_by[k]));
                GateNow {
                    opening,
                    slopes: [by(0), by(1)],
                }
            }
        }
    }

    fn add_heat(&self, vessel: usize, y: &[f64], sink: &mut Sink) {
        let (row, local) = (self.layout.mass[vessel], &self.vessels[vessel]);
        let around = self.plant.vessels[vessel].surroundings_k;
        match (
            &self.plant.vessels[vessel].thermal,
            self.layout.wall[vessel],
        ) {
            (
                Thermal::Walled {
                    capacity_j_k,
                    inside,
                    outside,
                },
                Some(wall),
            ) => {
                let in_heat = inside.heat(y[wall] - local.t, local.rho, local.inflow);
                self.add_gas_heat(vessel, wall, &in_heat, *capacity_j_k, sink);
                self.add_outer_heat(outside, around - y[wall], wall, *capacity_j_k, sink);
            }
            (Thermal::Bare(film), _) => {
                let heat = film.heat(around - local.t);
                for target in [row + 1, self.layout.totals.heat] {
                    sink.add(target, heat.watt);
                    for k in 0..2 {
                        sink.add_slope(target, row + k, -heat.by_difference * local.t_by[k]);
                    }
                }
            }
            (Thermal::Walled { .. }, None) => {}
        }
    }

    /// Heat from a wall into the gas.
    fn add_gas_heat(
        &self,
        vessel: usize,
        wall: usize,
        heat: &Heat,
        capacity: f64,
        sink: &mut Sink,
    ) {
        let (row, local) = (self.layout.mass[vessel], &self.vessels[vessel]);
        for (target, share) in [(row + 1, 1.0), (wall, -1.0 / capacity)] {
            sink.add(target, share * heat.watt);
            if !sink.wants_slopes() {
                continue;
            }
            for k in 0..2 {
                let rho_by = if k == 0 { local.rho_by_mass } else { 0.0 };
                let slope = heat.by_density * rho_by - heat.by_difference * local.t_by[k];
                sink.add_slope(target, row + k, share * slope);
            }
            sink.add_slope(target, wall, share * heat.by_difference);
            for (column, slope) in &local.inflow_by {
                sink.add_slope(target, *column, share * heat.by_inflow * slope);
            }
        }
    }

    /// Heat from the surroundings into a wall.
    fn add_outer_heat(
        &self,
        film: &OuterFilm,
        difference_k: f64,
        wall: usize,
        capacity: f64,
        sink: &mut Sink,
    ) {
        let heat = film.heat(difference_k);
        for (target, share) in [(wall, 1.0 / capacity), (self.layout.totals.heat, 1.0)] {
            sink.add(target, share * heat.watt);
            sink.add_slope(target, wall, -share * heat.by_difference);
        }
    }

    fn add_lifts(&self, y: &[f64], sink: &mut Sink) {
        for (index, valve) in self.plant.valves.iter().enumerate() {
            let Some(row) = self.layout.lift[index] else {
                continue;
            };
            let (sensed, x) = (&self.vessels[valve.senses], y[row]);
            let travel = valve.fully_open_pa - valve.opens_pa;
            let up = ramp(sensed.p, valve.opens_pa, valve.fully_open_pa);
            let foot = valve.closes_pa - SEATING * travel;
            let down = ramp(sensed.p, foot, foot + travel);
            let (target, slope) = if self.modes.stands[index] == Stand::Shut {
                (0.0, 0.0)
            } else if x < up.0 {
                up
            } else if x > down.0 {
                down
            } else {
                continue;
            };
            sink.add(row, (target - x) / LIFT_TIME_S);
            sink.add_slope(row, row, -1.0 / LIFT_TIME_S);
            let column = self.layout.mass[valve.senses];
            for k in 0..2 {
                sink.add_slope(row, column + k, slope * sensed.p_by[k] / LIFT_TIME_S);
            }
        }
    }
}

/// A gate's opening and the states it depends on.
struct GateNow {
    opening: f64,
    slopes: [Option<(usize, f64)>; 2],
}

impl GateNow {
    /// Shut, and no state can open it from here.
    fn shut(&self) -> bool {
        self.opening <= 0.0 && self.slopes.iter().all(Option::is_none)
    }
}
