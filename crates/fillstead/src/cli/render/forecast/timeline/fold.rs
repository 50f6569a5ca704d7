//! A valve that goes to and fro on and on, told in one line.
//!
//! Not here: the words for a single event ([`super`]).

use insight::forecast::answer::ForecastEvent;

use crate::cli::render::units::time;

/// A valve that opens this often is still told each time.
const OFTEN: usize = 3;

/// A valve whose events may come on and on.
struct Valve {
    kinds: [&'static str; 3],
    says: &'static str,
}

/// The event that begins a round comes first.
const VALVES: [Valve; 2] = [
    Valve {
        kinds: ["relief_lifted", "relief_reseated", "relief_holding"],
        says: "lifts",
    },
    Valve {
        kinds: ["pmv_opened", "pmv_closed", "pmv_holding"],
        says: "PMV:",
    },
];

/// What to do with an event.
#[derive(Debug, PartialEq, Eq)]
pub enum Told {
    /// A line of its own.
    Alone,
    /// One line for it and all its like that follow.
    Folded(String),
    /// It is in such a line already.
    Already,
}

/// Each event: alone, folded, or told already.
pub fn fold(events: &[ForecastEvent]) -> Vec<Told> {
    let mut told = Vec::with_capacity(events.len());
    let mut rest = events;
    while !rest.is_empty() {
        let (stretch, after) = rest.split_at(stretch(rest));
        for n in 0..stretch.len() {
            told.push(one(stretch, n));
        }
        rest = after;
    }
    told
}

/// How many events come with nothing but valves and drains among them; one, where it is another.
fn stretch(events: &[ForecastEvent]) -> usize {
    let passes = |e: &&ForecastEvent| valve(e.kind).is_some() || e.kind == "drain_due";
    events.iter().take_while(passes).count().max(1)
}

fn valve(kind: &str) -> Option<&'static Valve> {
    VALVES.iter().find(|valve| valve.kinds.contains(&kind))
}

/// The event at this place of a stretch.
fn one(stretch: &[ForecastEvent], n: usize) -> Told {
    let Some(valve) = stretch.get(n).and_then(|event| valve(event.kind)) else {
        return Told::Alone;
    };
    let begins = stretch
        .iter()
        .enumerate()
        .filter(|(_, e)| e.kind == valve.kinds[0]);
    let rounds: Vec<(usize, f64)> = begins.map(|(at, e)| (at, e.t_s)).collect();
    let (Some((second, _)), true) = (rounds.get(1), rounds.len() > OFTEN) else {
        return Told::Alone;
    };
    match n.cmp(second) {
        std::cmp::Ordering::Less => Told::Alone,
        std::cmp::Ordering::Greater => Told::Already,
        std::cmp::Ordering::Equal => Told::Folded(round(valve, stretch, &rounds)),
    }
}

/// `lifts 58 more times, about every 11 s, to 39:50`
fn round(valve: &Valve, stretch: &[ForecastEvent], rounds: &[(usize, f64)]) -> String {
    let times = rounds.len() - 1;
    let mut ends = stretch.iter().filter(|e| valve.kinds.contains(&e.kind));
    let until = ends.next_back().map_or(0.0, |e| e.t_s);
    let span = rounds
        .first()
        .zip(rounds.last())
        .map_or(0.0, |((_, from), (_, to))| to - from);
    format!(
        "{} {times} more times, {}, to {}",
        valve.says,
        every(span / times as f64),
        time(until)
    )
}

fn every(seconds: f64) -> String {
    match seconds {
        quick if quick < 0.95 => "more than once a second".to_owned(),
        short if short < 180.0 => format!("about every {short:.0} s"),
        long => format!("about every {:.0} min", long / 60.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(t_s: f64, kind: &'static str) -> ForecastEvent {
        ForecastEvent {
            t_s,
            kind,
            cylinder: None,
            tower_bar: 250.0,
            line_bar: 0.0,
            when: None,
            share: 1.0,
        }
    }

    fn cycling(rounds: u32, kinds: [&'static str; 2]) -> Vec<ForecastEvent> {
        let both = |n| {
            let start = 60.0 + 11.0 * f64::from(n);
            [event(start, kinds[0]), event(start + 1.0, kinds[1])]
        };
        (0..rounds).flat_map(both).collect()
    }

    const RELIEF: [&str; 2] = ["relief_lifted", "relief_reseated"];
    const PMV: [&str; 2] = ["pmv_opened", "pmv_closed"];

    #[test]
    fn a_valve_that_goes_on_and_on_is_told_once() {
        let told = fold(&cycling(59, RELIEF));
        assert_eq!(told[..2], [Told::Alone, Told::Alone]);
        let line = "lifts 58 more times, about every 11 s, to 11:39";
        assert_eq!(told[2], Told::Folded(line.into()));
        assert!(told[3..].iter().all(|t| *t == Told::Already));
    }

    #[test]
    fn a_valve_that_moves_now_and_then_is_told_each_time() {
        assert!(fold(&cycling(3, PMV)).iter().all(|t| *t == Told::Alone));
    }

    /// A drain among them, or the other valve, hides nothing and is not hidden.
    #[test]
    fn what_lies_between_is_still_told() {
        let mut events = cycling(9, RELIEF);
        events.insert(7, event(95.0, "drain_due"));
        events.extend(cycling(9, PMV));
        events.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
        let told = fold(&events);
        let folded = told.iter().filter(|t| matches!(t, Told::Folded(_))).count();
        assert_eq!(folded, 2, "{told:?}");
        let drain = events.iter().position(|e| e.kind == "drain_due");
        assert_eq!(drain.map(|n| &told[n]), Some(&Told::Alone));
    }

    /// Another event parts them: what comes after it is told anew.
    #[test]
    fn an_event_that_matters_is_not_folded_over() {
        let mut events = cycling(5, RELIEF);
        events.push(event(200.0, "full"));
        events.extend(cycling(5, RELIEF));
        let folded = |t: &&Told| matches!(t, Told::Folded(_));
        assert_eq!(fold(&events).iter().filter(folded).count(), 2);
    }
}
