//! Taking records out of the book, as CSV for spreadsheets or as lines of JSON.
//!
//! `entries` as lines of JSON is the ledger itself, byte for byte; everything else is what counts
//! today, after corrections. Start at [`export`]. Not here: runs and readings
//! ([`super::machine`]), the text of tables ([`super::tables`]).

use std::collections::BTreeMap;
use std::path::Path;

use book::body::Check;
use book::{Body, Book, Entry, Event, Kind, Moment, Wanted};
use serde_json::{Value, json};

use super::cylinders::register;
use super::entries;
use super::tables::{OF_CYLINDERS, OF_FILLS, Table, cells_of, columns_of};
use crate::usecase::Trouble;
use crate::usecase::book::form::Form;
use crate::usecase::book::list::{period, title};
use crate::usecase::book::{desk, words};
use crate::usecase::clock::Zone;
use crate::usecase::near::meant;

/// What can be taken out.
const WHAT: [&str; 5] = ["entries", "cylinders", "fills", "runs", "readings"];
/// How it is written.
const FORMATS: [&str; 2] = ["csv", "jsonl"];

/// What is asked, as typed.
#[derive(Clone, Debug, Default)]
pub struct Asked<'a> {
    /// What to take out; entries where nothing is said.
    pub what: Option<&'a str>,
    /// How; the lossless lines for entries, CSV for the rest, where nothing is said.
    pub format: Option<&'a str>,
    /// From this day on.
    pub from: Option<&'a str>,
    /// To the end of this day.
    pub to: Option<&'a str>,
    /// A mark of UTF-8 in front, for spreadsheets that need one.
    pub bom: bool,
}

/// A book open to be taken out.
pub(super) struct Source {
    book: Book,
    pub(super) zone: Zone,
    from: Option<Moment>,
    until: Option<Moment>,
    invented: bool,
}

/// The text of what is asked.
pub fn export(path: &Path, asked: &Asked<'_>) -> Result<String, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let what = chosen("what", asked.what.unwrap_or("entries"), &WHAT).map_err(one)?;
    let usual = if what == "entries" { "jsonl" } else { "csv" };
    let format = chosen("format", asked.format.unwrap_or(usual), &FORMATS).map_err(one)?;
    if asked.bom && format == "jsonl" {
        let trouble = Trouble::new(
            "lines of JSON have no mark in front",
            "leave it out, or choose csv",
        );
        return Err(one(trouble.about("bom")));
    }
    let limited = asked.from.or(asked.to).is_some();
    if limited && what == "entries" && format == "jsonl" {
        let what = "the ledger is taken out whole: each entry seals the one before";
        let remedy = "leave --from and --to out, or choose --format csv";
        return Err(one(Trouble::new(what, remedy)));
    }
    if limited && what == "cylinders" {
        let remedy = "leave --from and --to out";
        return Err(one(Trouble::new(
            "the register is as it stands today",
            remedy,
        )));
    }
    let book = desk::read(path).map_err(one)?;
    let zone = desk::zone(&book).map_err(one)?;
    let (from, until) = period(asked.from, asked.to, &zone).map_err(one)?;
    let invented = title(&book).map_err(one)?.1;
    let source = Source {
        book,
        zone,
        from,
        until,
        invented,
    };
    let text = match (what, format) {
        ("entries", "jsonl") => entries::lines(&source.book),
        (what, format) => source.table(what).and_then(|table| match format {
            "csv" => table.csv(),
            _ => table.lines(),
        }),
    };
    let mark = if asked.bom { "\u{feff}" } else { "" };
    Ok(mark.to_owned() + &text.map_err(one)?)
}

fn chosen<'k>(field: &'static str, name: &str, known: &[&'k str]) -> Result<&'k str, Trouble> {
    known
        .iter()
        .find(|known| **known == name)
        .copied()
        .ok_or_else(|| {
            let what = format!("\"{name}\" is not taken out");
            Trouble::new(what, meant(name, known)).about(field)
        })
}

impl Source {
    fn table(&self, what: &str) -> Result<Table, Trouble> {
        match what {
            "cylinders" => self.cylinders(),
            "fills" => self.fills(),
            "runs" => self.runs(),
            "readings" => self.readings(),
            _ => self.entries(),
        }
    }

    pub(super) fn events(&self, kinds: &[Kind]) -> Result<Vec<Event>, Trouble> {
        let (from, until) = (self.from, self.until);
        Ok(self.book.events(&Wanted {
            kinds,
            from,
            until,
            ..Wanted::default()
        })?)
    }

    /// Demonstration data says so in every row.
    pub(super) fn mark(&self) -> Value {
        if self.invented {
            json!("yes")
        } else {
            Value::Null
        }
    }

    fn cylinders(&self) -> Result<Table, Trouble> {
        let form = Form::named("cylinder")?;
        let examined = self.examined()?;
        let mut table = Table {
            columns: columns_of(form),
            rows: Vec::new(),
        };
        table.columns.extend(OF_CYLINDERS.map(str::to_owned));
        for (name, known) in register(&self.book)? {
            let (Some(body), false) = (known.body, known.left) else {
                continue;
            };
            let Some(event) = self.book.event(known.seq)? else {
                continue;
            };
            let status = known
                .condemned
                .map_or(Value::Null, |seq| json!(format!("condemned (entry {seq})")));
            let last = |check| {
                examined
                    .get(&(name.clone(), check_name(check)))
                    .map_or(Value::Null, |on| json!(on))
            };
            let mut row = cells_of(form, &body.into());
            row.extend([
                json!(known.seq),
                json!(self.zone.exact(event.happened)),
                json!(event.author),
                status,
                last(Check::Test),
                last(Check::Visual),
                last(Check::EddyCurrent),
                self.mark(),
            ]);
            table.rows.push(row);
        }
        Ok(table)
    }

    /// The last examination of each kind that was passed.
    fn examined(&self) -> Result<BTreeMap<(String, &'static str), String>, Trouble> {
        let mut last: BTreeMap<(String, &str), String> = BTreeMap::new();
        for event in self.events(&[Kind::CylinderInspected])? {
            let Ok(Body::CylinderInspected(body)) = event.body else {
                continue;
            };
            if body.passed {
                let on = last
                    .entry((body.cylinder, check_name(body.check)))
                    .or_default();
                *on = body.on.max(on.clone());
            }
        }
        Ok(last)
    }

    fn fills(&self) -> Result<Table, Trouble> {
        let form = Form::named("fill")?;
        let [before, after] = OF_FILLS.map(|names| names.iter().map(|name| (*name).to_owned()));
        let columns = before.chain(columns_of(form)).chain(after).collect();
        let mut table = Table {
            columns,
            rows: Vec::new(),
        };
        for event in self.events(&[Kind::Fill])? {
            let Ok(body @ Body::Fill(fill)) = &event.body else {
                continue;
            };
            let gate = fill.gate.as_ref();
            let joined = |texts: Vec<String>| match texts.is_empty() {
                true => Value::Null,
                false => json!(texts.join("; ")),
            };
            let overridden = gate.map(|gate| gate.overridden.iter());
            let overridden = overridden.into_iter().flatten();
            let against = gate.map(|gate| gate.against.iter()).into_iter().flatten();
            let mut row = vec![json!(self.zone.exact(event.happened)), json!(event.author)];
            row.extend(cells_of(form, body));
            row.extend([
                json!(event.seq),
                gate.map_or(Value::Null, |gate| json!(gate.rule)),
                gate.map_or(Value::Null, |gate| json!(gate.verdict)),
                joined(
                    overridden
                        .map(|o| format!("{} by {}: {}", o.refusal, o.by, o.reason))
                        .collect(),
                ),
                joined(against.map(|refusal| refusal.what.clone()).collect()),
                corrected_by(&event),
                self.mark(),
            ]);
            table.rows.push(row);
        }
        Ok(table)
    }

    /// Every entry as it was written, with what it says in a line.
    fn entries(&self) -> Result<Table, Trouble> {
        let columns = OF_ENTRIES.map(str::to_owned).to_vec();
        let mut table = Table {
            columns,
            rows: Vec::new(),
        };
        let within = |entry: &Entry| {
            let (from, until) = (self.from, self.until);
            from.is_none_or(|from| entry.happened >= from)
                && until.is_none_or(|until| entry.happened < until)
        };
        self.book.each_entry(1, |entry| {
            if within(&entry) {
                let own = Zone::named(&entry.zone).unwrap_or_else(|_| self.zone.clone());
                let line = entry
                    .body()
                    .map_or_else(|error| error.to_string(), |body| words::of_body(&body));
                table.rows.push(vec![
                    json!(entry.seq),
                    json!(own.exact(entry.recorded)),
                    json!(own.exact(entry.happened)),
                    json!(entry.zone),
                    json!(entry.author),
                    json!(entry.kind),
                    json!(entry.version),
                    json!(line),
                    json!(entry.text),
                    json!(entry.prev.to_string()),
                    json!(entry.hash.to_string()),
                    self.mark(),
                ]);
            }
            true
        })?;
        Ok(table)
    }
}

const OF_ENTRIES: [&str; 12] = [
    "seq", "recorded", "happened", "zone", "author", "kind", "version", "line", "body", "prev",
    "hash", "invented",
];

pub(super) fn corrected_by(event: &Event) -> Value {
    match event.carrier == event.seq {
        true => Value::Null,
        false => json!(event.carrier),
    }
}

fn check_name(check: Check) -> &'static str {
    match check {
        Check::Test => "test",
        Check::Visual => "visual",
        Check::EddyCurrent => "eddy_current",
    }
}
