//! Any bytes as a station file: reading ends, does not panic, names only places that are in the
//! text, and gives a station or an error.

#![no_main]

use libfuzzer_sys::fuzz_target;
use station::{Severity, read};

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let reading = read(&text);
    for problem in &reading.problems {
        assert!(!problem.labels.is_empty(), "{problem:?}");
        for label in &problem.labels {
            assert!(text.get(label.span.clone()).is_some(), "{label:?}");
        }
    }
    let error = |p: &station::Problem| p.severity == Severity::Error;
    assert!(reading.station.is_some() || reading.problems.iter().any(error));
});
