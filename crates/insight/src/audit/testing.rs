//! Stations of our own invention for the tests of the rules.

use super::{AuditInput, Finding, Look, RULES};
use station::{Severity, Station};

/// The trade's usual relations (common practice, no source): PMV 800/500 psi, working
/// 3000 psi, relief valve 3300/3000 psi, disc 4000 psi. Invented but for these settings.
pub(crate) const TRADE: &str = r#"
[station]
name = "Four settings"
units = "us"
invented = true
[compressor]
working_pressure = "3000 psi"
charging_rate = "4 cfm"
[pmv]
opens = "800 psi"
closes = "500 psi"
[relief]
lifts = "3300 psi"
reseats = "3000 psi"
[burst_disc]
bursts = "4000 psi"
[[gauge]]
name = "tower"
reads = "tower"
span = "5000 psi"
[[cylinder_kind]]
id = "eighty"
free_air = "80 cu ft"
service_pressure = "3000 psi"
material = "aluminium"
"#;

/// A metric machine on which no rule of protection fires.
pub(crate) fn metric() -> &'static str {
    r#"
[station]
name = "Plain"
invented = true
[intake]
temperature = "20 °C"
[compressor]
working_pressure = "232 bar" # machine
charging_rate = "100 L/min"
stage_count = 3
[separator]
[pmv]
opens = "100 bar"
closes = "70 bar"
[relief]
lifts = "255 bar"
reseats = "240 bar"
[burst_disc]
bursts = "300 bar"
[tower]
rated_pressure = "350 bar" # tower
[whip]
rated_pressure = "345 bar" # hose
[[gauge]]
name = "tower"
reads = "tower"
span = "400 bar"
[[cylinder_kind]]
id = "ten"
water_volume = "10 L"
working_pressure = "232 bar"
test_pressure = "348 bar"
"#
}

/// The text with one passage replaced, which must be in it once.
pub(crate) fn with(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from:?} once in {text}");
    text.replace(from, to)
}

/// The station of a text; contradictions are what the audit is for.
pub(crate) fn station(text: &str) -> Station {
    let reading = station::read(text);
    let unread = |p: &&station::Problem| p.severity == Severity::Error;
    let errors: Vec<_> = reading.problems.iter().filter(unread).collect();
    reading
        .station
        .unwrap_or_else(|| panic!("{errors:#?} in {text}"))
}

/// What one rule sees.
pub(crate) fn look(rule: &str, text: &str) -> Look {
    let station = station(text);
    let rule = RULES
        .iter()
        .find(|r| r.id == rule)
        .expect("a rule of that name");
    (rule.check)(&AuditInput::new(&station))
}

/// What one rule finds.
pub(crate) fn found(rule: &str, text: &str) -> Vec<Finding> {
    look(rule, text).findings
}

/// The claims of one rule.
pub(crate) fn claims(rule: &str, text: &str) -> Vec<String> {
    found(rule, text).into_iter().map(|f| f.claim).collect()
}
