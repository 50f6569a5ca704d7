//! Properties that hold for every unit of every quantity, and for any text.

use proptest::prelude::*;
use quantity::{
    AbsolutePressure, Concentration, FlowRate, Fraction, FreeVolume, GaugePressure, Length, Mass,
    Power, PressureDifference, Quantity, Speed, Temperature, TemperatureDifference, TimeSpan,
    Typed, Volume, parse,
};

/// Calls a generic function for every kind of quantity.
macro_rules! every_quantity {
    ($check:ident($($argument:expr),*)) => {
        $check::<GaugePressure>($($argument),*);
        $check::<AbsolutePressure>($($argument),*);
        $check::<PressureDifference>($($argument),*);
        $check::<Temperature>($($argument),*);
        $check::<TemperatureDifference>($($argument),*);
        $check::<Volume>($($argument),*);
        $check::<FreeVolume>($($argument),*);
        $check::<FlowRate>($($argument),*);
        $check::<Mass>($($argument),*);
        $check::<TimeSpan>($($argument),*);
        $check::<Fraction>($($argument),*);
        $check::<Length>($($argument),*);
        $check::<Speed>($($argument),*);
        $check::<Power>($($argument),*);
        $check::<Concentration>($($argument),*);
    };
}

/// parse(print(x)) is x in each unit to 1e-12, and the text is the same again.
fn comes_back<Q: Quantity>(number: f64) {
    for unit in Q::UNITS {
        let typed = Typed::new(Q::from_si(number), unit);
        let text = typed.to_string();
        let tolerance = 1e-12 * number.abs().max(unit.offset * unit.scale);
        let same = |back: &Typed<Q>| {
            (back.value.si() - number).abs() <= tolerance
                && (back.unit, back.number) == (unit, typed.number)
                && back.to_string() == text
        };
        assert!(
            parse::<Q>(&text).is_ok_and(|back| same(&back)),
            "{text}: {number}"
        );
    }
}

/// Reading gives a finite value that can exist, or points inside the text.
fn is_sound<Q: Quantity>(text: &str) {
    match parse::<Q>(text) {
        Ok(typed) => assert!(typed.value.si().is_finite() && typed.value.si() >= Q::LEAST),
        Err(error) => {
            assert!(
                text.get(error.span.clone()).is_some(),
                "{text:?}: {:?}",
                error.span
            );
            assert!(error.to_string().len() > Q::NAME.len());
        }
    }
}

/// Each name of each unit finds that unit, in any case unless m and M differ.
fn names_find_their_unit<Q: Quantity>() {
    for unit in Q::UNITS {
        for name in unit.aliases.iter().chain([&unit.symbol]) {
            assert_eq!(Q::unit(name), Some(unit), "{} in {}", name, Q::NAME);
            let other_cases = [name.to_uppercase(), name.to_lowercase()];
            for other in other_cases
                .iter()
                .filter(|o| o.chars().next() == name.chars().next())
            {
                assert_eq!(Q::unit(other), Some(unit), "{other} in {}", Q::NAME);
            }
        }
    }
}

/// What messages offer is accepted.
fn examples_are_read<Q: Quantity>() {
    for example in Q::EXAMPLES.split(", ") {
        let text = example.split(" (").next().unwrap_or(example);
        assert!(parse::<Q>(text).is_ok(), "{text} as {}", Q::NAME);
    }
}

/// A unit's two conversions are inverse, and no symbol stands for two units.
fn table_is_consistent<Q: Quantity>() {
    for unit in Q::UNITS {
        assert!(
            unit.scale > 0.0 && unit.scale.is_finite(),
            "{} {}",
            Q::NAME,
            unit.symbol
        );
        let there_and_back = unit.number(unit.to_si(37.5));
        assert!(
            (there_and_back - 37.5).abs() < 1e-12,
            "{} {}",
            Q::NAME,
            unit.symbol
        );
    }
    let symbols = Q::UNITS.iter().map(|unit| unit.symbol);
    let distinct: std::collections::BTreeSet<_> = symbols.collect();
    assert_eq!(distinct.len(), Q::UNITS.len(), "{}", Q::NAME);
}

#[test]
fn tables() {
    every_quantity!(names_find_their_unit());
    every_quantity!(examples_are_read());
    every_quantity!(table_is_consistent());
}

#[test]
fn awkward_texts() {
    for text in [
        "",
        " ",
        "-",
        "+",
        ".",
        ",",
        "e",
        "1e",
        "1e+",
        "1e+ bar",
        "٣ bar",
        "1 \u{301}",
        "1:",
        ":",
        "::",
        "1:2:3:4",
        "1\u{0}bar",
        "1/2 in",
        "½ in",
        "1 1/",
        "1 1/min",
        "\u{2212}",
        "9999999999999999999999999999:00",
        "1 h 1",
        "1 h 1 /",
        "0x10 bar",
        "1_000 bar",
        "1,,000 m",
        "1,000,m",
        "-0 bar",
        "1e-400 bar",
        "5 %%",
    ] {
        every_quantity!(is_sound(text));
    }
}

proptest! {
    #[test]
    fn printed_is_read_back(size in 1e-9..1e9f64) {
        every_quantity!(comes_back(size));
    }

    #[test]
    fn negative_is_read_back(size in -1e9..-1e-9f64) {
        comes_back::<GaugePressure>(size);
        comes_back::<PressureDifference>(size);
        comes_back::<TemperatureDifference>(size);
        comes_back::<Length>(size);
        comes_back::<TimeSpan>(size);
    }

    #[test]
    fn thousands_commas_change_nothing(whole in 1_000u32..1_000_000, tenth in 0u32..10) {
        let with = format!("{},{:03}.{tenth} psi", whole / 1000, whole % 1000);
        let without = format!("{whole}.{tenth} psi");
        prop_assert_eq!(parse::<GaugePressure>(&with), parse::<GaugePressure>(&without));
    }

    #[test]
    fn gauge_and_absolute_are_inverse(bar in -1.0..500.0f64, mbar in 500.0..1100.0f64) {
        let (dial, atmosphere) = (GaugePressure::bar(bar), AbsolutePressure::mbar(mbar));
        let back = dial.above(atmosphere).gauge(atmosphere);
        prop_assert!((back.as_bar() - bar).abs() < 1e-12 * 500.0);
    }

    #[test]
    fn clock_is_hours_minutes_seconds(h in 0u32..100, m in 0u32..60, s in 0u32..60) {
        let colons = parse::<TimeSpan>(&format!("{h}:{m:02}:{s:02}")).unwrap().value;
        let words = parse::<TimeSpan>(&format!("{h} h {m} min {s} s")).unwrap().value;
        prop_assert_eq!(colons.as_second(), f64::from(h * 3600 + m * 60 + s));
        prop_assert_eq!(colons, words);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,24}") {
        every_quantity!(is_sound(&text));
    }

    #[test]
    fn near_misses_are_read_or_refused(
        text in "[-+−]?[0-9.,:eE ]{0,8}[ \u{a0}]?(bar|psi|h|min|m|°C|L/min|m³|%|cu ft|[a-zA-Zµ/() ]{0,6})[0-9 ]{0,3}[a-z]{0,3}"
    ) {
        every_quantity!(is_sound(&text));
    }
}
