//! The purifier against published figures, closed forms and an independent
//! integration of the same equations.

#![allow(clippy::unwrap_used, clippy::panic)]

mod column;
mod idle;
mod independent;
mod isotherm;
mod life;
mod mistakes;
mod order;
mod pattern;

use physics::purifier::{Adsorbent, Bed, Feed, Packing, Toth, Transfer, adsorbent_named};

/// 100 L/min of free air, saturated at 40 °C and 300 bar(g): p_s = 7.3849 kPa
/// (IAPWS), f = 2.0821 (IAPWS G8-10 virials, evaluated by hand).
pub fn hot_300_bar() -> Feed {
    saturated(40.0, 7.3849, 2.0821)
}

/// Air saturated at `t_c`, 301.013 bar absolute: y = f·p_s/P. Its flow is the
/// dry part of 100 L/min at 25 °C and 60 % (1.901 kPa of vapour).
pub fn saturated(t_c: f64, p_s_kpa: f64, enhancement: f64) -> Feed {
    let p_pa = 301.013e5;
    Feed {
        air_mol_s: (101_325.0 - 1901.0) * 0.1 / 60.0 / (8.314_462_618 * 298.15),
        water_fraction: enhancement * p_s_kpa * 1e3 / p_pa,
        p_pa,
        t_k: 273.15 + t_c,
        enhancement,
    }
}

/// 13X.
pub fn sieve() -> Adsorbent {
    adsorbent_named("13x").unwrap()
}

/// 200 g of 13X in 20 cm.
pub fn small_bed() -> Bed {
    Bed::fresh(sieve(), Packing::new(0.2, 0.2), 0.0).unwrap()
}

/// An adsorbent whose isotherm is a step of `q` mol/kg, with constant k.
pub fn step_adsorbent(q: f64, k: f64) -> Adsorbent {
    Adsorbent {
        name: "step".into(),
        isotherm: Toth {
            a0: q * 1e12,
            b0: 1e12,
            e_k: 0.0,
            t0: 1.0,
            c_k: 0.0,
        },
        transfer: Transfer::Constant(k),
        source: "made up: the limit of a Langmuir isotherm".into(),
        ..sieve()
    }
}
