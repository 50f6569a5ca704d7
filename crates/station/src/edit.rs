//! Changing the text of a station file as a person with a pencil would: one value, one line, one
//! table. Every byte that was not asked about stays, remarks and odd spacing with it.
//!
//! Start at [`edit`]. Not here: whether the changed file is right ([`crate::read()`]).

mod value;

use std::ops::Range;

use crate::facts::Facts;
use crate::fields::heading;
use crate::form::{Written, is_list};
use crate::syntax::{Entry, Shape, Value};
pub(crate) use value::form_of;
use value::{bare_or_quoted, parted, toml_of};

/// One thing to change. Paths are those of problems: `pmv.opens`, `gauge[2].span`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// This is to stand there. One past the end of a list begins another table of it.
    Set(String, String),
    /// Nothing is to stand there.
    Clear(String),
    /// The whole table goes, heading and keys; remarks above its heading stay.
    Remove(String),
}

/// Why a change cannot be made for a person: parts of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotEdited {
    /// Where.
    pub path: String,
    /// What stands in the way.
    pub cause: String,
    /// What to do instead.
    pub remedy: String,
}

/// Makes the changes, one after the other; removals last, from the end of a list on.
///
/// # Errors
/// The first change that cannot be made. The text is then to be changed by hand.
pub fn edit(text: &str, changes: &[Change]) -> Result<String, NotEdited> {
    let removal = |change: &&Change| matches!(change, Change::Remove(_));
    let mut text = text.to_owned();
    for change in changes.iter().filter(|change| !removal(change)) {
        text = one(&text, change)?;
    }
    let mut removals: Vec<&Change> = changes.iter().filter(removal).collect();
    removals.sort_by_key(|change| std::cmp::Reverse(place_in_list(change)));
    for change in removals {
        text = one(&text, change)?;
    }
    Ok(text)
}

/// The number of a list's table that a change is about.
fn place_in_list(change: &Change) -> Option<usize> {
    let (Change::Set(path, _) | Change::Clear(path) | Change::Remove(path)) = change;
    path.strip_suffix(']')?.rsplit_once('[')?.1.parse().ok()
}

fn one(text: &str, change: &Change) -> Result<String, NotEdited> {
    let (Change::Set(path, _) | Change::Clear(path) | Change::Remove(path)) = change;
    let refused = |cause: &str, remedy: &str| NotEdited {
        path: path.clone(),
        cause: cause.to_owned(),
        remedy: remedy.to_owned(),
    };
    let written = Written::of(text).map_err(|_| {
        let remedy = "put the text right first, as a whole";
        refused("the file is not TOML", remedy)
    })?;
    let page = Page {
        text,
        facts: written.facts(),
    };
    let edited = match change {
        Change::Set(path, typed) => page.set(path, typed),
        Change::Clear(path) => page.clear(path),
        Change::Remove(path) => page.remove(path),
    };
    edited.map_err(|cause| refused(cause, "change it in the text of the whole file"))
}

/// The text with its places.
struct Page<'t> {
    text: &'t str,
    facts: Facts<'t>,
}

/// How a table is written.
enum Style {
    /// Under a heading, which is here.
    Heading(Range<usize>),
    /// Between braces.
    Braces(Range<usize>),
    /// By dotted keys.
    Dotted,
    /// It has no words of its own: only tables below it have.
    Implied,
}

type Edited = Result<String, &'static str>;

impl Page<'_> {
    fn set(&self, path: &str, typed: &str) -> Edited {
        let value = toml_of(path, typed);
        if let Some(said) = self.facts.said(path) {
            if matches!(said.value.shape, Shape::Table(_)) {
                return Err("a table stands there");
            }
            return Ok(self.replaced(said.value.place.clone(), &value));
        }
        let (table, key) = parted(path).ok_or("there is no such place in a station file")?;
        let line = format!("{} = {value}", bare_or_quoted(key));
        let Some(said) = self.facts.said(table) else {
            return self.new_table(table, &line);
        };
        let Shape::Table(entries) = &said.value.shape else {
            return Err("something else than a table stands there");
        };
        match self.style(said.value) {
            Style::Heading(place) => Ok(self.line_after(self.end_of_body(&place, entries), &line)),
            Style::Braces(place) => Ok(self.between_braces(&place, entries, &line)),
            Style::Implied => self.new_table(table, &line),
            Style::Dotted => Err("its table is written with dotted keys"),
        }
    }

    fn clear(&self, path: &str) -> Edited {
        let Some(said) = self.facts.said(path) else {
            return Ok(self.text.to_owned());
        };
        let parent = parted(path).and_then(|(table, _)| self.facts.said(table));
        let whole = said.key.start.min(said.value.place.start)..said.value.place.end;
        match parent.map(|parent| (self.style(parent.value), &parent.value.shape)) {
            Some((Style::Braces(place), _)) => Ok(self.without_part(&place, whole)),
            _ => Ok(self.without_lines(whole)),
        }
    }

    fn remove(&self, path: &str) -> Edited {
        let Some(said) = self.facts.said(path) else {
            return Ok(self.text.to_owned());
        };
        let Shape::Table(entries) = &said.value.shape else {
            return Err("something else than a table stands there");
        };
        let Style::Heading(place) = self.style(said.value) else {
            return Err("it has no heading of its own");
        };
        let below = entries.iter().any(|entry| match &entry.value.shape {
            Shape::Table(_) => !matches!(self.style(&entry.value), Style::Braces(_)),
            Shape::List(items) => items
                .iter()
                .any(|i| matches!(self.style(i), Style::Heading(_))),
            _ => false,
        });
        if below {
            return Err("other tables belong to it");
        }
        let end = self.end_of_body(&place, entries);
        let lines = self.without_lines(place.start..end);
        Ok(lines)
    }

    /// How a table is written.
    fn style(&self, table: &Value) -> Style {
        let place = table.place.clone();
        match self.text.get(place.clone()).and_then(|t| t.chars().next()) {
            Some('[') => Style::Heading(place),
            Some('{') => Style::Braces(place),
            _ => match &table.shape {
                Shape::Table(entries) if entries.iter().all(|e| self.has_heading(&e.value)) => {
                    Style::Implied
                }
                _ => Style::Dotted,
            },
        }
    }

    fn has_heading(&self, value: &Value) -> bool {
        match &value.shape {
            Shape::Table(_) => matches!(self.style(value), Style::Heading(_) | Style::Implied),
            Shape::List(items) => items.iter().any(|i| {
                matches!(i.shape, Shape::Table(_)) && matches!(self.style(i), Style::Heading(_))
            }),
            _ => false,
        }
    }

    /// The end of what stands under a heading: its last value, else the heading.
    fn end_of_body(&self, heading: &Range<usize>, entries: &[Entry]) -> usize {
        let own = entries
            .iter()
            .filter(|entry| !self.has_heading(&entry.value));
        own.map(|entry| self.end_of_value(&entry.value))
            .fold(heading.end, usize::max)
    }

    fn end_of_value(&self, value: &Value) -> usize {
        let below = match &value.shape {
            Shape::Table(entries) if value.place.is_empty() => {
                entries.iter().map(|e| self.end_of_value(&e.value)).max()
            }
            _ => None,
        };
        below.unwrap_or(value.place.end)
    }

    /// Another table: after the last of its list, after the table it belongs to, else at the end.
    fn new_table(&self, path: &str, line: &str) -> Edited {
        let name = path.split('[').next().unwrap_or(path);
        let name = if path.ends_with(']') { name } else { path };
        if name.contains('[') {
            return Err("it belongs to one table of a list");
        }
        let heading = match is_list(name) {
            true => {
                self.next_of(name, path)?;
                heading(name)
            }
            false => format!("[{name}]"),
        };
        let before = self.last_of(name).or_else(|| {
            let (parent, _) = name.rsplit_once('.')?;
            self.body_of(parent)
        });
        let end = before.unwrap_or(self.text.len());
        let newline = self.newline();
        let block = match before.is_none() && self.text.trim().is_empty() {
            true => format!("{heading}{newline}{line}"),
            false => format!("{newline}{heading}{newline}{line}"),
        };
        Ok(self.line_after(end, &block))
    }

    /// That a path is the next of its list, and the list has headings.
    fn next_of(&self, name: &str, path: &str) -> Result<(), &'static str> {
        let count = self.facts.count(name);
        if path != format!("{name}[{}]", count + 1) {
            return Err("the list has not so many");
        }
        match self.facts.said(&format!("{name}[1]")) {
            Some(first) if !matches!(self.style(first.value), Style::Heading(_)) => {
                Err("its list is written on one line")
            }
            None if self.facts.said(name).is_some() => Err("its list is written on one line"),
            _ => Ok(()),
        }
    }

    /// Where the last table of a list ends.
    fn last_of(&self, name: &str) -> Option<usize> {
        self.body_of(&format!("{name}[{}]", self.facts.count(name)))
    }

    fn body_of(&self, path: &str) -> Option<usize> {
        let said = self.facts.said(path)?;
        match (&said.value.shape, self.style(said.value)) {
            (Shape::Table(entries), Style::Heading(place)) => {
                Some(self.end_of_body(&place, entries))
            }
            _ => None,
        }
    }

    fn replaced(&self, place: Range<usize>, with: &str) -> String {
        let mut text = self.text.to_owned();
        text.replace_range(place, with);
        text
    }

    fn newline(&self) -> &'static str {
        match self.text.contains("\r\n") {
            true => "\r\n",
            false => "\n",
        }
    }

    /// The line break that ends the line of a place, or the end of the text.
    fn line_end(&self, at: usize) -> usize {
        let rest = self.text.get(at..).unwrap_or_default();
        at + rest.find('\n').map_or(rest.len(), |end| end + 1)
    }

    fn line_start(&self, at: usize) -> usize {
        let before = self.text.get(..at).unwrap_or_default();
        before.rfind('\n').map_or(0, |end| end + 1)
    }

    /// A line after the line of a place.
    fn line_after(&self, at: usize, line: &str) -> String {
        let (end, newline) = (self.line_end(at), self.newline());
        let mut text = self.text.to_owned();
        let ended = end == 0 || text.get(..end).is_some_and(|t| t.ends_with('\n'));
        let line = match ended {
            true => format!("{line}{newline}"),
            false => format!("{newline}{line}{newline}"),
        };
        text.insert_str(end, &line);
        text
    }

    /// Without the lines of a place; of two blank lines that would meet one goes.
    fn without_lines(&self, place: Range<usize>) -> String {
        let (start, mut end) = (self.line_start(place.start), self.line_end(place.end));
        let blank_before = self.text.get(..start).is_none_or(|t| {
            let t = t.strip_suffix('\n').unwrap_or(t);
            t.is_empty() || t.ends_with('\n') || t.ends_with("\n\r")
        });
        let next = self.line_end(end);
        let blank_after = self
            .text
            .get(end..next)
            .is_some_and(|t| t.trim().is_empty());
        if blank_before && blank_after {
            end = next;
        }
        self.replaced(start..end, "")
    }

    /// One more between braces.
    fn between_braces(&self, place: &Range<usize>, entries: &[Entry], line: &str) -> String {
        match entries.iter().map(|e| self.end_of_value(&e.value)).max() {
            Some(end) => self.replaced(end..end, &format!(", {line}")),
            None => self.replaced(place.clone(), &format!("{{ {line} }}")),
        }
    }

    /// Without one of several between braces, and the comma that parted it.
    fn without_part(&self, braces: &Range<usize>, whole: Range<usize>) -> String {
        let after = self.text.get(whole.end..braces.end).unwrap_or_default();
        let before = self.text.get(braces.start..whole.start).unwrap_or_default();
        if let Some(comma) = after.trim_start().strip_prefix(',') {
            let next = braces.end - comma.trim_start().len();
            return self.replaced(whole.start..next, "");
        }
        let cut = match before.rfind(',') {
            Some(comma) => braces.start + comma..whole.end,
            None => whole,
        };
        self.replaced(cut, "")
    }
}

#[cfg(test)]
mod tests;
