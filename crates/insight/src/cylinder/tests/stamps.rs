//! Stamps: specification, pressure and its unit, dates, marks; what cannot be.

use super::*;
use proptest::prelude::*;

fn read(text: &str) -> StampReading {
    read_stamp(text, day("2026-02-01"))
}

fn service(stamp: &StampReading) -> String {
    stamp
        .service
        .as_ref()
        .map(|s| s.pressure.to_string())
        .unwrap_or_default()
}

fn dates(stamp: &StampReading) -> Vec<String> {
    stamp.dates.iter().map(|d| d.when.to_string()).collect()
}

/// 49 CFR 178.35(f): specification, service pressure in psi, then date of the first test.
/// M for metric (Canadian) specifications in bar: from memory.
#[test]
fn specification_and_pressure() {
    for (text, specification, pressure, material) in [
        ("3AA2400+ 06^19+", "3AA", "2400 psi", Material::Steel),
        (
            "DOT-3AL3000 A123 04-20",
            "3AL",
            "3000 psi",
            Material::Aluminium,
        ),
        ("DOT 3AL 3000 04-20", "3AL", "3000 psi", Material::Aluminium),
        ("CTC-3AA-2265", "3AA", "2265 psi", Material::Steel),
        ("TC-3ALM207", "3ALM", "207 bar", Material::Aluminium),
        ("TC-3AAM 230", "3AAM", "230 bar", Material::Steel),
        ("ICC-3A1800", "3A", "1800 psi", Material::Steel),
        ("3AAX2400", "3AAX", "2400 psi", Material::Steel),
        ("3ht1850", "3HT", "1850 psi", Material::Steel),
    ] {
        let stamp = read(text);
        assert_eq!(
            stamp.specification.as_deref(),
            Some(specification),
            "{text}"
        );
        assert_eq!(service(&stamp), pressure, "{text}");
        assert_eq!(stamp.material, Some(material), "{text}");
        assert_eq!(stamp.implausible, Vec::<String>::new(), "{text}");
    }
    let permit = read("DOT-SP10915-4500 08-20");
    assert_eq!(
        (permit.permit.as_deref(), service(&permit)),
        (Some("10915"), "4500 psi".into())
    );
    let exemption = read("E 9791 3500 08-90");
    assert_eq!(exemption.permit.as_deref(), Some("9791"));
    assert_eq!(service(&exemption), "3500 psi");
}

/// ISO 13769 and EN 1089-1 marks: PW working, PH, PT or TP test pressure, in bar (from memory).
#[test]
fn working_and_test_pressure() {
    for text in [
        "PW 232 BAR PT 348 BAR 2019/06",
        "pw232bar ph348bar 2019/06",
        "TP348 WP 232 2019/06",
        "PW: 232 bar, TP: 348 bar; 06/19",
    ] {
        let stamp = read(text);
        assert_eq!(service(&stamp), "232 bar", "{text}");
        let test = stamp.test.as_ref().unwrap();
        assert_eq!(test.pressure.to_string(), "348 bar", "{text}");
        assert_eq!(dates(&stamp), ["2019-06"], "{text}");
        assert_eq!(stamp.unread, Vec::<String>::new(), "{text}");
    }
    // the unit behind a bare number is told
    let stamp = read("WP 3000 TP 5000");
    assert_eq!(service(&stamp), "3000 psi");
    assert_eq!(
        stamp.notes[0],
        "3000 psi (206.8 bar): no unit behind WP: psi by its size"
    );
    // 1 MPa = 10 bar
    let stamp = read("PW 20 MPa");
    assert_eq!(service(&stamp), "20 MPa");
    assert!(stamp.implausible.is_empty());
}

/// 49 CFR 180.213: month and year with the requalifier's number between; ISO: year/month.
#[test]
fn date_forms() {
    for (text, date, plus, star) in [
        ("06^19+", "2019-06", true, false),
        ("06-19", "2019-06", false, false),
        ("6/19", "2019-06", false, false),
        ("06^A123^19", "2019-06", false, false),
        ("6H19*", "2019-06", false, true),
        ("03-21+★", "2021-03", true, true),
        ("2019/06", "2019-06", false, false),
        ("06/2019", "2019-06", false, false),
        ("2019-06-30", "2019-06-30", false, false),
        ("11-67", "1967-11", false, false),
        ("02-26", "2026-02", false, false),
        ("03-27", "1927-03", false, false),
    ] {
        let stamp = read(text);
        assert_eq!(dates(&stamp), [date], "{text}");
        let found = &stamp.dates[0];
        assert_eq!((found.plus, found.star), (plus, star), "{text}");
    }
    let stamp = read("3AA2250 05-72 06-78+ 05-12 07-18+");
    assert_eq!(stamp.latest().unwrap().text, "07-18+");
    assert_eq!(stamp.earliest().unwrap().text, "05-72");
}

/// A wrong unit, test pressure or date is seen and blocks filling.
#[test]
fn implausible_stamps() {
    for (text, words) in [
        ("3AA232", "is 232 bar meant?"),
        ("PW 3000 BAR", "is 3000 psi meant?"),
        ("PW 232 BAR PT 232 BAR", "1.00 times"),
        ("3AA2400 TP 4000 WP 3000", "two service pressures"),
        ("PW 1000", "neither bar nor psi"),
        ("19/06", "19/06 is no date"),
        ("2031/06", "still to come"),
        ("03-27", "too long ago"),
        ("PW 232 BAR 2023-02-30", "no date"),
    ] {
        let stamp = read(text);
        assert_eq!(
            stamp.implausible.len(),
            1,
            "{text}: {:?}",
            stamp.implausible
        );
        assert!(
            stamp.implausible[0].contains(words),
            "{text}: {:?}",
            stamp.implausible
        );
        let facts = stamped(&format!("{text} 01-25"), "2026-02-01");
        let answer = ask(&facts, "uk", "2026-02-01");
        assert!(!answer.may, "{text}");
    }
}

/// Serial numbers and makers' marks are kept as they are.
#[test]
fn what_is_not_known_is_kept() {
    let stamp = read("AN-0101 3AL3000 6061-T6 12.0KG 04-20 ISO7866 XYZ");
    assert_eq!(stamp.unread, ["AN-0101", "12.0KG", "XYZ"]);
    assert_eq!(stamp.alloy.as_deref(), Some("6061"));
    assert!(read("condemned 3AA2400").condemned);
    assert_eq!(read("").unread, Vec::<String>::new());
}

proptest! {
    /// Nothing typed makes it fail, and nothing is read out of nothing.
    #[test]
    fn any_text_can_be_read(text in ".{0,60}") {
        let stamp = read(&text);
        prop_assert!(stamp.dates.len() <= text.split_whitespace().count() + text.matches([',', ';']).count());
    }

    /// Any month of any year that has been comes back as stamped.
    #[test]
    fn dates_come_back(year in 1930u16..2026, month in 1u8..=12) {
        let full = format!("{year}/{month:02}");
        prop_assert_eq!(dates(&read(&full)), [format!("{year}-{month:02}")]);
        let short = format!("{month:02}^{:02}+", year % 100);
        prop_assert_eq!(dates(&read(&short)), [format!("{year}-{month:02}")]);
    }
}
