//! The members of an ensemble: each is run to its end, change-overs included.

use insight::forecast::forecast;
use insight::forecast::request::{CylinderStart, Request};

/// Two hoses, four cylinders: between the pairs the hoses are bled to nothing while ten kilograms
/// of air stand in the cylinders beside them. A bled hose holds a tenth of a gram, and a step that
/// loses that much is no step. By the tolerances of the file no member may differ in what happens,
/// only in when: none comes near the relief valve, none is short of time.
#[test]
fn every_member_comes_through_the_change_over() {
    let file = include_str!("../../../../stations/boathouse.toml");
    let station = station::read(file).station.unwrap();
    let named = |id: &str| CylinderStart {
        id: id.into(),
        start: None,
    };
    let request = Request {
        cylinders: ["A1", "A2", "A3", "P1"].map(named).to_vec(),
        ..Request::default()
    };
    let answer = forecast(&station, &request, &|_| {}).unwrap();
    assert_eq!(answer.members_failed, [""; 0]);
    assert_eq!(answer.members, 200);
    for event in &answer.events {
        assert!(event.share > 0.999, "{} in {}", event.kind, event.share);
    }
    for cylinder in &answer.cylinders {
        let settled = cylinder.settled_15c;
        assert!(
            settled.low > 0.97 * settled.median && settled.high < 1.03 * settled.median,
            "{}: {settled:?}",
            cylinder.id
        );
        assert!(cylinder.full.is_some(), "{}", cylinder.id);
    }
}

/// An hour meter runs while the machine does. What a cartridge can take up is grams, and the grams
/// that an hour of the machine brings are those of the run over its running time: short runs, much
/// of whose air passes while the hose is bled, count no other hours than long ones.
#[test]
fn hours_left_are_hours_of_the_machine() {
    let file = include_str!("../../../../stations/boathouse.toml");
    let station = station::read(file).station.unwrap();
    let worth_g = |ids: &[&str]| {
        let named = |id: &&str| CylinderStart {
            id: (*id).into(),
            start: None,
        };
        let request = Request {
            cylinders: ids.iter().map(named).collect(),
            members: 2,
            ..Request::default()
        };
        let answer = forecast(&station, &request, &|_| {}).unwrap();
        let moment = |kind: &str| {
            let events = answer.events.iter().filter(|e| e.kind == kind);
            events.map(|e| e.t_s).sum::<f64>()
        };
        let ran_h = (moment("compressor_stopped") - moment("compressor_started")) / 3600.0;
        let bed = answer.purifier.unwrap();
        let per_hour = answer.water.unwrap().to_purifier_g / ran_h;
        bed.remaining_h.mid * per_hour + bed.held_g
    };
    let (short, long) = (worth_g(&["P1"]), worth_g(&["A1", "A2"]));
    assert!(
        (short / long - 1.0).abs() < 0.08,
        "the same bed takes up {short} g or {long} g"
    );
}
