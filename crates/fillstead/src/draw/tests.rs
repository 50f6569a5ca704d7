//! The drawings held against what must be true of each: texts apart and on the sheet, numbers
//! finite, markup closed, a person's words harmless, the scale linear, the grams summing.

mod check;

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use insight::air::{Context, Measurand, Measured, Results, Verdict, find, judge};
use insight::forecast::answer::{Band, Forecast, ForecastEvent};
use insight::forecast::forecast;
use insight::forecast::request::{CylinderStart, Request, Until};
use insight::ladder::Ladder;
use proptest::prelude::*;
use quantity::{TimeSpan, UnitSystem};
use station::Station;

use super::gauge::Now;
use super::intervals::{Days, Interval, State};
use super::place::Rect;
use super::schematic::{Grave, Mark};
use super::trace::{Medium, Point, Trace};
use super::water::Ledger;
use super::*;

const UNITS: [UnitSystem; 2] = [UnitSystem::Metric, UnitSystem::Us];
const STATIONS: [&str; 3] = ["boathouse", "engine-house", "smallest"];

fn text(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../stations");
    fs::read_to_string(folder.join(format!("{name}.toml"))).unwrap()
}

fn station(text: &str) -> Station {
    let reading = station::read(text);
    reading
        .usable()
        .cloned()
        .unwrap_or_else(|| panic!("{:?}", reading.problems))
}

/// A forecast of these cylinders, with as few runs behind its bands as will do.
fn run(station: &Station, ids: &[&str], change: impl Fn(&mut Request)) -> Forecast {
    let cylinder = |id: &&str| CylinderStart {
        id: (*id).to_owned(),
        start: None,
    };
    let mut request = Request {
        cylinders: ids.iter().map(cylinder).collect(),
        members: 3,
        ..Request::default()
    };
    change(&mut request);
    forecast(station, &request, &|_| {}).unwrap()
}

/// Six cylinders at the boathouse, once for all tests that only need some forecast.
static SIX: LazyLock<(Station, Forecast)> = LazyLock::new(|| {
    let station = station(&text("boathouse"));
    let ids = ["A1", "A2", "A3", "P1", "steel 12", "steel 7"];
    let forecast = run(&station, &ids, |_| {});
    (station, forecast)
});

/// What must hold for every drawing.
fn sound(drawing: &Drawing) {
    let title = &drawing.title;
    let field = Rect::new(-0.5, -0.5, drawing.width + 1.0, drawing.height + 1.0);
    for (i, one) in drawing.labels.iter().enumerate() {
        let inside = one.x >= field.x
            && one.y >= field.y
            && one.x + one.w <= field.x + field.w
            && one.y + one.h <= field.y + field.h;
        assert!(inside, "{title}: {one:?} is off the sheet of {field:?}");
        for other in drawing.labels.iter().skip(i + 1) {
            let apart = !one.grown(-0.1).meets(other);
            assert!(apart, "{title}: {one:?} over {other:?}\n{}", drawing.svg());
        }
    }
    for text in [drawing.svg(), drawing.standalone()] {
        for word in ["NaN", "inf\"", "inf ", "-inf"] {
            assert!(!text.contains(word), "{title}: {word}");
        }
        closed(&text);
        let title_at = text.find("<title>").unwrap();
        assert!(title_at < text.find("<desc>").unwrap());
        assert!(text.contains("role=\"img\"") && !text.contains("style=\""));
    }
    assert!(!drawing.title.is_empty() && !drawing.description.is_empty());
}

/// Every tag is closed, in order.
fn closed(text: &str) {
    let mut open: Vec<&str> = Vec::new();
    for tag in text.split('<').skip(1).filter_map(|t| t.split('>').next()) {
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
        } else if !tag.ends_with('/') && !tag.starts_with('!') {
            open.push(tag.split([' ', '\n']).next().unwrap());
        }
    }
    assert_eq!(open, [""; 0]);
}

fn complete(table: &Table) {
    assert!(!table.rows.is_empty(), "{}", table.caption);
    for row in &table.rows {
        assert_eq!(row.len(), table.head.len(), "{}: {row:?}", table.caption);
    }
}

fn of<'a>(forecast: &'a Forecast, ladder: &'a Ladder, units: UnitSystem) -> Trace<'a> {
    Trace {
        forecast,
        ladder,
        units,
        readings: &[],
        measured: &[],
    }
}

fn traces(forecast: &Forecast, station: &Station) {
    let ladder = Ladder::of(station);
    for units in UNITS {
        let trace = of(forecast, &ladder, units);
        for medium in [Medium::Screen, Medium::Print] {
            sound(&trace::draw(&trace, medium));
        }
        let now = Now {
            bar: 143.0,
            give_or_take: 6.0,
            over: false,
        };
        for now in [
            None,
            Some(now),
            Some(Now {
                bar: 400.0,
                over: true,
                ..now
            }),
        ] {
            sound(&gauge::draw(&ladder, units, now, 372.0));
            complete(&gauge::table(&ladder, units, now));
        }
    }
    if let Some(water) = &forecast.water {
        let ledger = Ledger {
            water,
            purifier: forecast.purifier.as_ref(),
        };
        sound(&water::draw(&ledger));
        complete(&water::table(&ledger));
    }
}

fn paths(station: &Station) {
    let marks = [
        (8, Grave::Abnormal),
        (9, Grave::Danger),
        (11, Grave::Abnormal),
    ];
    let marks = marks.map(|(part, grave)| Mark { part, grave });
    for marks in [&[][..], &marks] {
        for available in [760.0, 1040.0, 4000.0] {
            sound(&schematic::wide(station, marks, available));
        }
        sound(&schematic::list(station, marks));
    }
    complete(&schematic::table(station));
}

#[test]
fn one_to_six_cylinders_at_both_stations() {
    let metric = ["A1", "A2", "A3", "P1", "steel 12", "steel 7"];
    let us = ["E2-01", "E2-02", "R2-07", "45 minute", "30 minute", "E2-01"];
    for (name, ids) in [("boathouse", metric), ("engine-house", us)] {
        let mut station = station(&text(name));
        for hoses in [1, 2] {
            station.whip.count = hoses;
            for count in 1..=6 {
                let ids = ids.get(..count).unwrap();
                let Ok(forecast) = forecast(
                    &station,
                    &Request {
                        cylinders: ids
                            .iter()
                            .map(|id| CylinderStart {
                                id: (*id).into(),
                                start: None,
                            })
                            .collect(),
                        members: 2,
                        ..Request::default()
                    },
                    &|_| {},
                ) else {
                    continue; // the same cylinder twice is refused
                };
                traces(&forecast, &station);
            }
        }
    }
}

/// Tiny runs, a relief valve that lifts, no PMV, no purifier bed, a sump that runs over.
#[test]
fn odd_runs() {
    let boathouse = station(&text("boathouse"));
    let until =
        |minutes: f64| move |r: &mut Request| r.until = Until::For(TimeSpan::minute(minutes));
    for minutes in [0.02, 1.0, 300.0] {
        traces(&run(&boathouse, &["A1"], until(minutes)), &boathouse);
    }
    let mut bare = boathouse.clone();
    bare.pmv = None;
    bare.burst_disc = None;
    bare.purifier.beds.clear();
    bare.gauges.clear();
    bare.banks.clear();
    use station::Element::{BurstDisc, Pmv};
    bare.air_path
        .order
        .retain(|e| !matches!(e, Pmv | BurstDisc));
    traces(&run(&bare, &["A1", "P1"], |_| {}), &bare);
    paths(&bare);
    let smallest = station(&text("smallest"));
    let never = |r: &mut Request| {
        r.drain = insight::forecast::request::DrainPlan::Never;
        r.until = Until::For(TimeSpan::minute(240.0));
    };
    traces(&run(&smallest, &["ten"], never), &smallest);
}

#[test]
fn the_air_path_of_each_station() {
    for name in STATIONS {
        for units in UNITS {
            let mut station = station(&text(name));
            station.units = units;
            paths(&station);
        }
    }
}

/// Every setting is beside its part: none had to be left out for want of room.
#[test]
fn all_settings_of_our_stations_are_drawn() {
    for name in STATIONS {
        let station = station(&text(name));
        let all = (1..=12).map(|part| Mark {
            part,
            grave: Grave::Danger,
        });
        let all: Vec<Mark> = all.collect();
        for (available, marks) in [
            (760.0, &[][..]),
            (760.0, &all),
            (4000.0, &[]),
            (4000.0, &all),
        ] {
            let drawn = schematic::wide(&station, marks, available).svg();
            let body = drawn.split("</desc>").nth(1).unwrap();
            for row in schematic::table(&station).rows {
                let number = format!(">{}</text></g>", row[0]);
                assert!(
                    row[0].is_empty() || body.contains(&number),
                    "{name}: {row:?}"
                );
                for word in row[2].split_whitespace().map(|w| w.trim_end_matches(';')) {
                    assert!(body.contains(word), "{name}: {word} of {row:?}");
                }
            }
        }
    }
}

/// The order of the drawing is that of the file.
#[test]
fn parts_stand_in_the_order_of_the_file() {
    let station = station(&text("engine-house"));
    let table = schematic::table(&station);
    let names: Vec<&str> = table
        .rows
        .iter()
        .filter_map(|r| r.get(1))
        .map(|n| n.split(':').next().unwrap())
        .collect();
    let path = [
        "check valve",
        "separator, sump",
        "check valve",
        "purifier",
        "purifier",
        "relief lifts / reseats",
        "burst disc",
        "tower vent",
        "PMV opens / closes",
    ];
    assert!(names.windows(path.len()).any(|w| w == path), "{names:?}");
    // stamps keep their own unit, settings take the station's
    let metric = Station {
        units: UnitSystem::Metric,
        ..station
    };
    let setting = |name: &str| {
        let table = schematic::table(&metric);
        let row = table
            .rows
            .into_iter()
            .find(|r| r.get(1).is_some_and(|n| n == name))
            .unwrap();
        row.last().unwrap().clone()
    };
    assert_eq!(setting("cylinder"), "4500 psi; 2216 psi");
    // 4950 psi and 4500 psi, 1 psi = 0.0689476 bar (NIST SP 811, B.8)
    assert_eq!(setting("relief lifts / reseats"), "341 / 310");
}

/// One number per part: those of the ladder are those of the drawing.
#[test]
fn balloons_are_those_of_the_ladder() {
    let station = station(&text("boathouse"));
    let table = schematic::table(&station);
    let number = |start: &str| {
        let row = table
            .rows
            .iter()
            .find(|r| r.get(1).is_some_and(|n| n.starts_with(start)));
        row.and_then(|r| r.first())
            .and_then(|n| n.parse::<u8>().ok())
    };
    for rung in &Ladder::of(&station).rungs {
        let start = match rung.part.name.as_str() {
            "PMV" => "PMV",
            "relief valve" => "relief",
            "burst disc" => "burst",
            "fill hose" => "2 fill hoses",
            "tower" => "purifier",
            "last stage" => "stage 3",
            bank if bank.starts_with("bank") => continue,
            _ => "cylinder",
        };
        assert_eq!(number(start), rung.part.balloon, "{rung:?}");
    }
}

/// A rung's height on the sheet is in proportion to its pressure, from zero at the foot.
#[test]
fn the_scale_of_a_trace_is_linear_from_zero() {
    let (station, forecast) = &*SIX;
    let ladder = Ladder::of(station);
    let svg = trace::draw(&of(forecast, &ladder, UnitSystem::Metric), Medium::Screen).svg();
    // rungs are drawn from rail to rail: `M174 y L190 y`, the working pressure from 170 to 194
    let heights: Vec<f64> = svg
        .lines()
        .filter_map(|l| l.split("d=\"M174 ").nth(1))
        .filter_map(|l| l.split_once("L190 "))
        .filter_map(|(y, _)| y.parse().ok())
        .collect();
    let foot = svg.lines().find_map(|l| {
        l.split("class=\"ln m\" d=\"M174 ")
            .nth(1)?
            .split_once("L776 ")
    });
    let foot: f64 = foot.unwrap().0.parse().unwrap();
    let bars = [300.0, 300.0, 255.0, 235.0, 100.0, 70.0];
    assert_eq!(heights.len(), bars.len(), "{heights:?}");
    let scale = (foot - heights[0]) / bars[0];
    for (y, bar) in heights.iter().zip(bars) {
        assert!((foot - y - bar * scale).abs() < 0.11, "{bar} at {y}");
    }
}

#[test]
fn words_of_a_person_are_harmless() {
    let bad = "<script>alert('x')</script>&\"";
    let (mut station, mut forecast) = SIX.clone();
    station.name = bad.into();
    station.gauges.iter_mut().for_each(|g| g.name = bad.into());
    station.banks.iter_mut().for_each(|b| b.id = bad.into());
    station
        .purifier
        .beds
        .iter_mut()
        .for_each(|b| b.adsorbent = Some(bad.into()));
    forecast.station = bad.into();
    forecast
        .cylinders
        .iter_mut()
        .for_each(|c| c.id = bad.into());
    paths(&station);
    traces(&forecast, &station);
    let ladder = Ladder::of(&station);
    let interval = Interval {
        id: bad.into(),
        from: Some(0.0),
        visual: None,
        due: Some(9.0),
        state: State::InDate,
        words: bad.into(),
    };
    let days = Days {
        today: 3.0,
        named: vec![(2.0, bad.into())],
    };
    let (_, strips) = intervals::strips(&[interval], &days);
    let drawings = [
        schematic::wide(&station, &[], 900.0),
        schematic::list(&station, &[]),
        trace::draw(&of(&forecast, &ladder, UnitSystem::Us), Medium::Print),
    ];
    for drawing in drawings.into_iter().chain(strips) {
        sound(&drawing);
        let svg = drawing.standalone();
        assert!(!svg.contains("<script") && svg.contains("&lt;"), "{svg}");
    }
}

/// Every symbol and texture used is there, in the page's sprite and in a file's own.
#[test]
fn symbols_used_are_there() {
    let (station, forecast) = &*SIX;
    let ladder = Ladder::of(station);
    let all = [
        schematic::wide(
            station,
            &[Mark {
                part: 8,
                grave: Grave::Danger,
            }],
            900.0,
        ),
        schematic::list(
            station,
            &[Mark {
                part: 9,
                grave: Grave::Abnormal,
            }],
        ),
        trace::draw(&of(forecast, &ladder, UnitSystem::Metric), Medium::Screen),
        limits::draw(&verdict("23 mg/m3 ± 4 mg/m3")),
    ];
    for drawing in all {
        let (inline, alone) = (drawing.svg(), drawing.standalone());
        let ids = inline.split("\"#").chain(inline.split("url(#")).skip(1);
        for id in ids.filter_map(|rest| rest.split(['"', ')']).next()) {
            if id.starts_with("s-") || id.starts_with("m-") || id.starts_with("p-") {
                let it = format!(" id=\"{id}\"");
                assert!(SYMBOLS.contains(&it) && alone.contains(&it), "{id}");
            }
        }
    }
}

fn verdict(water: &str) -> Verdict {
    let values = [
        (Measurand::Oxygen, "20.9 % ± 0.2 %"),
        (Measurand::CarbonMonoxide, "< 1 ppm"),
        (Measurand::CarbonDioxide, "1430 ppm ± 20 ppm"),
        (Measurand::Oil, "0.1 mg/m3"),
        (Measurand::Water, water),
        (Measurand::Odour, "none"),
    ];
    let results = Results {
        sampled: None,
        values: values
            .iter()
            .map(|(what, text)| Measured::new(*what, text))
            .collect(),
    };
    let standard = find("EN 12021", insight::air::standards()).unwrap();
    judge(&results, standard, &Context::default()).unwrap()
}

#[test]
fn air_results_against_limits() {
    for standard in insight::air::standards() {
        for water in [
            "23 mg/m3 ± 4 mg/m3",
            "-70 °F",
            "900 mg/m3",
            "< 2000 mg/m3",
            "0 mg/m3",
        ] {
            let results = Results {
                sampled: None,
                values: vec![
                    Measured::new(Measurand::Oxygen, "29 % ± 9 %"),
                    Measured::new(Measurand::Water, water),
                ],
            };
            let verdict = judge(&results, standard, &Context::default()).unwrap();
            sound(&limits::draw(&verdict));
            complete(&limits::table(&verdict));
        }
    }
    sound(&limits::draw(&verdict("20 mg/m3")));
}

/// The limit stands at the same place whatever the quantity.
#[test]
fn upper_limits_share_a_place() {
    let svg = limits::draw(&verdict("20 mg/m3")).svg();
    let edges = svg
        .lines()
        .filter(|l| l.contains("class=\"ln t\"") && l.contains("v24"));
    let at: Vec<&str> = edges
        .filter_map(|l| l.split("d=\"M").nth(1)?.split(' ').next())
        .collect();
    let upper = at.iter().filter(|x| **x == "676").count();
    assert!(upper >= 4, "{at:?}");
}

/// What leaves is what entered, to the digits shown.
#[test]
fn the_grams_sum() {
    let (_, forecast) = &*SIX;
    let water = forecast.water.as_ref().unwrap();
    let table = water::table(&Ledger {
        water,
        purifier: None,
    });
    let grams = |start: &str| -> f64 {
        let rows = table.rows.iter().filter(|r| r[0].starts_with(start));
        rows.filter_map(|r| r[1].parse::<f64>().ok()).sum()
    };
    let came = grams("drawn in") + grams("given off");
    let went = grams("caught") + grams("to the purifier") + grams("stays");
    assert!(
        (came - went).abs() < 0.005 * came,
        "{came} g came, {went} g went: {table:?}"
    );
    assert!(
        (grams("caught") - water.separator_g - water.overflow_g).abs() < 0.15,
        "{table:?}"
    );
}

fn any_interval() -> impl Strategy<Value = Interval> {
    let day = || prop::option::of(-4000.0..9000.0f64);
    let states = vec![State::InDate, State::Soon, State::Over, State::Unknown];
    (
        ".{0,30}",
        day(),
        day(),
        day(),
        prop::sample::select(states),
        ".{0,60}",
    )
        .prop_map(|(id, from, visual, due, state, words)| Interval {
            id,
            from,
            visual,
            due,
            state,
            words,
        })
}

fn any_event(kinds: Vec<&'static str>) -> impl Strategy<Value = ForecastEvent> {
    let number = prop_oneof![9 => -10.0..500.0f64, 1 => Just(f64::NAN)];
    (prop::sample::select(kinds), 0.0..9000.0f64, number).prop_map(|(kind, t_s, bar)| {
        ForecastEvent {
            t_s,
            kind,
            cylinder: Some("A1".into()),
            tower_bar: bar,
            line_bar: bar,
            when: None,
            share: 1.0,
        }
    })
}

/// A station of odd parts in an odd order.
fn any_station() -> impl Strategy<Value = Station> {
    use station::Element::*;
    let order = vec![
        Check, Separator, Check, Purifier, Gauge, Relief, BurstDisc, Vent, Pmv,
    ];
    let name = "[ a-zA-Z0-9äß°<>&]{0,40}";
    let change = (
        prop::sample::select(STATIONS.to_vec()),
        Just(order).prop_shuffle(),
        1..7usize,
        prop::collection::vec(name, 0..6),
        prop::collection::vec(name, 0..4),
        0.05..1.4f64,
        1..9usize,
    );
    change.prop_map(|(base, order, stages, gauges, banks, scale, hoses)| {
        let mut station = station(&text(base));
        station.air_path.order = order;
        station.compressor.stage_count = stages;
        station.whip.count = hoses;
        let reads = [
            station::Reads::Tower,
            station::Reads::Line,
            station::Reads::Stage(1),
        ];
        station.gauges = gauges
            .into_iter()
            .zip(reads.into_iter().cycle())
            .map(|(name, reads)| station::Gauge {
                name,
                reads,
                span: quantity::GaugePressure::bar(400.0 * scale),
                class: 1.6,
                resolution: None,
            })
            .collect();
        let vessel = station.cylinder_kinds[0].vessel.clone();
        let bank = |id| station::Bank {
            id,
            vessel: vessel.clone(),
        };
        station.banks = banks.into_iter().map(bank).collect();
        if let Some(relief) = &mut station.relief {
            relief.lifts = quantity::GaugePressure::bar(relief.lifts.as_bar() * scale);
        }
        station
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn intervals_of_any_kind(rows in prop::collection::vec(any_interval(), 0..9), today in -100.0..100.0f64) {
        let named = (0..12).map(|i| (f64::from(i) * 365.0, format!("{}", 2020 + i))).collect();
        let days = Days { today, named };
        let (head, strips) = intervals::strips(&rows, &days);
        sound(&head);
        strips.iter().for_each(sound);
        prop_assert_eq!(strips.len(), rows.len());
        let table = intervals::table(&rows, |day| format!("day {day:.0}"));
        prop_assert_eq!(table.rows.len(), rows.len());
    }

    #[test]
    fn air_paths_of_any_station(station in any_station()) {
        paths(&station);
        let ladder = Ladder::of(&station);
        sound(&gauge::draw(&ladder, station.units, None, 100.0));
    }

    #[test]
    fn runs_full_of_events(
        mut events in prop::collection::vec(any_event(vec![
            "compressor_started", "compressor_stopped", "pmv_opened", "full", "drain_due",
            "relief_lifted", "relief_reseated", "disc_burst", "cooled",
        ]), 0..40),
        holes in prop::collection::vec(0..200usize, 0..9),
        readings in prop::collection::vec((0.0..6000.0f64, 0.0..400.0f64), 0..12),
        scale in 0.0..3.0f64,
    ) {
        let (station, mut forecast) = SIX.clone();
        events.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
        forecast.events = events;
        for hole in holes {
            let n = forecast.samples.len();
            if let Some(sample) = forecast.samples.get_mut(hole % n) {
                sample.tower_bar = f64::NAN;
                for c in &mut sample.cylinders {
                    c.bar *= scale;
                    c.band = Band { low: f64::NAN, median: f64::INFINITY, high: f64::NEG_INFINITY };
                }
            }
        }
        let points: Vec<Point> = readings.iter().map(|(t_s, bar)| Point { t_s: *t_s, bar: *bar }).collect();
        let ladder = Ladder::of(&station);
        for medium in [Medium::Screen, Medium::Print] {
            let trace = Trace { readings: &points, measured: &points, ..of(&forecast, &ladder, UnitSystem::Us) };
            sound(&trace::draw(&trace, medium));
        }
    }

    #[test]
    fn water_of_any_amount(
        condensed in prop::collection::vec(0.0..90.0f64, 0..7),
        (separator, on, carried, overflow) in (0.0..200.0f64, 0.0..40.0f64, 0.0..9.0f64, 0.0..9.0f64),
        drains in prop::collection::vec((0.0..9000.0f64, 0.0..60.0f64), 0..30),
        off in -0.1..0.1f64,
        scale in prop::sample::select(vec![0.0, 1e-6, 1.0, f64::NAN]),
    ) {
        let (_, forecast) = &*SIX;
        let mut water = forecast.water.clone().unwrap();
        water.condensed_g = condensed.iter().map(|g| g * scale).collect();
        water.separator_g = separator * scale;
        water.to_purifier_g = on * scale;
        water.carried_g = carried * scale;
        water.overflow_g = overflow * scale;
        water.intake_g = (separator + on + off) * scale;
        water.drains = drains.iter().map(|(t_s, ml)| insight::water::answer::Drain { t_s: *t_s, ml: *ml }).collect();
        let ledger = Ledger { water: &water, purifier: forecast.purifier.as_ref() };
        sound(&water::draw(&ledger));
        complete(&water::table(&ledger));
    }
}

/// The air path of a running bench, whatever its gauges show, at each of our stations.
#[test]
fn the_air_path_of_a_bench() {
    for name in STATIONS {
        let station = station(&text(name));
        for shows in ["0 bar", "1860 psi", "399 bar"] {
            let gauges = station
                .gauges
                .iter()
                .map(|g| (g.name.clone(), shows.to_owned()));
            let live = schematic::Live {
                gauges: gauges.collect(),
                sump: vec!["90 of 90 mL".into(), "drain open".into()],
                reaching: vec!["10.25 g/m³".into()],
                fill_shut: shows.starts_with('0'),
                hose: vec!["bleed open".into()],
                cylinder: vec![shows.into(), "valve shut".into()],
                vent: Some("shut".into()),
                relieving: true,
                burst: true,
            };
            let drawing = schematic::live(&station, &live, 1320.0);
            sound(&drawing);
            let svg = drawing.svg();
            assert_eq!(svg.contains("s-shutoff-closed"), live.fill_shut, "{name}");
            assert!(svg.contains("LIFTS") == station.relief.is_some(), "{name}");
        }
    }
}

/// Dials of every span, and the trace of a bench with its lines in any order.
#[test]
fn dials_and_the_trace_of_a_bench() {
    for units in UNITS {
        for span_bar in [6.0, 16.0, 40.0, 100.0, 315.0, 400.0, 413.7, 600.0] {
            for share in [0.0, 0.31, 0.5, 0.99, 1.4] {
                let dial = dial::Dial {
                    name: "tower",
                    bar: span_bar * share,
                    span_bar,
                    arc: Some((0.6 * span_bar, 0.7 * span_bar)),
                };
                sound(&dial::draw(&dial, units));
            }
        }
        let rungs = [
            ("working", 232.0),
            ("PMV opens", 100.0),
            ("PMV closes", 98.0),
            ("relief lifts", 234.0),
        ];
        for (tower, line, cylinder, sound_bar) in [
            (100.0, 100.0, 100.0, None),
            (250.0, 0.0, 50.0, Some(100.0)),
            (0.0, 0.1, 0.2, Some(0.3)),
        ] {
            for seconds in [1u64, 59, 600] {
                let point = |t_s| insight::bench::Trace {
                    t_s,
                    tower_bar: tower,
                    line_bar: line,
                    cylinder_bar: cylinder,
                    sound_bar,
                };
                let trace: Vec<insight::bench::Trace> = (0..seconds).map(point).collect();
                let running = running::Running {
                    trace: &trace,
                    rungs: &rungs,
                    put_in_s: Some(0),
                    units,
                };
                sound(&running::draw(&running));
                complete(&running::table(&running));
            }
        }
    }
}
