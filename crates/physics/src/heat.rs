//! Heat films: between gas and vessel wall, between wall and surroundings.
//!
//! Start at [`GasFilm`] and [`OuterFilm`]. Each gives a heat flow and its
//! slopes, so that an implicit integrator can use it. Not here: the walls
//! themselves (their heat capacity is a state of [`crate::sim`]).

use crate::curve::{Curve, CurveError};
use crate::gas::{Gas, GasError};
use crate::transport::{conductivity, viscosity};

const GRAVITY: f64 = 9.806_65;

/// Nusselt number of gas in a vessel being filled,
///
/// Nu = 0.56·Re^0.67 + 0.104·Ra^0.352
///
/// with Re on the inlet's bore and Nu, Ra on the vessel's diameter.
/// **Holds** for horizontal vessels of some 1-200 L filled through a single
/// inlet; after filling Re = 0 leaves natural convection. **Source** P. L.
/// Woodfield, M. Monde, Y. Mitsutake, J. Thermal Sci. Technol. 2 (2007) 180
/// and 3 (2008) 241; hydrogen experiments, used here for air.
pub fn filling_nusselt(reynolds: f64, rayleigh: f64) -> f64 {
    0.56 * reynolds.powf(0.67) + 0.104 * rayleigh.powf(0.352)
}

/// Nusselt number of a vertical surface in still fluid, all Rayleigh numbers,
///
/// Nu = (0.825 + 0.387·Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))²
///
/// **Holds** Ra < 10¹²; for cylinders with D/L ≥ 35/Gr^(1/4). **Source** S. W.
/// Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1323.
pub fn vertical_plate_nusselt(rayleigh: f64, prandtl: f64) -> f64 {
    let pr = (1.0 + (0.492 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (0.825 + 0.387 * rayleigh.powf(1.0 / 6.0) / pr).powi(2)
}

/// The gas side of a vessel's wall.
#[derive(Debug, Clone, PartialEq)]
pub enum GasFilm {
    /// A constant conductance hA, W/K.
    Constant(f64),
    /// [`filling_nusselt`] with the gas's properties as curves over density.
    Filling(FillingFilm),
}

/// The two terms of [`filling_nusselt`] prepared for one vessel: with gas
/// properties at a mean temperature,
///
/// Q = (a(ρ)·ṁ_in^0.67 + b(ρ)·|ΔT|^0.352)·ΔT
#[derive(Debug, Clone, PartialEq)]
pub struct FillingFilm {
    forced: Curve,
    free: Curve,
}

/// Flow below which the forced film rises linearly, kg/s: keeps the slope finite at rest.
const SMALL_FLOW: f64 = 1e-5;
/// Temperature difference below which the free film is constant, K.
const SMALL_DIFFERENCE: f64 = 0.05;

/// What shapes the gas film inside a vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VesselShape {
    /// Inner diameter, m.
    pub diameter_m: f64,
    /// Inner surface, m².
    pub area_m2: f64,
    /// Bore through which gas enters, m.
    pub inlet_m: f64,
    /// Multiplies the film: one as published; tolerances vary it.
    pub factor: f64,
}

impl VesselShape {
    /// A cylinder with flat ends of this volume whose length is `slenderness`
    /// diameters: V = π/4·D³·s, A = π·D²·(s + ½).
    pub fn cylinder(volume_m3: f64, slenderness: f64, inlet_m: f64) -> VesselShape {
        let pi = std::f64::consts::PI;
        let diameter_m = (4.0 * volume_m3 / (pi * slenderness)).cbrt();
        let area_m2 = pi * diameter_m * diameter_m * (slenderness + 0.5);
        VesselShape {
            diameter_m,
            area_m2,
            inlet_m,
            factor: 1.0,
        }
    }
}

/// Why a film could not be prepared.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FilmError {
    /// The gas model refused a state.
    #[error(transparent)]
    Gas(#[from] GasError),
    /// The curve over density could not be made.
    #[error(transparent)]
    Curve(#[from] CurveError),
}

/// Mean film temperature at which gas properties are taken, K.
const FILM_T_K: f64 = 310.0;

impl FillingFilm {
    /// The same film multiplied by `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> FillingFilm {
        FillingFilm {
            forced: self.forced.scaled(factor),
            free: self.free.scaled(factor),
        }
    }

    /// Prepares the film of this vessel: properties of `gas` at 310 K over 0-460 kg/m³.
    pub fn prepare(gas: &Gas, shape: VesselShape) -> Result<FillingFilm, FilmError> {
        let (mut forced, mut free) = (Vec::new(), Vec::new());
        for i in 0..=23 {
            let rho = (20.0 * i as f64).max(0.1);
            let state = gas.state_rho_t(rho, FILM_T_K)?;
            let (eta, lambda) = (viscosity(rho, FILM_T_K), conductivity(rho, FILM_T_K));
            let per_nusselt = shape.factor * shape.area_m2 * lambda / shape.diameter_m;
            // Re = 4·ṁ/(π·d·η);  Ra = g·β·ΔT·D³·ρ²·c_p/(η·λ), β = (∂p/∂T)/(ρ·∂p/∂ρ)
            let reynolds = 4.0 / (std::f64::consts::PI * shape.inlet_m * eta);
            let beta = state.dp_dt_rho / (rho * state.dp_drho_t);
            let rayleigh =
                GRAVITY * beta * shape.diameter_m.powi(3) * rho * rho * state.cp / (eta * lambda);
            forced.push((
                20.0 * i as f64,
                per_nusselt * filling_nusselt(reynolds, 0.0),
            ));
            free.push((
                20.0 * i as f64,
                per_nusselt * filling_nusselt(0.0, rayleigh),
            ));
        }
        Ok(FillingFilm {
            forced: Curve::monotone(&forced)?,
            free: Curve::monotone(&free)?,
        })
    }
}

/// A heat flow and its slopes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Heat {
    /// Heat flow into the gas (or, for the outer film, into the wall), W.
    pub watt: f64,
    /// Slope with the temperature difference, W/K.
    pub by_difference: f64,
    /// Slope with the mass flow entering, W·s/kg.
    pub by_inflow: f64,
    /// Slope with the gas density, W·m³/kg.
    pub by_density: f64,
}

impl GasFilm {
    /// Heat into the gas for T_wall − T_gas, gas density and mass flow entering.
    pub fn heat(&self, difference_k: f64, rho: f64, inflow: f64) -> Heat {
        let film = match self {
            GasFilm::Constant(ha) => {
                return Heat {
                    watt: ha * difference_k,
                    by_difference: *ha,
                    ..Heat::default()
                };
            }
            GasFilm::Filling(film) => film,
        };
        let ((a, a_slope), (b, b_slope)) = (film.forced.at(rho), film.free.at(rho));
        let (flow, flow_slope) = power_from_rest(inflow.max(0.0), SMALL_FLOW, 0.67);
        let size = difference_k.abs();
        let (free, free_slope) = power_from_rest(size, SMALL_DIFFERENCE, 0.352);
        Heat {
            watt: (a * flow + b * free) * difference_k,
            by_difference: a * flow + b * (free + size * free_slope),
            by_inflow: a * flow_slope * difference_k,
            by_density: (a_slope * flow + b_slope * free) * difference_k,
        }
    }
}

/// x^n for x well above `small`, with a finite slope at rest: (x² + s²)^(n/2) − s^n.
fn power_from_rest(x: f64, small: f64, n: f64) -> (f64, f64) {
    let square = x * x + small * small;
    let power = square.powf(0.5 * n);
    (power - small.powf(n), n * x * power / square)
}

/// The outside of a vessel's wall, or of the vessel where no wall is modelled.
#[derive(Debug, Clone, PartialEq)]
pub enum OuterFilm {
    /// A constant conductance UA, W/K.
    Constant(f64),
    /// Conductance over the temperature difference, W/K over K.
    Natural(Curve),
}

/// What surrounds a vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// Still air, with radiation (emissivity 0.9).
    Air,
    /// Still water, as in a cooling bath.
    Water,
}

impl Medium {
    /// (conductivity W/(m·K), kinematic viscosity m²/s, Prandtl number, β 1/K) at 300 K:
    /// F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, tables A.4 and A.6
    /// (values from memory).
    fn properties(self) -> (f64, f64, f64, f64) {
        match self {
            Medium::Air => (0.0263, 15.89e-6, 0.707, 1.0 / 300.0),
            Medium::Water => (0.613, 0.857e-6, 5.83, 276.1e-6),
        }
    }
}

impl OuterFilm {
    /// The same film multiplied by `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> OuterFilm {
        match self {
            OuterFilm::Constant(ua) => OuterFilm::Constant(ua * factor),
            OuterFilm::Natural(curve) => OuterFilm::Natural(curve.scaled(factor)),
        }
    }

    /// Natural convection (and, in air, radiation) on a surface of this area
    /// and height around `surroundings_k`, multiplied by `factor`.
    pub fn natural(
        medium: Medium,
        area_m2: f64,
        height_m: f64,
        surroundings_k: f64,
        factor: f64,
    ) -> Result<OuterFilm, CurveError> {
        let (lambda, nu, prandtl, beta) = medium.properties();
        let radiation = match medium {
            Medium::Air => 0.9 * 5.670_374e-8 * 4.0 * surroundings_k.powi(3),
            Medium::Water => 0.0,
        };
        let points: Vec<(f64, f64)> = [0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0]
            .into_iter()
            .map(|difference| {
                let rayleigh = GRAVITY * beta * difference * height_m.powi(3) * prandtl / (nu * nu);
                let h = vertical_plate_nusselt(rayleigh, prandtl) * lambda / height_m + radiation;
                (difference, factor * area_m2 * h)
            })
            .collect();
        Ok(OuterFilm::Natural(Curve::monotone(&points)?))
    }

    /// Heat into the wall for T_surroundings − T_wall.
    pub fn heat(&self, difference_k: f64) -> Heat {
        match self {
            OuterFilm::Constant(ua) => Heat {
                watt: ua * difference_k,
                by_difference: *ua,
                ..Heat::default()
            },
            OuterFilm::Natural(conductance) => {
                let (ua, slope) = conductance.at(difference_k.abs());
                let by_difference = ua + difference_k.abs() * slope;
                Heat {
                    watt: ua * difference_k,
                    by_difference,
                    ..Heat::default()
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published form at Re 10⁵, Ra 10¹⁰: 1253.684 + 344.376 (arithmetic
    /// repeated by an independent public test of the same correlation).
    #[test]
    fn woodfield_form() {
        let nu = filling_nusselt(1e5, 1e10);
        assert!((nu - 1598.060).abs() < 5e-3, "{nu}, expected 1598.060");
    }

    /// Churchill and Chu at Ra 5.48e9, Pr 0.71: the published fit's own limit
    /// Nu → 0.825² at rest, and 0.15·Ra^(1/3)-like growth (within 15 %) at 10¹⁰
    /// (turbulent plate, Incropera: Nu ≈ 0.10·Ra^(1/3), from memory).
    #[test]
    fn vertical_plate_limits() {
        assert!((vertical_plate_nusselt(0.0, 0.7) - 0.680625).abs() < 1e-12);
        let nu = vertical_plate_nusselt(1e10, 0.7);
        let turbulent = 0.10 * 1e10f64.powf(1.0 / 3.0);
        assert!(
            (nu / turbulent - 1.0).abs() < 0.2,
            "{nu} against {turbulent}"
        );
    }

    /// Still air around a cylinder: 5-10 W/(m²·K) with radiation (the customary
    /// range); still water some hundreds.
    #[test]
    fn outer_films_have_customary_sizes() {
        let air = OuterFilm::natural(Medium::Air, 1.0, 0.6, 293.15, 1.0).unwrap();
        let water = OuterFilm::natural(Medium::Water, 1.0, 0.6, 293.15, 1.0).unwrap();
        let h_air = air.heat(15.0).watt / 15.0;
        let h_water = water.heat(15.0).watt / 15.0;
        assert!((5.0..12.0).contains(&h_air), "air {h_air} W/(m²·K)");
        assert!(
            (200.0..900.0).contains(&h_water),
            "water {h_water} W/(m²·K)"
        );
        assert_eq!(air.heat(-15.0).watt, -air.heat(15.0).watt);
    }

    /// The film's slopes are derivatives of its heat flow.
    #[test]
    fn slopes_are_derivatives() {
        let gas = Gas::new(crate::gas::Composition::dry_air());
        let shape = VesselShape::cylinder(0.012, 4.0, 5e-3);
        let film = GasFilm::Filling(FillingFilm::prepare(&gas, shape).unwrap());
        let e = 1e-6;
        for (d, rho, m) in [
            (-20.0, 200.0, 2e-3),
            (3.0, 55.0, 1e-5),
            (-0.01, 300.0, 1e-4),
        ] {
            let h = film.heat(d, rho, m);
            let fd = (film.heat(d + e, rho, m).watt - film.heat(d - e, rho, m).watt) / (2.0 * e);
            let fr = (film.heat(d, rho + e, m).watt - film.heat(d, rho - e, m).watt) / (2.0 * e);
            assert!(
                (h.by_difference / fd - 1.0).abs() < 1e-3,
                "{} {fd}",
                h.by_difference
            );
            assert!(
                (h.by_density - fr).abs() < 1e-3 * fr.abs() + 1e-6,
                "{} {fr}",
                h.by_density
            );
            let fm = (film.heat(d, rho, m + 1e-8).watt - film.heat(d, rho, m - 1e-8).watt) / 2e-8;
            assert!(
                (h.by_inflow - fm).abs() < 1e-3 * fm.abs() + 1e-2,
                "{} {fm}",
                h.by_inflow
            );
        }
    }
}
