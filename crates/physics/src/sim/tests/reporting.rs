//! Samples, watches, controls, effort, and how a run says that it cannot go on.

use super::*;

fn filling(plant: &Plant) -> Sim<'_> {
    let mut sim = at_rest(plant, [500.0 * PSI, 50.0 * BAR, 50.0 * BAR]);
    turn(&mut sim, FILL, 1.0);
    sim.control(Control::Compressor(true));
    sim
}

/// Samples fall on their times to the last bit, however the run is cut up,
/// and read what a run stopped at that moment reads.
#[test]
fn samples_fall_on_their_times() {
    let plant = machine();
    let mut sim = filling(&plant).sampled_every(7.5);
    for until in [3.0, 100.0, 100.0, 262.5, 600.0] {
        assert_eq!(sim.advance(until, &[]), Outcome::Reached);
    }
    let times: Vec<f64> = sim.samples().iter().map(|s| s.t_s).collect();
    let wanted: Vec<f64> = (0..=80).map(|i| 7.5 * f64::from(i)).collect();
    assert_eq!(times, wanted);
    for i in [1, 5, 17, 42, 79] {
        let sample = &sim.samples()[i];
        let mut other = filling(&plant).with_tolerance(1e-7);
        other.advance(sample.t_s, &[]);
        for (a, b) in sample.vessels.iter().zip(&other.snapshot().vessels) {
            close(
                a.p_pa,
                b.p_pa,
                3e-4 * b.p_pa,
                &format!("Pa at {} s", sample.t_s),
            );
            close(a.t_k, b.t_k, 0.1, &format!("K at {} s", sample.t_s));
        }
    }
}

/// A watch fires at its pressure, rising and falling, and again when asked again.
#[test]
fn a_watch_fires_at_its_pressure() {
    let plant = machine();
    let mut sim = filling(&plant);
    for bar in [60.0, 75.0, 120.0, 180.0] {
        let threshold = gauge(bar * BAR);
        assert_eq!(
            sim.advance(1e5, &[rising(CYLINDER, threshold)]),
            Outcome::Watched(0)
        );
        close(
            p(&sim, CYLINDER),
            threshold,
            1e-3 * BAR,
            "pressure at the watch, Pa",
        );
    }
    sim.control(Control::Compressor(false));
    turn(&mut sim, BLEED, 1.0);
    for bar in [150.0, 90.0, 70.0] {
        let threshold = gauge(bar * BAR);
        let outcome = sim.advance(1e6, &[rising(LINE, 500.0 * BAR), falling(LINE, threshold)]);
        assert_eq!(outcome, Outcome::Watched(1));
        close(
            p(&sim, LINE),
            threshold,
            1e-3 * BAR,
            "pressure at the watch, Pa",
        );
    }
}

/// A watch already past its pressure fires at once, and once: the same call
/// again goes on until something happens or its end is reached. A different
/// watch in its place is not taken for it.
#[test]
fn a_watch_fires_once() {
    let plant = machine();
    let mut sim = filling(&plant);
    sim.advance(10.0, &[]);
    let past = rising(CYLINDER, gauge(20.0 * BAR));
    assert_eq!(sim.advance(60.0, &[past]), Outcome::Watched(0));
    assert_eq!(sim.t_s(), 10.0);
    let next = rising(TOWER, gauge(52.0 * BAR));
    assert_eq!(sim.advance(600.0, &[next]), Outcome::Watched(0));
    close(
        p(&sim, TOWER),
        gauge(52.0 * BAR),
        1e-3 * BAR,
        "pressure at the next watch, Pa",
    );
    let now = sim.t_s();
    sim.advance(now + 1.0, &[next]);
    assert_eq!(sim.t_s(), now + 1.0);
    assert_eq!(sim.advance(now + 1.0, &[next]), Outcome::Reached);
}

/// Of two watches the earlier one answers.
#[test]
fn the_earlier_watch_answers() {
    let plant = machine();
    let mut sim = filling(&plant);
    let watches = [
        rising(CYLINDER, gauge(60.0 * BAR)),
        rising(CYLINDER, gauge(59.99 * BAR)),
    ];
    assert_eq!(sim.advance(1e5, &watches), Outcome::Watched(1));
    assert_eq!(sim.advance(1e5, &watches), Outcome::Watched(0));
    let none = [rising(99, 0.0)];
    assert_eq!(
        sim.advance(sim.t_s() + 1.0, &none),
        Outcome::Reached,
        "no such vessel"
    );
}

/// Controls at one instant all count and bear that instant's time.
#[test]
fn controls_at_one_instant() {
    let plant = machine();
    let mut sim = filling(&plant);
    sim.advance(120.0, &[]);
    let before = sim.events().len();
    sim.control(Control::Compressor(false));
    sim.control(Control::Compressor(false));
    turn(&mut sim, FILL, 0.0);
    turn(&mut sim, BLEED, 7.0);
    turn(&mut sim, 99, 1.0);
    let kinds: Vec<_> = sim.events()[before..]
        .iter()
        .map(|e| (e.snapshot.t_s, e.kind))
        .collect();
    let wanted = [
        (120.0, EventKind::CompressorStopped),
        (120.0, EventKind::HandMoved(FILL)),
        (120.0, EventKind::HandMoved(BLEED)),
    ];
    assert_eq!(kinds, wanted);
    let delivered = sim.balance().mass_in_kg;
    let cylinder = sim.snapshot().vessels[CYLINDER].mass_kg;
    sim.advance(300.0, &[]);
    close(
        sim.balance().mass_in_kg,
        delivered,
        1e-12,
        "kg delivered before the stop",
    );
    close(
        sim.snapshot().vessels[CYLINDER].mass_kg,
        cylinder,
        1e-12,
        "kg in the shut cylinder",
    );
    assert!(p(&sim, LINE) < gauge(60.0 * BAR), "the line is bled");
    assert_conserved(&sim);
}

/// The same input gives the same output, bit for bit; cutting the run into
/// pieces changes nothing beyond the tolerance.
#[test]
fn runs_repeat_and_can_be_cut_up() {
    let plant = machine();
    let (mut a, mut b, mut pieces) = (filling(&plant), filling(&plant), filling(&plant));
    a.advance(900.0, &[]);
    b.advance(900.0, &[]);
    assert_eq!(a.snapshot(), b.snapshot());
    assert_eq!(a.events(), b.events());
    for i in 1..=900 {
        pieces.advance(f64::from(i), &[]);
    }
    for (x, y) in a.snapshot().vessels.iter().zip(&pieces.snapshot().vessels) {
        close(x.p_pa, y.p_pa, 2e-4 * y.p_pa, "pressure, Pa");
        close(x.mass_kg, y.mass_kg, 2e-4 * y.mass_kg, "mass, kg");
    }
    let opened = |sim: &Sim| first(sim, EventKind::ValveOpened(PMV)).unwrap();
    close(opened(&a), opened(&pieces), 0.01, "PMV opened, s");
}

/// An insulated vessel let out from 300 bar to the open air would liquefy
/// (293 K·300^(−2/7) is 57 K): the run stops and says where.
#[test]
fn gas_that_would_liquefy_stops_the_run_by_name() {
    let mut plant = plant(vec![bare("line", 0.1, 1.0), bare("rescue bank", 12.0, 0.0)]);
    plant.hand_valves = vec![hand("valve")];
    plant.links = vec![link("valve", 1, End::Atmosphere, 10.0, Gate::Hand(0))];
    let starts = [start(ATMOSPHERE, ROOM_K), start(300.0 * BAR, ROOM_K)];
    let mut sim = Sim::new(&plant, gas(), &starts).unwrap();
    turn(&mut sim, 0, 1.0);
    let Outcome::Stopped(reason) = sim.advance(1e5, &[]) else {
        panic!("went on at {:?}", sim.snapshot());
    };
    let text = reason.to_string();
    assert!(text.contains("rescue bank"), "{text}");
    assert!(matches!(reason, StopReason::GasOutOfRange { .. }), "{text}");
    let last = sim.snapshot().vessels[1];
    assert!(
        last.p_pa > 0.0 && last.t_k > 75.0 && last.t_k < 140.0,
        "last state {last:?}"
    );
    assert_conserved(&sim);
}

/// Above 500 bar no delivery is known: a machine without any relief stops there.
#[test]
fn pressure_beyond_the_gas_model_stops_the_run() {
    let mut plant = plant(vec![bare("tower", 2.0, 2.0)]);
    plant.compressor = compressor(100.0, 303.15);
    let mut sim = Sim::new(&plant, gas(), &[start(400.0 * BAR, ROOM_K)]).unwrap();
    sim.control(Control::Compressor(true));
    let Outcome::Stopped(reason) = sim.advance(1e5, &[]) else {
        panic!("went on at {:?}", sim.snapshot());
    };
    assert!(
        reason
            .to_string()
            .contains("the gas in tower left the range"),
        "{reason}"
    );
    let last = p(&sim, 0);
    assert!(
        (480.0 * BAR..=500.0 * BAR).contains(&last),
        "stopped at {last} Pa: {reason}"
    );
}

/// Plants that make no sense are refused with the part's name.
#[test]
fn bad_plants_are_refused() {
    let refusal = |change: &dyn Fn(&mut Plant)| {
        let mut plant = machine();
        change(&mut plant);
        plant
            .check()
            .map_or_else(|e| e.to_string(), |()| "accepted".to_owned())
    };
    assert_eq!(refusal(&|_| ()), "accepted");
    for (part, text) in [
        ("tower", refusal(&|p| p.vessels[TOWER].volume_m3 = 0.0)),
        (
            "pmv",
            refusal(&|p| p.valves[PMV].closes_pa = p.valves[PMV].opens_pa),
        ),
        ("relief", refusal(&|p| p.valves[RELIEF].opens_pa = f64::NAN)),
        ("bleed", refusal(&|p| p.links[3].gate = Gate::Hand(9))),
        ("leak", refusal(&|p| p.links[6].area_m2 = -1.0)),
        ("fill valve", refusal(&|p| p.links[4].to = End::Vessel(7))),
        ("disc", refusal(&|p| p.discs[0].bursts_pa = -1.0)),
        (
            "compressor",
            refusal(&|p| p.compressor.as_mut().unwrap().into = 5),
        ),
    ] {
        assert!(text.starts_with(part), "{part}: {text}");
    }
    let plant = machine();
    let empty = [start(0.0, ROOM_K); 3];
    assert!(Sim::new(&plant, gas(), &empty).is_err(), "a perfect vacuum");
    assert!(Sim::new(&plant, gas(), &[]).is_err(), "no starting states");
}

/// A fill takes few steps; not a time, so that it says the same on any machine.
#[test]
fn a_fill_takes_few_steps() {
    let plant = machine();
    let mut sim = filling(&plant);
    assert_eq!(
        sim.advance(1e5, &[rising(CYLINDER, gauge(200.0 * BAR))]),
        Outcome::Watched(0)
    );
    let effort = sim.effort();
    assert!(effort.steps < 200 && effort.rejected < 60, "{effort:?}");
}
