//! What is read, and as what.

use quantity::{
    AbsolutePressure, Concentration, FlowRate, Fraction, FreeVolume, GaugePressure, Length, Mass,
    Power, PressureDifference, Quantity, Speed, Temperature, TemperatureDifference, TimeSpan,
    UnitSystem, Volume, clock, display_as, parse, show,
};

/// Reads every text as the quantity given.
fn reads<Q: Quantity + PartialEq + std::fmt::Debug>(expected: Q, texts: &[&str]) {
    for text in texts {
        let got = parse::<Q>(text).map(|typed| typed.value);
        assert_eq!(got, Ok(expected), "{text:?}");
    }
}

#[test]
fn gauge_pressure() {
    reads(
        GaugePressure::bar(232.0),
        &[
            "232 bar",
            "232bar",
            "  232  bar ",
            "232\u{a0}bar",
            "232\u{202f}bar",
            "232 Bar",
            "232 BAR",
            "232 bar g",
            "232 barg",
            "232 bar(g)",
            "232 bar (g)",
            "+232 bar",
            "232.0 bar",
            "2.32e2 bar",
            "2.32E+2bar",
            "232. bar",
        ],
    );
    reads(
        GaugePressure::psi(3300.0),
        &[
            "3300 psi",
            "3,300 psi",
            "3300 PSI",
            "3300 psig",
            "3,300.0 psi",
            "3300 lbf/in²",
        ],
    );
    reads(
        GaugePressure::megapascal(23.0),
        &["23 MPa", "23 Mpa", "23 MPA", "23 MPa g"],
    );
    reads(
        GaugePressure::kilopascal(23_200.0),
        &["23200 kPa", "23,200 KPA", "23200 kPag"],
    );
    reads(
        GaugePressure::mbar(15.0),
        &["15 mbar", "15 mBar", "15 mbarg"],
    );
    reads(
        GaugePressure::bar(-0.2),
        &["-0.2 bar", "−0.2 bar", "-.2 bar"],
    );
    reads(GaugePressure::psi(1_250_300.0), &["1,250,300 psi"]);
}

#[test]
fn other_pressures() {
    reads(
        AbsolutePressure::bar(1.013),
        &[
            "1.013 bar",
            "1.013 bar abs",
            "1.013 bara",
            "1.013 bar a",
            "1.013 bar(a)",
            "1.013 BAR ABS",
        ],
    );
    reads(
        AbsolutePressure::psi(14.7),
        &["14.7 psi", "14.7 psia", "14.7 psi abs"],
    );
    reads(
        AbsolutePressure::hectopascal(1013.0),
        &["1013 hPa", "1013 hpa"],
    );
    reads(
        AbsolutePressure::inch_of_mercury(29.92),
        &["29.92 inHg", "29.92 in Hg"],
    );
    reads(PressureDifference::bar(5.0), &["5 bar", "+5 bar"]);
}

#[test]
fn temperatures() {
    reads(
        Temperature::celsius(24.0),
        &[
            "24 °C",
            "24°C",
            "24 C",
            "24 c",
            "24 degC",
            "24 deg C",
            "24 ºC",
            "24 ℃",
            "24 Celsius",
        ],
    );
    reads(
        Temperature::fahrenheit(75.0),
        &["75 °F", "75 F", "75°f", "75 degF"],
    );
    reads(
        Temperature::kelvin(293.0),
        &["293 K", "293 k", "293 kelvin"],
    );
    reads(TemperatureDifference::kelvin(10.0), &["10 K", "10 °C"]);
    reads(TemperatureDifference::fahrenheit(18.0), &["18 °F"]);
}

#[test]
fn amounts() {
    reads(
        Volume::litre(2.2),
        &["2.2 L", "2.2 l", "2.2 litres", "2.2 dm³"],
    );
    reads(Volume::millilitre(90.0), &["90 mL", "90 ml"]);
    reads(
        Volume::cubic_centimetre(90.0),
        &["90 cm³", "90 cc", "90 CC"],
    );
    reads(
        Volume::cubic_inch(730.0),
        &["730 cu in", "730 in3", "730 in³"],
    );
    reads(
        FreeVolume::cubic_foot(80.0),
        &["80 cu ft", "80 cuft", "80 ft3", "80 ft³", "80 Cu. Ft."],
    );
    reads(Mass::kilogram(12.5), &["12.5 kg", "12.5 Kg", "12.5 KG"]);
    reads(Mass::pound(27.0), &["27 lb", "27 lbs", "27 LB"]);
    reads(Mass::gram(350.0), &["350 g"]);
    reads(Length::millimetre(4.0), &["4 mm", "4mm"]);
    reads(Length::inch(0.16), &["0.16 in", "0.16\"", ".16 inch"]);
    reads(Length::foot(820.0), &["820 ft", "820 feet", "820'"]);
    reads(Length::metre(-400.0), &["-400 m"]);
}

#[test]
fn rates() {
    reads(
        FlowRate::litre_per_minute(100.0),
        &["100 L/min", "100 l/min", "100 lpm", "100 L / min"],
    );
    reads(
        FlowRate::cubic_metre_per_hour(6.0),
        &["6 m3/h", "6 m³/h", "6 M3/H"],
    );
    reads(
        FlowRate::cubic_foot_per_minute(3.5),
        &["3.5 cfm", "3.5 CFM", "3.5 ft³/min"],
    );
    reads(Fraction::percent(75.0), &["75 %", "75%", "75 percent"]);
    reads(Fraction::part_per_million(400.0), &["400 ppm"]);
    reads(
        Speed::per_minute(1450.0),
        &["1450 rpm", "1,450 RPM", "1450 1/min", "1450 r/min"],
    );
    reads(Power::kilowatt(2.2), &["2.2 kW", "2.2 kw", "2.2 KW"]);
    reads(Power::horsepower(3.0), &["3 hp", "3 HP"]);
    reads(
        Concentration::milligram_per_cubic_metre(5.0),
        &["5 mg/m3", "5 mg/m³", "5 mg / m^3"],
    );
    reads(
        Concentration::microgram_per_cubic_metre(300.0),
        &["300 µg/m3", "300 μg/m³", "300 ug/m3"],
    );
}

#[test]
fn times() {
    reads(
        TimeSpan::minute(90.0),
        &[
            "90 min",
            "1 h 30 min",
            "1h30min",
            "1h 30m",
            "1.5 h 0 min",
            "1 h 30 min 0 s",
            "90:00",
        ],
    );
    reads(
        TimeSpan::second(750.0),
        &["12:30", " 12:30 ", "750 s", "12 min 30 s", "0:12:30"],
    );
    reads(
        TimeSpan::second(-750.0),
        &["-12:30", "-12 min 30 s", "−12:30"],
    );
    reads(TimeSpan::second(3750.0), &["1:02:30", "1 h 2 min 30 s"]);
    reads(TimeSpan::hour(36.0), &["36 h", "1 d 12 h", "1.5 days"]);
    reads(TimeSpan::second(45.0), &["45 s", "45 sec", "0:45"]);
}

/// The number and unit stay as typed.
#[test]
fn typed_text_comes_back() {
    let back = |text| parse::<GaugePressure>(text).unwrap().to_string();
    assert_eq!(back("232bar"), "232 bar");
    assert_eq!(back("3,300 PSIG"), "3300 psi");
    assert_eq!(parse::<Temperature>("75 F").unwrap().to_string(), "75 °F");
    assert_eq!(
        parse::<AbsolutePressure>("1013 mbar").unwrap().to_string(),
        "1013 mbar abs"
    );
    assert_eq!(
        parse::<FreeVolume>("80 ft3").unwrap().to_string(),
        "80 cu ft"
    );
    assert_eq!(
        parse::<TimeSpan>("1 h 20 min").unwrap().to_string(),
        "80 min"
    );
    assert_eq!(parse::<TimeSpan>("12:30").unwrap().to_string(), "750 s");
    let typed = parse::<GaugePressure>("3300 psi").unwrap();
    assert_eq!((typed.number, typed.unit.symbol), (3300.0, "psi"));
}

#[test]
fn shown_to_so_many_decimals() {
    let p = GaugePressure::bar(232.0);
    assert_eq!(
        show(p, UnitSystem::Metric.preferred::<GaugePressure>(), 0),
        "232 bar"
    );
    // 232 bar / 6894.757 Pa = 3364.88 psi (NIST SP 811, B.8).
    assert_eq!(
        show(p, UnitSystem::Us.preferred::<GaugePressure>(), 1),
        "3364.9 psi"
    );
    let nothing = TemperatureDifference::kelvin(-0.04);
    assert_eq!(show(nothing, TemperatureDifference::METRIC, 1), "0.0 K");
}

#[test]
fn shown_to_four_figures() {
    assert_eq!(
        display_as(GaugePressure::bar(232.0), "psi").as_deref(),
        Some("3365 psi")
    );
    assert_eq!(
        display_as(GaugePressure::bar(6.5), "bar").as_deref(),
        Some("6.5 bar")
    );
    assert_eq!(
        display_as(Temperature::celsius(24.0), "C").as_deref(),
        Some("24 °C")
    );
    assert_eq!(
        display_as(Volume::millilitre(90.0), "L").as_deref(),
        Some("0.09 L")
    );
    assert_eq!(
        display_as(GaugePressure::psi(12_345.0), "psi").as_deref(),
        Some("12345 psi")
    );
    assert_eq!(
        display_as(GaugePressure::bar(999.96), "bar").as_deref(),
        Some("1000 bar")
    );
    assert_eq!(
        display_as(TimeSpan::second(0.0), "min").as_deref(),
        Some("0 min")
    );
    assert_eq!(display_as(GaugePressure::bar(1.0), "°C"), None);
}

#[test]
fn shown_as_a_clock() {
    assert_eq!(clock(TimeSpan::second(750.0)), "12:30");
    assert_eq!(clock(TimeSpan::minute(90.0)), "90:00");
    assert_eq!(clock(TimeSpan::second(59.6)), "1:00");
    assert_eq!(clock(TimeSpan::second(-5.0)), "-0:05");
    assert_eq!(clock(TimeSpan::second(-0.2)), "0:00");
}

/// The two systems, as listed in [`UnitSystem`].
#[test]
fn preferred_units() {
    fn both<Q: Quantity>() -> (&'static str, &'static str) {
        (
            UnitSystem::Metric.preferred::<Q>().symbol,
            UnitSystem::Us.preferred::<Q>().symbol,
        )
    }
    assert_eq!(both::<GaugePressure>(), ("bar", "psi"));
    assert_eq!(both::<AbsolutePressure>(), ("bar abs", "psi abs"));
    assert_eq!(both::<PressureDifference>(), ("bar", "psi"));
    assert_eq!(both::<Temperature>(), ("°C", "°F"));
    assert_eq!(both::<TemperatureDifference>(), ("K", "°F"));
    assert_eq!(both::<Volume>(), ("L", "cu ft"));
    assert_eq!(both::<FreeVolume>(), ("L", "cu ft"));
    assert_eq!(both::<FlowRate>(), ("L/min", "cfm"));
    assert_eq!(both::<Mass>(), ("kg", "lb"));
    assert_eq!(both::<Length>(), ("m", "ft"));
    assert_eq!(both::<TimeSpan>(), ("min", "min"));
    assert_eq!(both::<Power>(), ("kW", "hp"));
}

#[test]
fn units_by_name() {
    assert_eq!(GaugePressure::unit("bar").map(|u| u.symbol), Some("bar"));
    assert_eq!(
        AbsolutePressure::unit("bar").map(|u| u.symbol),
        Some("bar abs")
    );
    assert_eq!(GaugePressure::unit("bar abs"), None);
    assert_eq!(Volume::unit("ML"), None);
}
