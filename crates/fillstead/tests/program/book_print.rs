//! `fillstead book print`: sheets by the whole program, held against what was entered.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use book::body::{AirTest, BookBegun, Note, Outcome, Part, PartReplaced, SymptomReported};
use book::{Body, Book, Draft, Measure, Moment, Pen, Wanted};
use roxmltree::{Document, Node};
use serde_json::Value;

use crate::common::{Ran, folder_with, run_in, station};

/// A name that would run where it is not escaped.
const EVIL: &str = "<script>alert('x')</script>&\"";
/// 2026-05-20 00:00 in Dublin, UTC+1: 1 779 231 600 s (20 593 days from 1970-01-01, less an hour).
const DAY_BEGINS_S: i64 = 20_593 * 86_400 - 3600;

fn said(folder: &Path, arguments: &[&str]) -> Ran {
    let ran = run_in(folder, &[&["book"], arguments].concat());
    assert!(
        ran.exit == Some(0) || ran.exit == Some(1),
        "{arguments:?}: {}{}",
        ran.out,
        ran.err
    );
    ran
}

fn add(folder: &Path, at: &str, what: &[&str]) {
    let tail = ["--at", at, "--by", "MK"];
    said(folder, &[&["add", "club.book"], what, &tail].concat());
}

fn at_second(second: i64) -> Moment {
    Moment((DAY_BEGINS_S + second) * 1_000_000)
}

fn write(folder: &Path, second: i64, body: impl Into<Body>) {
    let mut pen = Pen::open(&folder.join("club.book"), "a test").unwrap();
    let draft = Draft {
        recorded: pen.book().last_recorded().unwrap().unwrap(),
        happened: at_second(second),
        zone: "Europe/Dublin".into(),
        author: "MK".into(),
        body: body.into(),
    };
    pen.append(&draft).unwrap();
}

fn air_test(results: &str, outcome: Outcome) -> AirTest {
    AirTest {
        sampled: Some("2026-05-04".into()),
        standard: "EN 12021 (2014)".into(),
        outcome,
        sentence: "as it was entered".into(),
        laboratory: Some("an invented laboratory".into()),
        cylinder: None,
        results: results.into(),
    }
}

/// A club with a busy day on 2026-05-20 and something on the days beside it.
fn club(name: &str) -> PathBuf {
    let file = station("boathouse.toml");
    let folder = folder_with(name, &[("shed.toml", file.as_bytes())]);
    let begin = "begin club.book --station shed.toml --rule uk --zone Europe/Dublin --by MK";
    let begin: Vec<&str> = begin.split(' ').collect();
    let more = ["--standard", "EN 12021", "--at", "2026-03-20 08:00"];
    said(&folder, &[begin.as_slice(), &more].concat());
    write(
        &folder,
        -86_400 * 14,
        air_test(&station("air-results.toml"), Outcome::Passes),
    );
    add(&folder, "2026-05-19 19:00", &["start", "--hours", "431 h"]);
    add(&folder, "2026-05-19 19:30", &["drain", "--volume", "33 mL"]);
    add(&folder, "2026-05-19 20:00", &["stop", "--hours", "432 h"]);
    add(
        &folder,
        "2026-05-20 18:02",
        &[
            "start",
            "--hours",
            "432 h",
            "--tower",
            "70 bar",
            "--intake-temperature",
            "18 °C",
            "--humidity",
            "75 %",
            "--checked",
            "oil; intake upwind",
        ],
    );
    add(
        &folder,
        "2026-05-20 18:15",
        &["drain", "--volume", "40 mL", "--looks", "milky"],
    );
    add(
        &folder,
        "2026-05-20 18:20",
        &[
            "fill",
            "A1",
            "--from",
            "50 bar",
            "--to",
            "230 bar",
            "--settled",
            "221 bar",
            "--settled-at",
            "18 °C",
            "--person",
            "a member",
            "--took",
            "18 min",
        ],
    );
    add(
        &folder,
        "2026-05-20 18:45",
        &[
            "fill", "P1", "--from", "1160 psi", "--to", "3300 psi", "--person", EVIL,
        ],
    );
    add(
        &folder,
        "2026-05-20 18:50",
        &["fill", "X9", "--to", "200 bar"],
    );
    add(
        &folder,
        "2026-05-20 18:55",
        &["reading", "tower", "--value", "228 bar"],
    );
    add(
        &folder,
        "2026-05-20 18:56",
        &["reading", "co", "--value", "1 ppm"],
    );
    add(&folder, "2026-05-20 19:00", &["drain", "--volume", "35 mL"]);
    add(
        &folder,
        "2026-05-20 19:16",
        &["stop", "--hours", "433.2 h", "--tower", "95 bar"],
    );
    write(
        &folder,
        19 * 3600 + 1800,
        PartReplaced {
            part: Part::Cartridge,
            hours: Measure::parse("433.2 h").ok(),
            which: None,
            detail: Some("batch 7, 420 g".into()),
            by: None,
        },
    );
    add(
        &folder,
        "2026-05-20 19:31",
        &["note", "new key for the shed"],
    );
    add(&folder, "2026-05-20 19:32", &["note", "withdrawn again"]);
    add(
        &folder,
        "2026-05-20 23:59",
        &["park", "--tower", "90 bar", "--done", "drained"],
    );
    add(&folder, "2026-05-21 00:00", &["note", "the day after"]);
    folder
}

fn page(folder: &Path, what: &[&str]) -> String {
    let ran = said(folder, &[&["print", "club.book"], what].concat());
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""), "{what:?}");
    self_contained(&ran.out);
    ran.out
}

/// One file is everything: well formed, one title, one first heading, no script, no network.
fn self_contained(html: &str) {
    let document = parsed(html);
    let all = |name: &str| {
        document
            .descendants()
            .filter(|n| n.has_tag_name(name))
            .count()
    };
    assert_eq!(all("script") + all("link") + all("img") + all("iframe"), 0);
    assert_eq!((all("title"), all("h1"), all("main")), (1, 1, 1));
    assert_eq!(document.root_element().attribute("lang"), Some("en"));
    let style: String = document
        .descendants()
        .filter(|n| n.has_tag_name("style"))
        .map(text)
        .collect();
    assert!(
        style.contains("data:font/woff2;base64,d09GMg"),
        "the font is missing"
    );
    for far in ["http", "@import", "url(\"//"] {
        assert!(!style.contains(far), "{far}");
    }
    for table in document.descendants().filter(|n| n.has_tag_name("table")) {
        let heads = table.descendants().filter(|n| n.has_tag_name("th"));
        for head in heads {
            assert!(head.attribute("scope").is_some(), "{}", text(head));
        }
    }
    let mut ids = BTreeSet::new();
    for id in document.descendants().filter_map(|n| n.attribute("id")) {
        assert!(ids.insert(id.to_owned()), "the id {id} twice");
    }
    for label in document
        .descendants()
        .filter_map(|n| n.attribute("aria-labelledby"))
    {
        assert!(ids.contains(label), "nothing has the id {label}");
    }
    assert!(html.contains("INVENTED demonstration data"));
    assert!(!html.to_lowercase().contains("safe"), "a sheet says safe");
}

fn parsed(html: &str) -> Document<'_> {
    let options = roxmltree::ParsingOptions {
        allow_dtd: true,
        ..Default::default()
    };
    Document::parse_with_options(html, options).unwrap()
}

/// All text inside, single spaces.
fn text(node: Node<'_, '_>) -> String {
    let inside = node.descendants().filter(|n| n.is_text());
    let all: Vec<&str> = inside.filter_map(|n| n.text()).collect();
    all.join(" ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// Everything on the sheet itself.
fn read(html: &str) -> String {
    let document = parsed(html);
    let body = document.descendants().find(|n| n.has_tag_name("body"));
    text(body.unwrap())
}

/// Rows of the table below the heading of this id: cells by their heading.
fn rows(html: &str, id: &str) -> Vec<Vec<(String, String)>> {
    let document = parsed(html);
    let section = document
        .descendants()
        .find(|n| n.attribute("aria-labelledby") == Some(id))
        .unwrap();
    let row = |row: Node<'_, '_>| {
        let cells = row.children().filter(|n| n.is_element());
        let cell = |n: Node<'_, '_>| {
            (
                n.attribute("data-label").unwrap_or_default().to_owned(),
                text(n),
            )
        };
        cells.map(cell).collect()
    };
    let body = section
        .descendants()
        .find(|n| n.has_tag_name("tbody"))
        .unwrap();
    body.children()
        .filter(|n| n.has_tag_name("tr"))
        .map(row)
        .collect()
}

fn cell<'a>(row: &'a [(String, String)], name: &str) -> &'a str {
    &row.iter().find(|(label, _)| label == name).unwrap().1
}

/// Numbers of all entries that a day sheet holds as events of the day.
fn entries(html: &str) -> Vec<u64> {
    let document = parsed(html);
    let held = document
        .descendants()
        .filter_map(|n| n.attribute("data-entries"));
    let mut all: Vec<u64> = held
        .flat_map(|list| {
            list.split_whitespace()
                .map(|n| n.parse().unwrap())
                .collect::<Vec<_>>()
        })
        .collect();
    all.sort_unstable();
    all
}

/// What happened between two moments, asked of the ledger itself.
fn happened(folder: &Path, from: i64, until: i64) -> Vec<u64> {
    let book = Book::open(&folder.join("club.book")).unwrap();
    let events = book.events(&Wanted::default()).unwrap();
    let inside = events
        .iter()
        .filter(|e| e.happened >= at_second(from) && e.happened < at_second(until));
    let mut all: Vec<u64> = inside.map(|e| e.seq).collect();
    all.sort_unstable();
    all
}

#[test]
fn a_day_sheet_holds_every_event_of_the_day_and_no_other() {
    let folder = club("print-day");
    let book = Book::open(&folder.join("club.book")).unwrap();
    let note = book.events(&Wanted::default()).unwrap();
    let note = note
        .iter()
        .find(|e| matches!(&e.body, Ok(Body::Note(n)) if n.text.starts_with("withdrawn")));
    let withdrawn = note.unwrap().seq.to_string();
    said(
        &folder,
        &[
            "correct",
            "club.book",
            &withdrawn,
            "--why",
            "twice",
            "--withdraw",
            "--by",
            "AS",
        ],
    );
    let html = page(&folder, &["day", "--day", "2026-05-20"]);
    let expected = happened(&folder, 0, 86_400);
    // start, 3 drains and readings, fills, refusal, stop, cartridge, note, parked; typed above
    assert_eq!(expected.len(), 12, "{expected:?}");
    assert_eq!(entries(&html), expected);
    // The days beside it too: one run and a drain; a note. Each entry stands on one sheet only.
    let before = page(&folder, &["day", "--day", "2026-05-19"]);
    assert_eq!(entries(&before), happened(&folder, -86_400, 0));
    let after = page(&folder, &["day", "--day", "2026-05-21"]);
    assert_eq!(entries(&after), happened(&folder, 86_400, 2 * 86_400));
    assert!(!html.contains("the day after") && !html.contains("33 mL"));
    // A correction stands on the sheet of the day it was written: today, whenever that is.
    assert!(page(&folder, &["day"]).contains(&format!("withdraws entry {withdrawn}")));
}

#[test]
fn a_day_sheet_shows_figures_as_typed() {
    let folder = club("print-figures");
    let html = page(&folder, &["day", "--day", "2026-05-20"]);
    let fills = rows(&html, "fills");
    assert_eq!(fills.len(), 2);
    let (a1, p1) = (&fills[0], &fills[1]);
    assert_eq!(cell(a1, "Time"), "18:20");
    assert_eq!(cell(a1, "Cylinder"), "A1");
    // 50 bar = 725 psi, 221 bar = 3205 psi; 3300 psi = 227.5 bar (NIST SP 811, B.9)
    assert_eq!(cell(a1, "From"), "50 bar 725 psi");
    assert_eq!(cell(a1, "Settled"), "221 bar 3205 psi");
    assert_eq!(cell(p1, "To"), "3300 psi 227.5 bar");
    assert_eq!(cell(p1, "For whom"), EVIL);
    let runs = rows(&html, "runs");
    assert_eq!(runs.len(), 1);
    // 18:02 to 19:16 are 74 min; 433.2 h less 432 h are 72 min.
    assert_eq!(cell(&runs[0], "Lasted"), "74 min");
    assert_eq!(cell(&runs[0], "Hour meter"), "432 h to 433.2 h, 72 min");
    assert_eq!(cell(&runs[0], "Tower at rest"), "95 bar 1378 psi");
    let refusals = rows(&html, "refusals");
    assert_eq!(cell(&refusals[0], "Cylinder"), "X9");
    assert!(!cell(&refusals[0], "Reason").is_empty());
    // 40 mL and 35 mL
    assert!(read(&html).contains("Drains 75 mL in all"));
    // 12 L x (221 - 50) bar = 2052 L; 7 L x (3300 - 1160) psi = 7 x 147.55 bar = 1032.8 L
    assert!(html.contains("<dd>3085 L<small>"), "free air");
    let day = said(
        &folder,
        &["print", "club.book", "day", "--day", "2026-05-20", "--json"],
    );
    let day: Value = serde_json::from_str(&day.out).unwrap();
    assert_eq!(day["day"], "2026-05-20");
    // Everything was written today, by the clock of this machine: nothing was in the book that day.
    assert_eq!(day["day_seal"], Value::Null);
}

/// Entries 1 to 4 with the clock as it was then; the last while it stood an hour behind.
#[test]
fn a_day_is_sealed_at_its_end_and_a_clock_put_back_is_told() {
    let folder = crate::common::folder("print-sealed");
    let draft = |second: i64, body: Body| Draft {
        recorded: at_second(second),
        happened: at_second(second),
        zone: "Europe/Dublin".into(),
        author: "MK".into(),
        body,
    };
    let note = |text: &str| {
        Body::Note(Note {
            text: text.into(),
            cylinder: None,
        })
    };
    let begun = BookBegun {
        station: "an invented shed".into(),
        invented: true,
        remark: None,
    };
    let path = folder.join("club.book");
    let mut pen = Pen::begin(&path, "a test", &draft(-3600, begun.into())).unwrap();
    let first = pen.append(&draft(8 * 3600, note("first"))).unwrap();
    let last = pen
        .append(&draft(7 * 3600, note("while the clock was behind")))
        .unwrap();
    let after = pen
        .append(&draft(86_400 + 3600, note("the day after")))
        .unwrap();
    drop(pen);
    let html = page(&folder, &["day", "--day", "2026-05-20"]);
    assert_eq!(entries(&html), [first.seq, last.seq]);
    let all = read(&html);
    let seal = |written: &book::Written| format!("{}:{}", written.seq, written.hash.short());
    let expected = [
        format!("Seal at the end of this day: {}", seal(&last)),
        format!("fillstead book verify --seal {}", seal(&after)),
        "Written this day: entries 2 to 3".into(),
        "Entry 3 was written while the clock stood 60 min behind".into(),
    ];
    for expected in expected {
        assert!(all.contains(&expected), "{expected}: {all}");
    }
}

#[test]
fn a_seal_is_that_of_the_books_end_today() {
    let folder = club("print-seal");
    let html = page(&folder, &["day"]);
    let book = Book::open(&folder.join("club.book")).unwrap();
    let (seq, hash) = book.head().unwrap().unwrap();
    let seal = format!("{seq}:{}", &hash.to_string()[..16]);
    assert!(
        html.contains(&format!("fillstead book verify --seal {seal}")),
        "{seal}"
    );
}

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
    let document = parsed(&html);
    let tags: Vec<Node<'_, '_>> = document
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
    let document = parsed(&html);
    let tags: Vec<String> = document
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
    let heading = parsed(&list)
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
    let heading = parsed(&html)
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

#[test]
fn a_file_that_is_there_is_left_as_it_is() {
    let folder = club("print-file");
    let arguments = [
        "book",
        "print",
        "club.book",
        "quarantine",
        "--out",
        "list.html",
    ];
    let first = run_in(&folder, &arguments);
    assert_eq!(
        first.out,
        "list.html is written. Open it in a browser and print it from there.\n"
    );
    let before = std::fs::read(folder.join("list.html")).unwrap();
    let second = run_in(&folder, &arguments);
    assert_eq!(second.exit, Some(2));
    assert!(second.err.contains("is there already"), "{}", second.err);
    assert_eq!(std::fs::read(folder.join("list.html")).unwrap(), before);
}

#[test]
fn what_cannot_be_printed_is_told() {
    let folder = club("print-wrong");
    let wrong = |what: &[&str]| {
        let ran = run_in(&folder, &[&["book", "print", "club.book"], what].concat());
        assert_eq!(ran.exit, Some(2), "{what:?}");
        ran.err
    };
    assert!(wrong(&["tag", "A11"]).contains("did you mean"));
    assert!(wrong(&["tag", "A1", "--copies", "0"]).contains("--copies"));
    assert!(wrong(&["day", "--day", "20.5.2026"]).contains("--day"));
    assert!(wrong(&["certificate", "--test", "9999"]).contains("no air test"));
}

#[test]
fn paper_is_that_of_the_station_unless_given() {
    let folder = club("print-paper");
    assert!(page(&folder, &["quarantine"]).contains("@page{size:A4 portrait;margin:10mm;"));
    let letter = page(&folder, &["quarantine", "--paper", "letter"]);
    assert!(letter.contains("@page{size:letter portrait;"));
    let empty = crate::common::folder("print-us");
    let file = station("boathouse.toml").replace("units = \"metric\"", "units = \"us\"");
    std::fs::write(empty.join("shed.toml"), file).unwrap();
    said(
        &empty,
        &["begin", "club.book", "--station", "shed.toml", "--by", "MK"],
    );
    assert!(page(&empty, &["quarantine"]).contains("@page{size:letter portrait;"));
}
