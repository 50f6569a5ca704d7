//! TOML into a small tree in which every key and value knows its place.
//!
//! Start at [`parse`]. Where the text is not TOML the problem says so in words for a person who
//! has never heard of TOML. Not here: which keys exist and what they mean.

use std::ops::Range;

use toml_edit::{Document, Item, TableLike, TomlError, Value as TomlValue};

use crate::problem::{Label, Problem, ProblemId};

/// A key with its value.
#[derive(Debug)]
pub(crate) struct Entry {
    pub key: String,
    /// The key as written; for `[pmv]` the word between the brackets.
    pub place: Range<usize>,
    pub value: Value,
}

/// A value and where it stands; for a table with a header, the header.
#[derive(Debug)]
pub(crate) struct Value {
    pub place: Range<usize>,
    pub shape: Shape,
}

/// What sort of value it is.
#[derive(Debug)]
pub(crate) enum Shape {
    Text(String),
    Integer(i64),
    Decimal(f64),
    Flag(bool),
    Date(String),
    List(Vec<Value>),
    Table(Vec<Entry>),
}

impl Shape {
    /// What a person would call it.
    pub fn called(&self) -> &'static str {
        match self {
            Shape::Text(_) => "text in quotes",
            Shape::Integer(_) | Shape::Decimal(_) => "a bare number",
            Shape::Flag(_) => "true or false",
            Shape::Date(_) => "a date",
            Shape::List(_) => "a list",
            Shape::Table(_) => "a table",
        }
    }
}

/// How many values without quotes are reported before giving up.
const MOST_UNQUOTED: usize = 20;

/// Reads the text as TOML. After a value without its quotes reading goes on behind that line, so
/// that all of them are reported at once; any other fault ends it.
pub(crate) fn parse(text: &str) -> Result<Vec<Entry>, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut rest = text.to_owned();
    loop {
        match Document::parse(rest.as_str()) {
            Ok(document) if problems.is_empty() => return Ok(entries(document.as_table())),
            Ok(_) => return Err(in_order(problems)),
            Err(error) => {
                let at = place_of(&rest, &error);
                let (problem, line) = explain(&rest, at, error.message());
                problems.push(problem);
                let Some(line) = line.filter(|_| problems.len() < MOST_UNQUOTED) else {
                    return Err(in_order(problems));
                };
                let blank = " ".repeat(line.len());
                rest.replace_range(line, &blank);
            }
        }
    }
}

fn entries(table: &dyn TableLike) -> Vec<Entry> {
    let named = table.iter().filter_map(|(name, item)| {
        let place = table
            .key(name)
            .and_then(toml_edit::Key::span)
            .or_else(|| item.span());
        let value = value_of(item)?;
        Some(Entry {
            key: name.to_owned(),
            place: place.unwrap_or_default(),
            value,
        })
    });
    let mut found: Vec<Entry> = named.collect();
    found.sort_by_key(|e| e.place.start);
    found
}

fn value_of(item: &Item) -> Option<Value> {
    let shape = match item {
        Item::None => return None,
        Item::Value(value) => return Some(plain(value)),
        Item::Table(table) => Shape::Table(entries(table)),
        Item::ArrayOfTables(tables) => {
            let each = tables.iter().map(|t| Value {
                place: t.span().unwrap_or_default(),
                shape: Shape::Table(entries(t)),
            });
            Shape::List(each.collect())
        }
    };
    Some(Value {
        place: item.span().unwrap_or_default(),
        shape,
    })
}

fn plain(value: &TomlValue) -> Value {
    let shape = match value {
        TomlValue::String(text) => Shape::Text(text.value().clone()),
        TomlValue::Integer(number) => Shape::Integer(*number.value()),
        TomlValue::Float(number) => Shape::Decimal(*number.value()),
        TomlValue::Boolean(flag) => Shape::Flag(*flag.value()),
        TomlValue::Datetime(date) => Shape::Date(date.value().to_string()),
        TomlValue::Array(list) => Shape::List(list.iter().map(plain).collect()),
        TomlValue::InlineTable(table) => Shape::Table(entries(table)),
    };
    Value {
        place: value.span().unwrap_or_default(),
        shape,
    }
}

/// Problems by place.
fn in_order(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|p| p.labels.first().map(|l| l.span.start));
    problems
}

/// Where the parser stopped, moved onto whole characters.
fn place_of(text: &str, error: &TomlError) -> Range<usize> {
    let span = error.span().unwrap_or(text.len()..text.len());
    let start = text.floor_char_boundary(span.start);
    start..text.ceil_char_boundary(span.end.max(start))
}

/// The line around a place, without its line break.
fn line_around(text: &str, at: usize) -> Range<usize> {
    let start = text
        .get(..at)
        .and_then(|t| t.rfind('\n'))
        .map_or(0, |i| i + 1);
    let length = text
        .get(start..)
        .map_or(0, |t| t.find(['\n', '\r']).unwrap_or(t.len()));
    start..start + length
}

/// The problem, and the line to blank out where reading can go on behind it.
fn explain(text: &str, at: Range<usize>, said: &str) -> (Problem, Option<Range<usize>>) {
    let line = line_around(text, at.start);
    if let Some(bare) = bare_value(text, &line)
        && (bare.is_empty() || at.start >= bare.start)
    {
        return (without_quotes(text, &line, bare), Some(line));
    }
    let place = if at.is_empty() {
        trimmed(text, &line)
    } else {
        at
    };
    let (message, label, remedy) = in_words(text.get(line).unwrap_or_default().trim(), said);
    (
        Problem::new(
            ProblemId::NotToml,
            message,
            Label::new(place, label),
            remedy,
        ),
        None,
    )
}

/// Where a line reads `key = value` and the value starts neither a quote nor a list nor a table.
fn bare_value(text: &str, line: &Range<usize>) -> Option<Range<usize>> {
    let written = text.get(line.clone())?;
    let (key, value) = written.split_once('=')?;
    let name = key.trim();
    let key_is_plain = !name.is_empty()
        && name
            .chars()
            .all(|c| c.is_alphanumeric() || "_-.".contains(c));
    let value = value.split('#').next().unwrap_or_default();
    let first = value.trim_start().chars().next();
    if !key_is_plain || first.is_some_and(|c| "\"'[{".contains(c)) || value.contains('"') {
        return None;
    }
    let start = line.start + key.len() + 1;
    let leading = value.len() - value.trim_start().len();
    Some(start + leading..start + leading + value.trim().len())
}

fn without_quotes(text: &str, line: &Range<usize>, bare: Range<usize>) -> Problem {
    let value = text.get(bare.clone()).unwrap_or_default().to_owned();
    let key = text
        .get(line.clone())
        .and_then(|l| l.split('=').next())
        .unwrap_or_default()
        .trim();
    if value.is_empty() {
        return Problem::new(
            ProblemId::NotToml,
            format!("`{key}` has no value"),
            Label::new(trimmed(text, line), "nothing follows the equals sign"),
            format!("write the value in quotes after `{key} =`, or take the line out"),
        );
    }
    Problem::new(
        ProblemId::NotToml,
        format!("the value of `{key}` has no quotes"),
        Label::new(bare, "this needs quotes around it"),
        format!("write {key} = \"{}\"", with_point(&value)),
    )
}

/// A value with a decimal point where someone wrote a comma: `9,5 kg`, but not `3,300 psi`.
fn with_point(value: &str) -> String {
    let digits = |t: &str| t.chars().take_while(char::is_ascii_digit).count();
    match value.split_once(',') {
        Some((whole, rest)) if digits(whole) == whole.len() && [1, 2].contains(&digits(rest)) => {
            format!("{whole}.{rest}")
        }
        _ => value.to_owned(),
    }
}

/// A line without the blanks around it; one place at least where the line is empty.
fn trimmed(text: &str, line: &Range<usize>) -> Range<usize> {
    let written = text.get(line.clone()).unwrap_or_default();
    let start = line.start + (written.len() - written.trim_start().len());
    start..start + written.trim().len()
}

/// Message, label and remedy for what the parser said.
fn in_words(line: &str, said: &str) -> (String, String, String) {
    let (message, label, remedy) = if said.contains("duplicate key") && line.starts_with('[') {
        let remedy = "move what stands below this heading under the first one; only lists such \
                      as [[gauge]] may be repeated, and those have double brackets";
        ("this table is opened a second time", "here again", remedy)
    } else if said.contains("duplicate key") {
        (
            "this key is given a second time",
            "here again",
            "keep one of the two lines",
        )
    } else if said.contains("string") && said.contains("expected `") {
        let remedy = "close the quotes at the end of the value, on the same line";
        (
            "the closing quote is missing",
            "the value is not closed",
            remedy,
        )
    } else if said.contains("unclosed") && line.starts_with('[') {
        let remedy = "close the heading: [pmv] for a table, [[gauge]] for one entry of a list";
        (
            "the closing bracket of this heading is missing",
            "not closed",
            remedy,
        )
    } else if said.contains("key with no value") {
        let remedy = "write key = \"value\" on each line, [table] on a line of its own for a \
                      heading, and # before a remark";
        (
            "this line is neither a heading nor `key = value`",
            "no equals sign",
            remedy,
        )
    } else {
        let message = format!("this line cannot be read: {said}");
        let remedy = "write key = \"value\", with the value in quotes and any remark after a #";
        return (message, "here".into(), remedy.into());
    };
    (message.into(), label.into(), remedy.into())
}
