//! Dry air as if it were one fluid: the reference equation and its numbers.
//!
//! Not here: evaluating it, which is done by the same code as for mixtures
//! ([`super::helmholtz`], [`super::ideal`]).
//!
//! **Source** E. W. Lemmon, R. T Jacobsen, S. G. Penoncello, D. G. Friend,
//! "Thermodynamic Properties of Air and Mixtures of Nitrogen, Argon, and Oxygen
//! From 60 to 2000 K at Pressures to 2000 MPa", J. Phys. Chem. Ref. Data 29
//! (2000) 331-385, tables 12 and 13. IAPWS G8-10 uses it for humid air.

use super::coefficients::PureTerm;
use super::equation::Equation;
use super::helmholtz::Term;
use super::ideal::{Cosh, Ideal, IdealTerms, Power, Sinh};
use super::mixture::Reducing;

/// Gas constant in which the equation was fitted, J/(mol·K).
pub(super) const R_MOLAR: f64 = 8.314_51;

/// Molar mass of dry air, kg/mol, its CO₂ (0.0004) and neon included.
///
/// The equation is molar; the authors took 28.9586 g/mol for its three
/// components alone. Weighed per kg, as everything here is, real air counts.
///
/// **Source** A. Picard et al., Metrologia 45 (2008) 149 (CIPM-2007); IAPWS
/// G8-10.
pub(super) const MOLAR_MASS: f64 = 28.965_46e-3;

/// Point at which density and temperature are made dimensionless.
const REDUCING: Reducing = Reducing {
    density: 10.4477e3,
    t_k: 132.6312,
};

/// (n, t) of the terms n·τ^t in the ideal-gas part. Its terms linear in τ only
/// set the zero of energy and entropy, which [`super::ideal`] chooses.
const IDEAL_POWERS: [(f64, f64); 4] = [
    (0.605_719_4e-7, -3.0),
    (-0.210_274_769e-4, -2.0),
    (-0.158_860_716e-3, -1.0),
    (-0.195_363_42e-3, 1.5),
];

/// n of the term n·ln τ.
const IDEAL_LOG: f64 = 2.490_888_032;

/// (n, θ) of the terms n·ln(1 − exp(−θτ)).
const IDEAL_VIBRATIONS: [(f64, f64); 2] = [(0.791_309_509, 25.36365), (0.212_236_768, 16.90741)];

/// (n, θ) of the term n·ln(⅔ + exp(θτ)).
const IDEAL_ELECTRONIC: (f64, f64) = (-0.197_938_904, 87.31279);

/// Residual terms.
const TERMS: [PureTerm; 19] = [
    (0.118160747229, 1, 0.0, 0),
    (0.713116392079, 1, 0.33, 0),
    (-1.61824192067, 1, 1.01, 0),
    (0.0714140178971, 2, 0.0, 0),
    (-0.0865421396646, 3, 0.0, 0),
    (0.134211176704, 3, 0.15, 0),
    (0.0112626704218, 4, 0.0, 0),
    (-0.0420533228842, 4, 0.2, 0),
    (0.0349008431982, 4, 0.35, 0),
    (0.000164957183186, 6, 1.35, 0),
    (-0.101365037912, 1, 1.6, 1),
    (-0.17381369097, 3, 0.8, 1),
    (-0.0472103183731, 5, 0.95, 1),
    (-0.0122523554253, 6, 1.25, 1),
    (-0.146629609713, 1, 3.6, 2),
    (-0.0316055879821, 3, 6.0, 2),
    (0.000233594806142, 11, 3.25, 2),
    (0.0148287891978, 1, 3.5, 3),
    (-0.00938782884667, 3, 15.0, 3),
];

/// The equation of dry air.
pub(super) fn equation() -> Equation {
    Equation {
        r: R_MOLAR / MOLAR_MASS,
        molar_mass: MOLAR_MASS,
        reducing: REDUCING,
        terms: TERMS.into_iter().map(Term::from).collect(),
        ideal: Ideal::new(R_MOLAR / MOLAR_MASS, ideal_terms()),
    }
}

/// The source's α⁰(τ) as a heat capacity, cv⁰/R = −τ²·α⁰_ττ:
///
/// | in α⁰ | in cv⁰/R |
/// |---|---|
/// | n·τ^t | −n·t·(t−1)·τ^t |
/// | n·ln τ | n |
/// | n·ln(1 − e^(−x)), x = θτ | n·(x/2)²/sinh²(x/2) |
/// | n·ln(c + e^x) | −n·(x/2)²/cosh²(x/2 − ½·ln c) |
fn ideal_terms() -> IdealTerms {
    let half = |theta: f64| 0.5 * theta * REDUCING.t_k;
    let power = |(n, t): (f64, f64)| Power {
        n: -n * t * (t - 1.0) * REDUCING.t_k.powf(t),
        exponent: -t,
    };
    let (n, theta) = IDEAL_ELECTRONIC;
    IdealTerms {
        constant: IDEAL_LOG,
        powers: IDEAL_POWERS.into_iter().map(power).collect(),
        sinh: IDEAL_VIBRATIONS
            .map(|(n, theta)| Sinh {
                n,
                theta: half(theta),
            })
            .to_vec(),
        cosh: vec![Cosh {
            n: -n,
            theta: half(theta),
            shift: 0.5 * (2.0f64 / 3.0).ln(),
        }],
    }
}
