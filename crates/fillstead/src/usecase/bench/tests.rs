//! Many benches: their clocks, who is there, what is put away.

use std::sync::{Arc, LazyLock};

use book::Moment;
use insight::bench::{Act, Begin, Bench, Setting};
use station::Station;

use super::*;

static STATION: LazyLock<Arc<Station>> = LazyLock::new(|| {
    let text = include_str!("../../../../../stations/boathouse.toml");
    Arc::new(station::read(text).station.unwrap())
});

const START: Moment = Moment(1_800_000_000_000_000);

fn later(seconds: f64) -> Moment {
    Moment(START.0 + (seconds * 1e6) as i64)
}

fn bench() -> Bench {
    let setting = Setting::of(&STATION).unwrap();
    Bench::new(&STATION, setting, Begin::Running, Vec::new()).unwrap()
}

/// Looks at odd moments, at any speed: the bench is where its seconds say, to the last bit.
#[test]
fn looking_more_often_changes_nothing() {
    let state = |times: &str, looks: &[f64], end: f64| {
        let benches = Benches::default();
        let id = benches.open("a", bench(), START).unwrap();
        benches.with(&id, START, |room| {
            room.speed = Speed::of(times).unwrap();
            room.run(true);
        });
        for look in looks {
            benches.with(&id, later(*look), |room| room.here(None, later(*look)));
        }
        benches
            .with(&id, later(end), |room| room.bench.state())
            .unwrap()
    };
    let once = state("1", &[], 60.0);
    assert_eq!(once.t_s, 60);
    assert_eq!(state("1", &[0.3, 1.9, 2.0, 30.7, 59.99], 60.0), once);
    assert_eq!(state("10", &[0.05, 0.31, 3.3], 6.0), once);
    assert_eq!(state("60", &[0.011, 0.5], 1.0), once);
}

/// A bench that nobody looks at waits, and one that is held stands still.
#[test]
fn a_bench_waits_for_its_class() {
    let benches = Benches::default();
    let id = benches.open("", bench(), START).unwrap();
    let t_s = |at: f64| benches.with(&id, later(at), |room| room.bench.state().t_s);
    assert_eq!(t_s(50.0), Some(0), "a new bench is held");
    benches.with(&id, later(50.0), |room| room.run(true));
    assert_eq!(t_s(60.0), Some(10));
    assert_eq!(
        t_s(1000.0),
        Some(10),
        "nobody looked for a quarter of an hour"
    );
    assert_eq!(t_s(1005.0), Some(15));
    let told = benches.with(&id, later(1005.0), |room| {
        room.look(&id, None, None, later(1005.0))
    });
    assert!(told.unwrap().notes[0].words.contains("nobody looked"));
    benches.with(&id, later(1005.0), |room| room.run(false));
    assert_eq!(t_s(1010.0), Some(15));
    assert_eq!(t_s(900.0), Some(15), "a clock set back does no harm");
}

#[test]
fn idle_benches_are_put_away_and_no_more_than_so_many_stand() {
    let benches = Benches::default();
    let first = benches.open("first", bench(), START).unwrap();
    for _ in 1..MOST {
        benches.open("another", bench(), later(60.0)).unwrap();
    }
    let trouble = benches
        .open("one too many", bench(), later(60.0))
        .unwrap_err();
    assert!(trouble.what.starts_with("200 benches"), "{trouble:?}");
    benches.with(&first, later(7000.0), |room| {
        room.here(Some("A"), later(7000.0))
    });
    let left = benches.list(later(7300.0));
    assert_eq!(left.len(), 1, "two hours after anybody last looked");
    assert_eq!(
        (left[0].id.as_str(), left[0].name.as_str()),
        (first.as_str(), "first")
    );
    assert!(benches.close(&first) && !benches.close(&first));
}

/// A class: everybody sees one bench, the log says who did what, the first answer counts.
#[test]
fn a_class_at_one_bench() {
    let benches = Benches::default();
    let id = benches.open("class", bench(), START).unwrap();
    benches.with(&id, START, |room| {
        room.here(Some("Ann"), START);
        room.here(Some("Bo"), START);
        room.act(Some("Ann"), Act::Drain(true)).unwrap();
        room.act(Some("Bo"), Act::Drain(false)).unwrap();
        room.ask("tower-below-pmv");
        room.answer("Ann", 0);
        room.answer("Ann", 1);
        room.answer("Bo", 1);
        room.answer("Cy", 99);
    });
    let look =
        |who: &'static str| benches.with(&id, START, |room| room.look(&id, Some(who), None, START));
    let (ann, cy) = (look("Ann").unwrap(), look("Cy").unwrap());
    assert_eq!(ann.people, ["Ann", "Bo"]);
    let who: Vec<(Option<&str>, &str)> = ann
        .notes
        .iter()
        .map(|n| (n.who.as_deref(), n.words.as_str()))
        .collect();
    assert_eq!(
        who[..2],
        [(Some("Bo"), "drain shut"), (Some("Ann"), "drain opened")]
    );
    let asked = ann.question.unwrap();
    assert_eq!((asked.mine, asked.counts), (Some(0), vec![1, 1, 0]));
    assert_eq!(cy.question.unwrap().mine, None);
    let left = benches
        .with(&id, later(40.0), |room| room.people(later(40.0)))
        .unwrap();
    assert!(left.is_empty(), "gone after half a minute unseen");
}

#[test]
fn a_setting_is_read_and_refused_in_words() {
    let given = |pairs: &[(&str, &str)]| {
        let own = |(n, t): &(&str, &str)| ((*n).to_owned(), (*t).to_owned());
        pairs.iter().map(own).collect::<Given>()
    };
    let read = set(
        &STATION,
        &given(&[("intake", "86 °F"), ("pmv", "150 bar"), ("hoses", "2")]),
    );
    let read = read.unwrap();
    assert!((read.intake.as_celsius() - 30.0).abs() < 1e-9);
    assert!(
        (read.tower.as_bar() - 105.0).abs() < 1e-9,
        "the tower keeps what the PMV does"
    );
    let usual = typed(&set(&STATION, &Given::new()).unwrap(), STATION.units);
    assert_eq!(
        set(&STATION, &usual),
        set(&STATION, &Given::new()),
        "what is shown is read again"
    );
    let wrong = [
        ("intake", "80 °C"),
        ("humidity", "75"),
        ("pmv", "300 bar"),
        ("start", "232 bar"),
        ("hoses", "9"),
        ("cylinder", "bucket"),
    ];
    let troubles = set(&STATION, &given(&wrong)).unwrap_err();
    for (field, _) in wrong {
        let about: Vec<&Trouble> = troubles.iter().filter(|t| t.field == Some(field)).collect();
        assert_eq!(about.len(), 1, "{field}: {troubles:?}");
        assert!(!about[0].remedy.is_empty());
    }
}
