//! Tests of the demonstration book: it is whole, its story is there, and what was true can be found
//! again in what was written.

use std::path::PathBuf;

use book::answer::{hours, locks, quarantine, register, runs};
use book::body::{Body, Outcome};
use book::{Book, Kind, Moment, Wanted};
use insight::drift::{Point, Setting, trend};
use insight::logged::{LoggedDrain, LoggedFill, LoggedRun, Today, cartridge};
use jiff::civil::Date;

use super::telling::Truth;
use super::*;
use crate::usecase::book::{hours as usecase, keep};

fn path(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("fillstead-demo-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(format!("{name}.book"));
    let _ = std::fs::remove_file(&path);
    path
}

fn until() -> Date {
    kept::UNTIL.parse().unwrap()
}

/// One book for all that is asked of it here.
fn told() -> &'static (PathBuf, Made, Vec<Truth>) {
    static TOLD: std::sync::OnceLock<(PathBuf, Made, Vec<Truth>)> = std::sync::OnceLock::new();
    TOLD.get_or_init(|| {
        let path = path("told");
        let (made, marks) = made(&path, SEED, until())
            .map_err(|t| t[0].what.clone())
            .unwrap();
        (path, made, marks)
    })
}

fn events(book: &Book, kinds: &[Kind]) -> Vec<(u64, Moment, Body)> {
    let wanted = Wanted {
        kinds,
        ..Wanted::default()
    };
    let events = book.events(&wanted).unwrap().into_iter();
    events
        .map(|e| (e.seq, e.happened, e.body.unwrap()))
        .collect()
}

fn day_begins(text: &str) -> Option<Moment> {
    let zone = Zone::named(ZONE).unwrap();
    Some(zone.day_limits(station::Date::parse(text)?)?.0)
}

fn end() -> Moment {
    day_begins(kept::UNTIL).unwrap()
}

#[test]
fn the_story_kept_is_the_story_told() {
    let (path, _, _) = told();
    let book = Book::open(path).unwrap();
    let zone = Zone::named(ZONE).unwrap();
    let first = until().saturating_sub(jiff::Span::new().days(calendar::DAYS));
    let lines = kept::lines(&book, &zone, first).unwrap();
    let file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/src/usecase/book/demo/story.txt"
    );
    if std::env::var_os("FILLSTEAD_KEEP_STORY").is_some() {
        std::fs::write(file, &lines).unwrap();
    }
    let same = std::fs::read_to_string(file).unwrap() == lines;
    assert!(same, "make it anew as kept.rs says");
}

#[test]
fn the_story_kept_becomes_the_same_book() {
    let (_, told, _) = told();
    let zone = Zone::named(ZONE).unwrap();
    let again = kept::write(&path("kept"), &zone, until())
        .map_err(|t| t[0].what.clone())
        .unwrap();
    assert_eq!(&again, told);
    let later = path("later");
    let moved = kept::write(&later, &zone, "2027-03-03".parse().unwrap())
        .map_err(|_| ())
        .unwrap();
    assert_eq!(
        (moved.entries, moved.last.as_str()),
        (told.entries, "2027-03-02")
    );
    assert!(
        keep::check(&later, Some(&moved.seal), &mut |_| {})
            .unwrap()
            .whole
    );
}

#[test]
fn the_same_seed_gives_the_same_book_and_another_another() {
    let (_, one, _) = told();
    let seal = |seed| {
        made(&path(&format!("seed {seed}")), seed, until())
            .map_err(|_| ())
            .unwrap()
            .0
            .seal
    };
    assert_eq!(seal(SEED), one.seal);
    assert_ne!(seal(SEED + 1), one.seal);
}

#[test]
fn it_is_whole_and_marked_as_invented() {
    let (path, made, _) = told();
    let checked = keep::check(path, Some(&made.seal), &mut |_| {}).unwrap();
    assert!(checked.whole, "{:?} {:?}", checked.bad, checked.problems);
    let book = Book::open(path).unwrap();
    let Ok(Body::BookBegun(page)) = book.entry(1).unwrap().unwrap().body() else {
        panic!("no first page")
    };
    assert!(
        page.invented
            && page
                .remark
                .unwrap()
                .starts_with("INVENTED demonstration data")
    );
    let initials = |name: &str| name.len() == 2 && name.chars().all(|c| c.is_ascii_uppercase());
    for name in book.names(&book::Subject::Person(String::new())).unwrap() {
        assert!(
            initials(&name) || name == "a guest" || name == "club" || name == "rescue boat",
            "{name}"
        );
    }
    // one clock went backwards, by less than ten minutes
    let back = book.clock_went_back().unwrap();
    assert_eq!(back.len(), 1, "{back:?}");
    assert!((60.0..600.0).contains(&back[0].1), "{back:?}");
    assert!(
        super::made(path, SEED, until()).is_err(),
        "never over a file that is there"
    );
}

#[test]
fn the_landmarks_are_there() {
    let book = Book::open(&told().0).unwrap();
    let locks = locks::in_book(&book, Some(end()), &day_begins).unwrap();
    assert_eq!(locks.locks.len(), 2);
    assert!(!locks.locked());
    let failed = events(&book, &[Kind::AirTest])
        .into_iter()
        .find_map(|(_, _, body)| match body {
            Body::AirTest(test) if test.outcome == Outcome::Fails => Some(test),
            _ => None,
        });
    let sentence = failed.unwrap().sentence;
    assert!(
        sentence.contains("at most 25 mg/m3 (at the outlet)"),
        "{sentence}"
    );
    let quarantine = quarantine::in_book(&book, Some(end()), &day_begins).unwrap();
    assert_eq!(
        quarantine.cylinders().len(),
        1,
        "{:?}",
        quarantine.cylinders()
    );
    let mut reasons: Vec<String> = events(&book, &[Kind::FillRefused])
        .into_iter()
        .flat_map(|(_, _, body)| match body {
            Body::FillRefused(refused) => refused.refusals,
            other => panic!("{other:?}"),
        })
        .map(|refusal| refusal.id)
        .collect();
    reasons.sort();
    reasons.dedup();
    let expected = [
        "above-rating",
        "air-test-failed",
        "mixed-ratings",
        "overdue",
        "set-aside",
        "symptom",
        "unknown",
        "unprotected",
    ];
    assert_eq!(reasons, expected);
    let records = register::all_in_book(&book, Some(end()), &day_begins).unwrap();
    let condemned = records.iter().filter(|r| r.condemned.is_some());
    assert_eq!(
        condemned.map(|r| r.cylinder.as_str()).collect::<Vec<_>>(),
        [people::RUSTY]
    );
}

#[test]
fn every_fill_passed_the_gate_or_has_its_override() {
    let book = Book::open(&told().0).unwrap();
    let mut overridden = 0;
    for (seq, _, body) in events(&book, &[Kind::Fill]) {
        let Body::Fill(fill) = body else {
            panic!("{seq}")
        };
        let gate = fill.gate.unwrap();
        assert!(gate.against.is_empty(), "{seq}: {:?}", gate.against);
        overridden += gate.overridden.len();
    }
    assert_eq!(overridden, 1);
}

#[test]
fn hours_are_consistent() {
    let (path, _, marks) = told();
    let book = Book::open(path).unwrap();
    let hours = hours::in_book(&book, end()).unwrap();
    assert_eq!(hours.doubts, []);
    let last = marks.last().unwrap().hours;
    assert!(
        (hours.total().hours() - last).abs() < 0.1,
        "{:?}, {last} h",
        hours.total()
    );
    // the only doubts about runs are those the clock made that was set back
    let runs = runs::in_book(&book, None, end()).unwrap();
    let back = book.clock_went_back().unwrap()[0].0;
    for doubt in &runs.doubts {
        let about = doubt.entries();
        assert!(
            format!("{doubt:?}").starts_with("OutOfOrder")
                && about.iter().all(|seq| seq.abs_diff(back) <= 8),
            "{doubt:?}"
        );
    }
}

/// The valve falls from 100 to 90 bar until it is set: the slope put in is found again.
#[test]
fn the_drift_put_in_is_found_again() {
    let (path, _, marks) = told();
    let book = Book::open(path).unwrap();
    let set = events(&book, &[Kind::ValveSet])[0].1;
    let begins = events(&book, &[Kind::BookBegun])[0].1;
    let day = |at: Moment| at.seconds_since(begins) / 86_400.0;
    let read = |(_, at, body): (u64, Moment, Body)| match body {
        Body::Reading(reading) if reading.of == "pmv opens" && at < set => {
            let Some(book::Amount::Pressure(p)) = reading.value else {
                panic!()
            };
            Some(Point {
                day: day(at),
                running_h: None,
                value: p.value().as_pascal(),
                standard_uncertainty: 0.9e5,
            })
        }
        _ => None,
    };
    let points: Vec<Point> = events(&book, &[Kind::Reading])
        .into_iter()
        .filter_map(read)
        .collect();
    let found = trend(Setting::PmvOpens, &points, &[], day(set), None);
    let slope = found.per_year.unwrap();
    let before: Vec<&Truth> = marks
        .iter()
        .filter(|m| f64::from(m.day) < day(set) - 0.5)
        .collect();
    let (one, two) = (before[0], before[before.len() - 1]);
    let truth = (two.pmv_bar - one.pmv_bar) / f64::from(two.day - one.day) * 365.25;
    assert!(
        (slope.low..=slope.high).contains(&truth),
        "{truth} bar a year, found {slope:?}"
    );
    assert!(found.significant);
}

/// The cartridge carried through what was written down holds what it truly held, within its range.
#[test]
fn the_cartridge_in_the_book_is_the_cartridge_that_was() {
    let (path, _, marks) = told();
    let book = Book::open(path).unwrap();
    let reading = station::read(STATION);
    let station = reading.usable().unwrap();
    let runs = runs::in_book(&book, None, end()).unwrap();
    let changes: Vec<Moment> = events(&book, &[Kind::PartReplaced])
        .into_iter()
        .filter(|(_, _, body)| matches!(body, Body::PartReplaced(p) if p.part.key() == "cartridge"))
        .map(|(_, at, _)| at)
        .collect();
    let begins = events(&book, &[Kind::BookBegun])[0].1;
    let litres = |id: &str| {
        let kind = people::named(id).unwrap().kind;
        station
            .cylinder_kinds
            .iter()
            .find(|k| k.id == kind)
            .unwrap()
            .vessel
            .capacity
    };
    let mut last = Moment(0);
    let mut logged = Vec::new();
    for run in &runs.runs {
        let at = run.started.happened;
        let fill = |f: &book::answer::Told<book::body::Fill>| {
            let station::Capacity::Water(water_volume) = litres(&f.body.cylinder) else {
                panic!()
            };
            LoggedFill {
                id: f.body.cylinder.clone(),
                water_volume,
                from: f.body.from.as_ref().unwrap().value(),
                to: f.body.to.as_ref().unwrap().value(),
                settled: f
                    .body
                    .settled
                    .as_ref()
                    .map(|p| p.value())
                    .zip(f.body.settled_at.as_ref().map(|t| t.value())),
            }
        };
        let body = &run.started.body;
        logged.push(LoggedRun {
            name: run.started.seq.to_string(),
            start_day: at.seconds_since(begins) / 86_400.0,
            ran: run.meter_minutes.map(quantity::TimeSpan::minute),
            intake_temperature: body.intake_temperature.as_ref().map(|t| t.value()),
            humidity: body.humidity.as_ref().map(|h| h.value()),
            tower_start: body.tower.as_ref().map(|p| p.value()),
            fills: run.entered.fills.iter().map(fill).collect(),
            drains: Some(
                run.entered
                    .drains
                    .iter()
                    .map(|d| LoggedDrain {
                        after: Some(quantity::TimeSpan::second(d.happened.seconds_since(at))),
                        volume: d.body.volume.as_ref().map(|v| v.value()),
                    })
                    .collect(),
            ),
            stood_days: None,
            stood_tower: None,
            fresh_cartridge: changes.iter().any(|change| (last..=at).contains(change)),
        });
        last = at;
    }
    let answer = cartridge(station, &logged, &Today::default(), &[])
        .unwrap()
        .unwrap();
    let truth = marks.last().unwrap().held_g;
    let held = answer.held_g;
    assert!(
        (held.low..=held.high).contains(&truth),
        "{truth} g, by the book {held:?}"
    );
}

#[test]
fn what_a_reader_counts() {
    let (path, _, _) = told();
    let fills = usecase::fills(path, &usecase::Asked::default()).unwrap();
    let book = Book::open(path).unwrap();
    let kinds = Kind::ALL.iter().map(|kind| {
        let wanted = Wanted {
            kinds: std::slice::from_ref(kind),
            withdrawn: true,
            ..Wanted::default()
        };
        format!(
            "{:20} {:4}\n",
            kind.name(),
            book.events(&wanted).unwrap().len()
        )
    });
    let summary = serde_json::to_string_pretty(&fills).unwrap();
    insta::assert_snapshot!(format!("{}{summary}\n", kinds.collect::<String>()));
}
