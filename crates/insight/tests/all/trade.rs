//! What everybody who runs such a machine has seen (common practice, no source), from the text
//! of a station file to the forecast: PMV 800/500 psi, working pressure 3000 psi, relief about
//! 3300 psi, disc 4000 psi.

use crate::common::{
    FOUR_SETTINGS, PSI, cylinder, faulty, fill, first, full_s, left_for, only, run,
};
use insight::forecast::request::Request;
use quantity::{GaugePressure, TimeSpan};

/// The station's usual fill, looked at every few seconds.
fn request() -> Request {
    Request {
        tower: Some(GaugePressure::psi(500.0)),
        sample_every: TimeSpan::second(5.0),
        ..fill("eighty", 500.0 * PSI)
    }
}

#[test]
fn no_air_before_the_pmv_opens() {
    // started below and above what the cylinder holds
    for start_psi in [100.0, 500.0, 1500.0] {
        let request = Request {
            cylinders: vec![cylinder("eighty", start_psi * PSI)],
            ..request()
        };
        let forecast = run(FOUR_SETTINGS, &request);
        let opened = first(&forecast, "pmv_opened").unwrap();
        assert!(
            (opened.tower_bar / PSI - 800.0).abs() < 5.0,
            "opened at {} psi",
            opened.tower_bar / PSI
        );
        let begun = &forecast.samples[0].cylinders[0];
        let mut seen = 0;
        for sample in forecast.samples.iter().filter(|s| s.t_s < opened.t_s) {
            let gained = (sample.cylinders[0].bar - begun.bar) / PSI;
            // filling the empty whip takes a little out of the cylinder
            assert!(gained < 0.5, "{gained} psi gained at {} s", sample.t_s);
            assert!(sample.tower_bar / PSI < 800.5, "{sample:?}");
            seen += 1;
        }
        assert!(seen > 1, "{seen} readings before {} s", opened.t_s);
        assert!(only(&forecast).full_s.unwrap() > opened.t_s);
    }
}

#[test]
fn after_long_storage_the_first_minutes_only_pressurise_the_tower() {
    let usual = run(FOUR_SETTINGS, &request());
    let stored = Request {
        tower: Some(GaugePressure::psi(15.0)),
        ..request()
    };
    let stored = run(FOUR_SETTINGS, &stored);
    let opened = |f| first(f, "pmv_opened").unwrap().t_s;
    assert!(
        opened(&stored) > opened(&usual) + 30.0,
        "{} s, usually {} s",
        opened(&stored),
        opened(&usual)
    );
    let before: Vec<_> = stored
        .samples
        .iter()
        .filter(|s| s.t_s < opened(&stored))
        .collect();
    let rising = before.windows(2).all(|w| w[1].tower_bar > w[0].tower_bar);
    assert!(rising, "the tower rises from the first moment");
    let start = before[0].cylinders[0].bar;
    assert!(before.iter().all(|s| s.cylinders[0].bar < start + 0.05));
    // the later start is all the harm: filling itself takes as long
    let filling = |f| full_s(f) - opened(f);
    assert!((filling(&stored) / filling(&usual) - 1.0).abs() < 0.01);
}

#[test]
fn after_a_normal_stop_the_tower_keeps_500_psi_while_the_whip_is_bled() {
    let forecast = run(FOUR_SETTINGS, &request());
    let bled = first(&forecast, "bleed_closed").unwrap();
    assert!(bled.line_bar.abs() < 0.1, "whip at {} bar", bled.line_bar);
    let tower_psi = bled.tower_bar / PSI;
    assert!((tower_psi - 500.0).abs() < 5.0, "tower at {tower_psi} psi");
    let last = forecast.samples.last().unwrap();
    assert!(last.t_s > bled.t_s + 200.0, "followed to {} s", last.t_s);
    let last_psi = last.tower_bar / PSI;
    assert!((last_psi - 500.0).abs() < 25.0, "then at {last_psi} psi");
    assert!(first(&forecast, "relief_lifted").is_none());
    assert!(first(&forecast, "disc_burst").is_none());
}

#[test]
fn a_sound_relief_holds_and_reseats_after_the_stop() {
    let forecast = run(FOUR_SETTINGS, &left_for(request(), 90.0));
    let lifted = first(&forecast, "relief_lifted").unwrap();
    let stopped = first(&forecast, "compressor_stopped").unwrap();
    assert!((lifted.tower_bar / PSI - 3300.0).abs() < 10.0, "{lifted:?}");
    let held: Vec<f64> = forecast
        .samples
        .iter()
        .filter(|s| s.t_s > lifted.t_s + 60.0 && s.t_s < stopped.t_s)
        .map(|s| s.tower_bar / PSI)
        .collect();
    assert!(held.len() > 100, "{} readings", held.len());
    let most = held.iter().copied().fold(0.0, f64::max);
    let least = held.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(least > 3000.0 && most < 3400.0, "held {least}..{most} psi");
    assert!(most - least < 60.0, "held {least}..{most} psi");
    let reseated = first(&forecast, "relief_reseated").unwrap();
    assert!(reseated.t_s > stopped.t_s, "{reseated:?}");
    assert!(
        (reseated.tower_bar / PSI - 3000.0).abs() < 10.0,
        "{reseated:?}"
    );
    assert!(first(&forecast, "disc_burst").is_none());
}

#[test]
fn with_the_relief_stuck_shut_and_nobody_there_the_disc_goes() {
    let request = faulty(left_for(request(), 90.0), "relief-stuck-shut");
    let forecast = run(FOUR_SETTINGS, &request);
    let burst = first(&forecast, "disc_burst").unwrap();
    assert!((burst.tower_bar / PSI - 4000.0).abs() < 5.0, "{burst:?}");
    assert!(first(&forecast, "relief_lifted").is_none());
    let most = forecast
        .samples
        .iter()
        .map(|s| s.tower_bar)
        .fold(0.0, f64::max);
    assert!(most / PSI < 4005.0, "tower at {} psi", most / PSI);
    // the tower is lost, the machine blows out of the hole
    let after = forecast.samples.iter().find(|s| s.t_s > burst.t_s + 60.0);
    assert!(after.unwrap().tower_bar < 5.0, "{after:?}");
    let out = |name| forecast.balance.let_out_kg.iter().any(|(n, _)| n == name);
    assert!(out("burst disc"), "{:?}", forecast.balance.let_out_kg);
}
