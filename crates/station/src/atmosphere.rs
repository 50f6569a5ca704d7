//! Pressure of the standard atmosphere at an altitude. Nothing else about air.

use quantity::{AbsolutePressure, Length};

/// Pressure of the standard atmosphere in its lowest layer,
///
/// p = p₀ · (1 − L·h / T₀)^(g / (R·L))
///
/// | symbol | is | value |
/// |---|---|---|
/// | p₀, T₀ | pressure and temperature at sea level | 101 325 Pa, 288.15 K |
/// | L | fall of temperature with height | 0.0065 K/m |
/// | g, R | gravity, gas constant of air | 9.806 65 m/s², 287.052 87 J/(kg·K) |
///
/// **Holds** from −2000 to 11 000 m of geopotential altitude; read here from −450 to 5000 m.
/// **Leaves out** the weather (±4 %) and the difference between geometric and geopotential
/// altitude (0.05 % of pressure at 5000 m).
/// **Source** ISO 2533:1975, standard atmosphere.
pub(crate) fn standard_pressure(altitude: Length) -> AbsolutePressure {
    const LAPSE: f64 = 0.0065;
    const EXPONENT: f64 = 9.806_65 / (287.052_87 * LAPSE);
    let cooling = (1.0 - LAPSE * altitude.as_metre() / 288.15).max(0.0);
    AbsolutePressure::pascal(101_325.0 * cooling.powf(EXPONENT))
}

#[cfg(test)]
mod tests {
    use super::standard_pressure;
    use quantity::Length;

    /// ISO 2533:1975 / ICAO Doc 7488, table of pressure by geopotential altitude (values from
    /// memory): 1000, 2000, 3000 and 5000 m.
    #[test]
    fn iso_2533_table() {
        for (metre, hectopascal) in [
            (0.0, 1013.25),
            (1000.0, 898.746),
            (2000.0, 794.952),
            (3000.0, 701.085),
            (5000.0, 540.199),
        ] {
            let p = standard_pressure(Length::metre(metre)).as_pascal() / 100.0;
            assert!(
                (p - hectopascal).abs() < 6e-3,
                "{metre} m: {p} hPa, table {hectopascal} hPa"
            );
        }
    }

    #[test]
    fn falls_with_height_over_the_range_read() {
        let at = |h: i32| standard_pressure(Length::metre(f64::from(h))).as_pascal();
        assert!((-45..500).all(|h| at(10 * h) > at(10 * h + 10)));
    }
}
