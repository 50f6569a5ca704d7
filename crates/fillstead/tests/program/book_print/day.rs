//! The sheet of a day.

use super::*;

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
