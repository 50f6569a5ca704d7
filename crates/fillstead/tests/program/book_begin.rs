//! A book begun from each station that comes with the program, and entries that name who did the work.

use crate::common::{folder, run_in, stations};

#[test]
fn a_book_is_begun_from_each_station() {
    for name in ["boathouse", "engine-house", "smallest"] {
        let folder = folder(&format!("begun_from_{name}"));
        let station = stations().join(format!("{name}.toml"));
        let station = station.display().to_string();
        let ran = run_in(
            &folder,
            &[
                "book",
                "begin",
                "a.book",
                "--station",
                &station,
                "--by",
                "MK",
            ],
        );
        assert_eq!(ran.exit, Some(0), "{}", ran.shown());
        let ran = run_in(&folder, &["book", "verify", "a.book"]);
        assert_eq!(ran.exit, Some(0), "{}", ran.shown());
    }
}

/// Who did the work is not who makes the entry.
#[test]
fn work_done_by_somebody_else_is_entered() {
    let folder = folder("work_done_by_somebody_else");
    let book = |typed: &[&str]| {
        let ran = run_in(&folder, &[&["book"], typed].concat());
        assert_eq!(ran.exit, Some(0), "{}", ran.shown());
        ran.out
    };
    book(&["begin", "a.book", "--name", "shed", "--by", "MK"]);
    book(&["add", "a.book", "cylinder", "A1", "--by", "MK"]);
    let signed = ["--done-by", "a technician", "--by", "MK"];
    for typed in [
        &["add", "a.book", "replaced", "oil"][..],
        &["add", "a.book", "tested", "relief", "--passed", "yes"],
        &[
            "add",
            "a.book",
            "inspection",
            "A1",
            "--check",
            "visual",
            "--on",
            "2026-05-05",
            "--passed",
            "yes",
        ],
    ] {
        let told = book(&[typed, &signed].concat());
        assert!(told.contains("by MK"), "{told}");
    }
    let list = book(&["list", "a.book"]);
    let list: Vec<&str> = list.split_whitespace().collect();
    let list = list.join(" ");
    assert_eq!(list.matches("a technician").count(), 3, "{list}");
}
