//! The run card's figures, from a forecast and its station.
//!
//! Steps follow the air path of the station; where the machine's manual says otherwise, it counts.
//! Not here: how the card looks ([`crate::print::run_card`]).

use insight::forecast::answer::{CylinderEnd, CylinderSample, Forecast, ForecastEvent, Sample};
use insight::ladder::Ladder;
use station::Station;

use crate::draw::figures::{Figures, round_step, short, time};
use crate::draw::trace::{self, Medium, Trace};
use crate::print::run_card::{CylinderTable, Reading, RunCard};
use crate::print::{Head, qr};

use super::steps::{before, steps, stop_if};

/// Lines of all tables together, at most, events aside; more would not fit on the page.
const LINES: f64 = 20.0;
/// Lines written however many cylinders there are.
const LEAST_LINES: f64 = 3.0;
/// Events no further apart stand in one line, s.
const TOGETHER_S: f64 = 6.0;
/// Cylinders that read no further apart have one figure, bar.
const SAME_BAR: f64 = 2.0;

/// What a card is made from.
pub struct Card<'a> {
    /// The station.
    pub station: &'a Station,
    /// The forecast.
    pub forecast: &'a Forecast,
    /// What stands on every sheet.
    pub head: Head,
    /// The day.
    pub day: String,
    /// The air at the intake, in words.
    pub air: String,
    /// The entry of the station file.
    pub revision: Option<u64>,
    /// What is known before the start, each in a sentence.
    pub before: Vec<String>,
    /// Why nothing may be filled by it.
    pub against: Vec<String>,
    /// Faults it was forecast with.
    pub faults: Vec<String>,
    /// What the code on it holds, and what it says beside it.
    pub code: (String, String),
}

/// The card.
pub fn card(of: Card<'_>) -> RunCard {
    let figures = Figures {
        units: of.station.units,
    };
    let ladder = Ladder::of(of.station);
    let trace = Trace {
        forecast: of.forecast,
        ladder: &ladder,
        units: of.station.units,
        readings: &[],
        measured: &[],
    };
    let (text, says) = of.code;
    RunCard {
        day: of.day,
        air: of.air,
        machine: machine(of.station, figures),
        unit: figures.unit(),
        figures: headline(of.station, of.forecast, figures),
        trace: trace::draw(&trace, Medium::Print).svg(),
        cylinders: tables(of.forecast, of.station, figures),
        steps: steps(of.station),
        stop_if: stop_if(of.station, of.forecast, figures),
        before: before(of.station, of.forecast, of.before),
        against: of.against,
        faults: of.faults,
        revision: of.revision,
        code: qr::svg(&text, &says),
        says,
        head: of.head,
    }
}

fn machine(station: &Station, figures: Figures) -> String {
    let working = figures.set(station.compressor.working_pressure.as_bar());
    format!(
        "{} stages, {working} {}",
        station.compressor.stage_count,
        figures.unit()
    )
}

/// `A1 and A2, then A3 and P1`.
pub fn order(forecast: &Forecast, together: usize) -> String {
    let group = |group: &[CylinderEnd]| {
        let ids: Vec<&str> = group.iter().map(|c| c.id.as_str()).collect();
        ids.join(" and ")
    };
    let groups: Vec<String> = forecast
        .cylinders
        .chunks(together.max(1))
        .map(group)
        .collect();
    groups.join(", then ")
}

/// What it settles to at the temperature for which its rating holds, with the give or take.
pub fn settled(end: &CylinderEnd, figures: Figures) -> String {
    let (middle, band) = match end.reference_c > 18.0 {
        true => (end.settled_bar_21c, end.settled_21c),
        false => (end.settled_bar_15c, end.settled_15c),
    };
    figures.give_or_take(middle, band.low, band.high)
}

/// The same of all cylinders: one with its give or take, of several the range.
pub fn settles(forecast: &Forecast, figures: Figures) -> String {
    let mut each: Vec<String> = forecast
        .cylinders
        .iter()
        .map(|c| settled(c, figures))
        .collect();
    each.dedup();
    if let [one] = each.as_slice() {
        return one.clone();
    }
    let middle = |c: &CylinderEnd| match c.reference_c > 18.0 {
        true => c.settled_bar_21c,
        false => c.settled_bar_15c,
    };
    let all = forecast.cylinders.iter().map(middle);
    let (low, high) = all.fold((f64::INFINITY, 0.0_f64), |(low, high), bar| {
        (low.min(bar), high.max(bar))
    });
    match (figures.read(low), figures.read(high)) {
        (low, high) if low == high => low,
        (low, high) => format!("{low} to {high}"),
    }
}

fn headline(station: &Station, forecast: &Forecast, figures: Figures) -> Vec<(String, String)> {
    let unit = figures.unit();
    let mut stops: Vec<String> = forecast
        .cylinders
        .iter()
        .map(|c| figures.set(c.stop_bar))
        .collect();
    stops.dedup();
    let warm = forecast.cylinders.first().map_or(15.0, |c| c.reference_c);
    let drain = forecast.water.as_ref().and_then(|w| w.drain_interval_min);
    let own = station.separator.drain_interval.as_minute();
    let every = drain.map_or(own, |today| today.min(own));
    let mut rows = vec![
        (
            "Fill, in this order".to_owned(),
            order(forecast, station.whip.count),
        ),
        ("Stop at".to_owned(), format!("{} {unit}", stops.join(", "))),
        (
            "Drain every".to_owned(),
            format!("{} min", short(every.floor(), 0)),
        ),
        (
            format!("Settles, at {}", figures.temperature(warm)),
            format!("{} {unit}", settles(forecast, figures)),
        ),
    ];
    if let Some(relief) = &station.relief {
        let lifts = figures.set(relief.lifts.as_bar());
        rows.push(("Relief lifts".to_owned(), format!("{lifts} {unit}")));
    }
    rows
}

/// A table for each group of cylinders filled together, with the lines that the page has room for:
/// what hangs on one line reads the same.
fn tables(forecast: &Forecast, station: &Station, figures: Figures) -> Vec<CylinderTable> {
    let together = station.whip.count.max(1);
    let groups = forecast.cylinders.chunks(together);
    let lines = (LINES / groups.len().max(1) as f64).max(LEAST_LINES);
    let table = |(number, group): (usize, &[CylinderEnd])| {
        let of = Group {
            forecast,
            first: number * together,
            ends: group,
            spell: spell(forecast, number),
            figures,
        };
        CylinderTable {
            title: of.title(),
            rows: of.rows(lines),
        }
    };
    groups.enumerate().map(table).collect()
}

/// Cylinders filled together.
struct Group<'a> {
    forecast: &'a Forecast,
    /// Place of the first among all cylinders.
    first: usize,
    ends: &'a [CylinderEnd],
    /// When the machine runs for them, s.
    spell: (f64, f64),
    figures: Figures,
}

/// When the machine runs for the n-th group.
fn spell(forecast: &Forecast, group: usize) -> (f64, f64) {
    let nth = |kind: &str| {
        let mut events = forecast.events.iter().filter(|e| e.kind == kind);
        events.nth(group).map(|e| e.t_s)
    };
    let from = nth("compressor_started").unwrap_or(0.0);
    (from, nth("compressor_stopped").unwrap_or(f64::INFINITY))
}

impl Group<'_> {
    fn title(&self) -> String {
        let unit = self.figures.unit();
        let one = |end: &CylinderEnd| {
            let (litres, from) = (short(end.water_litres, 1), self.figures.read(end.start_bar));
            format!("{}, {litres} L, from {from} {unit}", end.id)
        };
        self.ends.iter().map(one).collect::<Vec<_>>().join("; ")
    }

    fn rows(&self, lines: f64) -> Vec<Reading> {
        let (from, to) = self.spell;
        let last = if to.is_finite() { to } else { from };
        let step_s = 60.0 * round_step(((last - from) / 60.0 / lines).max(1.0));
        let events = self.happenings();
        let on_step = |s: &&Sample| {
            let past = (s.t_s / step_s).round() * step_s;
            s.t_s > from && s.t_s < to && (s.t_s - past).abs() < 0.5
        };
        let near = |t: f64| events.iter().any(|(e, ..)| (e - t).abs() < 0.4 * step_s);
        let plain = self.forecast.samples.iter().filter(on_step);
        let mut rows: Vec<(f64, Reading)> = plain
            .filter(|s| !near(s.t_s))
            .map(|s| (s.t_s, self.line(s, s.t_s, "", false)))
            .collect();
        for (t, does, to_do) in &events {
            let apart = |s: &&Sample| (s.t_s - t).abs();
            let samples = self.forecast.samples.iter();
            let nearest = samples.min_by(|a, b| apart(a).total_cmp(&apart(b)));
            rows.extend(nearest.map(|sample| (*t, self.line(sample, *t, does, *to_do))));
        }
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        rows.into_iter().map(|(_, row)| row).collect()
    }

    /// A line; the start and the stop are known, the rest is forecast.
    fn line(&self, sample: &Sample, t_s: f64, does: &str, to_do: bool) -> Reading {
        let one = |(i, end): (usize, &CylinderEnd)| {
            let full = end.full_s.is_some_and(|full| t_s > full - TOGETHER_S);
            match sample.cylinders.get(self.first + i) {
                _ if (t_s - self.spell.0).abs() < 1e-6 => self.figures.read(end.start_bar),
                _ if full => self.figures.set(end.stop_bar),
                Some(c) => self.read(c),
                None => String::new(),
            }
        };
        let mut reads: Vec<String> = self.ends.iter().enumerate().map(one).collect();
        reads.dedup();
        let bars = sample
            .cylinders
            .iter()
            .skip(self.first)
            .take(self.ends.len());
        let spread = bars
            .map(|c| c.bar)
            .fold((f64::INFINITY, 0.0_f64), |(low, high), bar| {
                (low.min(bar), high.max(bar))
            });
        if spread.1 - spread.0 < SAME_BAR && t_s > self.spell.0 {
            reads.truncate(1);
        }
        Reading {
            time: time(t_s),
            reads: reads.join(" / "),
            does: does.to_owned(),
            to_do,
        }
    }

    /// `158 ± 9`, or the ends where they lie apart.
    fn read(&self, c: &CylinderSample) -> String {
        let read = self.figures.give_or_take(c.bar, c.band.low, c.band.high);
        match read.split_once(" (") {
            Some((_, range)) => range.trim_end_matches(')').to_owned(),
            None => read,
        }
    }

    /// What is done or happens while they are filled.
    fn happenings(&self) -> Vec<(f64, String, bool)> {
        let (from, to) = self.spell;
        let within = |e: &&ForecastEvent| e.t_s >= from - 1e-6 && e.t_s <= to + 1e-6;
        let mut found: Vec<(f64, String, bool)> = Vec::new();
        for event in self.forecast.events.iter().filter(within) {
            let Some((words, to_do)) = self.words(event) else {
                continue;
            };
            let again = event.kind == "pmv_opened" && found.iter().any(|f| f.1 == words);
            match found.last_mut() {
                _ if again => {}
                Some(last) if event.t_s - last.0 < TOGETHER_S && last.2 == to_do => {
                    last.1 = in_order(&last.1, &words);
                }
                _ => found.push((event.t_s, words, to_do)),
            }
        }
        found
    }

    fn words(&self, event: &ForecastEvent) -> Option<(String, bool)> {
        let several = self.ends.len() > 1;
        let (words, to_do) = match event.kind {
            "compressor_started" => ("Start. Fill valve open", true),
            "pmv_opened" => ("PMV opens, gauge climbs", false),
            "drain_due" => ("DRAIN", true),
            "full" if several => {
                let id = event.cylinder.as_deref().unwrap_or_default();
                return Some((format!("shut {id}"), true));
            }
            "compressor_stopped" => ("STOP", true),
            "relief_lifted" => ("Relief lifts: STOP", true),
            "disc_burst" => ("Disc bursts: STOP", true),
            _ => return None,
        };
        Some((words.to_owned(), to_do))
    }
}

/// What is done at one moment, in the order in which it is done: the machine first.
fn in_order(known: &str, more: &str) -> String {
    let mut all: Vec<&str> = known.split(", ").collect();
    if !all.contains(&more) {
        all.push(more);
    }
    all.sort_by_key(|words| match *words {
        stop if stop.ends_with("STOP") => 0,
        "DRAIN" => 2,
        _ => 1,
    });
    all.join(", ")
}
