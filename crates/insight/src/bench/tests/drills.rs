//! Every drill done right, not done, and done wrong; hands at random.

use super::*;
use crate::bench::drill::{self, Drill, Mark, Score};

/// Does each step as soon as it is due.
fn done_right(drill: &'static Drill) -> Bench {
    let mut bench = Bench::drill(boathouse(), drill).unwrap();
    // what a student opens to follow what is given, beside the steps
    while !bench.over() {
        let rows = bench.course().unwrap().score().rows;
        let next = rows
            .iter()
            .find(|r| r.due_s.is_some() && r.mark != Mark::InTime && r.mark != Mark::Late);
        if let Some(row) = next {
            act(&mut bench, &row.act.clone());
        }
        bench.advance(1);
    }
    bench
}

fn score(bench: &Bench) -> Score {
    bench.course().unwrap().score()
}

#[test]
fn every_drill_of_the_file_is_read() {
    let blocks = drill::text::blocks(include_str!("../../../data/bench/drills.txt"));
    let wrong: Vec<&String> = blocks.iter().filter_map(|b| b.as_ref().err()).collect();
    assert_eq!(wrong, Vec::<&String>::new());
    assert!(drill::all().len() >= 8, "{}", drill::all().len());
    for one in drill::all() {
        assert!(
            !one.steps.is_empty() && !one.source.is_empty(),
            "{}",
            one.key
        );
        assert!(std::ptr::eq(drill::named(&one.key).unwrap(), one));
    }
}

#[test]
fn every_drill_is_passed_by_what_is_right() {
    for one in drill::all() {
        let score = score(&done_right(one));
        assert!(score.passed, "{}: {score:?}", one.key);
        assert_eq!(score.in_time, one.steps.len());
    }
}

#[test]
fn every_drill_is_failed_by_doing_nothing() {
    for one in drill::all() {
        let mut bench = Bench::drill(boathouse(), one).unwrap();
        bench.advance(3600);
        let score = score(&bench);
        assert!(bench.over() && !score.passed, "{}", one.key);
        assert!(score.ended_s.unwrap() <= one.seconds, "{}", one.key);
    }
}

/// On stations of other kinds a drill can be set up, or is refused in words: nothing panics, and what is
/// done at random neither loses water nor ends without a reason.
#[test]
fn other_stations_too() {
    for text in [
        include_str!("../../../../../stations/engine-house.toml"),
        include_str!("../../../../../stations/smallest.toml"),
    ] {
        let station = Arc::new(station::read(text).station.unwrap());
        for one in drill::all() {
            match Bench::drill(&station, one) {
                Ok(mut bench) => {
                    bench.advance(60);
                    let state = bench.state();
                    assert!(
                        state.gauges.iter().all(|g| g.bar.is_finite()),
                        "{}",
                        one.key
                    );
                    assert!(state.gauges.len() >= 2, "a tower and a line gauge at least");
                }
                Err(refused) => assert!(!refused.remedy.is_empty() && !refused.what.is_empty()),
            }
        }
    }
}

/// Hands at random, seeded: whatever is turned in whatever order, mass and water add up.
#[test]
fn any_hands_at_all() {
    use rand::{RngExt as _, SeedableRng as _};
    const KEYS: [&str; 14] = [
        "motor-on",
        "motor-off",
        "drain-open",
        "drain-shut",
        "vent-open",
        "vent-shut",
        "fill-open",
        "fill-shut",
        "cylinder-open",
        "cylinder-shut",
        "bleed-open",
        "bleed-shut",
        "undo",
        "connect",
    ];
    for seed in 0..12 {
        let mut chance = rand_pcg::Pcg64::seed_from_u64(seed);
        let lot: u64 = chance.random();
        let wrong = Wrong::drawn(lot, boathouse()).into_iter().collect();
        let mut bench = Bench::new(boathouse(), setting(), Begin::Rest, wrong).unwrap();
        for _ in 0..60 {
            let key = KEYS[chance.random_range(0..KEYS.len())];
            let _ = bench.operate(None, Act::named(key, 0).unwrap());
            bench.advance(chance.random_range(1..40));
        }
        let balance = bench.sim.balance();
        assert!(balance.mass_residual.abs() < 1e-7, "{seed}: {balance:?}");
        assert!(balance.energy_residual.abs() < 1e-5, "{seed}: {balance:?}");
        let water = bench.sump.as_ref().unwrap();
        assert!(
            water.residual().abs() < 1e-6,
            "{seed}: {}",
            water.residual()
        );
        let stopped = bench.state().over;
        assert!(
            stopped.is_none_or(|why| why.contains("lashes out")),
            "{seed}"
        );
    }
}

/// What a drill calls wrong fails it, and is told with who did it and why.
#[test]
fn every_wrong_act_fails_its_drill() {
    use crate::bench::drill::Meanwhile;
    let mut wrongs = 0;
    for one in drill::all() {
        for not in &one.nots {
            let mut bench = Bench::drill(boathouse(), one).unwrap();
            bench.advance(5);
            while not.meanwhile == Meanwhile::Always && !bench.over() {
                let rows = bench.course().unwrap().score().rows;
                if rows[0].done_s.is_some() {
                    break;
                }
                if rows[0].due_s.is_some() {
                    act(&mut bench, &rows[0].act);
                }
                bench.advance(1);
            }
            if not.act == "connect" {
                // the hose must be off first, properly or not
                for key in ["cylinder-shut", "fill-shut", "bleed-open"] {
                    act(&mut bench, key);
                }
                bench.advance(20);
                act(&mut bench, "undo");
            }
            act(&mut bench, &not.act);
            let score = score(&bench);
            let told = score.slips.iter().find(|slip| slip.what == not.act);
            let told = told.unwrap_or_else(|| panic!("{}: {not:?}", one.key));
            assert!(!score.passed && told.who.as_deref() == Some("A") && !told.why.is_empty());
            wrongs += 1;
        }
    }
    assert!(wrongs >= 8, "{wrongs}");
}
