//! Time of the gas model: the table against the equation it was made from.
//!
//! States are spread over 200 to 450 K and 1 to 450 bar, in no order, so that
//! neither cache nor branch prediction is flattered. Calls do not depend on
//! one another. Errors of the table are tested in `tests/gas/table.rs`.

#![allow(clippy::unwrap_used, reason = "a bench that cannot begin stops")]

use divan::{Bencher, black_box};
use physics::gas::{Composition, Gas, GasTable, State};
use std::sync::LazyLock;

static AIR: LazyLock<Gas> = LazyLock::new(|| Gas::new(Composition::dry_air()));
static TABLE: LazyLock<GasTable> = LazyLock::new(|| GasTable::new(&AIR).unwrap());
static STATES: LazyLock<Vec<State>> = LazyLock::new(|| {
    // additive recurrence with irrational steps: even in both directions
    let share = |i: i32, step: f64| (f64::from(i) * step).fract();
    let state = |i: i32| {
        let (p, t) = (1e5 + 449e5 * share(i, 0.754_877), share(i, 0.569_84));
        AIR.state_p_t(p, 200.0 + 250.0 * t).unwrap()
    };
    (0..SPREAD).map(state).collect()
});
const SPREAD: i32 = 1024;

fn main() {
    divan::main();
}

/// Runs `call` on one state after another; the time shown is that of one call.
fn each<T>(bencher: Bencher, call: impl Fn(&State) -> T) {
    let (states, mut next) = (&*STATES, 0);
    LazyLock::force(&TABLE);
    bencher.bench_local(|| {
        next = (next + 1) % states.len();
        call(black_box(&states[next]))
    });
}

/// What an accepted step needs: p, T, h and all slopes from (ρ, u).
#[divan::bench]
fn table_state_and_slopes_from_rho_u(bencher: Bencher) {
    each(bencher, |s| TABLE.at(s.rho, s.u));
}

/// What the stages of a step need: p and T from (ρ, u).
#[divan::bench]
fn table_p_t_from_rho_u(bencher: Bencher) {
    each(bencher, |s| TABLE.pt(s.rho, s.u));
}

/// The same state by Newton's method on the equation.
#[divan::bench]
fn equation_from_rho_u(bencher: Bencher) {
    each(bencher, |s| AIR.state_rho_u(s.rho, s.u));
}

#[divan::bench]
fn equation_from_rho_t(bencher: Bencher) {
    each(bencher, |s| AIR.state_rho_t(s.rho, s.t_k));
}

#[divan::bench]
fn equation_from_p_t(bencher: Bencher) {
    each(bencher, |s| AIR.state_p_t(s.p_pa, s.t_k));
}

/// Density and enthalpy of arriving air.
#[divan::bench]
fn isotherm_at_p(bencher: Bencher) {
    let isotherm = AIR.isotherm(303.15).unwrap();
    each(bencher, |s| isotherm.at(s.p_pa));
}

#[divan::bench]
fn build_gas() -> Gas {
    Gas::new(Composition::dry_air())
}

#[divan::bench]
fn build_table() -> GasTable {
    GasTable::new(&AIR).unwrap()
}

#[divan::bench]
fn build_isotherm(bencher: Bencher) {
    bencher.bench(|| AIR.isotherm(black_box(303.15)));
}
