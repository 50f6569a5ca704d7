//! Taps against a real book: two phones, old pages, taps sent twice, a server started anew.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use super::*;
use crate::usecase::book::begin::{self, begin};
use crate::usecase::book::desk::{self, Who};
use crate::usecase::run::act::{Act, Done, Tap, act};
use crate::usecase::run::amend::{Told, correct_reading, drained_volume, settled};
use crate::usecase::run::look::{Courses, look};
use crate::usecase::run::stage::Stage;
use crate::usecase::run::start::{self, NotStarted};

/// A book of the boathouse with one hose, in a folder of its own.
pub fn book() -> PathBuf {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let n = COUNT.fetch_add(1, Ordering::Relaxed);
    let folder = std::env::temp_dir().join(format!("fillstead-run-{}-{n}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let stations = concat!(env!("CARGO_MANIFEST_DIR"), "/../../stations/boathouse.toml");
    let text = std::fs::read_to_string(stations).unwrap();
    let station = folder.join("station.toml");
    std::fs::write(&station, text.replace("\ncount = 2", "\ncount = 1")).unwrap();
    let asked = begin::Asked {
        station: Some(&station),
        rule: Some("uk"),
        standard: Some("EN 12021"),
        ..begin::Asked::default()
    };
    let who = Who {
        by: Some("MK"),
        at: Some("2026-05-06 10:00"),
        zone: Some("UTC"),
    };
    let path = folder.join("club.book");
    assert!(begin(&path, &asked, &who).is_ok());
    path
}

fn given(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
    let own = |(name, text): &(&str, &str)| ((*name).to_owned(), (*text).to_owned());
    pairs.iter().map(own).collect()
}

/// Starts A1 and P1, one after the other.
fn started(path: &Path) -> u64 {
    let fields = given(&[
        ("cylinder", "A1@50 bar"),
        ("cylinder", "P1@80"),
        ("tower", "70"),
    ]);
    let done = start::start(path, &fields, Some("MK"));
    done.unwrap_or_else(|_| panic!("not started"))
}

fn entries(path: &Path) -> usize {
    desk::read(path).unwrap().head().unwrap().unwrap().0 as usize
}

fn tap(run: u64, seq: u64, at: Option<i64>) -> Tap {
    Tap { run, seq, at }
}

/// Somebody says something later of an entry.
fn told(path: &Path, of: u64, made: Option<i64>) -> Told<'_> {
    Told {
        path,
        of,
        made,
        by: Some("MK"),
    }
}

fn written(done: Result<Done, Vec<crate::usecase::Trouble>>) -> u64 {
    match done.unwrap() {
        Done::Written(seqs) => seqs[0],
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_phones_press_the_same_and_one_entry_is_written() {
    let path = book();
    let run = started(&path);
    let drain = written(act(&path, &Act::Drained, &tap(run, run, None), Some("MK")));
    let before = entries(&path);
    let other = act(&path, &Act::Drained, &tap(run, run, None), Some("TB")).unwrap();
    let Done::Moot(why) = other else {
        panic!("{other:?}")
    };
    assert!(why.contains(&format!("entry {drain}, by MK")), "{why}");
    assert_eq!(entries(&path), before);
    // A page that knows of it may go on.
    written(act(
        &path,
        &Act::Drained,
        &tap(run, drain, None),
        Some("TB"),
    ));
    // What a gauge showed is true whatever anybody else did.
    let read = Act::Reading {
        of: "fill gauge".into(),
        value: "60 bar".into(),
    };
    written(act(&path, &read, &tap(run, run, None), Some("TB")));
}

/// Nothing is kept in memory: each call opens the book anew, as a server started anew does.
#[test]
fn a_tap_sent_again_is_known_by_its_moment() {
    let path = book();
    let run = started(&path);
    let began = desk::read(&path)
        .unwrap()
        .event(run)
        .unwrap()
        .unwrap()
        .happened
        .0;
    let moment = Some(began + 1_234_567);
    let read = Act::Reading {
        of: "tower".into(),
        value: "71 bar".into(),
    };
    let seq = written(act(&path, &read, &tap(run, run, moment), Some("MK")));
    let before = entries(&path);
    let again = act(&path, &read, &tap(run, run, moment), Some("MK")).unwrap();
    assert_eq!(again, Done::Known(seq));
    // Even where it was taken back in the meantime.
    correct_reading(&told(&path, seq, None), None).unwrap();
    let again = act(&path, &read, &tap(run, run, moment), Some("MK")).unwrap();
    assert_eq!(again, Done::Known(seq));
    assert_eq!(entries(&path), before + 1);
}

#[test]
fn a_run_goes_from_start_to_cold() {
    let path = book();
    let courses = Courses::default();
    let run = started(&path);
    let stage = || {
        let scene = look(&path, &courses).unwrap().unwrap();
        (scene.standing(crate::usecase::clock::now()).stage, scene)
    };
    let press =
        |what: Act, run: u64| written(act(&path, &what, &tap(run, u64::MAX, None), Some("MK")));
    assert_eq!(stage().0, Stage::Starting);
    let full = || Act::Filled {
        to: "232 bar".into(),
    };
    let early = act(&path, &full(), &tap(run, u64::MAX, None), Some("MK")).unwrap();
    assert!(
        matches!(early, Done::Moot(_)),
        "the machine runs: {early:?}"
    );
    press(Act::Stopped, run);
    assert_eq!(stage().0, Stage::GaugeAtStop);
    let twice = act(&path, &Act::Stopped, &tap(run, u64::MAX, None), Some("TB")).unwrap();
    assert!(matches!(twice, Done::Moot(_)), "{twice:?}");
    let of = press(full(), run);
    assert!(matches!(
        act(&path, &full(), &tap(run, u64::MAX, None), Some("TB")).unwrap(),
        Done::Moot(_)
    ));
    assert_eq!(stage().0, Stage::Bleed);
    let next = || Act::Next {
        tower: Some("95 bar".into()),
    };
    let unbled = act(&path, &next(), &tap(run, u64::MAX, None), Some("MK")).unwrap();
    assert!(
        matches!(unbled, Done::Moot(_)),
        "the hose is not bled: {unbled:?}"
    );
    press(Act::Bled, run);
    let drain = press(Act::Drained, run);
    drained_volume(&told(&path, drain, None), "40").unwrap();
    assert_eq!(stage().0, Stage::Between);
    let second = press(next(), run);
    let (now, scene) = stage();
    assert_eq!((now, scene.names().as_str()), (Stage::Starting, "P1"));
    assert_eq!(
        scene.view(crate::usecase::clock::now()).position,
        "P1, 2 of 2"
    );
    assert_eq!(scene.log.started.body.continues, Some(run));
    // A page of the first start presses on: nothing is written into the second.
    let old = act(&path, &Act::Bled, &tap(run, u64::MAX, None), Some("TB")).unwrap();
    assert!(matches!(old, Done::Moot(_)), "{old:?}");
    for what in [Act::Stopped, full(), Act::Bled, Act::Drained] {
        press(what, second);
    }
    assert_eq!(stage().0, Stage::Cooling);
    let fills = stage().1.log.fills;
    settled(&told(&path, fills[0].seq, None), ("205 bar", "15")).unwrap();
    let before = entries(&path);
    settled(&told(&path, fills[0].seq, None), ("205 bar", "15")).unwrap();
    assert_eq!(entries(&path), before, "said once");
    assert_eq!(stage().0, Stage::Ended);
    let first = desk::read(&path).unwrap().event(of).unwrap().unwrap();
    let Ok(Body::Fill(first)) = first.body else {
        panic!("{first:?}")
    };
    assert_eq!(first.to.unwrap().typed(), "232 bar");
    assert!(first.gate.is_some(), "the gate was asked");
}

#[test]
fn a_tap_kept_while_the_network_was_away_counts_when_it_was_made() {
    let path = book();
    let run = started(&path);
    // The start lies ten minutes back.
    let book = desk::read(&path).unwrap();
    let began = book.event(run).unwrap().unwrap().happened.0;
    drop(book);
    let who = Who {
        by: Some("MK"),
        at: None,
        zone: None,
    };
    let zone = desk::zone(&desk::read(&path).unwrap()).unwrap();
    let text = zone.exact(Moment(began - 600_000_000));
    let change = crate::usecase::book::correct::Change {
        of: run,
        why: "started earlier",
        withdraw: false,
        given: Vec::new(),
    };
    let earlier = Who {
        at: text.get(..19),
        ..who
    };
    assert!(crate::usecase::book::correct::correct(&path, &change, &earlier).is_ok());
    let made = began - 300_000_000;
    let drain = written(act(
        &path,
        &Act::Drained,
        &tap(run, run, Some(made)),
        Some("MK"),
    ));
    let event = desk::read(&path).unwrap().event(drain).unwrap().unwrap();
    assert_eq!(event.happened.0, made);
    // Another phone kept the same drain, pressed half a minute later.
    let same = act(
        &path,
        &Act::Drained,
        &tap(run, run, Some(made + 30_000_000)),
        Some("TB"),
    );
    assert!(matches!(same.unwrap(), Done::Moot(_)));
    // A drain three minutes later is another one, though the page knew nothing of the first.
    written(act(
        &path,
        &Act::Drained,
        &tap(run, run, Some(made + 180_000_000)),
        Some("TB"),
    ));
    // A moment before the start, or to come, is not believed.
    let odd = written(act(
        &path,
        &Act::Reading {
            of: "tower".into(),
            value: "90 bar".into(),
        },
        &tap(run, run, Some(began + 3_600_000_000)),
        Some("MK"),
    ));
    let event = desk::read(&path).unwrap().event(odd).unwrap().unwrap();
    assert!(event.happened.0 < began + 3_000_000_000);
}

#[test]
fn a_refused_cylinder_starts_nothing() {
    let path = book();
    let before = entries(&path);
    let fields = given(&[("id", "A3"), ("from", "35"), ("id", "A1"), ("from", "50")]);
    let Err(NotStarted::Wrong(troubles, refused)) = start::start(&path, &fields, Some("MK")) else {
        panic!("started");
    };
    assert!(troubles.is_empty(), "{troubles:?}");
    let (id, why) = &refused[0];
    assert_eq!((id.as_str(), refused.len()), ("A3", 1));
    assert!(why.what.contains("2021-06-01") && !why.way_forward.is_empty());
    assert_eq!(entries(&path), before);
}

#[test]
fn everything_wrong_with_a_start_is_told_at_once() {
    let path = book();
    let fields = given(&[
        ("id", "A1"),
        ("from", "full"),
        ("tower", "9 m"),
        ("humidity", "x"),
    ]);
    let Err(NotStarted::Wrong(troubles, _)) = start::start(&path, &fields, None) else {
        panic!("started");
    };
    let fields: Vec<_> = troubles.iter().filter_map(|t| t.field).collect();
    assert_eq!(fields, ["cylinder", "tower", "humidity", "by"]);
    let empty = start::start(&path, &Vec::new(), Some("MK"));
    assert!(matches!(empty, Err(NotStarted::Wrong(t, _)) if t[0].what == "no cylinder is named"));
}

#[test]
fn a_run_is_started_once() {
    let path = book();
    started(&path);
    let again = start::start(&path, &given(&[("cylinder", "A2@60")]), Some("TB"));
    assert!(matches!(again, Err(NotStarted::Meanwhile)));
}

/// A correction whose answer was lost is sent again; meanwhile somebody else knew better.
#[test]
fn a_correction_that_waited_is_written_once_and_never_over_a_later_one() {
    let path = book();
    let run = started(&path);
    let drain = written(act(&path, &Act::Drained, &tap(run, run, None), Some("MK")));
    let happened = desk::read(&path)
        .unwrap()
        .event(drain)
        .unwrap()
        .unwrap()
        .happened
        .0;
    let volume = || {
        let event = desk::read(&path).unwrap().event(drain).unwrap().unwrap();
        let Ok(Body::Drained(body)) = event.body else {
            panic!("{event:?}")
        };
        body.volume
            .map(|volume| volume.to_string())
            .unwrap_or_default()
    };
    let first = told(&path, drain, Some(happened + 1_234_567));
    let seq = written(drained_volume(&first, "40 mL"));
    assert_eq!(drained_volume(&first, "40 mL").unwrap(), Done::Known(seq));
    let better = told(&path, drain, Some(happened + 2_345_678));
    written(drained_volume(&better, "90 mL"));
    let before = entries(&path);
    assert_eq!(drained_volume(&first, "40 mL").unwrap(), Done::Known(seq));
    // Another phone's, said before and sent after.
    let late = told(&path, drain, Some(happened + 2_000_001));
    let Done::Moot(why) = drained_volume(&late, "10 mL").unwrap() else {
        panic!("an old word was written over a newer one")
    };
    assert!(
        why.contains(&format!("entry {drain} was corrected since")),
        "{why}"
    );
    assert_eq!((entries(&path), volume().as_str()), (before, "90 mL"));
    // A moment that no page can mean is no moment: it is said now.
    let odd = told(&path, drain, Some(i64::MAX));
    written(drained_volume(&odd, "20 mL"));
    assert_eq!(volume(), "20 mL");
}

#[test]
fn a_start_that_waited_begins_when_it_was_made_and_once() {
    let path = book();
    let now = crate::usecase::clock::now().0;
    let form = |at: i64, cylinder: &str| {
        let at = at.to_string();
        given(&[
            ("cylinder", cylinder),
            ("tower", "70"),
            ("at", &at),
            ("seq", "0"),
        ])
    };
    let made = now - 180_000_001;
    let begin = |at: i64| start::start(&path, &form(at, "A1@50 bar"), Some("MK"));
    // Longer than anybody would watch: nothing is written, and the way is told.
    let Err(NotStarted::Wrong(troubles, _)) = begin(now - 5 * 3_600_000_000) else {
        panic!("a start of this morning is watched")
    };
    assert!(troubles[0].what.contains("waited too long"), "{troubles:?}");
    let Ok(run) = begin(made) else {
        panic!("not started")
    };
    let event = desk::read(&path).unwrap().event(run).unwrap().unwrap();
    assert_eq!(event.happened.0, made);
    let before = entries(&path);
    assert!(matches!(begin(made), Ok(again) if again == run));
    assert!(matches!(begin(made + 1), Err(NotStarted::Meanwhile)));
    assert_eq!(entries(&path), before);
    // What the gate refuses is refused however long it waited.
    written(act(&path, &Act::Stopped, &tap(run, run, None), Some("MK")));
    let refused = given(&[
        ("cylinder", "A3@50 bar"),
        ("tower", "70"),
        ("at", &(now - 7).to_string()),
    ]);
    let Err(NotStarted::Wrong(_, refusals)) = start::start(&path, &refused, Some("MK")) else {
        panic!("a refused cylinder was started")
    };
    assert_eq!(refusals[0].0, "A3");
    assert!(
        matches!(begin(made), Ok(again) if again == run),
        "known after the stop"
    );
}
