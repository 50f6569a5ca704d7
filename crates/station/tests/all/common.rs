//! A problem as plain text, and a small station to spoil.

use station::{Problem, Severity};

/// A station with nothing wrong, to be changed by each test.
pub const BASE: &str = r#"[station]
name = "Test shed"
[compressor]
working_pressure = "232 bar"
charging_rate = "100 L/min"
[relief]
lifts = "255 bar"
[[cylinder_kind]]
id = "twelve"
water_volume = "12 L"
working_pressure = "232 bar"
"#;

/// One problem: severity, id, message; each place with its line and text; the remedy.
pub fn plain(text: &str, problem: &Problem) -> String {
    let severity = match problem.severity {
        Severity::Warning => "warning",
        Severity::Error => "error",
    };
    let mut out = format!("{severity} {}: {}\n", problem.id, problem.message);
    for label in &problem.labels {
        let line = text[..label.span.start].matches('\n').count() + 1;
        let under = &text[label.span.clone()];
        out += &format!("  line {line}, {under:?}: {}\n", label.text);
    }
    out += &format!("  {}\n", problem.remedy);
    out
}

/// All problems of a file.
pub fn all(text: &str) -> String {
    station::read(text)
        .problems
        .iter()
        .map(|p| plain(text, p))
        .collect()
}
