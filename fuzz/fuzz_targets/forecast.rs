//! Any bytes as a station file, and two minutes of running where it can be used: a forecast that
//! balances or a reason why not, and no panic.

#![no_main]

use insight::forecast::forecast;
use insight::forecast::request::{Request, Until};
use libfuzzer_sys::fuzz_target;
use quantity::TimeSpan;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let reading = station::read(&text);
    let Some(station) = reading.usable() else {
        return;
    };
    let request = Request {
        until: Until::For(TimeSpan::minute(2.0)),
        members: 0,
        ..Request::default()
    };
    if let Ok(forecast) = forecast(station, &request, &|_| {}) {
        let balance = &forecast.balance;
        assert!(
            balance.mass.abs() < 1e-6 && balance.energy.abs() < 1e-6,
            "{balance:?}"
        );
    }
});
