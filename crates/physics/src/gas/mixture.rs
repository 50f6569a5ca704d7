//! Mixing by GERG-2008: one set of reducing parameters, one list of residual
//! terms, one ideal part.
//!
//! Not here: evaluating them ([`super::helmholtz`], [`super::ideal`]), and dry
//! air, which has an equation of its own ([`super::air`]).

use super::coefficients::{CO2, FLUIDS, Fluid, N2, NITROGEN_CO2, PAIRS, R_IDEAL, R_MOLAR};
use super::composition::{COMPONENTS, Composition};
use super::equation::Equation;
use super::helmholtz::{Shape, Term};
use super::ideal::{Cosh, Ideal, IdealTerms, Sinh};

/// The equation of a mixture.
pub(super) fn equation(composition: &Composition) -> Equation {
    let molar_mass = molar_mass(composition);
    Equation {
        r: R_MOLAR / molar_mass,
        molar_mass,
        reducing: Reducing::new(composition),
        terms: terms(composition),
        ideal: Ideal::new(R_IDEAL / molar_mass, ideal_terms(composition)),
    }
}

/// Molar mass M = Σ xᵢ·Mᵢ, kg/mol.
pub(super) fn molar_mass(composition: &Composition) -> f64 {
    let parts = composition.fractions().into_iter().zip(FLUIDS);
    parts.map(|(x, fluid)| x * fluid.molar_mass).sum()
}

/// The ideal-gas terms, mole-weighted.
fn ideal_terms(composition: &Composition) -> IdealTerms {
    let mut terms = IdealTerms::default();
    for (x, fluid) in composition.fractions().into_iter().zip(FLUIDS) {
        if x == 0.0 {
            continue;
        }
        let scaled = |&(n, theta): &(f64, f64)| (x * n, theta * fluid.critical_t_k);
        let sinh = fluid.ideal_sinh.iter().map(scaled);
        let cosh = fluid.ideal_cosh.iter().map(scaled);
        terms.constant += x * fluid.ideal_constant;
        terms.sinh.extend(sinh.map(|(n, theta)| Sinh { n, theta }));
        terms.cosh.extend(cosh.map(|(n, theta)| Cosh {
            n,
            theta,
            shift: 0.0,
        }));
    }
    terms
}

/// Reducing density ρr and temperature Tr of a mixture,
///
/// Y = Σᵢ xᵢ²·Yᵢ + Σᵢ<ⱼ 2·xᵢxⱼ·β·γ·(xᵢ+xⱼ)/(β²xᵢ+xⱼ)·Yᵢⱼ,
/// for Y = Tr with Tᵢⱼ = √(TᵢTⱼ), and for Y = 1/ρr with
/// 1/ρᵢⱼ = ⅛·(ρᵢ^(−⅓) + ρⱼ^(−⅓))³.
///
/// **Source** Kunz & Wagner (2012), equations 16 and 17.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reducing {
    /// mol/m³.
    pub(super) density: f64,
    /// K.
    pub(super) t_k: f64,
}

impl Reducing {
    fn new(composition: &Composition) -> Self {
        let x = composition.fractions();
        let mut t_k = 0.0;
        let mut volume = 0.0;
        for (i, a) in FLUIDS.into_iter().enumerate() {
            t_k += x[i] * x[i] * a.critical_t_k;
            volume += x[i] * x[i] / a.critical_density;
            for (j, b) in FLUIDS.into_iter().enumerate().skip(i + 1) {
                let [volume_weight, t_weight] = pair_weights(&x, i, j);
                t_k += t_weight * (a.critical_t_k * b.critical_t_k).sqrt();
                volume += volume_weight * mean_volume(a, b);
            }
        }
        Self {
            density: 1.0 / volume,
            t_k,
        }
    }
}

/// Weights of the cross volume and cross temperature of components i and j.
fn pair_weights(x: &[f64; COMPONENTS], i: usize, j: usize) -> [f64; 2] {
    let pair = PAIRS
        .iter()
        .find(|p| (p.i, p.j) == (i, j) || (p.i, p.j) == (j, i));
    let Some(pair) = pair else {
        return [2.0 * x[i] * x[j]; 2];
    };
    let (xi, xj) = (x[pair.i], x[pair.j]);
    let weight = |beta: f64, gamma: f64| {
        if xi * xj == 0.0 {
            return 0.0;
        }
        2.0 * xi * xj * beta * gamma * (xi + xj) / (beta * beta * xi + xj)
    };
    [
        weight(pair.beta_v, pair.gamma_v),
        weight(pair.beta_t, pair.gamma_t),
    ]
}

fn mean_volume(a: &Fluid, b: &Fluid) -> f64 {
    (a.critical_density.cbrt().recip() + b.critical_density.cbrt().recip()).powi(3) / 8.0
}

/// All residual terms of the mixture, αʳ = Σ xᵢ·αʳᵢ + xN₂·xCO₂·Δα.
///
/// Terms of equal shape (oxygen and argon share theirs) become one.
///
/// **Source** Kunz & Wagner (2012), equations 10 to 12.
fn terms(composition: &Composition) -> Vec<Term> {
    let x = composition.fractions();
    let mut terms: Vec<Term> = Vec::new();
    for (fraction, fluid) in x.into_iter().zip(FLUIDS) {
        for &(n, d, t, c) in fluid.terms {
            add(&mut terms, Term::from((fraction * n, d, t, c)));
        }
    }
    for term in &NITROGEN_CO2 {
        let shape = Shape::Bell {
            eta: term.eta,
            epsilon: term.epsilon,
            beta: term.beta,
            gamma: term.gamma,
        };
        add(
            &mut terms,
            Term {
                n: x[N2] * x[CO2] * term.n,
                d: term.d,
                t: term.t,
                shape,
            },
        );
    }
    terms
}

fn add(terms: &mut Vec<Term>, new: Term) {
    if new.n == 0.0 {
        return;
    }
    let same = |old: &&mut Term| old.d == new.d && old.t == new.t && old.shape == new.shape;
    match terms.iter_mut().find(same) {
        Some(old) => old.n += new.n,
        None => terms.push(new),
    }
}
