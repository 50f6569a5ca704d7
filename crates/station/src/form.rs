//! The station file as forms see it: every table in the order people think of it, what its keys
//! take, and where a problem of the text belongs.
//!
//! Start at [`Written`]. Not here: changing the text ([`crate::edit`]).

use std::ops::Range;

use crate::facts::{Facts, Said};
pub use crate::fields::{Field, Form, Need, field, field_at, fields_of, heading};
use crate::problem::Problem;
use crate::syntax::{self, Entry, Shape};

/// A table of the file, with what a person may ask about it.
pub struct Table {
    /// Its name: `pmv`, `compressor.stage`.
    pub name: &'static str,
    /// What people call it.
    pub called: &'static str,
    /// What is written there.
    pub about: &'static str,
    /// Lists and maps that belong to it.
    pub parts: &'static [&'static str],
    /// Whether it holds what valves, discs and ratings are set to or stamped with.
    pub settings: bool,
}

const fn table(
    name: &'static str,
    called: &'static str,
    about: &'static str,
    parts: &'static [&'static str],
    settings: bool,
) -> Table {
    Table {
        name,
        called,
        about,
        parts,
        settings,
    }
}

/// Every table at the top of the file, along the way of the air.
pub static TABLES: [Table; 18] = [
    table(
        "station",
        "Station",
        "who and where it is, and which units are shown",
        &[],
        false,
    ),
    table(
        "intake",
        "Intake",
        "the air drawn in, and where",
        &[],
        false,
    ),
    table(
        "compressor",
        "Compressor",
        "from its plate, the manual, or timed by you",
        &["compressor.stage", "compressor.delivery"],
        true,
    ),
    table(
        "separator",
        "Separator",
        "what holds back the water, and its sump",
        &[],
        false,
    ),
    table(
        "purifier",
        "Purifier",
        "the cartridge and its beds, in the order the air meets them",
        &["purifier.bed"],
        false,
    ),
    table(
        "tower",
        "Tower",
        "the housing of separator and purifier, from its plate",
        &[],
        true,
    ),
    table(
        "air_path",
        "Air path",
        "in which order the air meets the parts",
        &[],
        false,
    ),
    table(
        "pmv",
        "Pressure maintaining valve",
        "from its tag or the maker's manual",
        &[],
        true,
    ),
    table(
        "relief",
        "Final relief valve",
        "from its tag or the maker's manual",
        &[],
        true,
    ),
    table(
        "burst_disc",
        "Burst disc",
        "from the stamp on the disc or the maker's manual",
        &[],
        true,
    ),
    table(
        "vent",
        "Vent",
        "through which the tower is let down",
        &[],
        false,
    ),
    table(
        "whip",
        "Fill hoses",
        "hoses and panel after the last valve",
        &[],
        true,
    ),
    table(
        "gauge",
        "Gauges",
        "each with what it is connected to",
        &[],
        false,
    ),
    table(
        "bank",
        "Banks",
        "storage cylinders that stay connected, from their stamps",
        &[],
        true,
    ),
    table(
        "cylinder_kind",
        "Kinds of cylinder",
        "what is filled here, from the stamps",
        &[],
        true,
    ),
    table(
        "cylinder",
        "Cylinders",
        "each by its stamps; the register of the book counts where both know one",
        &[],
        true,
    ),
    table(
        "tolerances",
        "Tolerances",
        "how far the real machine may lie from these figures, as plus or minus",
        &[],
        false,
    ),
    table(
        "now",
        "Now",
        "what the gauges show before the start; what is later in the book counts",
        &["now.banks", "now.cylinders"],
        false,
    ),
];

/// The table of this name.
pub fn table_named(name: &str) -> Option<&'static Table> {
    TABLES.iter().find(|table| table.name == name)
}

/// Whether there may be several of a table.
pub fn is_list(table: &str) -> bool {
    heading(table).starts_with("[[")
}

/// Whether a path names a value that a person can write: `pmv.opens`, `gauge[2].span`,
/// `now.banks.B1`.
pub fn is_value(path: &str) -> bool {
    crate::edit::form_of(path).is_some()
}

/// The words a key takes; empty where any will do.
pub fn words_of(field: &Field) -> &'static [&'static str] {
    match (field.table, field.key) {
        ("station", "units") => &["metric", "us"],
        ("intake", "place") => &["outdoors", "indoors"],
        ("compressor", "drive") => &["electric", "petrol", "gasoline", "diesel"],
        ("purifier.bed", "kind") => &["drying", "carbon", "catalyst"],
        ("tower", "material") => &["steel", "aluminium", "aluminum"],
        ("bank" | "cylinder_kind", "material") => &["steel", "aluminium", "aluminum", "composite"],
        ("pmv" | "relief", "action") => &["proportional", "snap"],
        _ => &[],
    }
}

/// What somebody could write for a key, where its bounds do not tell.
pub fn example(field: &Field) -> &'static str {
    match (field.table, field.key) {
        ("station", "name") => "Boathouse",
        ("air_path", "order") => "check, separator, purifier, gauge, relief, burst_disc, vent, pmv",
        ("gauge", "name") => "panel",
        ("gauge", "reads") => "tower, or line, or stage 1",
        ("purifier.bed", "adsorbent") => "13X, silica gel, activated carbon",
        ("bank", "id") => "B1",
        ("cylinder_kind", "id") | ("cylinder", "kind") => "steel 12",
        ("cylinder", "id") => "A1",
        _ => match field.form {
            Form::Day => "2026-03-14",
            _ => "",
        },
    }
}

/// A station file that is TOML, with the place of everything in it.
pub struct Written<'t> {
    text: &'t str,
    entries: Vec<Entry>,
}

impl<'t> Written<'t> {
    /// Reads the text.
    ///
    /// # Errors
    /// Where it is not TOML: every problem of that sort.
    pub fn of(text: &'t str) -> Result<Written<'t>, Vec<Problem>> {
        let entries = syntax::parse(text)?;
        Ok(Written { text, entries })
    }

    pub(crate) fn facts(&self) -> Facts<'_> {
        Facts::new(self.text, &self.entries)
    }

    /// What stands at a path, as a person would type it into a form; none where nothing does.
    pub fn value(&self, path: &str) -> Option<String> {
        let facts = self.facts();
        let said = facts.said(path)?;
        Some(typed(self.text, said))
    }

    /// How many tables a list has.
    pub fn count(&self, list: &str) -> usize {
        self.facts().count(list)
    }

    /// The keys a table at this path has, in the order of the file.
    pub fn keys(&self, path: &str) -> Vec<String> {
        let facts = self.facts();
        let entries = facts.table(path).unwrap_or_default();
        entries.iter().map(|entry| entry.key.clone()).collect()
    }

    /// Whether anything stands at a path.
    pub fn has(&self, path: &str) -> bool {
        self.facts().said(path).is_some()
    }

    /// The path of what stands at a place of the text: a key, else the table under whose heading it
    /// stands.
    pub fn path_at(&self, place: &Range<usize>) -> Option<String> {
        let facts = self.facts();
        let holds = |range: &Range<usize>| {
            range.start <= place.start && place.end <= range.end && !range.is_empty()
        };
        let found = facts
            .all()
            .filter(|(_, said)| holds(said.key) || holds(&said.value.place));
        let nearest = found.min_by_key(|(path, said)| {
            let of = [said.key, &said.value.place];
            let lengths = of
                .into_iter()
                .filter(|range| holds(range))
                .map(ExactSizeIterator::len);
            (lengths.min(), usize::MAX - path.len())
        });
        nearest.map(|(path, _)| path.to_owned())
    }

    /// Where a problem belongs: the paths of its labels; a missing key is where it would stand.
    pub fn paths_of(&self, problem: &Problem) -> Vec<String> {
        let paths = problem
            .labels
            .iter()
            .filter_map(|label| self.path_at(&label.span));
        let mut paths: Vec<String> = paths.collect();
        if let (Some(missing), Some(first)) = (missing(problem), paths.first_mut())
            && field_at(first).is_none()
        {
            *first = format!("{first}.{missing}");
        }
        paths.dedup();
        paths
    }
}

/// The key that a problem misses.
fn missing(problem: &Problem) -> Option<&str> {
    if problem.id != crate::ProblemId::Missing {
        return None;
    }
    problem.message.split('`').nth(1)
}

/// A value as typed into a form: without quotes, a list with commas.
fn typed(text: &str, said: Said<'_>) -> String {
    match &said.value.shape {
        Shape::Text(text) => text.clone(),
        Shape::List(items) if items.iter().all(|i| matches!(i.shape, Shape::Text(_))) => {
            let words = items.iter().filter_map(|item| match &item.shape {
                Shape::Text(text) => Some(text.as_str()),
                _ => None,
            });
            words.collect::<Vec<_>>().join(", ")
        }
        _ => text
            .get(said.value.place.clone())
            .unwrap_or_default()
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fields::FIELDS;
    use crate::{ProblemId, read};

    /// Every table of the file has its form, and every form its table.
    #[test]
    fn no_table_is_left_out() {
        let mut named: Vec<&str> = TABLES.iter().map(|t| t.name).collect();
        named.extend(TABLES.iter().flat_map(|t| t.parts));
        for row in FIELDS {
            let below = match row.form {
                Form::Table(name) | Form::Tables(name) => name.to_owned(),
                Form::Pressures => format!("{}.{}", row.table, row.key),
                _ => continue,
            };
            assert!(named.contains(&below.as_str()), "{below}");
        }
        assert_eq!(named.len(), 18 + 5);
    }

    /// The words offered are those understood, and no others are understood in their place.
    #[test]
    fn words_offered_are_understood() {
        for field in FIELDS {
            for word in words_of(field) {
                let heading = heading(field.table);
                let text = format!("{heading}\n{} = \"{word}\"\n", field.key);
                let unknown = |p: &Problem| p.id == ProblemId::UnknownWord;
                assert!(!read(&text).problems.iter().any(unknown), "{text}");
                let wrong = text.replace(word, "zebra");
                assert!(read(&wrong).problems.iter().any(unknown), "{wrong}");
            }
        }
    }

    #[test]
    fn a_problem_is_told_at_its_key() {
        let text = "[station]\nname = \"x\"\n[pmv]\nopens = \"5000 bar\"\n";
        let written = Written::of(text).ok().unwrap();
        let reading = read(text);
        let paths: Vec<Vec<String>> = reading
            .problems
            .iter()
            .map(|p| written.paths_of(p))
            .collect();
        assert!(paths.contains(&vec!["pmv.opens".to_owned()]), "{paths:?}");
        assert!(paths.contains(&vec!["pmv.closes".to_owned()]), "{paths:?}");
    }

    #[test]
    fn values_are_shown_as_typed() {
        let text = "[gauge]\n[air_path]\norder = [\"check\", 'pmv']\n[[bank]]\nid = \"B \\\"1\"\n[purifier]\nchanged = 2026-01-02\n";
        let written = Written::of(text).ok().unwrap();
        let value = |path| written.value(path).unwrap();
        assert_eq!(value("air_path.order"), "check, pmv");
        assert_eq!(value("bank[1].id"), "B \"1");
        assert_eq!(value("purifier.changed"), "2026-01-02");
        assert_eq!(written.value("bank[2].id"), None);
    }
}
