//! A gas of given composition and the direct equation of state.
//!
//! Start at [`Gas::new`]. Not here: the fast tables ([`super::table`],
//! [`super::isotherm`]).

use super::GasError;
use super::composition::Composition;
use super::error::within;
use super::helmholtz::{Residual, Term, residual};
use super::ideal::Ideal;
use super::mixture::Reducing;
use super::phase::Phase;
use super::state::State;
use super::{air, mixture};

/// Temperatures the equation accepts, K.
pub const T_RANGE_K: (f64, f64) = (80.0, 600.0);

/// Absolute pressures the equation accepts, Pa. The lower end only keeps the
/// entropy finite.
pub const P_RANGE_PA: (f64, f64) = (1e-3, 600e5);

/// How often a solver may evaluate the equation before it gives up.
const MAX_ITERATIONS: u32 = 100;

/// The numbers of one equation of state; the code that uses them is the same
/// for air and for mixtures.
#[derive(Debug, Clone)]
pub(super) struct Equation {
    /// Specific gas constant, J/(kg·K).
    pub(super) r: f64,
    /// kg/mol.
    pub(super) molar_mass: f64,
    pub(super) reducing: Reducing,
    pub(super) terms: Vec<Term>,
    pub(super) ideal: Ideal,
}

/// Dry air, or a mixture of N₂, O₂, Ar, He and CO₂, as a real gas:
///
/// a(ρ, T) = a⁰(ρ, T) + R·T·αʳ(ρ/ρr, Tr/T), for a gas of fixed composition.
///
/// Everything else is a derivative of a; see [`State`].
///
/// | gas | equation | made by |
/// |---|---|---|
/// | dry air | Lemmon et al. (2000), air as one fluid | [`air`](Self::air), [`new`](Self::new) |
/// | any other | GERG-2008 | [`new`](Self::new), [`mixture`](Self::mixture) |
///
/// The reference equation of air is within 0.1 % of measured densities, 0.2 %
/// of speeds of sound and 1 % of heat capacities, as its authors state. GERG-2008
/// keeps this distance from it for dry air, 1 to 450 bar
/// (`tests/gas/reference.rs`):
///
/// | T, K | density | cp | cv | speed of sound |
/// |---|---|---|---|---|
/// | 230 to 450 | 0.12 % | 0.15 % | 0.22 % | 0.14 % |
/// | 200 to 225 | 0.14 % | 0.28 % | 0.39 % | 0.16 % |
/// | 150 to 190 | 0.4 % | 1.3 % | 1.2 % | 0.6 % |
///
/// Below 150 K and near the critical point (132.5 K, 38 bar) by some per cent.
/// Nitrox agrees with another mixture model within 0.2 % in density, helium
/// mixtures within 0.4 % (speed of sound 0.8 %).
///
/// **Holds** from 80 to 600 K and to 600 bar absolute where it is a gas; meant
/// for 150 to 500 K and 500 bar.
/// **Errors** outside that range, and wherever the gas would be a liquid or
/// two-phase ([`GasError`]). Above 1 % CO₂ the lowest temperature is 217 K.
/// **Leaves out** water, and the frost of CO₂ traces.
/// **Source** E. W. Lemmon et al., J. Phys. Chem. Ref. Data 29 (2000) 331;
/// O. Kunz, W. Wagner, J. Chem. Eng. Data 57 (2012) 3032; ISO 20765-2.
#[derive(Debug, Clone)]
pub struct Gas {
    composition: Composition,
    pub(super) equation: Equation,
    pub(super) phase: Phase,
}

impl Gas {
    /// Prepares the equation for one composition: [`air`](Self::air) for
    /// exactly [`Composition::dry_air`], else [`mixture`](Self::mixture).
    pub fn new(composition: Composition) -> Self {
        if composition.is_dry_air() {
            Self::air()
        } else {
            Self::mixture(composition)
        }
    }

    /// Dry air by its reference equation.
    pub fn air() -> Self {
        Self::by(air::equation(), Composition::dry_air())
    }

    /// A mixture by GERG-2008, dry air too: for comparing it with gases of
    /// nearly its composition without a step from one equation to the other.
    pub fn mixture(composition: Composition) -> Self {
        Self::by(mixture::equation(&composition), composition)
    }

    fn by(equation: Equation, composition: Composition) -> Self {
        Self {
            equation,
            phase: Phase::new(&composition, T_RANGE_K.0),
            composition,
        }
    }

    /// Molar mass, kg/mol.
    pub fn molar_mass(&self) -> f64 {
        self.equation.molar_mass
    }

    /// Specific gas constant of the equation, J/(kg·K).
    pub fn specific_gas_constant(&self) -> f64 {
        self.equation.r
    }

    /// What the gas is made of.
    pub fn composition(&self) -> &Composition {
        &self.composition
    }

    /// The state at density `rho` (kg/m³) and temperature `t` (K).
    ///
    /// **Errors** [`GasError::OutOfRange`] if an input or the resulting
    /// pressure is out of range, [`GasError::TwoPhase`] or
    /// [`GasError::LiquidRoot`] if the state is not a gas.
    pub fn state_rho_t(&self, rho: f64, t: f64) -> Result<State, GasError> {
        within("density", rho, (1e-9, 2000.0), "kg/m³")?;
        self.check_temperature(t)?;
        let state = self.evaluate(rho, t);
        self.check_gas(state)
    }

    /// The state at absolute pressure `p` (Pa) and temperature `t` (K).
    ///
    /// Only the gas root of the equation is returned.
    /// **Errors** as [`state_rho_t`](Self::state_rho_t).
    pub fn state_p_t(&self, p: f64, t: f64) -> Result<State, GasError> {
        within("pressure", p, P_RANGE_PA, "Pa")?;
        self.check_temperature(t)?;
        self.phase.check(p, t)?;
        let rho = Search {
            what: "density",
            low: 0.0,
            high: 4.0 * self.equation.reducing.density * self.equation.molar_mass,
            tolerance: 1e-13,
        }
        .solve(p / (self.equation.r * t), |rho| {
            let a = self.residual(rho, t);
            let rt = self.equation.r * t;
            (
                rho * rt * (1.0 + a.a01) - p,
                rt * (1.0 + 2.0 * a.a01 + a.a02),
            )
        })?;
        self.check_gas(self.evaluate(rho, t))
    }

    /// The state at density `rho` (kg/m³) and internal energy `u` (J/kg).
    ///
    /// **Errors** as [`state_rho_t`](Self::state_rho_t); an energy no accepted
    /// temperature reaches is [`GasError::OutOfRange`].
    pub fn state_rho_u(&self, rho: f64, u: f64) -> Result<State, GasError> {
        within("density", rho, (1e-9, 2000.0), "kg/m³")?;
        let (low, high) = (self.phase.lowest_t_k, T_RANGE_K.1);
        let energies = (self.evaluate(rho, low).u, self.evaluate(rho, high).u);
        within("internal energy", u, energies, "J/kg")?;
        let search = Search {
            what: "temperature",
            low,
            high,
            tolerance: 1e-13,
        };
        let t = search.solve(300.0, |t| {
            let state = self.evaluate(rho, t);
            (state.u - u, state.cv)
        })?;
        self.check_gas(self.evaluate(rho, t))
    }

    /// The equation itself, unguarded: `rho` and `t` must be positive.
    pub(super) fn evaluate(&self, rho: f64, t: f64) -> State {
        State::assemble(
            self.equation.r,
            rho,
            t,
            &self.equation.ideal.at(t),
            &self.residual(rho, t),
        )
    }

    /// The residual derivatives at `rho` (kg/m³) and `t` (K).
    pub(super) fn residual(&self, rho: f64, t: f64) -> Residual {
        let delta = rho / (self.equation.molar_mass * self.equation.reducing.density);
        residual(&self.equation.terms, delta, self.equation.reducing.t_k / t)
    }

    /// Is a found state a gas (and not a liquid or metastable)?
    pub(super) fn is_gas(&self, rho: f64, p: f64, t: f64) -> bool {
        self.phase.is_gas(rho / self.equation.molar_mass, p, t)
    }

    pub(super) fn check_temperature(&self, t: f64) -> Result<f64, GasError> {
        within("temperature", t, (self.phase.lowest_t_k, T_RANGE_K.1), "K")
    }

    fn check_gas(&self, state: State) -> Result<State, GasError> {
        let State {
            p_pa,
            t_k,
            rho,
            dp_drho_t,
            ..
        } = state;
        if dp_drho_t <= 0.0 || state.cv <= 0.0 {
            return Err(GasError::TwoPhase { p_pa, t_k });
        }
        if !self.is_gas(rho, p_pa, t_k) {
            self.phase.check(p_pa, t_k)?;
            return Err(GasError::LiquidRoot { p_pa, t_k });
        }
        within("pressure", p_pa, (0.0, P_RANGE_PA.1), "Pa")?;
        Ok(state)
    }
}

/// Newton's method for a rising function, kept inside a shrinking bracket.
struct Search {
    what: &'static str,
    low: f64,
    high: f64,
    /// Relative step at which the root counts as found.
    tolerance: f64,
}

impl Search {
    /// The root of `f`, which returns value and slope.
    fn solve(mut self, guess: f64, f: impl Fn(f64) -> (f64, f64)) -> Result<f64, GasError> {
        let mut x = guess.clamp(self.low, self.high);
        for _ in 0..MAX_ITERATIONS {
            let (value, slope) = f(x);
            if value > 0.0 {
                self.high = x;
            } else {
                self.low = x;
            }
            let newton = x - value / slope;
            let inside = slope > 0.0 && newton >= self.low && newton <= self.high;
            let next = if inside {
                newton
            } else {
                0.5 * (self.low + self.high)
            };
            if (next - x).abs() <= self.tolerance * x.abs() {
                return Ok(next);
            }
            x = next;
        }
        Err(GasError::NotConverged {
            what: self.what,
            iterations: MAX_ITERATIONS,
        })
    }
}
