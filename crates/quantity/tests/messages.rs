//! Every kind of refusal: the whole sentence and the bytes it points at.

use quantity::{
    AbsolutePressure, FlowRate, Fraction, GaugePressure, Length, Mass, ParseError,
    PressureDifference, Quantity, Temperature, TimeSpan, Volume, parse,
};

/// The sentence and the text pointed at.
fn refusal<Q: Quantity>(text: &str) -> (String, String) {
    match parse::<Q>(text) {
        Ok(typed) => (format!("read as {typed}"), String::new()),
        Err(error) => (error.to_string(), error.fault().to_owned()),
    }
}

fn check<Q: Quantity>(text: &str, sentence: &str, fault: &str) {
    assert_eq!(
        refusal::<Q>(text),
        (sentence.to_owned(), fault.to_owned()),
        "{text:?}"
    );
}

const GAUGE: &str = "write a gauge pressure such as 232 bar, 3300 psi, 23.2 MPa, 23200 kPa";

fn gauge(text: &str, cause: &str, fault: &str) {
    check::<GaugePressure>(text, &format!("{cause}: {GAUGE}"), fault);
}

#[test]
fn missing_parts() {
    gauge("", "nothing is written here", "");
    gauge(" \t\u{a0}", "nothing is written here", "");
    gauge("232", "\"232\" has no unit", "232");
    gauge(" 232 ", "\"232\" has no unit", "232");
    gauge("bar", "\"bar\" does not begin with a number", "bar");
    gauge(
        "NaN bar",
        "\"NaN bar\" does not begin with a number",
        "NaN bar",
    );
    gauge(
        "inf bar",
        "\"inf bar\" does not begin with a number",
        "inf bar",
    );
    gauge(
        "about 232 bar",
        "\"about 232 bar\" does not begin with a number",
        "about 232 bar",
    );
    gauge("- bar", "\"- bar\" does not begin with a number", "- bar");
}

#[test]
fn numbers_that_are_not() {
    gauge("1.2.3 bar", "\"1.2.3\" is not one plain number", "1.2.3");
    gauge("--5 bar", "\"--5\" is not one plain number", "--5");
    gauge("23 200 kPa", "\"23 200\" is not one plain number", "23 200");
    gauge(
        "12,34,567 psi",
        "\"12,34,567\" is not one plain number",
        "12,34,567",
    );
    gauge("5, bar", "\"5,\" is not one plain number", "5,");
    gauge("1,23.5 bar", "\"1,23.5\" is not one plain number", "1,23.5");
    gauge(
        "1e999 bar",
        "\"1e999 bar\" is too large to be meant",
        "1e999 bar",
    );
    gauge(
        "1e308 MPa",
        "\"1e308 MPa\" is too large to be meant",
        "1e308 MPa",
    );
}

#[test]
fn decimal_commas() {
    check::<GaugePressure>(
        "3,5 bar",
        "\"3,5 bar\" has a decimal comma: write 3.5 bar",
        "3,5",
    );
    check::<Volume>(
        "0,200 L",
        "\"0,200 L\" has a decimal comma: write 0.200 L",
        "0,200",
    );
    check::<Length>(
        "1.234,5 m",
        "\"1.234,5 m\" has a decimal comma: write 1234.5 m",
        "1.234,5",
    );
    check::<TimeSpan>(
        "1 h 2,5 min",
        "\"1 h 2,5 min\" has a decimal comma: write 1 h 2.5 min",
        "2,5",
    );
}

#[test]
fn units_unknown_or_of_another_kind() {
    gauge("232 bart", "\"bart\" is not a unit known here", "bart");
    gauge(
        "200-232 bar",
        "\"-232 bar\" is not a unit known here",
        "-232 bar",
    );
    gauge("24 °C", "\"24 °C\" is a temperature", "°C");
    gauge("90 mL", "\"90 mL\" is a volume", "mL");
    gauge("75%", "\"75%\" is a fraction", "%");
    check::<PressureDifference>(
        "5 barg",
        "\"5 barg\" is a gauge pressure: \
         write a pressure difference such as 5 bar, 70 psi, 0.5 MPa, 500 kPa",
        "barg",
    );
    check::<Temperature>(
        "29.9 inHg",
        "\"29.9 inHg\" is an absolute pressure: write a temperature such as 24 °C, 75 °F, 297 K",
        "inHg",
    );
    check::<TimeSpan>(
        "30 m3/h",
        "\"30 m3/h\" is a flow rate: \
         write a time such as 90 min, 1 h 30 min, 12:30 (minutes:seconds), 45 s",
        "m3/h",
    );
    check::<FlowRate>(
        "80 cu ft",
        "\"80 cu ft\" is a volume: \
         write a flow rate such as 100 L/min, 6 m3/h, 3.5 cfm, 1.7 L/s",
        "cu ft",
    );
}

#[test]
fn gauge_and_absolute() {
    for (text, fault) in [
        ("233 bar abs", "bar abs"),
        ("233 bara", "bara"),
        ("3400 psia", "psia"),
    ] {
        let sentence = format!(
            "\"{text}\" is an absolute pressure: take off the surrounding atmosphere \
             (about 1.013 bar or 14.7 psi at sea level) and {GAUGE}"
        );
        check::<GaugePressure>(text, &sentence, fault);
    }
    check::<AbsolutePressure>(
        "0 bar(g)",
        "\"0 bar(g)\" is a gauge pressure: add the surrounding atmosphere \
         (about 1.013 bar or 14.7 psi at sea level) and write an absolute pressure such as \
         1013 mbar, 1.013 bar abs, 14.7 psi abs, 101.3 kPa",
        "bar(g)",
    );
}

#[test]
fn case_that_changes_the_size() {
    let sentence = |typed, meant| {
        format!(
            "\"{typed}\" is not clear, because m and M are different sizes: \
             write {meant} if that is meant"
        )
    };
    check::<GaugePressure>("23 mpa", &sentence("mpa", "MPa"), "mpa");
    check::<GaugePressure>("15 Mbar", &sentence("Mbar", "mbar"), "Mbar");
    check::<Volume>("90 ML", &sentence("ML", "mL"), "ML");
    check::<Mass>("90 Mg", &sentence("Mg", "mg"), "Mg");
    check::<Length>("4 MM", &sentence("MM", "mm"), "MM");
}

#[test]
fn less_than_there_can_be() {
    check::<Temperature>(
        "-300 °C",
        "\"-300 °C\" is less than there can be: \
         write a temperature such as 24 °C, 75 °F, 297 K",
        "-300 °C",
    );
    check::<Mass>(
        "-1 kg",
        "\"-1 kg\" is less than there can be: write a mass such as 12.5 kg, 350 g, 27 lb, 12 oz",
        "-1 kg",
    );
    assert!(
        parse::<Temperature>("-459.67 °F").is_ok(),
        "absolute zero itself"
    );
    assert!(
        parse::<Fraction>("-3 %").is_ok(),
        "a tolerance may be negative"
    );
}

#[test]
fn times() {
    let examples = "write a time such as 90 min, 1 h 30 min, 12:30 (minutes:seconds), 45 s";
    for text in [
        "12:75",
        "12:3",
        "1:2:3:4",
        ":30",
        "12:",
        "12:30 min",
        "1:60:00",
        "12:3.5",
        "a:00",
    ] {
        let sentence = format!(
            "\"{text}\" is not minutes:seconds, with two digits from 00 to 59 after each colon: \
             {examples}"
        );
        check::<TimeSpan>(text, &sentence, text);
    }
    let order =
        |text: &str| format!("\"{text}\" does not go from larger to smaller units: {examples}");
    check::<TimeSpan>("30 min 1 h", &order("30 min 1 h"), "1 h");
    check::<TimeSpan>("1 h 1 h", &order("1 h 1 h"), "1 h");
    check::<TimeSpan>("1 h 30", &format!("\"30\" has no unit: {examples}"), "30");
}

/// The span is in bytes of the text as given, spaces and all.
#[test]
fn span_counts_bytes_of_the_whole_text() {
    let error = parse::<GaugePressure>("\u{a0}24 °C").unwrap_err();
    assert_eq!(error.span, 5..8);
    assert_eq!(error.fault(), "°C");
    assert_eq!(error.text, "\u{a0}24 °C");
    assert_eq!(error.accepted, GAUGE.trim_start_matches("write "));
}

/// A control character must not reach a terminal through a message.
#[test]
fn control_characters_are_not_repeated() {
    for text in ["\u{1b}[2J", "5 \u{1b}[2J", "3,5 \u{1b}[2J"] {
        let (sentence, _) = refusal::<GaugePressure>(text);
        assert!(!sentence.contains(char::is_control), "{sentence:?}");
    }
}

/// Usable as any other error, from another thread.
#[test]
fn is_an_error() {
    fn error<E: std::error::Error + Send + Sync + 'static>(_: &E) {}
    let refused: ParseError = parse::<Length>("4").unwrap_err();
    error(&refused);
}
