//! One table of the file while it is being read: each getter takes a key, looks up its row in
//! [`FIELDS`](crate::fields::FIELDS), and notes a problem or a default where there is one.
//!
//! Start at [`Section::open`]. Not here: keys nobody asks for ([`crate::keys`]).

use std::cell::RefCell;

use quantity::{Quantity, Typed, UnitSystem, parse};

use crate::date::Date;
use crate::facts::{Facts, Said};
use crate::fields::{Field, Form, Need, field, heading};
use crate::keys;
use crate::problem::{Assumed, Label, Problem, ProblemId};
use crate::suggest::{nearest, or_list};
use crate::syntax::{Shape, Value};
use crate::unreadable;

/// What has been noticed while reading.
#[derive(Default)]
pub(crate) struct Notes {
    pub problems: RefCell<Vec<Problem>>,
    pub assumed: RefCell<Vec<Assumed>>,
}

/// One table, present or not: an absent one gives the defaults of its keys.
pub(crate) struct Section<'s> {
    pub facts: &'s Facts<'s>,
    pub notes: &'s Notes,
    /// Its name in [`FIELDS`](crate::fields::FIELDS): `cylinder_kind`.
    pub table: &'static str,
    /// Its path in the file: `cylinder_kind[2]`.
    pub path: String,
}

impl<'s> Section<'s> {
    /// The table of this name; whether it is in the file or not.
    pub fn open(facts: &'s Facts<'s>, notes: &'s Notes, table: &'static str) -> Self {
        Self {
            facts,
            notes,
            table,
            path: table.to_owned(),
        }
    }

    /// The tables of a list of this name, such as `compressor.stage`.
    pub fn each(facts: &'s Facts<'s>, notes: &'s Notes, table: &'static str) -> Vec<Self> {
        let paths = facts.each(table).into_iter();
        paths
            .map(|path| Self {
                facts,
                notes,
                table,
                path,
            })
            .collect()
    }

    /// Whether the table is in the file.
    pub fn is_there(&self) -> bool {
        self.facts.table(&self.path).is_some()
    }

    /// Whether the key is in the table.
    pub fn has(&self, key: &str) -> bool {
        self.facts.said(&self.at(key)).is_some()
    }

    /// Whether a key of the table, unknown as written, was probably meant for this one.
    pub fn misspelt(&self, key: &str) -> bool {
        let entries = self.facts.table(&self.path).unwrap_or_default();
        entries
            .iter()
            .any(|e| keys::meant(self.table, &e.key) == Some(key))
    }

    /// The path of a key.
    pub fn at(&self, key: &str) -> String {
        format!("{}.{key}", self.path)
    }

    /// How people find the table: `[pmv]`, `[[gauge]] number 2`.
    pub fn called(&self) -> String {
        let heading = heading(self.table);
        let number = self
            .path
            .rsplit_once('[')
            .and_then(|(_, n)| n.strip_suffix(']'));
        match number {
            Some(number) => format!("{heading} number {number}"),
            None => heading,
        }
    }

    /// A quantity, or its default.
    pub fn quantity<Q: Quantity>(&self, key: &str) -> Option<Typed<Q>> {
        let row = field(self.table, key)?;
        let Some(said) = self.facts.said(&self.at(key)) else {
            return parse(self.absent(row, true)?).ok();
        };
        let read = self.read_quantity(key, row.form, said.value);
        read.or_else(|| parse(self.fallback(row)?).ok())
    }

    /// A quantity of this form as it stands, if it can be used.
    pub fn read_quantity<Q: Quantity>(
        &self,
        key: &str,
        form: Form,
        value: &Value,
    ) -> Option<Typed<Q>> {
        let Shape::Text(text) = &value.shape else {
            let bare = number_written(&value.shape).zip(self.likely_unit::<Q>(form));
            self.note(unreadable::not_text(key, value, bare));
            return None;
        };
        let Ok(typed) = parse::<Q>(text) else {
            let unit = self.likely_unit::<Q>(form);
            self.note(unreadable::quantity::<Q>(
                self.facts.text,
                key,
                value,
                text,
                unit,
            ));
            return None;
        };
        let allowed = form.allows(typed.value);
        if !allowed && let Form::Quantity(low, high) = form {
            self.note(unreadable::out_of_range(key, value, &typed, low, high));
        }
        allowed.then_some(typed)
    }

    /// The value of a quantity, or of its default.
    pub fn value<Q: Quantity>(&self, key: &str) -> Option<Q> {
        self.quantity(key).map(|t| t.value)
    }

    /// A plain number, or its default.
    pub fn number(&self, key: &str) -> Option<f64> {
        let row = field(self.table, key)?;
        let Some(said) = self.facts.said(&self.at(key)) else {
            return self.absent(row, true)?.parse().ok();
        };
        let Form::Number(low, high) = row.form else {
            return None;
        };
        let number = match &said.value.shape {
            Shape::Integer(whole) => Some(*whole as f64),
            Shape::Decimal(number) => Some(*number),
            Shape::Text(text) => text.trim().parse().ok(),
            _ => None,
        };
        let read = number.filter(|n| (low..=high).contains(n));
        if read.is_none() {
            self.note(unreadable::not_number(key, said.value, number, &low, &high));
        }
        read.or_else(|| self.fallback(row)?.parse().ok())
    }

    /// A whole number, or its default.
    pub fn count(&self, key: &str) -> Option<usize> {
        let row = field(self.table, key)?;
        let Some(said) = self.facts.said(&self.at(key)) else {
            return self.absent(row, true)?.parse().ok();
        };
        let Form::Count(low, high) = row.form else {
            return None;
        };
        let number = match &said.value.shape {
            Shape::Integer(whole) => usize::try_from(*whole).ok(),
            Shape::Text(text) => text.trim().parse().ok(),
            _ => None,
        };
        let read = number.filter(|n| (low..=high).contains(n));
        if read.is_none() {
            let number = number_written(&said.value.shape);
            self.note(unreadable::not_number(key, said.value, number, &low, &high));
        }
        read.or_else(|| self.fallback(row)?.parse().ok())
    }

    /// Words, not empty.
    pub fn words(&self, key: &str) -> Option<String> {
        let row = field(self.table, key)?;
        let Some(said) = self.facts.said(&self.at(key)) else {
            return self.absent(row, true).map(str::to_owned);
        };
        let text = match &said.value.shape {
            Shape::Text(text) => text.trim().to_owned(),
            Shape::Integer(_) => self.source(said).to_owned(),
            _ => {
                self.note(unreadable::not_text(key, said.value, None));
                return None;
            }
        };
        if text.is_empty() {
            self.note(unreadable::empty(key, said.value));
            return None;
        }
        Some(text)
    }

    /// One of a few words, or its default.
    pub fn choice<T: Copy>(&self, key: &str, known: &[(&'static str, T)]) -> Option<T> {
        let row = field(self.table, key)?;
        let find = |text: &str| {
            let same = |(word, _): &&(&str, T)| word.eq_ignore_ascii_case(text);
            known.iter().find(same).map(|(_, meant)| *meant)
        };
        if !self.has(key) {
            return find(self.absent(row, true)?);
        }
        let written = self.words(key);
        let meant = written.as_deref().and_then(find);
        if let (None, Some(text), Some(said)) = (meant, &written, self.facts.said(&self.at(key))) {
            let words: Vec<&str> = known.iter().map(|(word, _)| *word).collect();
            self.unknown_word(key, said, text, &words);
        }
        meant.or_else(|| find(self.fallback(row)?))
    }

    /// Notes a word that is not one of those understood.
    pub fn unknown_word(&self, key: &str, said: Said<'_>, text: &str, words: &[&str]) {
        let quoted: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
        let remedy = match nearest(text, words.iter().copied()) {
            Some(word) => format!("did you mean \"{word}\"?"),
            None => format!("write {}", or_list(&quoted)),
        };
        self.note(Problem::new(
            ProblemId::UnknownWord,
            format!("`{key}` in {} cannot be {text:?}", self.called()),
            Label::new(said.value.place.clone(), "not a word known here"),
            remedy,
        ));
    }

    /// A calendar day.
    pub fn day(&self, key: &str) -> Option<Date> {
        let said = self.facts.said(&self.at(key))?;
        let read = match &said.value.shape {
            Shape::Text(text) | Shape::Date(text) => Date::parse(text.trim()),
            _ => None,
        };
        if read.is_none() {
            self.note(unreadable::not_date(key, said.value, self.source(said)));
        }
        read
    }

    /// True or false, or its default.
    pub fn flag(&self, key: &str) -> Option<bool> {
        let row = field(self.table, key)?;
        let Some(said) = self.facts.said(&self.at(key)) else {
            return self.absent(row, false)?.parse().ok();
        };
        match said.value.shape {
            Shape::Flag(flag) => Some(flag),
            _ => {
                self.note(unreadable::not_flag(key, said.value));
                self.fallback(row)?.parse().ok()
            }
        }
    }

    /// Notes a problem.
    pub fn note(&self, problem: Problem) {
        self.notes.problems.borrow_mut().push(problem);
    }

    /// Notes a default.
    pub fn assume(&self, key: &str, value: impl Into<String>, reason: &str) {
        let key = if key.is_empty() {
            self.path.clone()
        } else {
            self.at(key)
        };
        let assumed = Assumed {
            key,
            value: value.into(),
            reason: reason.to_owned(),
        };
        self.notes.assumed.borrow_mut().push(assumed);
    }

    /// Notes a default worked out elsewhere, with the reason its row gives, and hands it on.
    pub fn derive<T>(&self, key: &str, shown: String, value: T) -> T {
        if let Some(Field {
            need: Need::Default(_, reason),
            ..
        }) = field(self.table, key)
        {
            self.assume(key, shown, reason);
        }
        value
    }

    /// The words of the file at a value.
    pub fn source(&self, said: Said<'_>) -> &'s str {
        self.facts
            .text
            .get(said.value.place.clone())
            .unwrap_or_default()
    }

    /// What an absent key stands for, noting that it is missing or assumed.
    fn absent(&self, row: &'static Field, listed: bool) -> Option<&'static str> {
        match row.need {
            Need::Optional | Need::Default("", _) => None,
            Need::Required(found) => {
                if !self.misspelt(row.key) {
                    self.missing(row, found);
                }
                None
            }
            Need::Default(value, reason) => {
                if listed {
                    self.assume(row.key, value, reason);
                }
                Some(value)
            }
        }
    }

    /// The default of a key that is there but cannot be used.
    fn fallback(&self, row: &'static Field) -> Option<&'static str> {
        match row.need {
            Need::Default(value, _) if !value.is_empty() => Some(value),
            _ => None,
        }
    }

    fn missing(&self, row: &Field, found: &str) {
        let key = row.key;
        let form = match row.form {
            Form::Quantity(..) => format!("{key} = \"...\" with its unit"),
            _ => format!("{key} = \"...\""),
        };
        self.note(Problem::new(
            ProblemId::Missing,
            format!("{} does not say `{key}`", self.called()),
            Label::new(
                self.facts.heading(&self.path),
                format!("no `{key}` below this heading"),
            ),
            format!("add {form}: {found}"),
        ));
    }

    /// The unit a person who wrote a bare number probably meant.
    fn likely_unit<Q: Quantity>(&self, form: Form) -> Option<&'static str> {
        let Form::Quantity(_, high) = form else {
            return None;
        };
        let metric = parse::<Q>(high).ok()?.unit;
        let us = matches!(self.facts.words("station.units"), Some((word, _)) if word == "us");
        let preferred = UnitSystem::Us.preferred::<Q>();
        Some(if us && metric == Q::METRIC {
            preferred.symbol
        } else {
            metric.symbol
        })
    }
}

/// A number without quotes, if that is what is written.
fn number_written(shape: &Shape) -> Option<f64> {
    match shape {
        Shape::Integer(whole) => Some(*whole as f64),
        Shape::Decimal(number) => Some(*number),
        _ => None,
    }
}
