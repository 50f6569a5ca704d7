//! A whole club evening by commands: start, fourteen cylinders, three refusals, drains, stop, air
//! sample; and what the book answers afterwards, counted by hand from the list below.
//!
//! The evening is invented, as is the station.

use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::common::{folder_with, run_in, station};

/// Cylinders that come on the register before: two of another rating.
const REGISTER: [&str; 11] = [
    "C1 --water-volume '12 L' --working-pressure '232 bar' --tested 2024-02",
    "C2 --water-volume '12 L' --working-pressure '232 bar' --tested 2024-02",
    "C3 --water-volume '15 L' --working-pressure '232 bar' --tested 2024-03",
    "C4 --water-volume '15 L' --working-pressure '232 bar' --tested 2024-03",
    "C5 --water-volume '10 L' --working-pressure '232 bar' --tested 2025-01",
    "C6 --water-volume '10 L' --working-pressure '232 bar' --tested 2025-01",
    "C7 --water-volume '12 L' --working-pressure '232 bar' --tested 2025-01",
    "C8 --water-volume '12 L' --working-pressure '232 bar' --tested 2025-04",
    "C9 --water-volume '7 L' --working-pressure '232 bar' --tested 2025-04",
    "D1 --water-volume '10 L' --working-pressure '200 bar' --tested 2025-06",
    "D2 --water-volume '10 L' --working-pressure '200 bar' --tested 2025-06",
];

/// The time, what is typed after `book add BOOK`, and the exit status it must have. A3 was tested on
/// 2021-06-01: five years ended the day before. X9 is nobody's. D1 is rated 200 bar: first beside a
/// cylinder of 232 bar, then behind a relief valve of its own, and D2 with somebody's word for it.
const EVENING: [(&str, &str, i32); 30] = [
    (
        "18:50",
        "start --hours '431.0 h' --tower '72 bar' --intake-temperature '16 °C' --humidity '70 %'",
        0,
    ),
    ("18:51", "reading 'pmv opens' --value '101 bar'", 0),
    (
        "19:00",
        "fill A1 --from '60 bar' --to '232 bar' --person 'member 1'",
        0,
    ),
    ("19:05", "drain --volume '32 mL'", 0),
    (
        "19:10",
        "fill A2 --from '40 bar' --to '232 bar' --person 'member 2'",
        0,
    ),
    (
        "19:15",
        "fill A3 --from '35 bar' --to '232 bar' --person 'member 3'",
        1,
    ),
    ("19:20", "drain --volume '35 mL'", 0),
    (
        "19:22",
        "fill P1 --from '80 bar' --to '232 bar' --person 'member 4'",
        0,
    ),
    (
        "19:30",
        "fill C1 --from '50 bar' --to '232 bar' --person 'member 5'",
        0,
    ),
    (
        "19:32",
        "fill X9 --from '20 bar' --to '232 bar' --person 'a guest'",
        1,
    ),
    ("19:35", "drain --volume '33 mL'", 0),
    (
        "19:40",
        "fill C2 --from '30 bar' --to '232 bar' --person 'member 6'",
        0,
    ),
    ("19:50", "drain --volume '31 mL'", 0),
    (
        "19:55",
        "fill C3 --from '100 bar' --to '232 bar' --person 'member 7'",
        0,
    ),
    (
        "20:00",
        "fill D1 --from '50 bar' --to '200 bar' --person 'member 8' --with C4",
        1,
    ),
    (
        "20:05",
        "fill C4 --from '90 bar' --to '232 bar' --person 'member 8'",
        0,
    ),
    ("20:06", "drain --volume '34 mL'", 0),
    (
        "20:15",
        "fill C5 --from '50 bar' --to '232 bar' --person 'member 1'",
        0,
    ),
    ("20:21", "drain --volume '33 mL'", 0),
    (
        "20:25",
        "fill C6 --from '55 bar' --to '232 bar' --person 'member 9'",
        0,
    ),
    (
        "20:35",
        "fill C7 --from '60 bar' --to '232 bar' --person 'member 10'",
        0,
    ),
    ("20:36", "drain --volume '32 mL'", 0),
    (
        "20:45",
        "fill C8 --from '70 bar' --to '232 bar' --person 'member 11'",
        0,
    ),
    (
        "20:50",
        "fill C9 --from '40 bar' --to '232 bar' --person 'member 12'",
        0,
    ),
    ("20:51", "drain --volume '34 mL'", 0),
    (
        "20:55",
        "fill D1 --from '50 bar' --to '200 bar' --person 'member 8' --protected-at '215 bar'",
        0,
    ),
    (
        "21:05",
        "fill D2 --from '45 bar' --to '200 bar' --person 'member 13' --override 'a second person at \
         the valve'",
        0,
    ),
    ("21:06", "drain --volume '31 mL'", 0),
    ("21:10", "stop --hours '433.3 h' --tower '96 bar'", 0),
    (
        "21:12",
        "park --tower '96 bar' --done 'drained; intake capped'",
        0,
    ),
];

/// The words of a line; what stands between quotes is one.
fn words(line: &str) -> Vec<String> {
    let parts = line.split('\'').enumerate();
    parts
        .flat_map(|(i, part)| match i % 2 {
            0 => part.split_whitespace().map(str::to_owned).collect(),
            _ => vec![part.to_owned()],
        })
        .collect()
}

/// Runs `fillstead book ...` in this folder; gives the exit status and all it said.
fn book(folder: &Path, line: &str) -> (i32, String) {
    let words = words(&format!("book {line}"));
    let arguments: Vec<&str> = words.iter().map(String::as_str).collect();
    let ran = run_in(folder, &arguments);
    (ran.exit.unwrap_or(-1), ran.out + &ran.err)
}

/// The same with its answer as JSON.
pub fn json(folder: &Path, line: &str) -> Value {
    let (_, text) = book(folder, &format!("{line} --json"));
    let read = serde_json::from_str(&text);
    assert!(read.is_ok(), "{line}: {text}");
    read.unwrap()
}

/// Adds an entry at this time; gives its number.
fn add(folder: &Path, at: &str, typed: &str, exit: i32) -> u64 {
    let line = format!("add club.book {typed} --at '{at}' --by MK --json");
    let (ended, text) = book(folder, &line);
    assert_eq!(ended, exit, "{typed}: {text}");
    let value: Value = serde_json::from_str(&text).unwrap();
    value["entry"].as_u64().unwrap()
}

/// The book as it stands before the evening.
pub fn begun(name: &str) -> PathBuf {
    // Fourteen cylinders in an evening need a machine twice as fast.
    let boathouse = station("boathouse.toml").replace("100 L/min", "200 L/min");
    let folder = folder_with(name, &[("boathouse.toml", boathouse.as_bytes())]);
    let (exit, text) = book(
        &folder,
        "begin club.book --station boathouse.toml --rule uk --standard 'EN 12021' --zone \
         Europe/Dublin --by MK --at '2026-06-01 09:00'",
    );
    assert_eq!(exit, 0, "{text}");
    for typed in REGISTER {
        let typed = format!("cylinder {typed} --material steel --visual 2025-06");
        add(&folder, "2026-06-01 09:10", &typed, 0);
    }
    folder
}

/// The evening of 2026-06-02, with the numbers of its entries.
pub fn evening(name: &str) -> (PathBuf, Vec<u64>) {
    let folder = begun(name);
    let enter = |(at, typed, exit): &(&str, &str, i32)| {
        add(&folder, &format!("2026-06-02 {at}"), typed, *exit)
    };
    let numbers = EVENING.iter().map(enter).collect();
    (folder, numbers)
}

fn rows(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

#[test]
fn fourteen_fills_and_three_refusals() {
    let (folder, numbers) = evening("fourteen_fills");
    let fills = json(&folder, "fills club.book --from 2026-06-02 --to 2026-06-02");
    // Counted in EVENING: 14 fills, 3 refusals, one fill somebody answered for, one run.
    assert_eq!(fills["fills"], 14);
    assert_eq!(fills["refusals"], 3);
    assert_eq!(fills["overridden"], 1);
    assert_eq!(fills["runs"], 1);
    // 433.3 h - 431.0 h by the meter.
    let minutes = fills["minutes"].as_f64().unwrap();
    assert!((minutes - 138.0).abs() < 0.1, "{minutes} min");
    let list = json(&folder, "list club.book --from 2026-06-02");
    let listed = rows(&list["entries"])
        .iter()
        .map(|row| row["seq"].as_u64().unwrap());
    assert_eq!(listed.collect::<Vec<_>>(), numbers);
    let checked = json(&folder, "verify club.book");
    assert_eq!(checked["whole"], true);
    assert_eq!(checked["entries"], *numbers.last().unwrap());
}

#[test]
fn each_refusal_has_its_reason_and_each_override_its_name() {
    let (folder, _) = evening("each_refusal_has_its_reason");
    let refusals = json(&folder, "list club.book --kind 'fill refused'");
    let ids = |row: &Value| -> Vec<String> {
        let all = rows(&row["body"]["refusals"]).iter();
        all.map(|refusal| refusal["id"].as_str().unwrap().to_owned())
            .collect()
    };
    let ids: Vec<Vec<String>> = rows(&refusals["entries"]).iter().map(ids).collect();
    assert_eq!(
        ids,
        [
            vec!["overdue"],
            vec!["unknown"],
            vec!["mixed-ratings", "unprotected"]
        ]
    );
    let d2 = json(&folder, "list club.book --cylinder D2 --kind fill");
    let over = &d2["entries"][0]["body"]["gate"]["overridden"][0];
    assert_eq!(over["refusal"], "unprotected");
    assert_eq!(over["by"], "MK");
    assert_eq!(over["reason"], "a second person at the valve");
}

#[test]
fn a_sample_that_fails_locks_the_gate_and_sets_the_evening_aside() {
    let (folder, _) = evening("a_sample_that_fails");
    // Carbon monoxide at 8 ppm fails EN 12021:2014, whose limit is 5 ppm.
    let results = "[sample]\ndate = \"2026-06-03\"\npoint = \"outlet\"\ninvented = true\n[results]\n\
                   oxygen = \"20.9 %\"\ncarbon_monoxide = \"8 ppm\"\ncarbon_dioxide = \"430 ppm\"\n\
                   oil = \"< 0.1 mg/m3\"\nwater = \"12 mg/m3\"\nodour = \"none\"\nliquid_water = \"none\"\n";
    std::fs::write(folder.join("results.toml"), results).unwrap();
    let test = add(&folder, "2026-06-10 10:00", "air-test results.toml", 1);
    let trace = json(&folder, &format!("trace club.book --to {test}"));
    let count = |field: &str| rows(&trace[field]).len();
    // 14 cylinders; members 1 to 13 without member 3, who was refused.
    assert_eq!(
        (count("fills"), count("cylinders"), count("persons")),
        (14, 14, 12)
    );
    let c1 = json(&folder, "cylinder club.book C1");
    assert_eq!(c1["gate"]["may"], false);
    assert_eq!(c1["set_aside_by"][0], test);
    // The cause alone does not open the gate again: a later test must pass.
    let cause = format!("cause {test} --cause 'car at the intake' --done 'intake moved'");
    add(&folder, "2026-06-11 10:00", &cause, 0);
    add(&folder, "2026-06-11 11:00", "fill C9 --to '232 bar'", 1);
    let good = results
        .replace("8 ppm", "< 1 ppm")
        .replace("06-03", "06-12");
    std::fs::write(folder.join("again.toml"), good).unwrap();
    add(&folder, "2026-06-15 10:00", "air-test again.toml", 0);
    // The gate is open; what was filled before stays set aside until it is released.
    add(&folder, "2026-06-16 11:00", "fill C9 --to '232 bar'", 1);
    let release = format!("release {test} --cylinders C9 --why 'vented to nothing'");
    add(&folder, "2026-06-16 12:00", &release, 0);
    add(
        &folder,
        "2026-06-16 12:10",
        "fill C9 --from '0 bar' --to '232 bar'",
        0,
    );
    let c1 = json(&folder, "cylinder club.book C1");
    assert_eq!(c1["set_aside_by"][0], test);
}

/// Every entry of the evening stands on the printed sheet, its figures as typed, and nothing of
/// another day does.
#[test]
fn the_printed_sheet_holds_the_evening() {
    let (folder, numbers) = evening("the_printed_sheet");
    let (exit, text) = book(
        &folder,
        "print club.book day --day 2026-06-02 --out day.html",
    );
    assert_eq!(exit, 0, "{text}");
    let sheet = std::fs::read_to_string(folder.join("day.html")).unwrap();
    let plain = sheet
        .split('<')
        .filter_map(|part| part.split_once('>'))
        .map(|(_, text)| text);
    let plain: String = plain.collect::<Vec<_>>().join(" ");
    for (at, typed, exit) in EVENING {
        assert!(plain.contains(at), "{at}");
        let words = words(typed);
        if exit == 1 {
            // A refusal keeps who was refused and why, not how empty the cylinder was.
            assert!(plain.contains(words[1].as_str()), "{at}: {}", words[1]);
            continue;
        }
        let figures = words
            .iter()
            .filter(|word| word.ends_with(" bar") || word.ends_with(" mL"));
        for figure in figures.chain(words.iter().filter(|word| word.starts_with("member"))) {
            assert!(plain.contains(figure.as_str()), "{at}: {figure}");
        }
    }
    let page = json(&folder, "print club.book day --day 2026-06-02");
    assert_eq!(rows(&page["fills"]).len(), 14);
    assert_eq!(rows(&page["refusals"]).len(), 3);
    let drains = EVENING
        .iter()
        .filter(|(_, typed, _)| typed.starts_with("drain"))
        .count();
    assert_eq!(rows(&page["drains"]).len(), drains);
    let seal = page["head"]["seal"].as_str().unwrap();
    assert!(
        seal.starts_with(&format!("{}:", numbers.last().unwrap())),
        "{seal}"
    );
    assert!(plain.contains(seal), "{seal}");
    let checked = json(&folder, &format!("verify club.book --seal {seal}"));
    assert_eq!(checked["whole"], true);
    // Cylinders came on the register the day before.
    assert!(!plain.contains("cylinder registered"));
}

#[test]
fn what_is_due_and_what_moves_follows_from_the_evening() {
    let (folder, _) = evening("what_is_due_and_what_moves");
    let due = json(&folder, "due club.book --today 2026-06-03");
    let states = |wanted: &str| -> Vec<&str> {
        let rows = rows(&due["items"])
            .iter()
            .filter(|row| row["state"] == wanted);
        rows.map(|row| row["name"].as_str().unwrap()).collect()
    };
    // A3 alone is out of date: tested 2021-06-01 (60 months), seen 2024-02-20 is within 30 months of
    // an inspection only until 2026-08, but a test includes it. No sample was ever taken.
    assert!(
        states("over")
            .iter()
            .all(|name| name.starts_with("cylinder A3")),
        "{:?}",
        states("over")
    );
    assert_eq!(states("never_recorded"), ["air sample"]);
    let drift = json(&folder, "drift club.book --today 2026-06-03");
    let trend = |setting: &str| {
        let found = rows(&drift["trends"])
            .iter()
            .find(|trend| trend["setting"] == setting);
        found.unwrap().clone()
    };
    // One reading of 101 bar cannot tell a trend.
    assert_eq!(trend("pmv_opens")["level"]["mid"], 101.0);
    assert_eq!(trend("pmv_opens")["crossing"]["state"], "cannot_tell");
    assert_eq!(trend("charging_rate")["readings"], 1);
    let cartridge = json(&folder, "cartridge club.book");
    // The station file: changed at 412 h; the evening began at 431.0 h and ended at 433.3 h.
    let ran = cartridge["cartridge"]["running_h"].as_f64().unwrap();
    assert!((ran - 21.3).abs() < 0.05, "{ran} h");
    let balance = &cartridge["cartridge"]["balance"];
    let grams = |name: &str| balance[name].as_f64().unwrap();
    let out = grams("separator_g") + grams("to_purifier_g") + grams("kept_g") + grams("residual_g");
    assert!((grams("intake_g") / out - 1.0).abs() < 1e-6, "{balance}");
}

/// A fill's energy lies between isothermal compression and what four adiabatic stages would take.
#[test]
fn a_fill_has_its_cost() {
    let (folder, numbers) = evening("a_fill_has_its_cost");
    for price in [
        "kilowatt_hour --amount 0.30",
        "running_hour --amount 2",
        "cartridge --amount 60",
    ] {
        let typed = format!("price {price} --currency EUR");
        add(&folder, "2026-06-02 22:00", &typed, 0);
    }
    let cost = json(&folder, &format!("cost club.book {}", numbers[2]));
    let work = cost["cost"]["air_work_kj_m3"].as_f64().unwrap();
    // Isothermal to 60 bar: p0 ln(61) = 417 kJ per m3; derived W14 of three stages to 226 bar with
    // exponent 1.3: 679 kJ per m3 (worked from the textbook formula).
    assert!((417.0..679.0).contains(&work), "{work} kJ/m3");
    let total = &cost["cost"]["totals"][0];
    assert_eq!(total["currency"], "EUR");
    let lines: f64 = rows(&cost["cost"]["lines"])
        .iter()
        .map(|line| line["money"]["mid"].as_f64().unwrap())
        .sum();
    assert!((total["mid"].as_f64().unwrap() / lines - 1.0).abs() < 1e-9);
}
