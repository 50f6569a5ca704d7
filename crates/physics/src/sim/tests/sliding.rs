//! Valves that would flutter: bounded work, pressure within the gap.

use super::*;

const MINUTES: f64 = 600.0;

/// A snap valve with a gap of 0.01 bar and a bore a hundred times too large for
/// the compressor, on the tower alone.
fn fluttering(gap_pa: f64, mm2: f64) -> Plant {
    let mut plant = plant(vec![walled("tower", 2.0, 6000.0, 8.0, 2.0)]);
    plant.valves = vec![snap(
        "relief",
        gauge(225.0 * BAR),
        gauge(225.0 * BAR) - gap_pa,
    )];
    plant.links = vec![link("relief", 0, End::Atmosphere, mm2, Gate::Auto(0))];
    plant.compressor = compressor(100.0, 303.15);
    plant
}

/// The run gets through; events and steps per second stay bounded; the pressure
/// stays in the gap (with a ten-thousandth of itself for what a step may miss).
#[test]
fn a_relief_with_hardly_any_gap() {
    for (gap, mm2) in [
        (0.01 * BAR, 20.0),
        (0.01 * BAR, 0.05),
        (0.3 * BAR, 2.0),
        (10.0, 20.0),
    ] {
        let plant = fluttering(gap, mm2);
        let starts = [start(gauge(224.0 * BAR), ROOM_K)];
        let mut sim = Sim::new(&plant, gas(), &starts).unwrap();
        sim.control(Control::Compressor(true));
        assert_eq!(sim.advance(10.0, &[]), Outcome::Reached);
        for i in 1..=100 {
            assert_eq!(
                sim.advance(10.0 + MINUTES * f64::from(i) / 100.0, &[]),
                Outcome::Reached
            );
            let (at, high) = (p(&sim, 0), gauge(225.0 * BAR));
            let within = high * 0.9999 - gap..=high * 1.0001;
            assert!(
                within.contains(&at),
                "gap {gap} Pa, {mm2} mm²: {at} Pa, set {high} Pa"
            );
        }
        let (events, steps) = (sim.events().len(), sim.effort().steps);
        let per_second = events as f64 / MINUTES;
        assert!(
            per_second < 10.0,
            "gap {gap} Pa, {mm2} mm²: {per_second} events a second"
        );
        assert!(steps < 100_000, "gap {gap} Pa, {mm2} mm²: {steps} steps");
        let held = first(&sim, EventKind::ValveHolding(0));
        assert!(held.is_some(), "gap {gap} Pa, {mm2} mm²: taken as holding");
        let b = sim.balance();
        let kept = sim.snapshot().vessels[0].mass_kg - sim.initial.0;
        close(b.mass_in_kg - b.mass_out_kg[0], kept, 1e-9, "kg kept");
        assert_conserved(&sim);
    }
}

/// The same of a PMV into a cylinder that stays below it for seven minutes: what
/// passes is what the machine delivers.
#[test]
fn a_pmv_with_hardly_any_gap() {
    let seconds = 420.0;
    let mut plant = machine();
    plant.valves[PMV] = snap("pmv", gauge(100.0 * BAR), gauge(99.99 * BAR));
    let mut sim = at_rest(&plant, [90.0 * BAR, 5.0 * BAR, 5.0 * BAR]);
    turn(&mut sim, FILL, 1.0);
    sim.control(Control::Compressor(true));
    assert_eq!(sim.advance(60.0, &[]), Outcome::Reached);
    let before = sim.snapshot().vessels;
    let delivered = sim.balance().mass_in_kg;
    assert_eq!(sim.advance(60.0 + seconds, &[]), Outcome::Reached);
    let after = sim.snapshot().vessels;
    let tower = (after[TOWER].p_pa - ATMOSPHERE) / BAR;
    assert!((99.98..100.01).contains(&tower), "tower at {tower} bar");
    let gained = after[CYLINDER].mass_kg - before[CYLINDER].mass_kg;
    let came = sim.balance().mass_in_kg - delivered;
    close(gained, came, 5e-3 * came, "kg gained by the cylinder");
    let (events, steps) = (sim.events().len() as f64, sim.effort().steps);
    assert!(events / seconds < 10.0, "{events} events");
    assert!(steps < 100_000, "{steps} steps");
    assert_conserved(&sim);
}

/// Once the cause is gone a holding valve closes and stays closed.
#[test]
fn a_holding_valve_closes_after_the_stop() {
    let plant = fluttering(0.01 * BAR, 20.0);
    let starts = [start(gauge(224.0 * BAR), ROOM_K)];
    let mut sim = Sim::new(&plant, gas(), &starts).unwrap();
    sim.control(Control::Compressor(true));
    sim.advance(60.0, &[]);
    sim.control(Control::Compressor(false));
    sim.advance(3600.0, &[]);
    let events = sim.events().len();
    assert_eq!(
        sim.events().last().map(|e| e.kind),
        Some(EventKind::ValveClosed(0))
    );
    let vented = sim.balance().mass_out_kg[0];
    sim.advance(2.0 * 86_400.0, &[]);
    assert_eq!(sim.events().len(), events, "no events in two days of rest");
    assert_eq!(
        sim.balance().mass_out_kg[0],
        vented,
        "nothing let out in two days of rest"
    );
}

/// Two snap valves on one vessel that fight each other still let the run go on.
#[test]
fn two_fluttering_valves() {
    let mut plant = fluttering(0.01 * BAR, 20.0);
    plant
        .valves
        .push(snap("second", gauge(224.995 * BAR), gauge(224.992 * BAR)));
    plant
        .links
        .push(link("second", 0, End::Atmosphere, 5.0, Gate::Auto(1)));
    let mut sim = Sim::new(&plant, gas(), &[start(gauge(224.0 * BAR), ROOM_K)]).unwrap();
    sim.control(Control::Compressor(true));
    assert_eq!(sim.advance(MINUTES, &[]), Outcome::Reached);
    let events = sim.events().len() as f64;
    assert!(events / MINUTES < 20.0, "{events} events");
    assert!(sim.effort().steps < 100_000, "{:?}", sim.effort());
    assert_conserved(&sim);
}
