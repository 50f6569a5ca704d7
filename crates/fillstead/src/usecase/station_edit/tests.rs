//! Forms over a station file: what is typed becomes the change a person would make.

use proptest::prelude::*;
use station::form::{TABLES, Written, table_named};

use super::overview::overview;
use super::sheet::sheet;
use super::*;

const BOATHOUSE: &str = include_str!("../../../../../stations/boathouse.toml");
const ENGINE_HOUSE: &str = include_str!("../../../../../stations/engine-house.toml");

/// Everything a form shows, sent back as a browser would.
fn as_shown(text: &str, table: &Table) -> Typed {
    let form = sheet(text, table, None, &[]);
    let fields = form.sections.into_iter().flat_map(|section| section.fields);
    fields.map(|field| (field.path, field.value)).collect()
}

#[test]
fn a_form_sent_back_as_it_came_changes_nothing() {
    for text in [BOATHOUSE, ENGINE_HOUSE] {
        for table in &TABLES {
            let edited = Edited::by_form(text, &as_shown(text, table));
            assert_eq!(edited.after, text, "{}", table.name);
        }
    }
}

#[test]
fn tables_tell_what_is_written_in_them() {
    let rows = overview(BOATHOUSE, &told(BOATHOUSE));
    let of = |name: &str| rows.iter().find(|row| row.table.name == name).unwrap();
    assert_eq!(
        of("gauge").written,
        "tower, panel, first stage, second stage"
    );
    assert_eq!(of("vent").written, "bore 2 mm");
    let wrong = BOATHOUSE.replace("opens = \"100 bar\"", "opens = \"100\"");
    let rows = overview(&wrong, &told(&wrong));
    assert_eq!(
        rows.iter()
            .find(|row| row.table.name == "pmv")
            .unwrap()
            .told,
        (1, 0)
    );
}

#[test]
fn a_warning_may_be_saved_and_an_error_not() {
    let typed = |path: &str, text: &str| vec![(path.to_owned(), text.to_owned())];
    let doubtful = Edited::by_form(BOATHOUSE, &typed("tower.rated_pressure", "240 bar"));
    assert!(
        !doubtful.wrong()
            && doubtful
                .told
                .iter()
                .any(|t| t.paths.contains(&"tower.rated_pressure".into())),
        "{:?}",
        doubtful.told
    );
    let wrong = Edited::by_form(BOATHOUSE, &typed("pmv.closes", "120 bar"));
    let told = wrong.told.iter().find(|told| told.error).unwrap();
    assert!(
        told.paths.contains(&"pmv.closes".to_owned())
            && told.paths.contains(&"pmv.opens".to_owned()),
        "{told:?}"
    );
    let form = sheet(
        BOATHOUSE,
        table_named("pmv").unwrap(),
        Some(&typed("pmv.closes", "120 bar")),
        &wrong.told,
    );
    let field = form.sections[0]
        .fields
        .iter()
        .find(|f| f.path == "pmv.closes")
        .unwrap();
    assert!(field.wrong() && field.value == "120 bar" && form.general.is_empty());
}

#[test]
fn numbers_are_those_of_the_form_though_tables_go() {
    let gone = ["gauge[1]", "gauge[3]", "bank[1]"];
    for (after, before) in [
        ("gauge[1].span", "gauge[2].span"),
        ("gauge[2].span", "gauge[4].span"),
        ("bank[1]", "bank[2]"),
        ("pmv.opens", "pmv.opens"),
        (
            "compressor.stage[1].clearance",
            "compressor.stage[1].clearance",
        ),
    ] {
        assert_eq!(number_before(after, &gone), before);
    }
}

#[test]
fn a_page_sends_its_own_line_ends() {
    assert_eq!(from_page("a\r\nb\r\n", "x\n"), "a\nb\n");
    assert_eq!(from_page("a\r\nb\n", "x\r\n"), "a\r\nb\r\n");
}

proptest! {
    /// Whatever is typed into one field of any form: the other fields stay, nothing panics, and what
    /// was typed is there again.
    #[test]
    fn one_field_of_any_form(table in 0..TABLES.len(), pick: prop::sample::Index, text in "[ -~äß°é]{0,16}") {
        let table = &TABLES[table];
        let mut typed = as_shown(BOATHOUSE, table);
        let index = pick.index(typed.len());
        let path = typed[index].0.clone();
        typed[index].1 = text.clone();
        let edited = Edited::by_form(BOATHOUSE, &typed);
        let (old, new) = (Written::of(BOATHOUSE).ok().unwrap(), Written::of(&edited.after).ok().unwrap());
        if path != "air_path.order" {
            prop_assert_eq!(new.value(&path).unwrap_or_default(), text.trim());
        }
        for (other, _) in typed.iter().filter(|(other, _)| *other != path) {
            prop_assert_eq!(new.value(other), old.value(other));
        }
        let _ = sheet(&edited.before, table, Some(&typed), &edited.told);
    }
}
