//! `fillstead forecast` for people, and its CSV.

use crate::common::{run, shape};
use insta::assert_snapshot;

/// Widest line a terminal has to show.
const WIDTH: usize = 96;

#[test]
fn help_and_faults() {
    assert_snapshot!("help", run(&["--help"]).shown());
    assert_snapshot!("forecast_help", run(&["forecast", "--help"]).shown());
    assert_snapshot!("list_faults", run(&["forecast", "--list-faults"]).shown());
}

#[test]
fn one_cylinder_at_the_boathouse() {
    let ran = run(&["forecast", "boathouse.toml"]);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""));
    assert_snapshot!(shape(&ran.out));
}

#[test]
fn three_cylinders_in_us_units() {
    let cylinders = ["E2-01", "E2-02", "R2-07"]
        .map(|id| ["--cylinder", id])
        .concat();
    let ran = run(&[&["forecast", "engine-house.toml"], &cylinders[..]].concat());
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
    assert_snapshot!(shape(&ran.out));
    for metric in [" bar a minute", " kg", " L of free air", "°C, wall"] {
        assert!(!ran.out.contains(metric), "{metric}: {}", ran.out);
    }
}

/// Wide or narrow, every page fits a terminal, and no line trails off in spaces.
#[test]
fn no_line_is_too_wide() {
    let many = ["A1", "A2", "A3", "P1", "steel 12", "steel 7"]
        .map(|id| ["--cylinder", id])
        .concat();
    let pages: [&[&str]; 7] = [
        &["boathouse.toml"],
        &["smallest.toml"],
        &["engine-house.toml", "--fault", "relief-low=400 psi"],
        &["engine-house.toml", "--compare-pmv", "1500,2000,3000"],
        &[
            "boathouse.toml",
            "--drain",
            "never",
            "--until",
            "3 h",
            "--members",
            "8",
        ],
        &["boathouse.toml", "--until", "2 h", "--members", "8"],
        &[&["boathouse.toml", "--members", "4"], &many[..]].concat(),
    ];
    for page in pages {
        let ran = run(&[&["forecast"], page].concat());
        assert_eq!(ran.exit, Some(0), "{}", ran.err);
        for line in ran.out.lines() {
            assert!(
                line.chars().count() <= WIDTH && !line.ends_with(' '),
                "{page:?}: {line:?}"
            );
        }
    }
}

/// Long runs are thinned on the page, not in the CSV.
#[test]
fn long_runs_are_thinned_and_say_so() {
    let arguments = [
        "forecast",
        "boathouse.toml",
        "--members",
        "1",
        "--every",
        "10 s",
    ];
    let page = run(&arguments).out;
    let rows = page
        .lines()
        .skip_while(|line| !line.starts_with("What the gauges read"))
        .take_while(|line| !line.starts_with("The run"));
    assert!(rows.count() <= 34, "{page}");
    assert!(
        page.contains("th reading is shown; --csv gives all."),
        "{page}"
    );
    assert!(
        run(&[&arguments[..], &["--csv"]].concat())
            .out
            .lines()
            .count()
            > 100
    );
}

#[test]
fn nobody_stops_it() {
    let ran = run(&[
        "forecast",
        "boathouse.toml",
        "--until",
        "40 min",
        "--members",
        "8",
    ]);
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
    for said in [
        "RELIEF VALVE LIFTS",
        "ABOVE ITS RATING",
        "more times, about every",
        "40 min, full or not",
    ] {
        assert!(ran.out.contains(said), "{said}: {}", ran.out);
    }
}

#[test]
fn nobody_drains_it() {
    let hot = [
        "--until",
        "2 h",
        "--drain",
        "never",
        "--intake-temperature",
        "35 °C",
    ];
    let more = ["--humidity", "95 %", "--members", "2"];
    let ran = run(&[&["forecast", "boathouse.toml"], &hot[..], &more].concat());
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
    for said in [
        "THE SUMP RUNS OVER",
        "over the top of a full sump",
        "no drain in this run",
    ] {
        assert!(ran.out.contains(said), "{said}: {}", ran.out);
    }
}

#[test]
fn other_settings_of_the_pmv_are_compared() {
    for (station, settings, shown) in [
        (
            "boathouse.toml",
            &["60,100, 120"][..],
            ["60 bar", "100 bar", "120 bar"],
        ),
        (
            "boathouse.toml",
            &["60 bar", "100 bar,120"],
            ["60 bar", "100 bar", "120 bar"],
        ),
        (
            "engine-house.toml",
            &["1500,2000,3000"],
            ["1500 psi", "2000 psi", "3000 psi"],
        ),
    ] {
        let options = settings.iter().flat_map(|one| ["--compare-pmv", one]);
        let arguments = ["forecast", station, "--members", "2"];
        let arguments: Vec<&str> = arguments.into_iter().chain(options).collect();
        let ran = run(&arguments);
        assert_eq!(ran.exit, Some(0), "{}", ran.err);
        let table = ran.out.split("Other settings of the PMV").nth(1);
        let rows: Vec<&str> = table.unwrap_or("").lines().skip(2).take(3).collect();
        for (row, opens) in rows.iter().zip(shown) {
            assert!(row.trim_start().starts_with(opens), "{opens}: {rows:?}");
        }
        assert!(rows[1].ends_with("as fitted"), "{rows:?}");
        assert!(ran.out.contains("set as the maker's manual says"));
    }
}

/// In hard frost a gauge at the rating would mean more air than the rating: the stop is lower, and
/// the page says why.
#[test]
fn frost_lowers_the_stop_and_says_so() {
    let frost = ["--intake-temperature", "-25 °C", "--members", "2"];
    let ran = run(&[&["forecast", "boathouse.toml"], &frost[..]].concat());
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
    assert!(
        ran.out
            .contains("in this cold it would warm up past its rating"),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains("MORE THAN ITS RATING"), "{}", ran.out);
    assert!(!ran.out.contains("Drying bed"), "{}", ran.out);
}

/// A PMV that leaks back fills the whip once more: nobody must take it for empty.
#[test]
fn a_whip_that_fills_again_is_not_called_empty() {
    let ran = run(&[
        "forecast",
        "boathouse.toml",
        "--fault",
        "pmv-leaks-back=2 L/min",
        "--members",
        "2",
    ]);
    assert!(ran.out.contains("WHIP FILLS AGAIN"), "{}", ran.out);
    assert!(!ran.out.contains("whip is empty"), "{}", ran.out);
}

/// The cautions stand on every page, and no page calls air safe.
#[test]
fn cautions_stand_where_the_hand_is() {
    for station in ["boathouse.toml", "engine-house.toml", "smallest.toml"] {
        let page = run(&["forecast", station, "--members", "2"])
            .out
            .to_lowercase();
        for caution in [
            "bleed the whip to zero",
            "stand clear",
            "not a measurement",
            "maker's manual",
        ] {
            assert!(page.contains(caution), "{caution}");
        }
        assert!(!page.contains("safe"), "{page}");
    }
}

/// Every fault that is listed can be asked for as it is listed.
#[test]
fn every_listed_fault_can_be_asked_for() {
    let list = run(&["forecast", "--list-faults"]).out;
    let examples: Vec<&str> = list
        .lines()
        .filter_map(|line| line.split('"').nth(1))
        .collect();
    assert!(examples.len() > 10, "{list}");
    for example in examples {
        let ran = run(&[
            "forecast",
            "boathouse.toml",
            "--members",
            "2",
            "--fault",
            example,
        ]);
        assert_eq!(ran.exit, Some(0), "{example}: {}", ran.err);
        assert!(
            ran.out.contains(&format!("\nFaults: {example}.\n")),
            "{}",
            ran.out
        );
    }
}

#[test]
fn csv_is_one_row_a_moment_and_cylinder() {
    let arguments = [
        "forecast",
        "boathouse.toml",
        "--csv",
        "--cylinder",
        "A1",
        "--cylinder",
        "A2",
    ];
    let ran = run(&arguments);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""));
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    assert_snapshot!(
        reader
            .headers()
            .unwrap()
            .iter()
            .collect::<Vec<_>>()
            .join(" ")
    );
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.unwrap()).collect();
    assert_eq!(
        rows.iter().filter(|row| &row[8] == "A1").count() * 2,
        rows.len()
    );
    assert!(rows.len() > 40, "{}", rows.len());
    for row in &rows {
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        let (low, median, high) = (number(10), number(11), number(12));
        assert!(low <= median && median <= high, "{row:?}");
        assert!(
            (0.0..300.0).contains(&number(2)) && number(0) >= 0.0,
            "{row:?}"
        );
    }
}

#[test]
fn the_same_seed_gives_the_same_page() {
    let page = |seed: &str| {
        run(&[
            "forecast",
            "boathouse.toml",
            "--members",
            "20",
            "--seed",
            seed,
        ])
        .out
    };
    assert_eq!(page("7"), page("7"));
    assert_ne!(page("7"), page("8"));
}

/// The README's example has every section the program prints, in its order. (Figures may move.)
#[test]
fn the_readme_shows_what_the_program_says() {
    let readme = include_str!("../../../../README.md");
    let command = "$ ./fillstead forecast stations/boathouse.toml\n";
    let shown = readme
        .split_once(command)
        .and_then(|(_, rest)| rest.split_once("\n```"));
    let sections = |page: &str| -> Vec<String> {
        let heads = page
            .split("\n\n")
            .filter_map(|section| section.lines().next());
        heads
            .map(|head| head.split(' ').take(4).collect::<Vec<_>>().join(" "))
            .collect()
    };
    let said = run(&["forecast", "boathouse.toml"]).out;
    assert_eq!(
        sections(shown.map_or("", |(block, _)| block)),
        sections(&said)
    );
}
