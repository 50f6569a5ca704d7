//! The residual Helmholtz energy αʳ(δ, τ) and its derivatives.
//!
//! Not here: which terms a gas has ([`super::mixture`], [`super::air`]) and
//! what the derivatives mean ([`super::state`]).

use super::coefficients::PureTerm;

/// How a term depends on reduced density besides δ^d.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Shape {
    /// Nothing more.
    Power,
    /// exp(−δ^c).
    Decay(i32),
    /// exp(−η(δ−ε)² − β(δ−γ)).
    Bell {
        eta: f64,
        epsilon: f64,
        beta: f64,
        gamma: f64,
    },
}

/// One term n·δ^d·τ^t·shape(δ).
#[derive(Debug, Clone, Copy)]
pub(super) struct Term {
    pub(super) n: f64,
    pub(super) d: i32,
    pub(super) t: f64,
    pub(super) shape: Shape,
}

impl From<PureTerm> for Term {
    fn from((n, d, t, c): PureTerm) -> Self {
        let shape = if c == 0 {
            Shape::Power
        } else {
            Shape::Decay(c)
        };
        Self { n, d, t, shape }
    }
}

/// αʳ and its derivatives; `aij` is τⁱδʲ·∂^(i+j)αʳ/∂τⁱ∂δʲ.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Residual {
    pub(super) a00: f64,
    pub(super) a10: f64,
    pub(super) a20: f64,
    pub(super) a30: f64,
    pub(super) a01: f64,
    pub(super) a02: f64,
    pub(super) a11: f64,
    pub(super) a12: f64,
    pub(super) a21: f64,
}

/// Sums the terms at reduced density `delta` ≥ 0 and inverse reduced
/// temperature `tau` > 0.
///
/// For a term f, with g = δ·∂ln f/∂δ, the density derivatives are
/// δf_δ = g·f and δ²f_δδ = (g² − g + δ·g′)·f; those in τ are powers.
pub(super) fn residual(terms: &[Term], delta: f64, tau: f64) -> Residual {
    let ln_tau = tau.ln();
    let mut sum = Residual::default();
    for term in terms {
        let (factor, g, slope) = density_part(term, delta);
        let value = term.n * factor * (term.t * ln_tau).exp();
        let second = g * (g - 1.0) + slope;
        let (t1, t2) = (term.t, term.t * (term.t - 1.0));
        sum.a00 += value;
        sum.a10 += value * t1;
        sum.a20 += value * t2;
        sum.a30 += value * t2 * (t1 - 2.0);
        sum.a01 += value * g;
        sum.a02 += value * second;
        sum.a11 += value * t1 * g;
        sum.a12 += value * t1 * second;
        sum.a21 += value * t2 * g;
    }
    sum
}

/// δ^d·shape(δ), its logarithmic slope g, and δ·g′.
fn density_part(term: &Term, delta: f64) -> (f64, f64, f64) {
    let power = delta.powi(term.d);
    let d = f64::from(term.d);
    match term.shape {
        Shape::Power => (power, d, 0.0),
        Shape::Decay(c) => {
            let dc = delta.powi(c);
            let c = f64::from(c);
            (power * (-dc).exp(), d - c * dc, -c * c * dc)
        }
        Shape::Bell {
            eta,
            epsilon,
            beta,
            gamma,
        } => {
            let off = delta - epsilon;
            let factor = (-eta * off * off - beta * (delta - gamma)).exp();
            let g = d - delta * (2.0 * eta * off + beta);
            let slope = -delta * (2.0 * eta * (off + delta) + beta);
            (power * factor, g, slope)
        }
    }
}
