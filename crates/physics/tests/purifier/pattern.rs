//! The column against closed forms: where the isotherm is a step, the whole
//! breakthrough curve is known.

use super::step_adsorbent;
use physics::purifier::{Bed, Feed, Packing, film_pattern, solid_pattern, stoichiometric_seconds};

const K: f64 = 0.01;

/// 1 − exp(−k·(t − t_s) − 1) at k = 0.01 1/s, by hand.
#[test]
fn solid_control_by_hand() {
    let rows = [
        (-200.0, 0.0),
        (-100.0, 0.0),
        (-50.0, 0.39347),
        (0.0, 0.63212),
        (100.0, 0.86466),
        (300.0, 0.98168),
    ];
    for (since, expected) in rows {
        let x = solid_pattern(K, since);
        assert!(
            (x - expected).abs() < 5e-6,
            "{since} s: {x}, by hand {expected}"
        );
    }
}

/// Film control is solid control mirrored in time and share: X_f(t) = 1 − X_s(−t).
#[test]
fn film_control_mirrors() {
    for since in -400..400 {
        let since = f64::from(since);
        let mirrored = 1.0 - solid_pattern(K, -since);
        assert!((film_pattern(K, since) - mirrored).abs() < 1e-12, "{since}");
    }
}

/// What the bed keeps is what fills it: ∫(1 − X)dt over all time = t_s.
#[test]
fn patterns_balance() {
    for pattern in [solid_pattern, film_pattern] {
        let held: f64 = (-300_000..300_000)
            .map(|i| 0.01 * (f64::from(i) + 0.5))
            .map(|t| 0.01 * (1.0 - pattern(K, t)))
            .sum();
        assert!((held - 3000.0).abs() < 1e-3, "{held}");
    }
}

fn feed() -> Feed {
    Feed {
        air_mol_s: 0.2574,
        water_fraction: 0.01,
        p_pa: 1e6,
        t_k: 300.0,
        enhancement: 1.0,
    }
}

fn bed(cells: usize) -> Bed {
    let packing = Packing {
        mass_kg: 0.2,
        length_m: 0.2,
        cells,
    };
    Bed::fresh(step_adsorbent(13.0, K), packing, 0.0).unwrap()
}

/// Outlet over inlet in passes of `dt` until `end`, with the middle of each.
fn curve(cells: usize, dt: f64, end: f64) -> Vec<(f64, f64)> {
    let (mut bed, feed) = (bed(cells), feed());
    let inlet = feed.water_fraction / (1.0 - feed.water_fraction);
    (0..(end / dt) as usize)
        .map(|i| {
            let y = bed.pass(&feed, dt).unwrap().outlet_fraction;
            ((i as f64 + 0.5) * dt, y / (1.0 - y) / inlet)
        })
        .collect()
}

/// Mean of the closed form over `dt` around `since`, by its integral
/// t − (1 − exp(−k·t − 1))/k from −1/k on.
fn solid_mean(since: f64, dt: f64) -> f64 {
    let integral = |t: f64| {
        let t = t.max(-1.0 / K);
        t + (-K * t - 1.0).exp() / K
    };
    (integral(since + 0.5 * dt) - integral(since - 0.5 * dt)) / dt
}

/// Mean departure from the closed form in a window around t_s.
fn departure(cells: usize, dt: f64) -> f64 {
    let t_s = stoichiometric_seconds(&bed(cells), &feed()).unwrap();
    assert!((t_s - 1000.0).abs() < 0.1, "{t_s}");
    let points = curve(cells, dt, 2.0 * t_s);
    let sum: f64 = points
        .iter()
        .map(|(t, x)| (x - solid_mean(t - t_s, dt)).abs())
        .sum();
    sum * dt * K
}

/// Outlet means over a pass are exact for this isotherm, whatever the number
/// of cells and the length of the pass.
#[test]
fn any_grid_reproduces_solid_control() {
    for cells in [1, 2, 7, 100, 400] {
        let error = departure(cells, 0.5);
        assert!(error < 1e-4, "{cells} cells: {error}");
    }
    for dt in [64.0, 32.0, 16.0, 8.0] {
        let error = departure(100, dt);
        assert!(error < 3e-4, "passes of {dt} s: {error}");
    }
}

/// Steps as long as the bed chooses them: within three per cent of the feed.
#[test]
fn own_steps_reproduce_solid_control() {
    let (mut bed, feed) = (bed(100), feed());
    let inlet = feed.water_fraction / (1.0 - feed.water_fraction);
    let mut start = 0.0;
    for end in [900.0, 950.0, 1000.0, 1100.0, 1300.0] {
        bed.pass(&feed, end - start - 1.0).unwrap();
        let y = bed.pass(&feed, 1.0).unwrap().outlet_fraction;
        let x = y / (1.0 - y) / inlet;
        let expected = solid_pattern(K, end - 0.5 - 1000.0);
        assert!(
            (x - expected).abs() < 0.03,
            "{end} s: {x}, closed form {expected}"
        );
        start = end;
    }
}

/// However coarse the bed, filling it takes t_s·G·Y of water.
#[test]
fn stoichiometric_time_is_exact() {
    for cells in [1, 7, 100] {
        let (mut bed, feed) = (bed(cells), feed());
        let t_s = stoichiometric_seconds(&bed, &feed).unwrap();
        let passed = bed.pass(&feed, 5.0 * t_s).unwrap();
        let supply = feed.air_mol_s * feed.water_fraction / (1.0 - feed.water_fraction);
        let held = passed.taken_mol / supply;
        assert!(
            (held / t_s - 1.0).abs() < 1e-9,
            "{cells}: {held} s, {t_s} s"
        );
        assert!(stoichiometric_seconds(&bed, &feed).unwrap() < 1e-6 * t_s);
    }
}
