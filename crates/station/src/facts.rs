//! Everything the file says, by path (`pmv.opens`, `gauge[2].span`; entries count from 1).
//!
//! Contradictions are looked for here rather than in the model, so that they are found even
//! when something else in the file keeps a station from being made.

use std::collections::BTreeMap;
use std::ops::Range;

use quantity::{Quantity, Typed, parse};

use crate::fields::field_at;
use crate::problem::Label;
use crate::syntax::{Entry, Shape, Value};

/// What the file says.
pub(crate) struct Facts<'a> {
    pub text: &'a str,
    /// What stands at the top of the file.
    pub top: &'a [Entry],
    said: BTreeMap<String, Said<'a>>,
}

/// A value and the key before it.
#[derive(Clone, Copy)]
pub(crate) struct Said<'a> {
    pub key: &'a Range<usize>,
    pub value: &'a Value,
}

/// A quantity the file gives, and where.
#[derive(Clone)]
pub(crate) struct Seen<Q: Quantity> {
    pub typed: Typed<Q>,
    pub place: Range<usize>,
}

impl<Q: Quantity> Seen<Q> {
    /// A label at this quantity.
    pub fn label(&self, text: impl Into<String>) -> Label {
        Label::new(self.place.clone(), text)
    }
}

impl<'a> Facts<'a> {
    pub fn new(text: &'a str, entries: &'a [Entry]) -> Self {
        let mut said = BTreeMap::new();
        flatten("", entries, &mut said);
        Self {
            text,
            top: entries,
            said,
        }
    }

    /// Whatever stands at this path.
    pub fn said(&self, path: &str) -> Option<Said<'a>> {
        self.said.get(path).copied()
    }

    /// Everything that stands in the file.
    pub fn all(&self) -> impl Iterator<Item = (&str, Said<'a>)> {
        self.said.iter().map(|(path, said)| (path.as_str(), *said))
    }

    /// The keys below a table, if there is one at this path.
    pub fn table(&self, path: &str) -> Option<&'a [Entry]> {
        match &self.said(path)?.value.shape {
            Shape::Table(entries) => Some(entries),
            _ => None,
        }
    }

    /// How many tables a list holds.
    pub fn count(&self, path: &str) -> usize {
        match self.said(path).map(|s| &s.value.shape) {
            Some(Shape::List(items)) => items.len(),
            _ => 0,
        }
    }

    /// The paths of a list's tables: `gauge[1]`, `gauge[2]`.
    pub fn each(&self, path: &str) -> Vec<String> {
        let all = (1..=self.count(path)).map(|n| format!("{path}[{n}]"));
        all.filter(|p| self.table(p).is_some()).collect()
    }

    /// A quantity, if one stands there that can be read and is possible.
    pub fn quantity<Q: Quantity>(&self, path: &str) -> Option<Seen<Q>> {
        let value = self.said(path)?.value;
        match &value.shape {
            Shape::Text(text) => {
                let typed: Typed<Q> = parse(text).ok()?;
                let form = field_at(path)?.form;
                form.allows(typed.value).then(|| Seen {
                    typed,
                    place: value.place.clone(),
                })
            }
            _ => None,
        }
    }

    /// Words and where they stand.
    pub fn words(&self, path: &str) -> Option<(&'a str, Range<usize>)> {
        let value = self.said(path)?.value;
        match &value.shape {
            Shape::Text(text) => Some((text.trim(), value.place.clone())),
            _ => None,
        }
    }

    /// A place for what is said about a table: its heading, else its first key.
    pub fn heading(&self, path: &str) -> Range<usize> {
        let Some(said) = self.said(path) else {
            return self.end();
        };
        if said.value.place.is_empty() {
            said.key.clone()
        } else {
            said.value.place.clone()
        }
    }

    /// The last line with something on it: where a missing table could follow.
    pub fn end(&self) -> Range<usize> {
        let written = self.text.trim_end();
        let line = written.rfind('\n').map_or(0, |i| i + 1);
        let blank = written.len() - line - written.get(line..).map_or(0, |l| l.trim_start().len());
        line + blank..written.len()
    }
}

fn flatten<'a>(path: &str, entries: &'a [Entry], said: &mut BTreeMap<String, Said<'a>>) {
    for entry in entries {
        let here = if path.is_empty() {
            entry.key.clone()
        } else {
            format!("{path}.{}", entry.key)
        };
        enter(&here, &entry.place, &entry.value, said);
    }
}

fn enter<'a>(
    path: &str,
    key: &'a Range<usize>,
    value: &'a Value,
    said: &mut BTreeMap<String, Said<'a>>,
) {
    match &value.shape {
        Shape::Table(entries) => flatten(path, entries, said),
        Shape::List(items) => {
            for (index, item) in items.iter().enumerate() {
                enter(&format!("{path}[{}]", index + 1), key, item, said);
            }
        }
        _ => {}
    }
    said.insert(path.to_owned(), Said { key, value });
}
