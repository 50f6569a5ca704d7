//! `fillstead book print`: sheets by the whole program, held against what was entered. Here: a club
//! with a busy day, how its sheets are read, and where they are written.

mod day;
mod sheets;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use book::body::{AirTest, BookBegun, Note, Outcome, Part, PartReplaced, SymptomReported};
use book::{Body, Book, Draft, Measure, Moment, Pen, Wanted};
use roxmltree::Node;
use serde_json::Value;

use crate::common::{Ran, document, folder_with, run_in, station};

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
    let document = document(html);
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
    let document = document(html);
    let body = document.descendants().find(|n| n.has_tag_name("body"));
    text(body.unwrap())
}

/// Rows of the table below the heading of this id: cells by their heading.
fn rows(html: &str, id: &str) -> Vec<Vec<(String, String)>> {
    let document = document(html);
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
    let document = document(html);
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
