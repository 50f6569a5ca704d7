//! Files to begin with: they read back as what was answered.

use proptest::prelude::*;
use quantity::{FlowRate, FreeVolume, GaugePressure, Length, Typed, UnitSystem, Volume, parse};
use station::{
    AnsweredDelivery, AnsweredKind, AnsweredPmv, AnsweredSize, Answers, Capacity, Output,
    ProblemId, Severity, new_file, read,
};

fn bar(number: f64) -> Typed<GaugePressure> {
    typed(&format!("{number} bar"))
}

fn typed<Q: quantity::Quantity>(text: &str) -> Typed<Q> {
    parse(text).expect(text)
}

fn few() -> Answers {
    Answers {
        name: "Slipway".into(),
        units: UnitSystem::Metric,
        altitude: None,
        working_pressure: bar(232.0),
        delivery: AnsweredDelivery::ChargingRate(typed("100 L/min")),
        stage_count: None,
        pmv: None,
        relief_lifts: None,
        disc_bursts: None,
        tower_rating: None,
        cylinder_kind: None,
    }
}

/// Without their settings, valves stay undescribed rather than made up.
#[test]
fn few_answers() {
    let text = new_file(&few()).expect("these answers fit");
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("new_file", text);
    });
    let reading = read(&text);
    let station = reading.usable().expect("no errors");
    assert_eq!(
        (&station.pmv, &station.relief, &station.burst_disc),
        (&None, &None, &None)
    );
    let ids: Vec<ProblemId> = reading.problems.iter().map(|p| p.id).collect();
    assert_eq!(ids, [ProblemId::ReliefMissing, ProblemId::NoCylinderKind]);
}

/// The remarks tell the truth: written out, they change nothing.
#[test]
fn remarks_are_the_defaults() {
    let text = new_file(&few()).expect("these answers fit");
    let is_default = |line: &&str| line.starts_with("# ") && line.contains(" = ");
    let mut in_table = false;
    let mut written = String::new();
    for line in text.lines() {
        in_table = line.starts_with('[') || (in_table && !line.is_empty());
        let line = Some(line)
            .filter(is_default)
            .filter(|_| in_table)
            .map_or(line, |l| &l[2..]);
        written += line;
        written.push('\n');
    }
    let (before, after) = (read(&text), read(&written));
    assert!(before.assumed.len() > after.assumed.len() + 20, "{written}");
    assert_eq!(before.station, after.station);
}

#[test]
fn impossible_answers_are_refused() {
    let name_empty = Answers {
        name: " ".into(),
        ..few()
    };
    let relief_low = Answers {
        relief_lifts: Some(bar(200.0)),
        ..few()
    };
    let swapped = AnsweredPmv {
        opens: bar(70.0),
        closes: bar(100.0),
    };
    let pmv_swapped = Answers {
        pmv: Some(swapped),
        ..few()
    };
    for (answers, id) in [
        (name_empty, ProblemId::Missing),
        (relief_low, ProblemId::ReliefBelowWorking),
        (pmv_swapped, ProblemId::PmvClosesAboveOpens),
    ] {
        let found = new_file(&answers).expect_err("these answers cannot be right");
        assert_eq!(found.iter().map(|p| p.id).collect::<Vec<_>>(), [id]);
        assert!(found.iter().all(|p| p.severity == Severity::Error));
    }
}

/// Answers that fit together, in any of the forms.
fn answers() -> impl Strategy<Value = Answers> {
    let size = prop_oneof![
        (0.5..50.0f64).prop_map(|v| AnsweredSize::Water(typed::<Volume>(&format!("{v} L")))),
        (5.0..120.0f64)
            .prop_map(|v| AnsweredSize::FreeAir(typed::<FreeVolume>(&format!("{v} cu ft")))),
    ];
    let delivery = prop_oneof![
        (20.0..900.0f64)
            .prop_map(|v| AnsweredDelivery::ChargingRate(typed::<FlowRate>(&format!("{v} L/min")))),
        (1.0..40.0f64).prop_map(|v| AnsweredDelivery::FreeAirDelivery(typed::<FlowRate>(
            &format!("{v} cfm")
        ))),
    ];
    let words = "[a-zA-Z0-9\"\\\\ '#=\\[\\]äé]{0,20}[a-z]";
    (
        words,
        words,
        150.0..420.0f64,
        delivery,
        size,
        any::<[bool; 7]>(),
        0.0..4000.0f64,
    )
        .prop_map(|(name, id, working, delivery, size, given, height)| {
            let if_given = |index: usize, pressure: f64| given[index].then(|| bar(pressure));
            Answers {
                name,
                units: if given[0] {
                    UnitSystem::Us
                } else {
                    UnitSystem::Metric
                },
                altitude: given[1].then(|| typed::<Length>(&format!("{height} m"))),
                working_pressure: bar(working),
                delivery,
                stage_count: given[2].then_some(4),
                pmv: given[3].then(|| AnsweredPmv {
                    opens: bar(working * 0.5),
                    closes: bar(working * 0.4),
                }),
                relief_lifts: if_given(4, working * 1.1),
                disc_bursts: if_given(5, working * 1.3),
                tower_rating: if_given(6, working * 1.5),
                cylinder_kind: given[0].then(|| AnsweredKind {
                    id,
                    size,
                    working_pressure: bar(working * 0.9),
                }),
            }
        })
}

proptest! {
    #[test]
    fn reads_back_as_answered(answers in answers()) {
        let text = new_file(&answers).expect("these answers fit");
        let reading = read(&text);
        let station = reading.usable().expect(&text);
        prop_assert_eq!(&station.name, answers.name.trim());
        prop_assert_eq!(station.units, answers.units);
        prop_assert_eq!(station.compressor.working_pressure, answers.working_pressure.value);
        match (&station.compressor.output, answers.delivery) {
            (Output::ChargingRate(read), AnsweredDelivery::ChargingRate(given))
            | (Output::FreeAirDelivery(read), AnsweredDelivery::FreeAirDelivery(given)) => {
                prop_assert_eq!(*read, given.value);
            }
            (read, given) => prop_assert!(false, "{:?} for {:?}", read, given),
        }
        prop_assert_eq!(
            station.pmv.as_ref().map(|v| (v.opens, v.closes)),
            answers.pmv.map(|v| (v.opens.value, v.closes.value))
        );
        prop_assert_eq!(
            station.relief.as_ref().map(|v| v.lifts),
            answers.relief_lifts.map(|p| p.value)
        );
        if let Some(kind) = &answers.cylinder_kind {
            let vessel = &station.cylinder_kinds[0].vessel;
            prop_assert_eq!(&station.cylinder_kinds[0].id, kind.id.trim());
            match (vessel.capacity, kind.size) {
                (Capacity::Water(read), AnsweredSize::Water(given)) => prop_assert_eq!(read, given.value),
                (Capacity::FreeAir(read), AnsweredSize::FreeAir(given)) => prop_assert_eq!(read, given.value),
                (read, given) => prop_assert!(false, "{:?} for {:?}", read, given),
            }
        }
    }
}
