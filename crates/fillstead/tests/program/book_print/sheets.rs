//! Tags, the list of what is set aside, certificate and support sheet.

use super::*;

#[test]
fn what_a_user_typed_stays_text() {
    let folder = club("print-evil");
    let registered = [
        "cylinder",
        EVIL,
        "--water-volume",
        "10 L",
        "--working-pressure",
        "232 bar",
    ];
    add(&folder, "2026-05-20 20:00", &registered);
    let sheets: [&[&str]; 4] = [
        &["day", "--day", "2026-05-20"],
        &["tag", EVIL],
        &["cartridge", "--next-due", EVIL],
        &["support", "--drift", EVIL, "--drains-expected", EVIL],
    ];
    for sheet in sheets {
        let html = page(&folder, sheet);
        assert!(!html.contains("<script"), "{sheet:?}");
        assert!(read(&html).contains(EVIL), "{sheet:?}");
    }
}

#[test]
fn a_tag_shows_the_last_fill_and_what_it_is_good_for() {
    let folder = club("print-tag");
    let day = ["--today", "2026-05-20"];
    let html = page(
        &folder,
        &[&["tag", "A1", "--copies", "3"], &day[..]].concat(),
    );
    let tree = document(&html);
    let tags: Vec<Node<'_, '_>> = tree
        .descendants()
        .filter(|n| n.has_tag_name("article"))
        .collect();
    assert_eq!(tags.len(), 3);
    let tag = text(tags[0]);
    for expected in [
        "12 L steel, working 232 bar (3365 psi)",
        "Breathing air",
        "Settled, at 18 °C",
        "221 bar 3205 psi",
        "2026-05-20 by MK",
        "Test again by",
    ] {
        assert!(tag.contains(expected), "{expected}: {tag}");
    }
    assert!(!tag.contains("DO NOT USE"), "{tag}");
}

#[test]
fn a_tag_of_what_must_not_be_used_says_so() {
    let folder = club("print-not");
    add(
        &folder,
        "2026-05-20 20:00",
        &["condemn", "P1", "--why", "crack at the neck"],
    );
    write(
        &folder,
        20 * 3600 + 60,
        SymptomReported {
            what: "headache after the dive".into(),
            person: Some("a member".into()),
            cylinder: Some("A1".into()),
        },
    );
    let html = page(&folder, &["tag", "A1", "P1"]);
    let tree = document(&html);
    let tags: Vec<String> = tree
        .descendants()
        .filter(|n| n.has_tag_name("article"))
        .map(text)
        .collect();
    assert!(
        tags[0].contains("SET ASIDE") && tags[0].contains("headache"),
        "{}",
        tags[0]
    );
    assert!(tags[1].contains("crack at the neck"), "{}", tags[1]);
    for tag in &tags {
        assert!(!tag.contains("Breathing air"), "{tag}");
    }
    let list = page(&folder, &["quarantine"]);
    let heading = document(&list)
        .descendants()
        .find(|n| n.has_tag_name("h1"))
        .map(text);
    assert_eq!(heading.as_deref(), Some("Set aside: do not use"));
    let json = said(&folder, &["print", "club.book", "quarantine", "--json"]).out;
    let json: Value = serde_json::from_str(&json).unwrap();
    // Both were filled since the test that passed.
    assert_eq!(json["count"], 2, "{json:#}");
    assert_eq!(json["suspicions"][0]["held"][0]["cylinder"], "A1");
    assert_eq!(json["suspicions"][0]["held"][0]["persons"], "a member");
}

#[test]
fn nothing_set_aside_is_a_page_too() {
    let folder = club("print-nothing");
    let html = page(&folder, &["quarantine"]);
    let heading = document(&html)
        .descendants()
        .find(|n| n.has_tag_name("h1"))
        .map(text);
    assert_eq!(heading.as_deref(), Some("Nothing is set aside"));
}

#[test]
fn the_cartridge_tag_counts_from_the_latest_change() {
    let folder = club("print-cartridge");
    add(
        &folder,
        "2026-05-21 09:00",
        &["start", "--hours", "433.2 h"],
    );
    add(&folder, "2026-05-21 12:00", &["stop", "--hours", "436.2 h"]);
    let html = page(&folder, &["cartridge"]);
    let all = read(&html);
    for expected in [
        "Latest change 2026-05-20",
        "Changed by MK",
        "Hour meter at the change 433.2 h",
        "Put in batch 7, 420 g",
        // 436.2 h less 433.2 h
        "3.0 h by the meter",
        // 433.2 h and 40 h
        "over when the hour meter shows 473.2 h",
        "Signature, date",
    ] {
        assert!(all.contains(expected), "{expected}: {all}");
    }
}

#[test]
fn a_certificate_keeps_what_was_entered_beside_what_is_judged_today() {
    let folder = club("print-certificate");
    let html = page(&folder, &["certificate"]);
    let all = read(&html);
    assert!(
        all.contains("The sample passes") && all.contains("by the limits below: the same"),
        "{all}"
    );
    assert!(
        all.contains("It does not say that any air is fit to breathe"),
        "{all}"
    );
    let rows_of = rows(&html, "quantities");
    let co2 = rows_of
        .iter()
        .find(|row| cell(row, "Quantity") == "carbon dioxide")
        .unwrap();
    // As the file of results says: 430 ppm ± 20 ppm; EN 12021 allows 500 ppm.
    assert_eq!(cell(co2, "Found"), "430 ppm");
    assert_eq!(cell(co2, "Uncertainty"), "20 ppm");
    assert!(
        cell(co2, "Limit").contains("500 ppm"),
        "{}",
        cell(co2, "Limit")
    );
    // Eight ppm of carbon monoxide are above the 5 ppm of EN 12021:2014.
    let bad = station("air-results.toml").replace("\"< 1 ppm\"", "\"8 ppm\"");
    write(&folder, 3600, air_test(&bad, Outcome::Passes));
    let all = read(&page(&folder, &["certificate"]));
    assert!(all.contains("Two answers"), "{all}");
    assert!(all.contains("When it was entered it passes"), "{all}");
    assert!(all.contains("it FAILS : Fails EN 12021"), "{all}");
    assert!(!all.contains("The sample passes"), "{all}");
    // A standard of the owner's own is not held: what was entered stands, and the results whole.
    let own = AirTest {
        standard: "Club (2026)".into(),
        ..air_test("[results]\nco = \"2 ppm\"\n", Outcome::Passes)
    };
    write(&folder, 3700, own);
    let all = read(&page(&folder, &["certificate"]));
    assert!(
        all.contains("could not be judged again") && all.contains("co = \"2 ppm\""),
        "{all}"
    );
    let ran = run_in(
        &folder,
        &["book", "print", "club.book", "certificate", "--test", "1"],
    );
    assert_eq!(ran.exit, Some(2));
    assert!(ran.err.contains("entry 1 is no air test"), "{}", ran.err);
}

#[test]
fn a_support_sheet_has_the_machine_and_its_records() {
    let folder = club("print-support");
    add(
        &folder,
        "2026-05-21 10:00",
        &[
            "valve",
            "pmv",
            "--after",
            "100 bar",
            "--set-by",
            "a technician",
        ],
    );
    let what = [
        "support",
        "--drift",
        "charging rate 4 % down since January",
        "--drains-expected",
        "38 mL each",
    ];
    let html = page(&folder, &what);
    let all = read(&html);
    for expected in [
        "working pressure 232 bar 3365 psi",
        "final relief lifts 255 bar 3698 psi",
        "pressure maintaining valve, set 100 bar 1450 psi",
        "2026-05-20 18:02",
        "75 mL in 2",
        "charging rate 4 % down since January",
        "drains expected: 38 mL each",
        "tower gauge, to 400 bar",
        "What the technician says",
    ] {
        assert!(all.contains(expected), "{expected}: {all}");
    }
}
