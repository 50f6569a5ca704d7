//! What the tests share: stations written as text, read and forecast as the program does.

use insight::fault::Fault;
use insight::forecast::answer::{CylinderEnd, Forecast, ForecastEvent};
use insight::forecast::forecast;
use insight::forecast::request::{CylinderStart, ForecastError, Request, Until};
use quantity::{GaugePressure, TimeSpan};
use station::{Severity, Station};

/// One psi in bar: 6894.757 Pa (NIST SP 811, appendix B.8).
pub const PSI: f64 = 0.068_947_57;

/// The machine of the trade facts: PMV 800/500 psi, 3000 psi working, relief 3300/3000 psi,
/// disc 4000 psi. Invented but for these settings.
pub const FOUR_SETTINGS: &str = r#"
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
action = "proportional"
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

/// A plain metric machine; marks in capitals are there to be replaced by [`with`].
pub const METRIC: &str = r#"
[station]
name = "Plain"
invented = true
[intake]
temperature = "20 °C"
[compressor]
working_pressure = "232 bar"
charging_rate = "100 L/min"
stage_count = 3
[pmv]
opens = "100 bar"
closes = "70 bar"
[relief]
lifts = "255 bar"
reseats = "235 bar"
[burst_disc]
bursts = "300 bar"
[vent]
[whip]
count = 1
[[gauge]]
name = "tower"
reads = "tower"
span = "400 bar"
[[cylinder_kind]]
id = "ten"
water_volume = "10 L"
working_pressure = "232 bar"
mass = "12 kg"
"#;

/// The text with one passage replaced, which must be in it.
pub fn with(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from:?} once in {text}");
    text.replace(from, to)
}

/// Reads a station that has no errors.
pub fn station(text: &str) -> Station {
    let reading = station::read(text);
    let errors: Vec<_> = reading
        .problems
        .iter()
        .filter(|p| p.severity == Severity::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:#?} in {text}");
    reading.station.unwrap()
}

/// One cylinder from this gauge pressure; a single run.
pub fn fill(id: &str, start_bar: f64) -> Request {
    Request {
        cylinders: vec![cylinder(id, start_bar)],
        members: 0,
        ..Request::default()
    }
}

pub fn cylinder(id: &str, start_bar: f64) -> CylinderStart {
    CylinderStart {
        id: id.into(),
        start: Some(GaugePressure::bar(start_bar)),
    }
}

/// The request with this wrong.
pub fn faulty(request: Request, fault: &str) -> Request {
    Request {
        faults: vec![Fault::parse(fault).unwrap()],
        ..request
    }
}

/// The request with nobody stopping for this many minutes.
pub fn left_for(request: Request, minutes: f64) -> Request {
    Request {
        until: Until::For(TimeSpan::minute(minutes)),
        ..request
    }
}

/// A forecast that must come about, of a run that balances.
pub fn run(text: &str, request: &Request) -> Forecast {
    let forecast = ask(text, request).unwrap();
    let balance = &forecast.balance;
    assert!(
        balance.mass.abs() < 1e-6 && balance.energy.abs() < 1e-6,
        "{balance:?}"
    );
    assert_eq!(forecast.members_failed, Vec::<String>::new());
    forecast
}

pub fn ask(text: &str, request: &Request) -> Result<Forecast, ForecastError> {
    forecast(&station(text), request, &|_| {})
}

/// First event of a kind.
pub fn first<'f>(forecast: &'f Forecast, kind: &str) -> Option<&'f ForecastEvent> {
    forecast.events.iter().find(|e| e.kind == kind)
}

/// The only cylinder.
pub fn only(forecast: &Forecast) -> &CylinderEnd {
    assert_eq!(forecast.cylinders.len(), 1);
    &forecast.cylinders[0]
}

/// When the only cylinder is full, s.
pub fn full_s(forecast: &Forecast) -> f64 {
    only(forecast)
        .full_s
        .unwrap_or_else(|| panic!("{}", forecast.stopped_because))
}

/// Whether a value lies within this share of another.
pub fn near(value: f64, wanted: f64, share: f64) -> bool {
    (value / wanted - 1.0).abs() <= share
}
