//! Runs that go on in a changed plant: nothing is lost, nothing moves by itself.

use super::*;

const GAUGES: [f64; 3] = [850.0 * PSI, 0.0, 700.0 * PSI];

fn running(plant: &Plant) -> Sim<'_> {
    let mut sim = at_rest(plant, GAUGES);
    turn(&mut sim, FILL, 1.0);
    sim.control(Control::Compressor(true));
    assert_eq!(sim.advance(120.0, &[]), Outcome::Reached);
    sim
}

fn same_readings(a: &Snapshot, b: &Snapshot, tolerance: f64, what: &str) {
    for (a, b) in a.vessels.iter().zip(&b.vessels) {
        close(a.p_pa, b.p_pa, tolerance * a.p_pa, what);
        close(a.t_k, b.t_k, tolerance * a.t_k, what);
        close(a.wall_k, b.wall_k, tolerance * a.wall_k, what);
        close(a.mass_kg, b.mass_kg, tolerance * a.mass_kg, what);
    }
}

/// The moment of the change itself changes no reading, and the run goes on as if there had been
/// none where nothing is different.
#[test]
fn a_change_of_nothing_changes_nothing() {
    let plant = machine();
    let before = running(&plant);
    let now = before.snapshot();
    let mut whole = before.clone();
    let mut gone_on = before.changed(plant.clone(), gas(), &[]).unwrap();
    same_readings(&gone_on.snapshot(), &now, 1e-14, "at the change");
    assert!(gone_on.running(), "the motor is still on");
    assert_eq!(gone_on.opening(FILL), Some(1.0));
    whole.advance(600.0, &[]);
    gone_on.advance(600.0, &[]);
    same_readings(
        &gone_on.snapshot(),
        &whole.snapshot(),
        1e-5,
        "ten minutes on",
    );
}

/// Identity: what was held before, and came and went before and after, is what is held after.
#[test]
fn mass_and_energy_are_kept_across_a_leak_put_in() {
    let plant = machine();
    let before = running(&plant);
    let start: f64 = at_rest(&plant, GAUGES)
        .snapshot()
        .vessels
        .iter()
        .map(|v| v.mass_kg)
        .sum();
    let first = before.balance();
    let contents = before.contents();
    let mut leaking = plant.clone();
    leaking
        .links
        .push(link("tower leak", TOWER, End::Atmosphere, 0.05, Gate::Open));
    let mut after = before.changed(leaking, gas(), &[]).unwrap();
    assert_eq!(after.contents(), contents, "mass and energy at the change");
    after.advance(900.0, &[]);
    let second = after.balance();
    assert!(second.mass_residual.abs() < 1e-12, "{second:?}");
    assert!(second.energy_residual.abs() < 1e-9, "{second:?}");
    let lost = |b: &Balance| b.mass_out_kg.iter().sum::<f64>();
    assert!(lost(&second) > 0.01, "the leak leaks");
    let held: f64 = after.snapshot().vessels.iter().map(|v| v.mass_kg).sum();
    let came = first.mass_in_kg + second.mass_in_kg - lost(&first) - lost(&second);
    close(held, start + came, 1e-12, "kg in the plant");
}

/// A valve that seizes stays as it is told; one set free again acts from where it stands.
#[test]
fn a_valve_seizes_and_is_set_free() {
    let plant = machine();
    let at = |action: Action| {
        let mut plant = plant.clone();
        plant.valves[PMV].action = action;
        plant
    };
    let shut = running(&plant).changed(at(Action::StuckShut), gas(), &[]);
    let mut shut = shut.unwrap();
    let (line, tower) = (p(&shut, LINE), p(&shut, TOWER));
    shut.advance(150.0, &[]);
    assert!(p(&shut, LINE) <= line, "nothing passes a PMV seized shut");
    assert!(p(&shut, TOWER) > tower + 5.0 * BAR, "and the tower climbs");
    let mut free = shut.changed(plant.clone(), gas(), &[]).unwrap();
    free.advance(200.0, &[]);
    assert!(p(&free, LINE) > line, "set free it opens again");
    let open = running(&plant).changed(at(Action::StuckOpen), gas(), &[]);
    let mut open = open.unwrap();
    open.control(Control::Compressor(false));
    turn(&mut open, FILL, 0.0);
    turn(&mut open, BLEED, 1.0);
    open.advance(1500.0, &[]);
    assert!(
        p(&open, TOWER) < gauge(100.0 * PSI),
        "bleeding the line empties the tower through it"
    );
    let free = open.changed(plant.clone(), gas(), &[]).unwrap();
    let mut free = free;
    free.control(Control::Compressor(true));
    free.advance(1510.0, &[]);
    let line = p(&free, LINE);
    assert!(line < gauge(20.0 * PSI), "set free it shuts: {line}");
}

/// Another cylinder in the same place brings its own air; everything else keeps its own.
#[test]
fn another_cylinder_is_put_on() {
    let plant = machine();
    let before = running(&plant);
    let (tower, line) = (p(&before, TOWER), p(&before, LINE));
    let other = start(gauge(200.0 * PSI), ROOM_K);
    let after = before.changed(plant.clone(), gas(), &[(CYLINDER, other)]);
    let after = after.unwrap();
    close(
        p(&after, CYLINDER),
        gauge(200.0 * PSI),
        50.0,
        "Pa in the other cylinder",
    );
    close(p(&after, TOWER), tower, 1e-6, "Pa in the tower");
    close(p(&after, LINE), line, 1e-6, "Pa in the line");
}

#[test]
fn a_plant_with_other_parts_is_refused() {
    let plant = machine();
    let mut smaller = plant.clone();
    smaller.discs.clear();
    smaller.links.retain(|l| !matches!(l.gate, Gate::Disc(_)));
    smaller.discs.push(Disc {
        name: "another".into(),
        senses: 0,
        bursts_pa: 400.0 * BAR,
    });
    smaller.discs.push(smaller.discs[0].clone());
    let error = running(&plant).changed(smaller, gas(), &[]).unwrap_err();
    assert!(error.to_string().starts_with("discs: "), "{error}");
}

/// A run of many short pieces: what has happened is handed over once.
#[test]
fn events_are_taken_once() {
    let mut sim = Sim::owning(machine(), gas(), &[]).map(|_| ()).err();
    assert!(sim.take().is_some(), "starts are needed");
    let plant = machine();
    let mut sim = running(&plant);
    let first = sim.take_events();
    assert!(first.iter().any(|e| e.kind == EventKind::CompressorStarted));
    assert_eq!(sim.take_events(), []);
    sim.control(Control::Compressor(false));
    assert_eq!(sim.take_events().len(), 1);
}
