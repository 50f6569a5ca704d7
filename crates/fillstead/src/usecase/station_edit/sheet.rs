//! What a form shows of a table: every key with what stands there, what may, and what is wrong.

use crate::words::capital;
use station::form::{
    Field, Form, Need, Table, Written, example, field_at, fields_of, heading, is_list, is_value,
    words_of,
};

use super::{REMOVE, Told, Typed, table_of};

/// A form of one table of the file.
pub struct Sheet {
    /// The table, its lists, each table of a list, one more to add, and what else does not agree.
    pub sections: Vec<Section>,
    /// What is told of no field of the form.
    pub general: Vec<Told>,
}

/// A heading with its fields.
pub struct Section {
    /// What people call it.
    pub title: String,
    /// Its heading in the file.
    pub heading: String,
    /// The name under which it is taken out; none where it stays.
    pub remove: Option<String>,
    /// Whether taking it out is asked for.
    pub removed: bool,
    /// Shown from the beginning.
    pub open: bool,
    /// Its keys.
    pub fields: Vec<Entry>,
}

/// A key.
pub struct Entry {
    /// Its path, and the name of its input.
    pub path: String,
    /// A number of its own on the page.
    pub number: usize,
    /// What people call it.
    pub label: String,
    /// What stands there, or was typed.
    pub value: String,
    /// Whether the file must have it.
    pub needed: bool,
    /// What to choose from; empty where something is typed.
    pub choices: Vec<String>,
    /// What may be typed, where it is found, what is taken when it is empty.
    pub hint: String,
    /// Which keyboard a phone shows.
    pub keyboard: &'static str,
    /// What is wrong with it.
    pub told: Vec<Told>,
}

impl Entry {
    /// Whether something about it stops saving.
    pub fn wrong(&self) -> bool {
        self.told.iter().any(|told| told.error)
    }
}

/// The form of a table over a text, with what was typed where something was.
pub fn sheet(text: &str, table: &Table, typed: Option<&Typed>, told: &[Told]) -> Sheet {
    let Ok(written) = Written::of(text) else {
        return Sheet {
            sections: Vec::new(),
            general: told.to_vec(),
        };
    };
    let mut form = Filled {
        written,
        typed,
        told,
        number: 0,
    };
    let mut sections = form.table(table.name);
    for part in table.parts {
        sections.extend(form.table(part));
    }
    sections.extend(form.elsewhere(table, &sections));
    let here = |told: &&Told| {
        let mut fields = sections.iter().flat_map(|s| &s.fields);
        fields.any(|field| told.paths.contains(&field.path))
    };
    let about = |told: &&Told| {
        told.error
            || told
                .paths
                .iter()
                .any(|p| table_of(p).is_some_and(|t| t.name == table.name))
    };
    let general = told
        .iter()
        .filter(|t| !here(t) && about(t))
        .cloned()
        .collect();
    Sheet { sections, general }
}

/// A text with what is to be shown over it.
struct Filled<'t> {
    written: Written<'t>,
    typed: Option<&'t Typed>,
    told: &'t [Told],
    number: usize,
}

impl Filled<'_> {
    /// The sections of a table: itself, or each of its list and one more.
    fn table(&mut self, name: &str) -> Vec<Section> {
        if let Some(field) = field_at(name)
            && matches!(field.form, Form::Pressures)
        {
            return vec![self.pressures(name, field.key)];
        }
        if !is_list(name) {
            let removable = self.written.has(name) && self.may_go(name);
            return vec![self.section(name, name, false, removable)];
        }
        let count = self.written.count(name);
        let each = (1..=count + 1).map(|n| (format!("{name}[{n}]"), n > count));
        let each: Vec<(String, bool)> = each.collect();
        each.iter()
            .map(|(path, new)| self.section(name, path, *new, !new))
            .collect()
    }

    /// Whether a table can be taken out whole.
    fn may_go(&self, name: &str) -> bool {
        let row = station::form::field("", name);
        let needed = row.is_some_and(|row| matches!(row.need, Need::Required(_)));
        let below =
            |f: &Field| matches!(f.form, Form::Table(_) | Form::Tables(_) | Form::Pressures);
        !needed && !fields_of(name).any(below)
    }

    fn section(&mut self, table: &str, path: &str, new: bool, removable: bool) -> Section {
        let plain = |f: &&'static Field| is_value(&format!("{path}.{}", f.key));
        let rows: Vec<&'static Field> = fields_of(table).filter(plain).collect();
        let fields: Vec<Entry> = rows
            .iter()
            .map(|f| self.entry(format!("{path}.{}", f.key), f))
            .collect();
        let remove = removable.then(|| format!("{REMOVE}{path}"));
        let asked = |name: &String| {
            self.typed
                .is_some_and(|t| t.iter().any(|(n, v)| n == name && !v.is_empty()))
        };
        let filled = fields.iter().any(|field| !field.value.is_empty());
        Section {
            title: self.title(table, path, new),
            heading: heading(table),
            removed: remove.as_ref().is_some_and(asked),
            remove,
            open: !new || filled,
            fields,
        }
    }

    /// A table of pressures by id: those written, and those that could be.
    fn pressures(&mut self, path: &str, of: &str) -> Section {
        let list = if of == "banks" { "bank" } else { "cylinder" };
        let mut ids = self.written.keys(path);
        for n in 1..=self.written.count(list) {
            let id = self.written.value(&format!("{list}[{n}].id"));
            ids.extend(id.filter(|id| !ids.contains(id)));
        }
        let entry = |id: &String| (format!("{path}.{id}"), id.clone());
        let paths: Vec<(String, String)> = ids.iter().map(entry).collect();
        let fields = paths.into_iter().map(|(path, id)| {
            self.number += 1;
            Entry {
                value: self.value(&path),
                told: self.told_of(&path),
                number: self.number,
                label: id,
                needed: false,
                choices: Vec::new(),
                hint: "a pressure, such as 140 bar".to_owned(),
                keyboard: "text",
                path,
            }
        });
        let fields = fields.collect();
        Section {
            title: format!("Pressure in the {of} now"),
            heading: format!("[{path}]"),
            remove: None,
            removed: false,
            open: true,
            fields,
        }
    }

    /// Fields of other tables that do not agree with this one, so that both can be changed at once.
    fn elsewhere(&mut self, table: &Table, here: &[Section]) -> Option<Section> {
        let shown = |path: &str| {
            let mut fields = here.iter().flat_map(|s| &s.fields);
            fields.any(|field| field.path == path)
        };
        let told = self
            .told
            .iter()
            .filter(|told| told.error)
            .flat_map(|t| &t.paths);
        let typed = self.typed.into_iter().flatten().map(|(path, _)| path);
        let mut paths: Vec<String> = Vec::new();
        for path in told.chain(typed) {
            let other = table_of(path).is_some_and(|t| t.name != table.name);
            if other && is_value(path) && !shown(path) && !paths.contains(path) {
                paths.push(path.clone());
            }
        }
        let rows = paths
            .iter()
            .filter_map(|path| Some((path.clone(), field_at(path)?)));
        let rows: Vec<(String, &'static Field)> = rows.collect();
        let mut fields: Vec<Entry> = rows
            .into_iter()
            .map(|(path, row)| self.entry(path, row))
            .collect();
        for field in &mut fields {
            let called = table_of(&field.path).map_or("", |table| table.called);
            field.label = format!("{called}: {}", field.label.to_lowercase());
        }
        (!fields.is_empty()).then(|| Section {
            title: "Said elsewhere in the file".to_owned(),
            heading: String::new(),
            remove: None,
            removed: false,
            open: true,
            fields,
        })
    }

    /// `Gauge 2: panel`.
    fn title(&self, table: &str, path: &str, new: bool) -> String {
        if new {
            return format!("Add: {}", called_one(table));
        }
        let number = path.rsplit_once('[').and_then(|(_, n)| n.strip_suffix(']'));
        let Some(number) = number else {
            return capital(&called_one(table));
        };
        let name = ["name", "id", "kind"]
            .iter()
            .find_map(|key| self.written.value(&format!("{path}.{key}")));
        match name {
            Some(name) => format!("{} {number}: {name}", capital(&called_one(table))),
            None => format!("{} {number}", capital(&called_one(table))),
        }
    }

    fn entry(&mut self, path: String, field: &'static Field) -> Entry {
        self.number += 1;
        let value = self.value(&path);
        Entry {
            number: self.number,
            label: capital(&field.key.replace('_', " ")),
            needed: matches!(field.need, Need::Required(_)),
            choices: choices(field, &value),
            hint: hint(field),
            keyboard: match field.form {
                Form::Number(..) | Form::Count(..) => "decimal",
                _ => "text",
            },
            told: self.told_of(&path),
            value,
            path,
        }
    }

    /// What was typed, else what stands there.
    fn value(&self, path: &str) -> String {
        let typed = self
            .typed
            .into_iter()
            .flatten()
            .rev()
            .find(|(name, _)| name == path);
        match typed {
            Some((_, typed)) => typed.clone(),
            None => self.written.value(path).unwrap_or_default(),
        }
    }

    fn told_of(&self, path: &str) -> Vec<Told> {
        let told = self
            .told
            .iter()
            .filter(|told| told.paths.iter().any(|p| p == path));
        told.cloned().collect()
    }
}

/// Words to choose from; what stands there stays one of them.
fn choices(field: &Field, value: &str) -> Vec<String> {
    let words: &[&str] = match field.form {
        Form::Flag => &["true", "false"],
        _ => words_of(field),
    };
    let mut words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    let odd = !value.is_empty() && words.iter().all(|word| word != value);
    if !words.is_empty() && odd {
        words.push(value.to_owned());
    }
    words
}

/// What may be typed, where it is found, what is taken when it is empty.
fn hint(field: &Field) -> String {
    let mut parts = Vec::new();
    if let Need::Required(found) = field.need {
        parts.push(found.to_owned());
    }
    match field.form {
        Form::Quantity(low, high) => parts.push(format!("with its unit, {low} to {high}")),
        Form::Number(low, high) => parts.push(format!("{low} to {high}, no unit")),
        Form::Count(low, high) => parts.push(format!("a whole number, {low} to {high}")),
        _ if !example(field).is_empty() => parts.push(format!("such as {}", example(field))),
        _ => {}
    }
    match field.need {
        Need::Default("", reason) => parts.push(format!("if empty: {reason}")),
        Need::Default(value, reason) => parts.push(format!("if empty: {value} ({reason})")),
        _ => {}
    }
    capital(&parts.join("; ").replace('`', ""))
}

/// What one table of this name is called.
fn called_one(table: &str) -> String {
    match table {
        "compressor.stage" => "stage",
        "compressor.delivery" => "measured delivery",
        "purifier.bed" => "bed",
        "gauge" => "gauge",
        "bank" => "bank",
        "cylinder_kind" => "kind of cylinder",
        "cylinder" => "cylinder",
        other => station::form::table_named(other).map_or(other, |table| table.called),
    }
    .to_owned()
}
