//! Each fault moves the reading that the trade looks at, the right way (common practice, no
//! source, where nothing else is said).

use crate::common::{METRIC, ask, faulty, fill, first, full_s, left_for, only, run};
use insight::forecast::answer::{Forecast, Sample};
use insight::forecast::request::Request;
use quantity::{GaugePressure, TimeSpan};

fn request() -> Request {
    Request {
        tower: Some(GaugePressure::bar(60.0)),
        sample_every: TimeSpan::second(10.0),
        ..fill("ten", 50.0)
    }
}

fn sound() -> Forecast {
    run(METRIC, &request())
}

fn with_fault(fault: &str) -> Forecast {
    run(METRIC, &faulty(request(), fault))
}

fn when(forecast: &Forecast, kind: &str) -> f64 {
    first(forecast, kind).unwrap().t_s
}

/// Tower gauge when a kind of event happens.
fn tower_at(forecast: &Forecast, kind: &str) -> f64 {
    first(forecast, kind).unwrap().tower_bar
}

fn last(forecast: &Forecast) -> &Sample {
    forecast.samples.last().unwrap()
}

/// Interstage gauges when the tower gauge passes this pressure with the PMV open.
fn stages_at(forecast: &Forecast, bar: f64) -> Vec<f64> {
    let pair = forecast
        .samples
        .windows(2)
        .find(|w| w[0].tower_bar < bar && w[1].tower_bar >= bar)
        .unwrap();
    let share = (bar - pair[0].tower_bar) / (pair[1].tower_bar - pair[0].tower_bar);
    let both = pair[0].stages_bar.iter().zip(&pair[1].stages_bar);
    both.map(|(a, b)| a + share * (b - a)).collect()
}

#[test]
fn pmv_settings_move_the_opening() {
    let (sound, high, low) = (
        sound(),
        with_fault("pmv-high=20 bar"),
        with_fault("pmv-low=20 bar"),
    );
    assert!(when(&high, "pmv_opened") > when(&sound, "pmv_opened") + 5.0);
    assert!(when(&low, "pmv_opened") < when(&sound, "pmv_opened") - 5.0);
    for (forecast, by) in [(&sound, 0.0), (&high, 20.0), (&low, -20.0)] {
        assert!((tower_at(forecast, "pmv_opened") - 100.0 - by).abs() < 0.5);
        assert!((tower_at(forecast, "pmv_closed") - 70.0 - by).abs() < 0.5);
        // and keeps it, warming up again a little
        let kept = tower_at(forecast, "bleed_closed");
        assert!((kept - 70.0 - by).abs() < 3.0, "{by}: kept {kept} bar");
    }
}

#[test]
fn a_pmv_stuck_open_keeps_nothing() {
    let forecast = with_fault("pmv-stuck-open");
    assert!(first(&forecast, "pmv_opened").is_none());
    // air passes at once where the cylinder holds less than the tower
    assert!(forecast.samples[1].cylinders[0].bar > 50.5);
    // bleeding the whip lets the tower's air out too
    assert!(first(&forecast, "pmv_closed").is_none());
    let left = tower_at(&forecast, "bleed_closed");
    assert!(left < 15.0, "{left} bar");
}

#[test]
fn a_pmv_stuck_shut_fills_nothing_and_lifts_the_relief() {
    let forecast = with_fault("pmv-stuck-shut");
    assert!(only(&forecast).full_s.is_none());
    assert!(forecast.samples.iter().all(|s| s.cylinders[0].bar < 50.01));
    assert!((tower_at(&forecast, "relief_lifted") - 255.0).abs() < 0.5);
    assert!(
        forecast.stopped_because.contains("not full"),
        "{}",
        forecast.stopped_because
    );
}

#[test]
fn a_pmv_that_leaks_back_shows_when_the_whip_is_bled() {
    let (sound, leaking) = (sound(), with_fault("pmv-leaks-back=20 L/min"));
    let fallen = |f: &Forecast| tower_at(f, "pmv_closed") - last(f).tower_bar;
    assert!(
        fallen(&leaking) > fallen(&sound) + 1.0,
        "{} bar",
        fallen(&leaking)
    );
    // and the line rises before the valve opens
    let early = |f: &Forecast| f.samples[1].line_bar;
    assert!(early(&leaking) >= early(&sound));
}

#[test]
fn relief_settings_move_the_lift() {
    for (fault, bar) in [
        ("relief-high=15 bar", 270.0),
        ("relief-low=15 bar", 240.0),
        ("relief-low=10 bar", 245.0),
    ] {
        let forecast = run(METRIC, &faulty(left_for(request(), 60.0), fault));
        let lifted = tower_at(&forecast, "relief_lifted");
        assert!(
            (lifted - bar).abs() < 0.5,
            "{fault}: lifted at {lifted} bar"
        );
    }
    let sound = run(METRIC, &left_for(request(), 60.0));
    let low = run(
        METRIC,
        &faulty(left_for(request(), 60.0), "relief-low=15 bar"),
    );
    assert!(when(&low, "relief_lifted") < when(&sound, "relief_lifted"));
    // lifting below the rating, the cylinder is never full
    let never = with_fault("relief-low=40 bar");
    assert!(only(&never).full_s.is_none(), "{:?}", only(&never).full_s);
}

#[test]
fn leaks_cost_time_and_pressure() {
    let sound = sound();
    for fault in ["tower-leak=20 L/min", "relief-weeps=20 L/min"] {
        let leaking = with_fault(fault);
        assert!(full_s(&leaking) > 1.05 * full_s(&sound), "{fault}");
        let lost = last(&sound).tower_bar - last(&leaking).tower_bar;
        assert!(lost > 5.0, "{fault}: tower {lost} bar lower at the end");
    }
    let leaking = with_fault("whip-leak=20 L/min");
    assert!(full_s(&leaking) > 1.05 * full_s(&sound));
    // with the fill valve shut and the PMV closed the tower keeps its pressure
    assert!((tower_at(&leaking, "bleed_closed") - 70.0).abs() < 1.0);
    let bigger = with_fault("whip-leak=40 L/min");
    assert!(full_s(&bigger) > full_s(&leaking));
}

/// A leak is named by the free air it loses at working pressure (definition): held there by the
/// relief, that is what leaves.
#[test]
fn a_leak_loses_what_it_says() {
    let text = METRIC
        .replace("255 bar", "233 bar")
        .replace("235 bar", "232 bar");
    let request = |minutes| left_for(request(), minutes);
    let lost = |minutes: f64| {
        let forecast = run(&text, &faulty(request(minutes), "tower-leak=20 L/min"));
        let out = &forecast.balance.let_out_kg;
        out.iter().find(|(name, _)| name == "tower leak").unwrap().1
    };
    // the rest after the stop is the same in both
    let litres = (lost(80.0) - lost(60.0)) / 1.2041 * 1e3 / 20.0;
    assert!((litres / 20.0 - 1.0).abs() < 0.02, "{litres} L/min");
}

#[test]
fn worn_rings_slow_the_fill_most_at_the_end() {
    let (sound, worn) = (sound(), with_fault("worn-rings=30%"));
    assert!(full_s(&worn) > 1.1 * full_s(&sound));
    assert!(full_s(&with_fault("worn-rings=50%")) > full_s(&worn));
    let opening = when(&worn, "pmv_opened") / when(&sound, "pmv_opened");
    assert!(opening < full_s(&worn) / full_s(&sound), "{opening}");
}

/// "Interstage high: the next stage's valves": the gauge before the leaking stage rises.
#[test]
fn a_leaking_stage_valve_raises_the_pressure_before_it() {
    let text = METRIC.replace("stage_count = 3", "stage_count = 4");
    let sound = run(&text, &request());
    let before = stages_at(&sound, 200.0);
    assert_eq!(before.len(), 3);
    for stage in 2..=4 {
        let fault = format!("stage-valve-leak={stage}:25%");
        let forecast = run(&text, &faulty(request(), &fault));
        let after = stages_at(&forecast, 200.0);
        let rise = after[stage - 2] / before[stage - 2];
        assert!(rise > 1.15, "{fault}: {before:?} {after:?}");
        // those behind it do not rise
        for k in stage - 1..3 {
            assert!(
                after[k] < before[k] * 1.001,
                "{fault}: {before:?} {after:?}"
            );
        }
        assert!(full_s(&forecast) > full_s(&sound), "{fault}");
    }
    // the first stage's own valves: all pressures fall, delivery falls by as much
    let first = run(&text, &faulty(request(), "stage-valve-leak=1:25%"));
    let after = stages_at(&first, 200.0);
    assert!(
        after.iter().zip(&before).all(|(a, b)| a < b),
        "{before:?} {after:?}"
    );
    assert!(full_s(&first) > 1.2 * full_s(&sound));
}

#[test]
fn a_blocked_purifier_loads_the_last_stage() {
    let (sound, blocked) = (sound(), with_fault("purifier-blocked=0.3 mm"));
    let (a, b) = (stages_at(&sound, 110.0), stages_at(&blocked, 110.0));
    assert!(b[1] > a[1] * 1.02, "{a:?} {b:?}");
    assert!(full_s(&blocked) > full_s(&sound));
    let open = with_fault("purifier-blocked=6 mm");
    assert!((full_s(&open) / full_s(&sound) - 1.0).abs() < 0.01);
}

/// A gauge that reads wrong changes what is read and nothing else.
#[test]
fn gauge_offsets_only_shift_readings() {
    let sound = sound();
    for (fault, tower, line) in [
        ("tower-gauge-offset=8 bar", 8.0, 0.0),
        ("tower-gauge-offset=-8 bar", -8.0, 0.0),
        ("line-gauge-offset=-5 bar", 0.0, -5.0),
    ] {
        let mut shifted = with_fault(fault);
        for event in &mut shifted.events {
            event.tower_bar -= tower;
            event.line_bar -= line;
        }
        for sample in &mut shifted.samples {
            sample.tower_bar -= tower;
            sample.line_bar -= line;
        }
        let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert_eq!(shifted.events.len(), sound.events.len());
        for (a, b) in shifted.events.iter().zip(&sound.events) {
            assert_eq!((a.kind, a.t_s), (b.kind, b.t_s));
            assert!(
                close(a.tower_bar, b.tower_bar) && close(a.line_bar, b.line_bar),
                "{a:?}"
            );
        }
        for (a, b) in shifted.samples.iter().zip(&sound.samples) {
            assert!(
                close(a.tower_bar, b.tower_bar) && close(a.line_bar, b.line_bar),
                "{a:?}"
            );
            assert_eq!(a.cylinders, b.cylinders);
        }
        assert_eq!(shifted.cylinders, sound.cylinders);
        assert_eq!(shifted.balance, sound.balance);
    }
}

/// Every fault of the catalogue, alone and all pairs of neighbours, runs and balances.
#[test]
fn every_fault_runs() {
    let names = insight::fault::CATALOGUE.map(|e| e.example);
    for pair in names.windows(2) {
        let mut request = faulty(request(), pair[0]);
        request
            .faults
            .extend(faulty(request.clone(), pair[1]).faults);
        let forecast = run(METRIC, &request);
        assert!(!forecast.stopped_because.is_empty());
        assert!(ask(METRIC, &faulty(request, pair[0])).is_ok());
    }
}
