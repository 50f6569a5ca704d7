//! Factors against published definitions.
//!
//! The printed figures are those of NIST Special Publication 811 (2008),
//! appendix B.8, "Factors for units listed alphabetically", to the seven
//! figures printed there; they were written from memory of the document, and
//! those marked s agree with scipy.constants 1.17.1 to the last printed digit.

use quantity::{
    AbsolutePressure, Concentration, FlowRate, Fraction, FreeVolume, GaugePressure, Length, Mass,
    Power, PressureDifference, Quantity, Speed, Temperature, TemperatureDifference, TimeSpan,
    Volume,
};

#[test]
fn nist_sp_811_appendix_b8_factors() {
    let table = [
        ("psi (s)", GaugePressure::psi(1.0).si(), 6.894757e3),
        ("psi abs (s)", AbsolutePressure::psi(1.0).si(), 6.894757e3),
        (
            "psi of difference (s)",
            PressureDifference::psi(1.0).si(),
            6.894757e3,
        ),
        (
            "conventional inch of mercury",
            AbsolutePressure::inch_of_mercury(1.0).si(),
            3.386389e3,
        ),
        ("cubic foot", Volume::cubic_foot(1.0).si(), 2.831685e-2),
        (
            "cubic foot of free gas",
            FreeVolume::cubic_foot(1.0).si(),
            2.831685e-2,
        ),
        ("cubic inch", Volume::cubic_inch(1.0).si(), 1.638706e-5),
        (
            "cubic foot per minute",
            FlowRate::cubic_foot_per_minute(1.0).si(),
            4.719474e-4,
        ),
        ("pound (s)", Mass::pound(1.0).si(), 4.535924e-1),
        ("ounce, avoirdupois (s)", Mass::ounce(1.0).si(), 2.834952e-2),
        (
            "horsepower, 550 ft·lbf/s (s)",
            Power::horsepower(1.0).si(),
            7.456999e2,
        ),
        (
            "horsepower, metric",
            Power::metric_horsepower(1.0).si(),
            7.354988e2,
        ),
        (
            "degree Fahrenheit, interval",
            TemperatureDifference::fahrenheit(1.0).si(),
            5.555556e-1,
        ),
        (
            "revolution per minute",
            Speed::per_minute(1.0).si(),
            1.666667e-2,
        ),
    ];
    for (name, ours, printed) in table {
        assert!(
            (ours / printed - 1.0).abs() < 3e-7,
            "{name}: {ours}, printed {printed}"
        );
    }
}

/// Exact by definition: the international yard and pound agreement of 1959
/// (inch 25.4 mm, pound 0.45359237 kg), the SI brochure, 9th edition, tables 8
/// and 7 (minute, hour, day, litre, bar by its use of 100 kPa, prefixes).
#[test]
fn exact_definitions() {
    let table = [
        ("bar", GaugePressure::bar(1.0).si(), 1e5),
        ("mbar", AbsolutePressure::mbar(1.0).si(), 100.0),
        ("hPa", AbsolutePressure::hectopascal(1.0).si(), 100.0),
        ("kPa", GaugePressure::kilopascal(1.0).si(), 1e3),
        ("MPa", GaugePressure::megapascal(1.0).si(), 1e6),
        ("Pa", PressureDifference::pascal(1.0).si(), 1.0),
        ("in", Length::inch(1.0).si(), 0.0254),
        ("ft", Length::foot(1.0).si(), 0.3048),
        ("mm", Length::millimetre(1.0).si(), 0.001),
        ("cm", Length::centimetre(1.0).si(), 0.01),
        ("lb", Mass::pound(1.0).si(), 0.45359237),
        ("g", Mass::gram(1.0).si(), 1e-3),
        ("mg", Mass::milligram(1.0).si(), 1e-6),
        ("cu ft", Volume::cubic_foot(1.0).si(), 0.028316846592),
        ("cu in", Volume::cubic_inch(1.0).si(), 0.000016387064),
        ("L", Volume::litre(1.0).si(), 1e-3),
        ("mL", Volume::millilitre(1.0).si(), 1e-6),
        ("cm3", Volume::cubic_centimetre(1.0).si(), 1e-6),
        ("L/min", FlowRate::litre_per_minute(60.0).si(), 1e-3),
        ("L/s", FlowRate::litre_per_second(1.0).si(), 1e-3),
        ("m3/h", FlowRate::cubic_metre_per_hour(3600.0).si(), 1.0),
        ("m3/min", FlowRate::cubic_metre_per_minute(60.0).si(), 1.0),
        ("min", TimeSpan::minute(1.0).si(), 60.0),
        ("h", TimeSpan::hour(1.0).si(), 3600.0),
        ("d", TimeSpan::day(1.0).si(), 86400.0),
        ("%", Fraction::percent(75.0).si(), 0.75),
        ("ppm", Fraction::part_per_million(1.0).si(), 1e-6),
        ("ratio", Fraction::ratio(0.75).si(), 0.75),
        ("kW", Power::kilowatt(2.2).si(), 2200.0),
        (
            "mg/m3",
            Concentration::milligram_per_cubic_metre(1.0).si(),
            1e-6,
        ),
        (
            "µg/m3",
            Concentration::microgram_per_cubic_metre(1.0).si(),
            1e-9,
        ),
        ("g/m3", Concentration::gram_per_cubic_metre(1.0).si(), 1e-3),
    ];
    for (name, ours, exact) in table {
        assert!(
            (ours / exact - 1.0).abs() < 4e-16,
            "{name}: {ours}, exactly {exact}"
        );
    }
}

/// A cubic foot is three feet multiplied, a cubic inch three inches, a pound
/// sixteen ounces.
#[test]
fn compound_units_follow_from_their_parts() {
    let foot = Length::foot(1.0).si();
    assert!((Volume::cubic_foot(1.0).si() / foot.powi(3) - 1.0).abs() < 1e-15);
    let inch = Length::inch(1.0).si();
    assert!((Volume::cubic_inch(1.0).si() / inch.powi(3) - 1.0).abs() < 1e-15);
    assert!((Volume::cubic_inch(1728.0).as_cubic_foot() - 1.0).abs() < 1e-15);
    assert!((Mass::ounce(16.0).as_pound() - 1.0).abs() < 1e-15);
}

/// Fixed points of the scales: SI brochure, 9th edition, 2.3.1 (0 °C = 273.15 K
/// exactly) and NIST SP 811 (2008), B.8 (t/°C = (t/°F − 32)/1.8); the two
/// scales meet at −40.
#[test]
fn temperature_scales() {
    for (celsius, fahrenheit, kelvin) in [
        (0.0, 32.0, 273.15),
        (100.0, 212.0, 373.15),
        (-40.0, -40.0, 233.15),
        (15.0, 59.0, 288.15),
        (-273.15, -459.67, 0.0),
    ] {
        let from_c = Temperature::celsius(celsius);
        let from_f = Temperature::fahrenheit(fahrenheit);
        assert!(
            (from_c.as_kelvin() - kelvin).abs() < 1e-12,
            "{celsius} °C: {from_c:?}"
        );
        assert!(
            (from_f.as_kelvin() - kelvin).abs() < 1e-12,
            "{fahrenheit} °F: {from_f:?}"
        );
        assert!(
            (from_c.as_fahrenheit() - fahrenheit).abs() < 1e-12,
            "{celsius} °C"
        );
        assert!(
            (from_f.as_celsius() - celsius).abs() < 1e-12,
            "{fahrenheit} °F"
        );
    }
}

/// 10 °C of cooling is 10 K and 18 °F, whatever the temperature.
#[test]
fn temperature_difference_has_no_zero_of_its_own() {
    let fall = TemperatureDifference::celsius(10.0);
    assert_eq!(fall.as_kelvin(), 10.0);
    assert!((fall.as_fahrenheit() - 18.0).abs() < 1e-14);
    let cooled = Temperature::celsius(24.0) - fall;
    assert!((cooled.as_celsius() - 14.0).abs() < 1e-12);
    assert!(((Temperature::celsius(24.0) - cooled).as_kelvin() - 10.0).abs() < 1e-12);
    assert_eq!(cooled + fall, Temperature::celsius(24.0));
}

/// The standard atmosphere is 101 325 Pa (10th CGPM, 1954, resolution 4), in
/// US units 14.696 psi (U.S. Standard Atmosphere, 1976, table of constants).
#[test]
fn gauge_and_absolute_differ_by_the_atmosphere() {
    let atmosphere = AbsolutePressure::pascal(101_325.0);
    assert!(
        (atmosphere.as_psi() - 14.696).abs() < 5e-4,
        "{} psi",
        atmosphere.as_psi()
    );
    let dial = GaugePressure::bar(232.0);
    assert_eq!(dial.above(atmosphere).as_pascal(), 23_301_325.0);
    assert_eq!(dial.above(atmosphere).gauge(atmosphere), dial);
    assert_eq!(GaugePressure::pascal(0.0).above(atmosphere), atmosphere);
    assert_eq!(
        AbsolutePressure::pascal(0.0).gauge(atmosphere).as_pascal(),
        -101_325.0
    );
    let drop = PressureDifference::bar(5.0);
    assert_eq!(
        (dial - drop).above(atmosphere),
        dial.above(atmosphere) - drop
    );
    assert_eq!(dial - (dial - drop), drop);
    assert_eq!((dial + drop).as_bar(), 237.0);
}
