//! Flows with their slopes, and the sums they are added to.
//!
//! A flow enters every row it concerns with one and the same number, so what
//! leaves one vessel is what reaches the next. Not here: which streams
//! there are (see [`super::rates`]).

use crate::gas::Fast;

/// What the links and films need to know about one vessel at one moment.
#[derive(Debug, Clone, Default)]
pub(super) struct Local {
    pub p: f64,
    pub t: f64,
    pub h: f64,
    pub rho: f64,
    /// Slopes with the vessel's mass and energy.
    pub p_by: [f64; 2],
    pub t_by: [f64; 2],
    pub h_by: [f64; 2],
    pub rho_by_mass: f64,
    pub inflow: f64,
    pub inflow_by: Vec<(usize, f64)>,
}

/// Slopes of a flow of mass and enthalpy over some columns.
#[derive(Default)]
pub(super) struct Slopes {
    by: [(usize, f64, f64); 6],
    len: usize,
}

impl Slopes {
    pub fn push(&mut self, column: usize, mass: f64, enthalpy: f64) {
        self.by[self.len] = (column, mass, enthalpy);
        self.len += 1;
    }

    fn list(&self) -> &[(usize, f64, f64)] {
        &self.by[..self.len]
    }
}

/// Where rates and slopes are added up.
pub(super) struct Sink<'a> {
    pub rates: &'a mut [f64],
    pub jacobian: Option<&'a mut [f64]>,
    /// Rows of the Jacobian: states and totals.
    pub rows: usize,
}

impl Sink<'_> {
    pub fn add(&mut self, row: usize, rate: f64) {
        self.rates[row] += rate;
    }

    /// Whether slopes are asked for at all.
    pub fn wants_slopes(&self) -> bool {
        self.jacobian.is_some()
    }

    pub fn add_slope(&mut self, row: usize, column: usize, slope: f64) {
        if let Some(jacobian) = &mut self.jacobian {
            jacobian[column * self.rows + row] += slope;
        }
    }

    /// Moves gas: the same numbers leave the rows `from` (mass, enthalpy) and
    /// enter the rows `to`. Where `to` is a total, so it was let out.
    pub fn move_gas(&mut self, from: [usize; 2], to: [usize; 2], mass: f64, enthalpy: f64) {
        self.rates[from[0]] -= mass;
        self.rates[from[1]] -= enthalpy;
        self.rates[to[0]] += mass;
        self.rates[to[1]] += enthalpy;
    }

    /// The slopes that go with [`Sink::move_gas`].
    pub fn move_slopes(&mut self, from: [usize; 2], to: [usize; 2], slopes: &Slopes) {
        for &(column, mass, enthalpy) in slopes.list() {
            self.add_slope(from[0], column, -mass);
            self.add_slope(from[1], column, -enthalpy);
            self.add_slope(to[0], column, mass);
            self.add_slope(to[1], column, enthalpy);
        }
    }
}

impl Local {
    /// Pressure, temperature, density and energy; slopes are left as they were.
    pub fn set(&mut self, p: f64, t: f64, rho: f64, u: f64) {
        (self.p, self.t, self.rho) = (p, t, rho);
        self.h = u + p / rho;
        self.inflow = 0.0;
        self.inflow_by.clear();
    }

    /// The same with the slopes over mass and energy.
    pub fn set_with_slopes(&mut self, gas: &Fast, mass: f64, volume: f64, u: f64) {
        self.set(gas.p, gas.t, mass / volume, u);
        let by = |by_rho: f64, by_u: f64| [by_rho / volume - by_u * u / mass, by_u / mass];
        self.p_by = by(gas.dp_drho, gas.dp_du);
        self.t_by = by(gas.dt_drho, gas.dt_du);
        self.h_by = by(gas.dh_drho, gas.dh_du);
        self.rho_by_mass = 1.0 / volume;
    }

    /// Notes the slopes of gas that flows in.
    pub fn receive(&mut self, slopes: &Slopes) {
        let list = slopes.list().iter();
        self.inflow_by
            .extend(list.map(|&(column, mass, _)| (column, mass)));
    }
}
