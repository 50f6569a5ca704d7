//! The fuzz targets' seeds, replayed: every file is read without panic, and where it can be used
//! a forecast balances or says why there is none.

use insight::forecast::forecast;
use insight::forecast::request::{Request, Until};
use quantity::TimeSpan;
use station::Severity;
use std::path::{Path, PathBuf};

fn seeds() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz/corpus/station");
    let entries = std::fs::read_dir(folder).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|e| e.unwrap().path()).collect();
    paths.sort();
    paths
}

#[test]
fn seeds_are_read_and_run() {
    let (mut usable, mut ran) = (0, 0);
    for path in seeds() {
        let bytes = std::fs::read(&path).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let reading = station::read(&text);
        let error = |p: &station::Problem| p.severity == Severity::Error;
        assert!(
            reading.station.is_some() || reading.problems.iter().any(error),
            "{path:?}"
        );
        for label in reading.problems.iter().flat_map(|p| &p.labels) {
            assert!(
                text.get(label.span.clone()).is_some(),
                "{path:?}: {label:?}"
            );
        }
        let Some(station) = reading.usable() else {
            continue;
        };
        usable += 1;
        let request = Request {
            until: Until::For(TimeSpan::minute(2.0)),
            members: 0,
            ..Request::default()
        };
        match forecast(station, &request, &|_| {}) {
            Ok(forecast) => {
                let b = &forecast.balance;
                assert!(
                    b.mass.abs() < 1e-6 && b.energy.abs() < 1e-6,
                    "{path:?}: {b:?}"
                );
                ran += 1;
            }
            Err(error) => assert!(!error.to_string().is_empty(), "{path:?}"),
        }
    }
    assert!(usable >= 6 && ran >= 5, "{usable} usable, {ran} ran");
}
