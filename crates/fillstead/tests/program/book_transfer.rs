//! `fillstead book import` and `fillstead book export`: messy lists in, tables out, and back.

use std::fs;
use std::path::{Path, PathBuf};

use insta::assert_snapshot;
use proptest::prelude::*;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

use crate::common::{Ran, folder, folder_with, run_in};

/// Begins a book in this folder.
fn begin(folder: &Path) {
    let ran = run_in(
        folder,
        &[
            "book",
            "begin",
            "b.book",
            "--name",
            "Invented boathouse",
            "--rule",
            "uk",
            "--standard",
            "EN 12021",
            "--zone",
            "Europe/Dublin",
            "--by",
            "MK",
            "--at",
            "2026-05-20 19:00",
        ],
    );
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
}

/// A folder with a begun book and these files.
fn with_book(name: &str, files: &[(&str, &[u8])]) -> PathBuf {
    let folder = folder_with(name, files);
    begin(&folder);
    folder
}

fn import(folder: &Path, list: &str, file: &str, more: &[&str]) -> Ran {
    let at: &[&str] = if list == "--cylinders" {
        &["--at", "2026-05-20 19:40"]
    } else {
        &[]
    };
    run_in(
        folder,
        &[
            &["book", "import", "b.book", list, file, "--by", "MK"],
            at,
            more,
        ]
        .concat(),
    )
}

fn export(folder: &Path, what: &str, more: &[&str]) -> Ran {
    run_in(
        folder,
        &[&["book", "export", "b.book", "--what", what], more].concat(),
    )
}

/// Without seals and the clock's time: they differ each time.
fn masked(ran: &Ran) -> String {
    let mut text = String::new();
    for line in ran.shown().lines() {
        match line.split_once(": seal ") {
            Some((head, rest)) => {
                let rest = rest.split_once('.').map_or("", |(_, rest)| rest);
                text += &format!("{head}: seal #.{rest}\n");
            }
            None => text += &format!("{line}\n"),
        }
    }
    text
}

/// As an English spreadsheet saves it: a title, empty rows, a sum, what is wrong in many ways.
const MESSY: &str = "Invented club list,,,,,,,\n\
,,,,,,,\n\
Cylinder,Serial no.,Size (L),Working pressure (bar),Material,Last hydro,Colour,Owner\n\
A1,AN-0101,12,232,steel,2024-03-10,grey,club\n\
A2,AN-0102,12.2,232,Alu,25/03/2024,grey,=HYPERLINK(\"x\")\n\
A3,AN-0103,12,23200,steel,03/07/2024,grey,club\n\
A4,,\"1,200\",232 psi,bronze,2024,grey,\n\
,AN-0105,10,200,steel,2023-01,blue,club\n\
A1,AN-0109,10,200,steel,2023-01,blue,club\n\
A2,AN-0102,12.2,232,Alu,25/03/2024,grey,=HYPERLINK(\"x\")\n\
A6,AN-0106,10,#REF!,steel,03/24,blue,a\u{0}b\n\
\n\
Total,6,,,,,,\n";

#[test]
fn a_messy_list_is_told_whole_and_nothing_is_written() {
    let folder = with_book("transfer-messy", &[("list.csv", MESSY.as_bytes())]);
    assert_snapshot!(masked(&import(
        &folder,
        "--cylinders",
        "list.csv",
        &["--dry-run"]
    )));
    let stopped = import(&folder, "--cylinders", "list.csv", &[]);
    assert_eq!((stopped.exit, stopped.out.as_str()), (Some(2), ""));
    assert!(
        stopped.err.contains("nothing was written"),
        "{}",
        stopped.err
    );
    assert_eq!(export(&folder, "cylinders", &[]).out.lines().count(), 1);
    let some = import(&folder, "--cylinders", "list.csv", &["--skip-bad-rows"]);
    assert_eq!(some.exit, Some(1), "{}", some.err);
    assert_eq!(export(&folder, "cylinders", &[]).out.lines().count(), 2);
}

/// The same list as a German spreadsheet saves it: Windows-1252, semicolons, decimal commas.
#[test]
fn a_german_list_in_windows_letters() {
    let text =
        b"Flaschen-Nr.;Seriennummer;Volumen [l];Nenndruck (bar);Pr\xfcfdruck in bar;Werkstoff;\
Letzte Pr\xfcfung;Eigent\xfcmer;Farbe\r\n\
7;AN-0201;12,0;232;348;Stahl;10.03.2024;Verein;gelb\r\n\
8;AN-0202;11,1;207;;Alu;03/2023;\"M\xfcller; W.\";rot\r\n";
    let folder = with_book("transfer-german", &[("liste.csv", text)]);
    assert_snapshot!(masked(&import(&folder, "--cylinders", "liste.csv", &[])));
    let again = import(&folder, "--cylinders", "liste.csv", &[]);
    assert!(again.out.contains("the same: 2 rows"), "{}", again.out);
    let moved = b"Flaschen-Nr.;Nenndruck (psi);Letzte Pr\xfcfung\r\n7;3365;10.03.2026\r\n8;;-\r\n";
    fs::write(folder.join("neu.csv"), moved).unwrap();
    assert_snapshot!(masked(&import(&folder, "--cylinders", "neu.csv", &[])));
    // What the second list says nothing of is still there.
    let out = export(&folder, "cylinders", &[]).out;
    assert!(
        out.contains("AN-0201") && out.contains("\"Müller; W.\"") || out.contains("Müller; W."),
        "{out}"
    );
}

/// A workbook with dates, a formula, a merged title, a number for a serial number, an error.
#[test]
fn a_workbook() {
    let folder = folder("transfer-workbook");
    begin(&folder);
    let mut workbook = Workbook::new();
    let (day, month) = (
        Format::new().set_num_format("dd/mm/yyyy"),
        Format::new().set_num_format("mmm yy"),
    );
    let sheet = workbook.add_worksheet().set_name("Bottles").unwrap();
    sheet
        .merge_range(0, 0, 0, 4, "Invented list", &Format::new())
        .unwrap();
    for (column, heading) in [
        "Bottle",
        "Serial number",
        "Capacity, L",
        "WP [bar]",
        "Test date",
        "Made",
    ]
    .iter()
    .enumerate()
    {
        sheet.write(2, column as u16, *heading).unwrap();
    }
    sheet.write(3, 0, "E1").unwrap();
    sheet.write(3, 1, 4711).unwrap();
    sheet.write(3, 2, 6.8).unwrap();
    sheet
        .write(3, 3, Formula::new("=150*2").set_result("300"))
        .unwrap();
    sheet
        .write_with_format(3, 4, ExcelDateTime::from_ymd(2024, 7, 3).unwrap(), &day)
        .unwrap();
    sheet
        .write_with_format(3, 5, ExcelDateTime::from_ymd(2019, 4, 1).unwrap(), &month)
        .unwrap();
    sheet.write(4, 0, "E2").unwrap();
    sheet
        .write(4, 3, Formula::new("=1/0").set_result("#DIV/0!"))
        .unwrap();
    sheet.write(1_048_575, 16_000, " ").unwrap();
    workbook
        .add_worksheet()
        .set_name("Prices")
        .unwrap()
        .write(0, 0, "5")
        .unwrap();
    workbook.save(folder.join("list.xlsx")).unwrap();
    assert_snapshot!(masked(&import(
        &folder,
        "--cylinders",
        "list.xlsx",
        &["--skip-bad-rows"]
    )));
    let wrong = import(&folder, "--cylinders", "list.xlsx", &["--sheet", "Price"]);
    assert!(wrong.err.contains("Bottles, Prices"), "{}", wrong.err);
}

/// The OpenDocument form by hand: a package of one sheet (OpenDocument 1.2, part 1, 19.385 value
/// types). Invented data.
#[test]
fn an_opendocument_sheet() {
    let cell = |kind: &str, value: &str| {
        format!("<table:table-cell office:value-type=\"{kind}\" {value}/>")
    };
    let text = |text: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let row = |cells: &[String]| format!("<table:table-row>{}</table:table-row>", cells.concat());
    let rows = row(&[text("Botella"), text("Volumen (L)"), text("Última prueba")])
        + &row(&[
            text("C1"),
            cell("float", "office:value=\"12\""),
            cell("date", "office:date-value=\"2024-03-10\""),
        ]);
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content \
         xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
         xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" office:version=\"1.2\"><office:body>\
         <office:spreadsheet><table:table table:name=\"Hoja\">{rows}</table:table></office:spreadsheet>\
         </office:body></office:document-content>"
    );
    let mime = "application/vnd.oasis.opendocument.spreadsheet";
    let manifest = format!(
        "<?xml version=\"1.0\"?><manifest:manifest \
         xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"><manifest:file-entry \
         manifest:full-path=\"/\" manifest:media-type=\"{mime}\"/></manifest:manifest>"
    );
    let package = stored(&[
        ("mimetype", mime.as_bytes()),
        ("META-INF/manifest.xml", manifest.as_bytes()),
        ("content.xml", content.as_bytes()),
    ]);
    let folder = with_book("transfer-ods", &[("lista.ods", &package)]);
    assert_snapshot!(masked(&import(&folder, "--cylinders", "lista.ods", &[])));
}

/// A package whose files are stored as they are (ZIP application note, 4.3).
fn stored(files: &[(&str, &[u8])]) -> Vec<u8> {
    let (mut package, mut directory) = (Vec::new(), Vec::new());
    for (name, bytes) in files {
        let at = package.len() as u32;
        let size = (bytes.len() as u32).to_le_bytes();
        let mut about = vec![20, 0, 0, 0, 0, 0, 0, 0, 0x21, 0];
        about.extend(crc32(bytes).to_le_bytes());
        about.extend([size, size].concat());
        about.extend((name.len() as u16).to_le_bytes());
        about.extend([0, 0]);
        package.extend(b"PK\x03\x04");
        package.extend(&about);
        package.extend(name.as_bytes());
        package.extend(*bytes);
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&about);
        directory.extend([0; 10]);
        directory.extend(at.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let (at, length) = (package.len() as u32, directory.len() as u32);
    let count = (files.len() as u16).to_le_bytes();
    package.extend(directory);
    package.extend(b"PK\x05\x06\0\0\0\0");
    package.extend([count, count].concat());
    package.extend([length.to_le_bytes(), at.to_le_bytes()].concat());
    package.extend([0, 0]);
    package
}

fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32, byte: &u8| {
        let mut crc = crc ^ u32::from(*byte);
        for _ in 0..8 {
            crc = (crc >> 1) ^ (0xedb8_8320 * (crc & 1));
        }
        crc
    };
    !bytes.iter().fold(!0, step)
}

const LOG: &str = "Date;Time;Cylinder;From;To (bar);Filled by;For whom;Remark\n\
12.03.2019;18:30;A1;50 bar;232;JS;a member;valve stiff\n\
12.03.2019;;A2;;200;JS;;\n\
12.03.2019;;A2;;200;JS;;\n\
03/04/2019;19:00;A1;60 bar;232;;;\n\
13.03.2019;25:00;A9;240 bar;232;;;\n\
2031-01-01;10:00;A1;0 bar;232;;;\n\
03.2019;;A1;;232;;;\n";

#[test]
fn an_older_fill_log() {
    let folder = with_book(
        "transfer-log",
        &[
            ("list.csv", b"Cylinder\nA1\nA2\n"),
            ("log.csv", LOG.as_bytes()),
        ],
    );
    assert_eq!(
        import(&folder, "--cylinders", "list.csv", &[]).exit,
        Some(0)
    );
    assert_snapshot!(masked(&import(
        &folder,
        "--fills",
        "log.csv",
        &["--dry-run"]
    )));
    let some = import(
        &folder,
        "--fills",
        "log.csv",
        &["--skip-bad-rows", "--dates", "day-first"],
    );
    assert!(some.out.contains("Entered: 3 fills"), "{}", some.out);
    assert_snapshot!(masked(&export(&folder, "fills", &[])));
    let again = import(
        &folder,
        "--fills",
        "log.csv",
        &["--skip-bad-rows", "--dates", "day-first"],
    );
    assert!(again.out.contains("the same: 4 rows"), "{}", again.out);
}

#[test]
fn what_cannot_be_brought_in() {
    let long = vec![b'x'; 10_000_001];
    let rows = b"Cylinder\n"
        .iter()
        .copied()
        .chain(b"a\n".iter().copied().cycle().take(2_000_002));
    let rows: Vec<u8> = rows.collect();
    let huge = format!("Cylinder,Remark\nA1,{}\n", "y".repeat(50_000));
    let folder = with_book(
        "transfer-cannot",
        &[
            ("empty.csv", b"\n\n"),
            ("long.csv", &long),
            ("rows.csv", &rows),
            ("huge.csv", huge.as_bytes()),
            ("torn.xlsx", b"PK\x03\x04torn"),
            ("elf", b"\x7fELF\x02\0\x01\0\xff"),
            ("no-headings.csv", b"a,b\n1,2\n"),
            ("serial.csv", b"Serial no.,Owner\n1,club\n"),
            ("twice.csv", b"Cylinder,Tank\nA1,A1\n"),
            ("one.csv", b"Cylinder\nA1\n"),
        ],
    );
    let mut said = String::new();
    for arguments in [
        &["nosuch.csv"][..],
        &["."],
        &["empty.csv"],
        &["long.csv"],
        &["rows.csv"],
        &["huge.csv"],
        &["torn.xlsx"],
        &["elf"],
        &["no-headings.csv"],
        &["serial.csv"],
        &["twice.csv"],
        &["one.csv", "--columns", "Tank=serial"],
        &["one.csv", "--dates", "american"],
        &["one.csv", "--decimal", "dot"],
        &["one.csv", "--sheet", "x"],
    ] {
        let ran = import(&folder, "--cylinders", arguments[0], &arguments[1..]);
        said += &format!(
            "$ ... --cylinders {}\n{}\n",
            arguments.join(" "),
            ran.shown()
        );
    }
    assert_snapshot!(said);
    assert_eq!(export(&folder, "cylinders", &[]).out.lines().count(), 1);
}

#[test]
fn a_condemned_cylinder_does_not_come_back_by_a_list() {
    let folder = with_book(
        "transfer-condemned",
        &[("list.csv", b"Cylinder,Owner\nA1,club\n")],
    );
    assert_eq!(
        import(&folder, "--cylinders", "list.csv", &[]).exit,
        Some(0)
    );
    let condemned = run_in(
        &folder,
        &[
            "book", "add", "b.book", "condemn", "A1", "--why", "crack", "--by", "MK",
        ],
    );
    assert_eq!(condemned.exit, Some(0), "{}", condemned.err);
    assert!(
        import(&folder, "--cylinders", "list.csv", &[])
            .out
            .contains("the same: 1 row")
    );
    fs::write(folder.join("new.csv"), "Cylinder,Owner\nA1,somebody\n").unwrap();
    let ran = import(&folder, "--cylinders", "new.csv", &["--skip-bad-rows"]);
    assert!(ran.out.contains("A1 was condemned"), "{}", ran.out);
    assert!(
        export(&folder, "cylinders", &[])
            .out
            .contains("condemned (entry")
    );
}

#[test]
fn what_is_taken_out() {
    let folder = with_book("transfer-out", &[]);
    let add = |arguments: &[&str]| {
        let ran = run_in(
            &folder,
            &[&["book", "add", "b.book"], arguments, &["--by", "MK"]].concat(),
        );
        assert_eq!(ran.exit, Some(0), "{}", ran.err);
    };
    add(&[
        "cylinder",
        "A1",
        "--water-volume",
        "12 L",
        "--working-pressure",
        "3300 psi",
        "--owner",
        "-club",
        "--at",
        "2026-05-20 19:10",
    ]);
    add(&["start", "--hours", "431.5 h", "--at", "2026-05-20 19:20"]);
    add(&[
        "reading",
        "pmv opens",
        "--value",
        "98 bar",
        "--at",
        "2026-05-20 19:21",
    ]);
    add(&[
        "reading",
        "co",
        "--value",
        "3 ppm",
        "--at",
        "2026-05-20 19:22",
    ]);
    add(&["stop", "--hours", "432 h", "--at", "2026-05-20 19:50"]);
    let out = ["cylinders", "runs", "readings"]
        .map(|what| export(&folder, what, &[]).shown())
        .concat();
    assert_snapshot!(out);
    assert_snapshot!(export(&folder, "readings", &["--format", "jsonl"]).shown());
    assert!(
        export(&folder, "cylinders", &["--bom"])
            .out
            .starts_with("\u{feff}cylinder,")
    );
    let lines = run_in(&folder, &["book", "export", "b.book"]).out;
    let last: serde_json::Value = serde_json::from_str(lines.lines().last().unwrap()).unwrap();
    assert_eq!(
        (&last["seq"], &last["kind"]),
        (&7.into(), &"run_stopped".into())
    );
    for wrong in [
        &["--what", "valves"][..],
        &["--format", "xml"],
        &["--from", "2026-01-01"],
        &["--bom"],
        &[
            "--what",
            "fills",
            "--from",
            "2026-02-01",
            "--to",
            "2026-01-01",
        ],
    ] {
        assert_eq!(
            run_in(&folder, &[&["book", "export", "b.book"], wrong].concat()).exit,
            Some(2),
            "{wrong:?}"
        );
    }
    let file = ["book", "export", "b.book", "--out", "a.jsonl"];
    assert_eq!(run_in(&folder, &file).exit, Some(0));
    assert_eq!(fs::read_to_string(folder.join("a.jsonl")).unwrap(), lines);
    assert!(run_in(&folder, &file).err.contains("is there already"));
}

/// A book made of the lines of another has the same seal; it goes on with later lines of the same
/// history, and with no others.
#[test]
fn the_ledger_out_and_in_again() {
    let folder = with_book("transfer-entries", &[]);
    let book = |arguments: &[&str]| run_in(&folder, &[&["book"], arguments].concat());
    let note = |name: &str, text: &str| {
        let ran = book(&["add", name, "note", text, "--by", "MK"]);
        assert_eq!(ran.exit, Some(0), "{}", ran.err);
    };
    let seal = |ran: &Ran| ran.out.rsplit(' ').next().unwrap().to_owned();
    let first = book(&["export", "b.book"]).out;
    fs::write(folder.join("first.jsonl"), &first).unwrap();
    let made = book(&["import", "new.book", "--entries", "first.jsonl"]);
    assert!(
        made.out.starts_with("new.book is a new book of 2 entries."),
        "{}",
        made.shown()
    );
    assert_eq!(book(&["export", "new.book"]).out, first);
    note("b.book", "invented");
    fs::write(folder.join("later.jsonl"), book(&["export", "b.book"]).out).unwrap();
    let on = book(&["import", "new.book", "--entries", "later.jsonl"]);
    assert!(
        on.out
            .starts_with("new.book goes on: 1 entries were added."),
        "{}",
        on.shown()
    );
    let again = book(&["import", "b.book", "--entries", "later.jsonl"]);
    assert!(again.out.contains("holds every one"), "{}", again.shown());
    assert_eq!(seal(&on), seal(&again));
    note("new.book", "another");
    note("b.book", "one more");
    fs::write(folder.join("other.jsonl"), book(&["export", "b.book"]).out).unwrap();
    let other = book(&["import", "new.book", "--entries", "other.jsonl"]);
    assert!(
        other.exit == Some(2) && other.err.contains("two histories"),
        "{}",
        other.shown()
    );
    let torn = first.replace("Invented boathouse", "Another boathouse");
    fs::write(folder.join("torn.jsonl"), torn).unwrap();
    let torn = book(&["import", "torn.book", "--entries", "torn.jsonl"]);
    assert!(
        torn.exit == Some(2) && torn.err.contains("line 1"),
        "{}",
        torn.shown()
    );
    assert!(!folder.join("torn.book").exists());
    let both = book(&["import", "x.book", "--entries", "first.jsonl", "--dry-run"]);
    assert_eq!(both.exit, Some(2), "{}", both.shown());
    let none = book(&["import", "x.book", "--entries", "nosuch.jsonl"]);
    assert!(
        none.exit == Some(2) && !folder.join("x.book").exists(),
        "{}",
        none.shown()
    );
}

/// Texts as people and pranksters type them.
fn text() -> impl Strategy<Value = String> {
    "[=+@'\"a-zA-Z0-9é;,_ -]{0,20}".prop_map(|text| text.trim().to_owned())
}

fn cylinder() -> impl Strategy<Value = Vec<(&'static str, String)>> {
    let volume = prop_oneof![
        (1u32..300).prop_map(|n| format!("{}.{} L", n / 10, n % 10)),
        Just("731 cu in".to_owned())
    ];
    let pressure = prop_oneof![
        (1000u32..3500).prop_map(|n| format!("{}.{} bar", n / 10, n % 10)),
        (1500u32..5000).prop_map(|n| format!("{n} psi")),
        Just("3,300 psi".to_owned())
    ];
    let day = (2000u32..2026, 1u32..13, 1u32..29).prop_map(|(y, m, d)| {
        if d == 1 {
            format!("{y}-{m:02}")
        } else {
            format!("{y}-{m:02}-{d:02}")
        }
    });
    (text(), text(), volume, pressure, day, text(), any::<bool>()).prop_map(
        |(owner, serial, volume, pressure, tested, remark, plus)| {
            vec![
                ("--owner", owner),
                ("--serial", serial),
                ("--water-volume", volume),
                ("--working-pressure", pressure),
                ("--tested", tested),
                ("--remark", remark),
                ("--plus", if plus { "yes" } else { "no" }.to_owned()),
            ]
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    /// Cylinders and fills taken out come in again unchanged, into another book and into their own.
    #[test]
    fn both_ways(cylinders in proptest::collection::vec(cylinder(), 1..4), remark in text(), from in 0u32..100, minute in 0u32..1440) {
        let here = with_book("transfer-round-here", &[]);
        let there = with_book("transfer-round-there", &[]);
        for (n, fields) in cylinders.iter().enumerate() {
            let name = format!("={n}'é");
            let mut command = vec!["book".to_owned(), "add".into(), "b.book".into(), "cylinder".into(), name];
            for (option, value) in fields {
                command.push(format!("{option}={value}"));
            }
            command.extend(["--by=MK".into(), "--at=2026-05-20 19:10".into()]);
            let command: Vec<&str> = command.iter().map(String::as_str).collect();
            let ran = run_in(&here, &command);
            prop_assert_eq!(ran.exit, Some(0), "{}", ran.err);
        }
        let log = format!("date,cylinder,from,to,remark\n2019-03-12 {:02}:{:02},=0'é,{from} bar,232 bar,\"{}\"\n", minute / 60, minute % 60, remark.replace('"', "\"\""));
        fs::write(here.join("log.csv"), log).unwrap();
        let ran = import(&here, "--fills", "log.csv", &[]);
        prop_assert_eq!(ran.exit, Some(0), "{}{}", ran.out, ran.err);
        for (list, what) in [("--cylinders", "cylinders"), ("--fills", "fills")] {
            let table = export(&here, what, &[]).out;
            for line in table.split("\r\n").skip(1) {
                prop_assert!(!line.starts_with(['=', '+', '-', '@']), "{}", line);
            }
            for folder in [&here, &there] {
                fs::write(folder.join("table.csv"), &table).unwrap();
            }
            let own = import(&here, list, "table.csv", &[]);
            prop_assert!(own.exit == Some(0) && own.out.contains("holds all of it already"), "{}{}", own.out, own.err);
            let ran = import(&there, list, "table.csv", &[]);
            prop_assert_eq!(ran.exit, Some(0), "{}{}", ran.out, ran.err);
            let columns = |text: &str| without(text, &["seq", "registered"]);
            prop_assert_eq!(columns(&export(&there, what, &[]).out), columns(&table));
        }
    }
}

/// A table without these columns.
fn without(text: &str, names: &[&str]) -> Vec<Vec<String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let kept: Vec<bool> = reader
        .headers()
        .unwrap()
        .iter()
        .map(|name| !names.contains(&name))
        .collect();
    let rows = reader.records().map(Result::unwrap);
    let row = |row: csv::StringRecord| {
        row.iter()
            .zip(&kept)
            .filter(|(_, kept)| **kept)
            .map(|(cell, _)| cell.to_owned())
            .collect()
    };
    rows.map(row).collect()
}
