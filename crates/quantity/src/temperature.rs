//! Temperature, and temperature difference as a type of its own: 10 °C of
//! cooling is not the temperature 10 °C.

use crate::unit::{Unit, quantity};

/// Zero degrees Celsius in kelvin, by definition: BIPM SI Brochure, 9th
/// edition, section 2.3.1.
const ICE: f64 = 273.15;

/// Zero degrees Fahrenheit above absolute zero, in degrees Fahrenheit: NIST SP
/// 811 (2008), appendix B.8, T/K = (t/°F + 459.67)/1.8.
const FAHRENHEIT_ZERO: f64 = 459.67;

quantity! {
    /// Thermodynamic temperature. SI unit K, never negative.
    Temperature: "temperature", examples "24 °C, 75 °F, 297 K", shown 0 1, least 0.0;
    celsius as_celsius
        Unit::new("°C", &["C", "degC", "deg. C", "celsius"], 1.0).offset(ICE);
    fahrenheit as_fahrenheit
        Unit::new("°F", &["F", "degF", "deg. F", "fahrenheit"], 1.0 / 1.8)
            .offset(FAHRENHEIT_ZERO);
    kelvin as_kelvin Unit::new("K", &["kelvin"], 1.0);
}

quantity! {
    /// A span of temperature. SI unit K, either sign; one degree Celsius is
    /// one kelvin, one degree Fahrenheit 1/1.8 of it (NIST SP 811, B.8).
    TemperatureDifference: "temperature difference", examples "10 K, 10 °C, 18 °F", shown 0 1;
    kelvin as_kelvin Unit::new("K", &["kelvin"], 1.0);
    fahrenheit as_fahrenheit
        Unit::new("°F", &["F", "degF", "deg. F", "fahrenheit"], 1.0 / 1.8);
    celsius as_celsius Unit::new("°C", &["C", "degC", "deg. C", "celsius"], 1.0);
}
