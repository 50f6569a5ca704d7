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
