//! The bench is the simulation: the same states, nothing lost, at any speed.

use super::*;
use crate::assemble::Variation;
use crate::forecast::{self, request::Request};
use physics::sim::{Control, Sim, Snapshot};

fn snapshot(bench: &Bench) -> Snapshot {
    bench.sim.snapshot()
}

/// Identity: the same plant stepped in one go, without the bench.
#[test]
fn it_is_the_simulation_under_the_same_hands() {
    let mut bench = bench(Begin::Rest, &[]);
    for key in ["fill-open", "cylinder-open", "motor-on"] {
        act(&mut bench, key);
    }
    bench.advance(900);
    let station = setting().applied(boathouse());
    let request = setting().request();
    let prepared = forecast::prepared(&station, &request).unwrap().0.hands_on();
    let assembly = prepared.assembly(&Variation::NONE).unwrap();
    let sim = Sim::new(&assembly.plant, &prepared.gas, &assembly.starts).unwrap();
    let mut sim = sim.with_tolerance(1e-6);
    let hose = assembly.places.hoses[0];
    for valve in [hose.fill, hose.valve] {
        sim.control(Control::Hand {
            valve,
            opening: 1.0,
        });
    }
    sim.control(Control::Compressor(true));
    sim.advance(900.0, &[]);
    for (here, there) in snapshot(&bench).vessels.iter().zip(&sim.snapshot().vessels) {
        let off = (here.p_pa - there.p_pa).abs() / there.p_pa;
        assert!(off < 2e-5, "pressure off by {off}");
        assert!((here.t_k - there.t_k).abs() < 0.05, "{here:?} {there:?}");
    }
}

/// A forecast lumps hoses and tower; nothing it says of the fill may depend on that. Times to full
/// within 0.5 %, water drawn in within 2 %, water to the purifier within 5 %: the forecast follows
/// it in longer pieces, and on through the bleed.
#[test]
fn it_fills_as_the_forecast_says() {
    let request = Request {
        members: 8,
        drain: forecast::request::DrainPlan::Never,
        ..setting().request()
    };
    let station = setting().applied(boathouse());
    let forecast = forecast::forecast(&station, &request, &|_| {}).unwrap();
    let full = forecast.cylinders[0].full_s.unwrap();
    let mut bench = bench(Begin::Running, &[]);
    while bench.state().hoses[0].cylinder_bar < 232.0 {
        bench.advance(1);
    }
    let here = bench.state().t_s as f64;
    assert!(
        (here / full - 1.0).abs() < 0.005,
        "{here} s, forecast {full} s"
    );
    let (water, there) = (bench.state().water.unwrap(), forecast.water.unwrap());
    let reached = water.to_purifier_g;
    let drawn = water.intake_g / there.intake_g;
    assert!(
        (drawn - 1.0).abs() < 0.02,
        "drawn in: {drawn} of the forecast's"
    );
    let ratio = reached / there.to_purifier_g;
    assert!(
        (ratio - 1.0).abs() < 0.05,
        "to the purifier: {reached} g, forecast {} g",
        there.to_purifier_g
    );
}

/// Seconds are whole: one at a time, ten or sixty at once give the same states to the last bit.
#[test]
fn speed_changes_nothing() {
    let run = |step: u64| {
        let mut bench = bench(Begin::Running, &["whip-leak"]);
        for _ in 0..(300 / step) {
            bench.advance(step);
        }
        act(&mut bench, "motor-off");
        for _ in 0..(120 / step) {
            bench.advance(step);
        }
        (snapshot(&bench), bench.state())
    };
    let one = run(1);
    for step in [10, 60] {
        assert_eq!(run(step), one, "{step} s at a time");
    }
}

/// Identity: every kilogram before the fault is there after it, and what came and went since adds up.
#[test]
fn a_fault_put_in_while_it_runs_loses_nothing() {
    for entry in wrong::suited(boathouse()).filter(|e| e.key != "none") {
        let mut bench = bench(Begin::Running, &[]);
        bench.advance(200);
        let before = snapshot(&bench);
        let water = bench.sump.as_ref().unwrap().now();
        let wrong = Wrong::named(entry.key, boathouse()).unwrap();
        bench.put_in(wrong, false).unwrap();
        let after = snapshot(&bench);
        for (a, b) in before.vessels.iter().zip(&after.vessels) {
            assert_eq!(a.mass_kg, b.mass_kg, "{}", entry.key);
            assert!((a.p_pa - b.p_pa).abs() < 1e-3 && (a.t_k - b.t_k).abs() < 1e-9);
            assert!((a.wall_k - b.wall_k).abs() < 1e-9);
        }
        bench.advance(200);
        let balance = bench.sim.balance();
        assert!(
            balance.mass_residual.abs() < 1e-9,
            "{}: {balance:?}",
            entry.key
        );
        assert!(
            balance.energy_residual.abs() < 1e-6,
            "{}: {balance:?}",
            entry.key
        );
        let sump = bench.sump.as_ref().unwrap();
        assert!(sump.residual().abs() < 1e-9, "{}: water", entry.key);
        assert!(sump.now().intake_g >= water.intake_g, "{}", entry.key);
    }
}

/// What each fault does is seen where the trade looks for it.
#[test]
fn faults_show_where_the_trade_looks() {
    let after = |wrong: &[&str], seconds: u64| {
        let mut bench = bench(Begin::Running, wrong);
        bench.advance(seconds);
        bench.state()
    };
    let gauge = |state: &State, name: &str| {
        let found = state.gauges.iter().find(|g| g.name == name);
        found.unwrap().bar
    };
    let sound = after(&[], 300);
    let shut = after(&["pmv-stuck-shut"], 120);
    assert!(gauge(&shut, "tower") > 130.0 && gauge(&shut, "panel") < 60.0);
    let high = after(&["stage-2-valve"], 300);
    let (there, here) = (gauge(&sound, "first stage"), gauge(&high, "first stage"));
    assert!(here > 1.15 * there, "first stage {here}, sound {there}");
    let lying = after(&["line-gauge-low"], 300);
    assert!((gauge(&sound, "panel") - gauge(&lying, "panel") - 25.0).abs() < 0.1);
    let drain = after(&["drain-open"], 120);
    assert!(gauge(&drain, "tower") < 20.0, "{}", gauge(&drain, "tower"));
    let hot = after(&["fan-stopped"], 300);
    let wet = |s: &State| s.water.unwrap().reaching_g_m3.unwrap();
    assert!(
        wet(&hot) > 3.0 * wet(&sound),
        "{} {}",
        wet(&hot),
        wet(&sound)
    );
    let full = after(&["drain-forgotten"], 5).water.unwrap();
    assert!((full.sump_ml / full.capacity_ml - 0.85).abs() < 0.01);
}

/// A hose undone under pressure ends the bench; bled first it comes off, and the next cylinder goes on.
#[test]
fn a_hose_is_bled_before_it_is_undone() {
    let mut lashed = bench(Begin::Filled, &[]);
    act(&mut lashed, "undo");
    assert!(lashed.over() && lashed.state().over.unwrap().contains("lashes out"));
    let mut bench = bench(Begin::Filled, &[]);
    for key in ["cylinder-shut", "fill-shut", "bleed-open"] {
        act(&mut bench, key);
    }
    bench.advance(60);
    assert!(bench.state().hoses[0].bar < UNDO_BAR);
    let filled = bench.state().hoses[0].cylinder_bar;
    act(&mut bench, "undo");
    assert!(
        bench.operate(None, Act::Cylinder(0, true)).is_err(),
        "nothing is on it"
    );
    bench.advance(5);
    act(&mut bench, "connect");
    let put_on = bench.state().hoses[0].cylinder_bar;
    assert!(
        filled > 45.0 && (put_on - 50.0).abs() < 0.1,
        "{filled} {put_on}"
    );
}

/// What is hidden is in no state, no line of the log and no trace until somebody finds or reveals it.
#[test]
fn what_is_hidden_is_nowhere() {
    let mut bench = bench(Begin::Running, &[]);
    bench.advance(30);
    let wrong = Wrong::named("pmv-stuck-open", boathouse()).unwrap();
    bench.put_in(wrong, true).unwrap();
    bench.advance(30);
    let told = |bench: &Bench| format!("{:?}{:?}{:?}", bench.state(), bench.notes(), bench.trace());
    assert!(!told(&bench).contains("PMV sticks"), "{}", told(&bench));
    assert!(bench.trace().iter().all(|p| p.sound_bar.is_none()));
    act(&mut bench, "name:tower-leak");
    assert!(!told(&bench).contains("PMV sticks"));
    act(&mut bench, "name:pmv-stuck-open");
    assert!(told(&bench).contains("PMV sticks open"));
    let again = bench.again().unwrap();
    assert_eq!(again.state().t_s, 0);
}

/// A drill keeps its fault to itself until it is over.
#[test]
fn a_drill_keeps_its_fault() {
    let drill = drill::named("pmv-stuck-shut").unwrap();
    let mut bench = Bench::drill(boathouse(), drill).unwrap();
    bench.advance(30);
    act(&mut bench, "name:tower-leak");
    let told = format!("{:?}{:?}", bench.state(), bench.notes());
    assert!(
        !told.contains("pmv-stuck-shut") && !told.contains("PMV sticks"),
        "{told}"
    );
    assert!(
        bench.state().named.is_empty(),
        "right or wrong is told at the end"
    );
    bench.advance(600);
    assert_eq!(bench.state().wrong[0].key, "pmv-stuck-shut");
}

/// Water at a third of the pressure is nearly three times as much (the ideal limit), and less than that: real air.
#[test]
fn questions_are_whole_and_computed() {
    let bench = bench(Begin::Rest, &[]);
    assert!(question::all().len() >= 5);
    for question in question::all() {
        let right = question.options.iter().filter(|(_, right)| *right).count();
        assert_eq!(right, 1, "{}", question.key);
        assert!(!question.ask.is_empty() && !question.source.is_empty());
        assert!(!question.because(&bench).contains('{'), "{}", question.key);
    }
    let because = question::named("tower-below-pmv").unwrap().because(&bench);
    let times = because.split(" times").next().unwrap();
    let times: f64 = times.rsplit(' ').next().unwrap().parse().unwrap();
    assert!((2.0..3.0).contains(&times), "{because}");
}

/// Drawing lots gives every fault of the catalogue and no part that is not fitted.
#[test]
fn lots_are_drawn_among_what_is_fitted() {
    let keys = |n: u64| Wrong::drawn(n, boathouse()).unwrap().entry.key;
    let mut drawn: Vec<&str> = (0..200).map(keys).collect();
    drawn.sort_unstable();
    drawn.dedup();
    let there = wrong::suited(boathouse()).count() - 1;
    assert_eq!(drawn.len(), there);
    assert!(!drawn.contains(&"stage-4-valve") && !drawn.contains(&"none"));
}

/// Work: a bench second takes a few steps of the integrator, whatever is wrong; two hundred benches rest on it.
#[test]
fn a_second_takes_few_steps() {
    for entry in wrong::suited(boathouse()).filter(|e| e.key != "none") {
        let mut bench = bench(Begin::Running, &[entry.key]);
        let before = bench.sim.effort().steps;
        bench.advance(600);
        let steps = bench.sim.effort().steps - before;
        assert!(
            steps <= 3 * 600,
            "{}: {steps} steps in ten minutes",
            entry.key
        );
    }
}
