//! Whatever the text, reading ends, never panics, and every place it names is in the text.

use crate::common::BASE;
use proptest::prelude::*;
use station::{Severity, read};

const BOATHOUSE: &str = include_str!("../../../../stations/boathouse.toml");
const ENGINE_HOUSE: &str = include_str!("../../../../stations/engine-house.toml");

/// What holds for every reading.
fn sound(text: &str) -> Result<(), TestCaseError> {
    let reading = read(text);
    for problem in &reading.problems {
        prop_assert!(!problem.labels.is_empty(), "{:?}", problem);
        for label in &problem.labels {
            prop_assert!(
                text.get(label.span.clone()).is_some(),
                "{:?} in {:?}",
                label,
                text
            );
        }
    }
    let errors = reading
        .problems
        .iter()
        .any(|p| p.severity == Severity::Error);
    prop_assert!(
        reading.station.is_some() || errors,
        "no station and no reason: {:?}",
        text
    );
    Ok(())
}

/// Values of every sort, right and wrong.
fn value() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("\"232 bar\"".to_owned()),
        Just("\"20 °C\"".to_owned()),
        Just("\"3 L\"".to_owned()),
        Just("[\"check\", \"pmv\", 3, [\"relief\"]]".to_owned()),
        Just("{ opens = \"1 bar\", id = { x = [] } }".to_owned()),
        Just("2024-02-30".to_owned()),
        Just("2024-02-28T10:00:00Z".to_owned()),
        Just("[{ id = \"a\" }, { id = \"a\", kind = \"b\" }, 4]".to_owned()),
        any::<f64>().prop_map(|n| format!("{n:?}")),
        any::<i64>().prop_map(|n| n.to_string()),
        "\\PC{0,12}".prop_map(|t| format!("'{}'", t.replace('\'', ""))),
    ]
}

/// Files of known and unknown tables and keys with such values.
fn toml() -> impl Strategy<Value = String> {
    let table = prop::sample::select(vec![
        "[station]",
        "[intake]",
        "[compressor]",
        "[[compressor.stage]]",
        "[[compressor.delivery]]",
        "[separator]",
        "[purifier]",
        "[[purifier.bed]]",
        "[tower]",
        "[air_path]",
        "[pmv]",
        "[relief]",
        "[burst_disc]",
        "[vent]",
        "[whip]",
        "[[gauge]]",
        "[[bank]]",
        "[[cylinder_kind]]",
        "[[cylinder]]",
        "[tolerances]",
        "[now]",
        "[now.cylinders]",
        "[other]",
        "[gauge]",
        "[[pmv]]",
        "",
    ]);
    let key = prop::sample::select(vec![
        "name",
        "altitude",
        "ambient_pressure",
        "units",
        "temperature",
        "working_pressure",
        "charging_rate",
        "free_air_delivery",
        "stage_count",
        "speed",
        "swept_volume",
        "clearance",
        "at",
        "free_air",
        "volume",
        "changed",
        "kind",
        "mass",
        "order",
        "opens",
        "closes",
        "lifts",
        "reseats",
        "bursts",
        "tolerance",
        "count",
        "reads",
        "span",
        "class",
        "id",
        "water_volume",
        "test_pressure",
        "tested",
        "plus",
        "cylinders",
        "pmv",
        "station",
        "\"\"",
        "relief.lifts",
    ]);
    let line = (key, value()).prop_map(|(key, value)| format!("{key} = {value}\n"));
    let block = (table, prop::collection::vec(line, 0..5))
        .prop_map(|(table, lines)| format!("{table}\n{}", lines.concat()));
    prop::collection::vec(block, 0..8).prop_map(|blocks| blocks.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn random_text(text in "\\PC*") {
        sound(&text)?;
    }

    #[test]
    fn random_lines(text in "([a-z_]{1,4}|[\\[\\]{}\"'=.,#\\\\ \n\r\té°0-9-]){0,60}") {
        sound(&text)?;
        sound(&format!("{BASE}{text}"))?;
    }

    #[test]
    fn random_toml(text in toml()) {
        sound(&text)?;
        sound(&format!("{text}{BASE}"))?;
    }

    #[test]
    fn spoilt_files(
        engine in any::<bool>(),
        places in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..3u8), 1..6),
    ) {
        let mut bytes = if engine { ENGINE_HOUSE } else { BOATHOUSE }.as_bytes().to_vec();
        for (index, byte, what) in places {
            let at = index.index(bytes.len());
            match what {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => { bytes.remove(at); }
            }
        }
        sound(&String::from_utf8_lossy(&bytes))?;
    }
}
