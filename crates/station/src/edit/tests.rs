//! Changing the text: only what was asked, and it reads back as typed.

use proptest::prelude::*;
use quantity::{GaugePressure, Quantity, UnitSystem, parse};

use super::*;
use crate::fields::{Field, Form, Need, fields_of};
use crate::form::TABLES;
use crate::read;

const BOATHOUSE: &str = include_str!("../../../../stations/boathouse.toml");

fn set(path: &str, typed: &str) -> Change {
    Change::Set(path.to_owned(), typed.to_owned())
}

fn edited(text: &str, changes: &[Change]) -> String {
    edit(text, changes).unwrap()
}

/// Lines that are in one of two texts only, in their order.
fn differing<'t>(old: &'t str, new: &'t str) -> (Vec<&'t str>, Vec<&'t str>) {
    let (old, new): (Vec<&str>, Vec<&str>) = (
        old.split_inclusive('\n').collect(),
        new.split_inclusive('\n').collect(),
    );
    let same = |(a, b): &(&&str, &&str)| a == b;
    let head = old.iter().zip(&new).take_while(same).count();
    let (o, n) = (&old[head..], &new[head..]);
    let tail = o.iter().rev().zip(n.iter().rev()).take_while(same).count();
    (o[..o.len() - tail].to_vec(), n[..n.len() - tail].to_vec())
}

#[test]
fn a_value_changes_and_nothing_else() {
    let text = "# ours\r\n[pmv]  # brass tag\r\nopens   =  '100 bar'   # read 2026-03\r\ncloses = \"70 bar\"\r\n";
    let new = edited(text, &[set("pmv.opens", "110 bar")]);
    assert_eq!(new, text.replace("'100 bar'", "\"110 bar\""));
}

#[test]
fn a_key_comes_after_the_last_of_its_table() {
    let text = "[pmv]\nopens = \"100 bar\"\n# bore = \"3 mm\"\n\n[relief]\n";
    let new = edited(
        text,
        &[set("pmv.closes", "70 bar"), set("pmv.bore", "2 mm")],
    );
    let wanted = "[pmv]\nopens = \"100 bar\"\ncloses = \"70 bar\"\nbore = \"2 mm\"\n# bore = \"3 mm\"\n\n[relief]\n";
    assert_eq!(new, wanted);
    // Under a bare heading, and where the last line has no end.
    assert_eq!(
        edited("[vent]", &[set("vent.bore", "2 mm")]),
        "[vent]\nbore = \"2 mm\"\n"
    );
}

#[test]
fn numbers_flags_and_lists_are_written_as_the_file_wants_them() {
    let new = edited(
        "[station]\nname = \"x\"\n",
        &[
            set("station.invented", "true"),
            set("whip.count", " 2 "),
            set("compressor.polytropic_exponent", "1,3"),
            set("air_path.order", "check separator,pmv"),
            set("station.owner", "a \"b\" \\ c"),
            set("now.banks.B 1", "90 bar"),
            set("now.banks.B2", "80 bar"),
        ],
    );
    for line in [
        "invented = true",
        "owner = \"a \\\"b\\\" \\\\ c\"",
        "[whip]\ncount = 2",
        "polytropic_exponent = \"1,3\"",
        "order = [\"check\", \"separator\", \"pmv\"]",
        "[now.banks]\n\"B 1\" = \"90 bar\"\nB2 = \"80 bar\"",
    ] {
        assert!(new.contains(&format!("{line}\n")), "{line}:\n{new}");
    }
}

#[test]
fn a_table_of_a_list_comes_after_its_sisters() {
    let new = edited(
        BOATHOUSE,
        &[set("bank[2].id", "B2"), set("bank[2].water_volume", "80 L")],
    );
    let (gone, come) = differing(BOATHOUSE, &new);
    assert!(gone.is_empty(), "{gone:?}");
    assert_eq!(
        come,
        [
            "[[bank]]\n",
            "id = \"B2\"\n",
            "water_volume = \"80 L\"\n",
            "\n"
        ]
    );
    let at = |text: &str| new.find(text).unwrap();
    assert!(at("id = \"B1\"") < at("id = \"B2\"") && at("id = \"B2\"") < at("[[cylinder_kind]]"));
    let stage = edited(
        BOATHOUSE,
        &[set("compressor.stage[1].swept_volume", "200 mL")],
    );
    let after = "oil_carry_over = \"5 mg/m3\"\n\n[[compressor.stage]]\nswept_volume = \"200 mL\"\n\n[separator]";
    assert!(stage.contains(after), "{stage}");
}

#[test]
fn a_table_goes_and_its_sisters_stay() {
    let new = edited(
        BOATHOUSE,
        &[
            Change::Remove("gauge[3]".into()),
            Change::Remove("gauge[2]".into()),
            set("gauge[4].span", "160 bar"),
        ],
    );
    let gauges: Vec<&str> = new.split("[[gauge]]\n").skip(1).collect();
    assert_eq!(gauges.len(), 2);
    assert!(gauges[0].starts_with("name = \"tower\""), "{new}");
    assert!(gauges[1].starts_with("name = \"second stage\"") && gauges[1].contains("160 bar"));
    assert!(!new.contains("\n\n\n"), "{new}");
    assert!(read(&new).usable().is_some());
    // What is said above a heading is kept: it may speak of more.
    let new = edited(BOATHOUSE, &[Change::Remove("purifier.bed[1]".into())]);
    assert!(new.contains("# Beds in the order the air meets them.\n"));
}

#[test]
fn a_key_is_taken_away_with_its_line() {
    let new = edited(BOATHOUSE, &[Change::Clear("relief.reseats".into())]);
    let (gone, come) = differing(BOATHOUSE, &new);
    assert_eq!((gone, come), (vec!["reseats = \"235 bar\"\n"], vec![]));
    let braces = "pmv = { opens = \"100 bar\", closes = \"70 bar\", bore = \"3 mm\" }\n";
    for (key, left) in [
        ("opens", "pmv = { closes = \"70 bar\", bore = \"3 mm\" }\n"),
        ("closes", "pmv = { opens = \"100 bar\", bore = \"3 mm\" }\n"),
        (
            "bore",
            "pmv = { opens = \"100 bar\", closes = \"70 bar\" }\n",
        ),
    ] {
        assert_eq!(edited(braces, &[Change::Clear(format!("pmv.{key}"))]), left);
    }
    let more = edited(braces, &[set("pmv.action", "snap")]);
    assert!(
        more.contains("bore = \"3 mm\", action = \"snap\" }"),
        "{more}"
    );
    assert_eq!(
        edited("vent = {}\n", &[set("vent.bore", "2 mm")]),
        "vent = { bore = \"2 mm\" }\n"
    );
}

#[test]
fn what_has_no_line_of_its_own_is_refused_with_the_way_on() {
    let refused = |text: &str, change| edit(text, &[change]).unwrap_err();
    let dotted = refused("pmv.opens = \"100 bar\"\n", set("pmv.closes", "70 bar"));
    assert_eq!(dotted.cause, "its table is written with dotted keys");
    assert_eq!(dotted.remedy, "change it in the text of the whole file");
    let one_line = "gauge = [{ name = \"a\" }]\n";
    assert_eq!(
        refused(one_line, set("gauge[2].name", "b")).cause,
        "its list is written on one line"
    );
    assert_eq!(
        edited(one_line, &[set("gauge[1].name", "b")]),
        "gauge = [{ name = \"b\" }]\n"
    );
    assert_eq!(
        refused("[pmv\n", set("pmv.opens", "1 bar")).cause,
        "the file is not TOML"
    );
    assert_eq!(
        refused("", set("gauge[7].name", "b")).cause,
        "the list has not so many"
    );
    let beds = Change::Remove("purifier".into());
    assert_eq!(refused(BOATHOUSE, beds).cause, "other tables belong to it");
    let implied = edited(
        "[now.banks]\nB1 = \"1 bar\"\n",
        &[set("now.tower", "70 bar")],
    );
    assert!(
        read(&implied)
            .problems
            .iter()
            .all(|p| p.id != crate::ProblemId::NotToml)
    );
    assert!(
        implied.ends_with("[now]\ntower = \"70 bar\"\n"),
        "{implied}"
    );
}

/// Every key of the file with its path, lists by their first table.
fn paths() -> Vec<(String, &'static Field)> {
    let tables = TABLES
        .iter()
        .flat_map(|t| std::iter::once(&t.name).chain(t.parts));
    let path = |table: &str, key: &str| match is_list(table) {
        true => format!("{table}[1].{key}"),
        false => format!("{table}.{key}"),
    };
    let plain = |f: &&Field| !matches!(f.form, Form::Table(_) | Form::Tables(_) | Form::Pressures);
    tables
        .flat_map(|table| {
            fields_of(table)
                .filter(plain)
                .map(|f| (path(table, f.key), f))
        })
        .collect()
}

/// What a person could type for a key: bounds, defaults, words of all sorts.
fn typed() -> impl Strategy<Value = (String, String)> {
    let paths = paths();
    let count = paths.len();
    (
        0..count,
        0..4_usize,
        "[ -~äß°\\\\\"'#\\[\\]{}=]{1,20}",
        0.0..2000.0_f64,
    )
        .prop_map(move |(index, way, words, number)| {
            let (path, field) = &paths[index];
            let text = match (way, field.form, field.need) {
                (0, Form::Quantity(low, _), _) => low.to_owned(),
                (1, Form::Quantity(_, high), _) => high.to_owned(),
                (2, Form::Quantity(_, high), _) => {
                    let unit = high.split_once(' ').map_or("bar", |(_, unit)| unit);
                    format!("{number:.3} {unit}")
                }
                (0 | 1, _, Need::Default(value, _)) if !value.is_empty() => value.to_owned(),
                (2, ..) => format!("{number:.2}"),
                _ => words,
            };
            (path.clone(), text)
        })
}

proptest! {
    /// One key changed or added: every other line stays as it was, byte for byte, and the key
    /// reads back as it was typed.
    #[test]
    fn one_key_and_no_other_line((path, text) in typed(), crlf: bool, us: bool) {
        prop_assume!(!text.trim().is_empty() && path != "air_path.order");
        let file = match us {
            true => include_str!("../../../../stations/engine-house.toml"),
            false => BOATHOUSE,
        };
        let file = if crlf { file.replace('\n', "\r\n") } else { file.to_owned() };
        let had = Written::of(&file).ok().unwrap().has(&path);
        let new = edited(&file, &[set(&path, &text)]);
        let (gone, come) = differing(&file, &new);
        match had {
            true => prop_assert!(gone.len() <= 1 && come.len() == gone.len(), "{come:?}"),
            false => prop_assert!(gone.is_empty() && come.len() <= 3, "{gone:?} {come:?}"),
        }
        let key = path.rsplit_once('.').unwrap().1;
        if let [line] = &come[..] {
            let person = format!("{key} = ");
            prop_assert!(line.starts_with(&person), "{line}");
        }
        let written = Written::of(&new).ok().unwrap();
        prop_assert_eq!(written.value(&path).unwrap(), text.trim());
        // Taken away again, only its own line goes.
        let back = edited(&new, &[Change::Clear(path.clone())]);
        prop_assert_eq!(Written::of(&back).ok().unwrap().value(&path), None);
    }

    /// A pressure typed into the form is the pressure of the station read.
    #[test]
    fn the_station_has_what_was_typed(bar in 20.0..90.0_f64) {
        let text = format!("{bar:.1} bar");
        let new = edited(BOATHOUSE, &[set("pmv.closes", &text)]);
        let reading = read(&new);
        let pmv = reading.usable().unwrap().pmv.clone().unwrap();
        let wanted = parse::<GaugePressure>(&text).unwrap().value;
        prop_assert_eq!(pmv.closes.si(), wanted.si());
        prop_assert_eq!(reading.usable().unwrap().units, UnitSystem::Metric);
    }
}
