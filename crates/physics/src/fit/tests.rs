//! The fit on models whose answer is known: lines, limits, a wild reading, a cliff.

use super::*;

/// A model of two parameters: the line 10·z₀ + 5·z₁·x, read with errors of one scale.
fn line(at: &'static [f64], scale: f64) -> impl Fn(&[f64]) -> Option<Predicted> {
    move |z| {
        Some(Predicted {
            mean: at.iter().map(|x| 10.0 * z[0] + 5.0 * z[1] * x).collect(),
            scale: vec![scale; at.len()],
        })
    }
}

fn fitted(
    mut predict: impl FnMut(&[f64]) -> Option<Predicted>,
    values: &[f64],
    scale: f64,
    start: &[f64],
) -> Option<Fit> {
    let floor = vec![scale; values.len()];
    let readings = Readings {
        values,
        floor: &floor,
    };
    fit(&mut predict, readings, start, 20)
}

#[test]
fn a_straight_line_is_found() {
    const AT: [f64; 5] = [0.0, 1.0, 2.0, 3.0, 4.0];
    let readings: Vec<f64> = AT.iter().map(|x| 4.0 - 3.0 * x).collect();
    let fit = fitted(line(&AT, 0.01), &readings, 0.01, &[0.0, 0.0]).unwrap();
    assert!((fit.z[0] - 0.4).abs() < 1e-3, "{:?}", fit.z);
    assert!((fit.z[1] + 0.6).abs() < 1e-3, "{:?}", fit.z);
    assert!(fit.covariance[(0, 0)] < 1e-4);
}

#[test]
fn without_readings_the_prior_stays() {
    let fit = fitted(line(&[], 1.0), &[], 1.0, &[0.0, 0.0]).unwrap();
    assert_eq!(fit.z, [0.0, 0.0]);
    assert!((fit.covariance[(1, 1)] - 1.0).abs() < 1e-12);
    assert!(fit.log_evidence.abs() < 1e-12);
}

/// One reading y of one parameter with slope a and error scale s. For a narrow prior against the
/// error, p(y) = t₄(y/s)/s; here a → 0.
#[test]
fn evidence_of_a_model_without_freedom_is_its_likelihood() {
    let fit = fitted(
        |_| {
            Some(Predicted {
                mean: vec![0.0],
                scale: vec![2.0],
            })
        },
        &[2.0],
        2.0,
        &[0.0],
    )
    .unwrap();
    // at one scale: 0.98 of the normal's density 0.241971 (NIST/SEMATECH e-Handbook 1.3.6.7.1) and
    // 0.02 of Cauchy's 1/(10π·1.01) = 0.031516
    let expected = ((0.98 * 0.241_971 + 0.02 * 0.031_516_f64) / 2.0).ln();
    assert!(
        (fit.log_evidence - expected).abs() < 1e-5,
        "{}",
        fit.log_evidence
    );
}

/// A model free to move pays for its freedom where the plain one does as well.
#[test]
fn freedom_is_paid_for() {
    let free = fitted(line(&[0.0, 1.0, 2.0], 1.0), &[0.0; 3], 1.0, &[0.0, 0.0]).unwrap();
    let plain = |_: &[f64]| {
        Some(Predicted {
            mean: vec![0.0; 3],
            scale: vec![1.0; 3],
        })
    };
    let plain = fitted(plain, &[0.0; 3], 1.0, &[]).unwrap();
    assert!(plain.log_evidence > free.log_evidence + 2.0);
}

#[test]
fn one_wild_reading_does_not_bend_the_fit() {
    const AT: [f64; 8] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0];
    let mut readings: Vec<f64> = AT.iter().map(|x| 4.0 - 3.0 * x).collect();
    readings[5] += 200.0;
    let fit = fitted(line(&AT, 1.0), &readings, 1.0, &[0.0, 0.0]).unwrap();
    assert!((fit.z[0] - 0.4).abs() < 0.1, "{:?}", fit.z);
    assert!((fit.z[1] + 0.6).abs() < 0.1, "{:?}", fit.z);
}

#[test]
fn a_model_that_cannot_be_run_gives_nothing() {
    assert!(fitted(|_| None, &[1.0], 1.0, &[0.0]).is_none());
    let half = |z: &[f64]| {
        (z[0] <= 0.0).then(|| Predicted {
            mean: vec![z[0]],
            scale: vec![1.0],
        })
    };
    let fit = fitted(half, &[3.0], 1.0, &[0.0]).unwrap();
    assert!(fit.z[0] <= 0.0);
}

/// A model that jumps on one side of where it stands: the jump says nothing of its slope there.
#[test]
fn a_cliff_on_one_side_is_not_a_slope() {
    let mut cliff = |z: &[f64]| {
        let mean = if z[0] > 0.1 { 50.0 } else { 2.0 * z[0] };
        Some(Predicted {
            mean: vec![mean],
            scale: vec![1.0],
        })
    };
    let readings = Readings {
        values: &[0.0],
        floor: &[1.0],
    };
    let plain = fit(&mut cliff, readings, &[0.0], 5).unwrap();
    let careful = careful(&mut cliff, readings, &plain).unwrap();
    assert!((careful.slopes[(0, 0)] - 2.0).abs() < 1e-9);
    // one reading of error 1 and slope 2 on a prior of 1: variance 1/(1 + 4·W)
    let w =
        0.98 / (0.98 + 0.02 * (2.0 * std::f64::consts::PI).sqrt() / (10.0 * std::f64::consts::PI));
    assert!((careful.covariance[(0, 0)] - 1.0 / (1.0 + 4.0 * w)).abs() < 1e-6);
}
