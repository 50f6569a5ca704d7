//! Standing: spreading along the bed, soaking, creeping in from the room.

use super::{hot_300_bar, sieve, small_bed};
use physics::purifier::{End, Opening, Rest, Standing, ingress, vapour_diffusivity};

const DAY: f64 = 86_400.0;

fn room() -> Standing {
    Standing {
        p_pa: 101_325.0,
        t_k: 298.15,
        room_fraction: 0.0188,
        bed_fraction: 0.0,
        free_volume_m3: 2e-3,
        daily_swing_k: 10.0,
    }
}

/// Against two other correlations, in cm²/s, atm, K: Fuller, Schettler and
/// Giddings (Ind. Eng. Chem. 58 (1966) 19, diffusion volumes 19.7 for air, 13.1
/// for water, from memory) over the range, and Slattery-Bird (Bird, Stewart,
/// Lightfoot, Transport Phenomena) at 25 °C, where it is best known.
#[test]
fn diffusivity_against_two_correlations() {
    let (air, water) = (28.97_f64, 18.015);
    let mean = 2.0 / (1.0 / air + 1.0 / water);
    let volumes = 19.7_f64.cbrt() + 13.1_f64.cbrt();
    for t_k in [253.15_f64, 273.15, 298.15, 313.15, 333.15, 373.15] {
        let fuller = 0.00143 * t_k.powf(1.75) / (mean.sqrt() * volumes * volumes) * 1e-4;
        let ours = vapour_diffusivity(t_k, 101_325.0);
        assert!(
            (ours / fuller - 1.0).abs() < 0.03,
            "{t_k} K: {ours}, Fuller {fuller}"
        );
    }
    let critical_t: f64 = 132.0 * 647.3;
    let slattery = 3.64e-4
        * (298.15 / critical_t.sqrt()).powf(2.334)
        * (36.4_f64 * 218.0).cbrt()
        * critical_t.powf(5.0 / 12.0)
        * (1.0 / air + 1.0 / water).sqrt()
        * 1e-4;
    let ours = vapour_diffusivity(298.15, 101_325.0);
    assert!(
        (ours / slattery - 1.0).abs() < 0.02,
        "{ours}, Slattery-Bird {slattery}"
    );
    let tenfold = vapour_diffusivity(300.0, 1e5) / vapour_diffusivity(300.0, 1e6);
    assert!((tenfold - 10.0).abs() < 1e-12);
}

/// A half-wet bed after a month open to nobody: the water is all there, the
/// profile is flatter and has not overshot; under pressure it hardly moves.
#[test]
fn spreads_and_keeps_its_water() {
    let mut wet = small_bed();
    wet.pass(&hot_300_bar(), 8.0 * 3600.0).unwrap();
    let mut open = wet.clone();
    let low = Rest {
        p_pa: 101_325.0,
        t_k: 298.15,
        enhancement: 1.0,
    };
    open.rest(&low, 30.0 * DAY).unwrap();
    assert!((open.held_kg() / wet.held_kg() - 1.0).abs() < 1e-12);
    assert!(open.loading().windows(2).all(|w| w[1] <= w[0] + 1e-9));
    assert!(open.loading().first() < wet.loading().first());
    let centre = |bed: &physics::purifier::Bed| {
        let weighted = bed.loading().iter().enumerate().map(|(i, q)| i as f64 * q);
        weighted.sum::<f64>() / bed.loading().iter().sum::<f64>()
    };
    let moved = 0.2 / 100.0 * (centre(&open) - centre(&wet));
    assert!((1e-5..0.05).contains(&moved), "{moved} m");
    let mut pressed = wet.clone();
    let high = Rest {
        p_pa: 150e5,
        enhancement: 1.58,
        ..low
    };
    pressed.rest(&high, 30.0 * DAY).unwrap();
    let less = 0.2 / 100.0 * (centre(&pressed) - centre(&wet));
    assert!(
        less >= 0.0 && less < 0.1 * moved,
        "{less} m against {moved} m"
    );
}

/// Near equilibrium spreading is plain diffusion: a small cosine in the loading
/// decays as exp(−D'·(π/L)²·t), D' = D·ε^1.5·(c/ρ)·dp/dq with c = 1/(R·T) (Fick).
#[test]
fn a_small_wave_decays_as_fick_says() {
    let (cells, q0, depth) = (100, 12.0, 0.01);
    let wave = |i: usize| (std::f64::consts::PI * (i as f64 + 0.5) / cells as f64).cos();
    let loading = (0..cells).map(|i| q0 + depth * wave(i)).collect();
    let packing = *small_bed().packing();
    let mut bed = physics::purifier::Bed::restore(sieve(), packing, loading).unwrap();
    let rest = Rest {
        p_pa: 101_325.0,
        t_k: 298.15,
        enhancement: 1.0,
    };
    let iso = sieve().isotherm.at(rest.t_k);
    let slope = iso.slope(iso.pressure(q0).unwrap());
    let d = vapour_diffusivity(rest.t_k, rest.p_pa) * 0.37_f64.powf(1.5) * 1e3
        / (8.314_462_618 * rest.t_k * 689.0 * slope);
    let rate = d * (std::f64::consts::PI / 0.2).powi(2);
    let seconds = 1.0 / rate;
    for _ in 0..200 {
        bed.rest(&rest, seconds / 200.0).unwrap();
    }
    let left: f64 = (0..cells)
        .map(|i| 2.0 / cells as f64 * wave(i) * (bed.loading()[i] - q0))
        .sum();
    let share = left / depth;
    assert!(
        (share - (-1.0_f64).exp()).abs() < 0.003,
        "{share}, Fick 0.36788"
    );
}

#[test]
fn soaks_from_the_end_named() {
    let mut bed = small_bed();
    let taken = bed.soak(End::Outlet, 0.001, 1.0, 298.15).unwrap();
    assert!((taken - 0.001).abs() < 1e-12 && (bed.held_kg() - 0.001).abs() < 1e-12);
    let full = sieve().isotherm.at(298.15).loading(1.0);
    assert_eq!(bed.loading().last(), Some(&full));
    assert_eq!(bed.loading().first(), Some(&0.0));
    let more = bed.soak(End::Inlet, 1.0, 1.0, 298.15).unwrap();
    assert!((more + taken - full * 0.2 * physics::purifier::WATER_KG_MOL).abs() < 1e-9);
    assert!(bed.soak(End::Inlet, 1.0, 1.0, 298.15).unwrap() < 1e-12);
}

/// What a bed was soaked to is the air above it: 1 kPa at 1 atm is 0.98692 per cent.
#[test]
fn air_above_the_beads() {
    let mut bed = small_bed();
    bed.soak(End::Inlet, 0.01, 1.0, 298.15).unwrap();
    let rest = Rest {
        p_pa: 101_325.0,
        t_k: 298.15,
        enhancement: 1.0,
    };
    let wet = bed.air_above(End::Inlet, &rest).unwrap();
    assert!((wet - 0.0098692).abs() < 1e-7, "{wet}");
    assert_eq!(bed.air_above(End::Outlet, &rest), Ok(0.0));
    // Pressed to 300 bar at f = 2.4 the same relative saturation is 1 kPa·2.4/300 bar.
    let pressed = Rest {
        p_pa: 3e7,
        enhancement: 2.4,
        ..rest
    };
    let wet = bed.air_above(End::Inlet, &pressed).unwrap();
    assert!((wet - 8e-5).abs() < 1e-12, "{wet}");
}

/// Fick by hand: 25 °C, y = 0.0188, D = 2.552e-5 m²/s, c = 40.87 mol/m³,
/// A = 20 mm², L = 0.1 m: D·c·A/L·ln(1/(1−y)) = 3.959e-9 mol/s = 6.16 mg a day.
#[test]
fn diffusion_by_hand() {
    let opening = Opening {
        area_m2: 2e-5,
        length_m: 0.1,
    };
    let calm = Standing {
        daily_swing_k: 0.0,
        ..room()
    };
    let found = ingress(&opening, &calm, DAY).unwrap();
    assert!((found.high_kg * 1e6 - 6.16).abs() < 0.02, "{found:?}");
    // Two mouths of π·r/4 with r = 2.523 mm lengthen the path to 0.10396 m.
    let ratio = found.high_kg / found.low_kg;
    assert!((ratio - 1.0396).abs() < 1e-4, "{ratio}");
}

/// One breath by hand: 40.87 mol/m³ · 2 L · 10/298.15 · 0.0188 = 51.5 µmol a day.
#[test]
fn breathing_by_hand() {
    let closed = Opening {
        area_m2: 0.0,
        length_m: 0.1,
    };
    let found = ingress(&closed, &room(), DAY).unwrap();
    assert!(
        (found.high_kg / 18.015268e-3 * 1e6 - 51.54).abs() < 0.05,
        "{found:?}"
    );
    assert_eq!(found.low_kg, 0.0);
}

#[test]
fn bounds_are_in_order_and_a_wet_mouth_takes_less() {
    let opening = Opening {
        area_m2: 1e-4,
        length_m: 0.05,
    };
    let dry = ingress(&opening, &room(), DAY).unwrap();
    assert!(dry.low_kg < dry.likely_kg && dry.likely_kg < dry.high_kg);
    let wet = Standing {
        bed_fraction: 0.015,
        ..room()
    };
    let wet = ingress(&opening, &wet, DAY).unwrap();
    assert!(wet.low_kg < dry.low_kg && wet.high_kg == dry.high_kg);
    let soaked = Standing {
        bed_fraction: 0.03,
        ..room()
    };
    assert_eq!(ingress(&opening, &soaked, DAY).unwrap().low_kg, 0.0);
}
