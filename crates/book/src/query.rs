//! Reading: entries as they were written, and events as they count today.
//!
//! Start at [`Book::events`]. An [`Entry`] is history and never changes; an [`Event`] is what it
//! says after all corrections.

use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, Row, params_from_iter};

use crate::append::{COLUMNS, entry_of, last};
use crate::body::{Body, BodyError, Kind};
use crate::book::Book;
use crate::entry::{Entry, Moment};
use crate::error::BookError;
use crate::hash::Hash;

/// Whom or what an event is about.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Subject {
    /// A cylinder, by its name here.
    Cylinder(String),
    /// A person, by name.
    Person(String),
    /// A part of the machine, by its key.
    Part(String),
}

impl Subject {
    /// As it stands in the file.
    pub(crate) fn key(&self) -> (&'static str, &str) {
        match self {
            Subject::Cylinder(name) => ("cylinder", name),
            Subject::Person(name) => ("person", name),
            Subject::Part(name) => ("part", name),
        }
    }
}

/// What an entry says today, after all corrections.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Number of the entry that told it first.
    pub seq: u64,
    /// Number of the entry whose body counts: the same, or its last correction.
    pub carrier: u64,
    /// When it happened.
    pub happened: Moment,
    /// When it was first written down.
    pub recorded: Moment,
    /// The station's time zone then.
    pub zone: String,
    /// Who told it first.
    pub author: String,
    /// Its kind, as stored.
    pub kind: String,
    /// Taken back by a correction: it did not happen.
    pub withdrawn: bool,
    /// What it says; an error where this program cannot read it.
    pub body: Result<Body, BodyError>,
}

/// Which events are wanted, in the order of time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wanted<'a> {
    /// Only of these kinds; empty: all.
    pub kinds: &'a [Kind],
    /// Only about this.
    pub about: Option<&'a Subject>,
    /// Not before.
    pub from: Option<Moment>,
    /// Before this.
    pub until: Option<Moment>,
    /// Those taken back too.
    pub withdrawn: bool,
    /// The latest so many, still in the order of time; none: all.
    pub latest: Option<usize>,
}

impl Book {
    /// The number and hash of the last entry: the seal of the whole book.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn head(&self) -> Result<Option<(u64, Hash)>, BookError> {
        Ok(last(&self.conn)?.map(|entry| (entry.seq, entry.hash)))
    }

    /// When the last entry was written.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn last_recorded(&self) -> Result<Option<Moment>, BookError> {
        Ok(last(&self.conn)?.map(|entry| entry.recorded))
    }

    /// One entry as it was written.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn entry(&self, seq: u64) -> Result<Option<Entry>, BookError> {
        entry(&self.conn, seq)
    }

    /// Every entry from this number on, as written, one by one; stops where `take` says false.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn each_entry(
        &self,
        from: u64,
        mut take: impl FnMut(Entry) -> bool,
    ) -> Result<(), BookError> {
        let select = format!("SELECT {COLUMNS} FROM entry WHERE seq >= ?1 ORDER BY seq");
        let mut statement = self.conn.prepare_cached(&select)?;
        let mut rows = statement.query([from])?;
        while let Some(row) = rows.next()? {
            if !take(entry_of(row)?) {
                break;
            }
        }
        Ok(())
    }

    /// One event as it counts today; none where there is no such entry, or it is a correction.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn event(&self, seq: u64) -> Result<Option<Event>, BookError> {
        event(&self.conn, seq)
    }

    /// Events as they count today, in the order of time.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn events(&self, wanted: &Wanted<'_>) -> Result<Vec<Event>, BookError> {
        let (select, values) = wanted.statement();
        let mut statement = self.conn.prepare_cached(&select)?;
        let rows = statement.query_map(params_from_iter(values), event_of)?;
        let mut events: Vec<Event> = rows.collect::<Result<_, _>>()?;
        events.reverse();
        Ok(events)
    }

    /// The latest event of a kind before a moment; none for "ever".
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn latest(&self, kind: Kind, before: Option<Moment>) -> Result<Option<Event>, BookError> {
        let wanted = Wanted {
            kinds: &[kind],
            until: before,
            latest: Some(1),
            ..Wanted::default()
        };
        Ok(self.events(&wanted)?.pop())
    }

    /// The earliest event of a kind from a moment on.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn next(&self, kind: Kind, from: Moment) -> Result<Option<Event>, BookError> {
        self.first_beyond(kind, from, 0)
    }

    /// The first event of a kind that follows an event, be it in the same moment.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn following(&self, kind: Kind, event: &Event) -> Result<Option<Event>, BookError> {
        self.first_beyond(kind, event.happened, event.seq)
    }

    fn first_beyond(&self, kind: Kind, at: Moment, seq: u64) -> Result<Option<Event>, BookError> {
        let select = format!(
            "{SELECT} WHERE e.kind = ?1 AND (e.happened, e.seq) > (?2, ?3) AND e.withdrawn = 0
             ORDER BY e.happened, e.seq LIMIT 1"
        );
        let mut statement = self.conn.prepare_cached(&select)?;
        let row = statement.query_row((kind.name(), at.0, seq), event_of);
        Ok(row.optional()?)
    }

    /// Events of kinds this program does not know: a later one wrote them.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn of_unknown_kinds(&self) -> Result<Vec<Event>, BookError> {
        // Skips from kind to kind, however many events each has.
        let mut kinds = self.conn.prepare_cached(
            "WITH RECURSIVE kinds(kind) AS (
                 SELECT (SELECT min(kind) FROM event)
                 UNION ALL
                 SELECT (SELECT min(kind) FROM event WHERE kind > kinds.kind)
                 FROM kinds WHERE kinds.kind IS NOT NULL)
             SELECT kind FROM kinds WHERE kind IS NOT NULL",
        )?;
        let kinds: Vec<String> = kinds
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let select = format!("{SELECT} WHERE e.kind = ?1 AND e.withdrawn = 0 ORDER BY e.seq");
        let mut statement = self.conn.prepare_cached(&select)?;
        let mut events = Vec::new();
        for kind in kinds.iter().filter(|kind| Kind::named(kind).is_none()) {
            for event in statement.query_map([kind], event_of)? {
                events.push(event?);
            }
        }
        Ok(events)
    }

    /// Corrections of an entry, in the order they were written.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn corrections(&self, of: u64) -> Result<Vec<Entry>, BookError> {
        let select = format!(
            "SELECT {COLUMNS} FROM entry WHERE kind = 'correction' AND seq > ?1
             AND json_extract(body, '$.of') = ?1 ORDER BY seq"
        );
        // An event that was never corrected needs no search through the ledger.
        let uncorrected = self.event(of)?.is_none_or(|e| e.carrier == e.seq);
        if uncorrected {
            return Ok(Vec::new());
        }
        let mut statement = self.conn.prepare_cached(&select)?;
        let rows = statement.query_map([of], entry_of)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Names of all subjects of one sort, sorted: every cylinder, person or part there ever was.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn names(&self, like: &Subject) -> Result<Vec<String>, BookError> {
        // Skips from name to name, however many events each has.
        let mut statement = self.conn.prepare_cached(
            "WITH RECURSIVE names(name) AS (
                 SELECT (SELECT min(name) FROM about WHERE subject = ?1)
                 UNION ALL
                 SELECT (SELECT min(name) FROM about WHERE subject = ?1 AND name > names.name)
                 FROM names WHERE names.name IS NOT NULL)
             SELECT name FROM names WHERE name IS NOT NULL",
        )?;
        let rows = statement.query_map([like.key().0], |row| row.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Entries whose clock stood behind the entry before: number, and how far, in seconds.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn clock_went_back(&self) -> Result<Vec<(u64, f64)>, BookError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT b.seq, a.recorded - b.recorded FROM entry b JOIN entry a ON a.seq = b.seq - 1
             WHERE b.recorded < a.recorded ORDER BY b.seq",
        )?;
        let rows = statement.query_map([], |row| {
            let behind: i64 = row.get(1)?;
            Ok((row.get(0)?, behind as f64 * 1e-6))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

/// One entry as it was written.
pub(crate) fn entry(conn: &Connection, seq: u64) -> Result<Option<Entry>, BookError> {
    let select = format!("SELECT {COLUMNS} FROM entry WHERE seq = ?1");
    let mut statement = conn.prepare_cached(&select)?;
    Ok(statement.query_row([seq], entry_of).optional()?)
}

/// One event as it counts today.
pub(crate) fn event(conn: &Connection, seq: u64) -> Result<Option<Event>, BookError> {
    let select = format!("{SELECT} WHERE e.seq = ?1");
    let mut statement = conn.prepare_cached(&select)?;
    Ok(statement.query_row([seq], event_of).optional()?)
}

/// An event, its first entry `o` and the entry `c` whose body counts.
const SELECT: &str = "SELECT e.seq, e.carrier, e.happened, o.recorded, o.zone, o.author, e.kind,
    e.withdrawn, o.version, o.body, c.body
    FROM event e JOIN entry o ON o.seq = e.seq JOIN entry c ON c.seq = e.carrier";

fn event_of(row: &Row<'_>) -> rusqlite::Result<Event> {
    let (seq, carrier): (u64, u64) = (row.get(0)?, row.get(1)?);
    let kind: String = row.get(6)?;
    let withdrawn: bool = row.get(7)?;
    let own: String = row.get(9)?;
    let carried: String = row.get(10)?;
    let body = match carrier == seq || withdrawn {
        true => Body::read(&kind, row.get(8)?, &own),
        false => corrected(&carried),
    };
    Ok(Event {
        seq,
        carrier,
        happened: Moment(row.get(2)?),
        recorded: Moment(row.get(3)?),
        zone: row.get(4)?,
        author: row.get(5)?,
        kind,
        withdrawn,
        body,
    })
}

/// What a correction says the entry should have said.
pub(crate) fn corrected(text: &str) -> Result<Body, BodyError> {
    let kind = Kind::Correction;
    let Body::Correction(correction) = Body::read(kind.name(), kind.version(), text)? else {
        return Err(BodyError::Damaged("a correction was expected".into()));
    };
    match correction.becomes {
        Some(becomes) => becomes.entry.unpack(),
        None => Err(BodyError::Damaged("it was withdrawn".into())),
    }
}

impl Wanted<'_> {
    /// The statement, latest first, and its values.
    fn statement(&self) -> (String, Vec<Value>) {
        let mut select = SELECT.to_owned();
        let mut values: Vec<Value> = Vec::new();
        let time = match self.about {
            Some(about) => {
                let (subject, name) = about.key();
                values.extend([
                    Value::from(subject.to_owned()),
                    Value::from(name.to_owned()),
                ]);
                select += " JOIN about a ON a.seq = e.seq WHERE a.subject = ? AND a.name = ?";
                "a.happened"
            }
            None => {
                select += " WHERE 1";
                "e.happened"
            }
        };
        if !self.kinds.is_empty() {
            let marks = vec!["?"; self.kinds.len()].join(", ");
            select += &format!(" AND e.kind IN ({marks})");
            values.extend(self.kinds.iter().map(|k| Value::from(k.name().to_owned())));
        }
        for (moment, sign) in [(self.from, ">="), (self.until, "<")] {
            if let Some(moment) = moment {
                select += &format!(" AND {time} {sign} ?");
                values.push(Value::from(moment.0));
            }
        }
        if !self.withdrawn {
            select += " AND e.withdrawn = 0";
        }
        let order = match self.about {
            Some(_) => "a.happened DESC, a.seq DESC",
            None => "e.happened DESC, e.seq DESC",
        };
        select += &format!(" ORDER BY {order}");
        if let Some(most) = self.latest {
            select += " LIMIT ?";
            values.push(Value::from(i64::try_from(most).unwrap_or(i64::MAX)));
        }
        (select, values)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema;

    /// How SQLite goes about it, step by step.
    fn plan(wanted: &Wanted<'_>) -> Vec<String> {
        let mut conn = Connection::open_in_memory().unwrap();
        schema::migrate(&mut conn).unwrap();
        let (select, values) = wanted.statement();
        let mut statement = conn
            .prepare(&format!("EXPLAIN QUERY PLAN {select}"))
            .unwrap();
        let rows = statement.query_map(params_from_iter(values), |row| row.get(3));
        rows.unwrap().collect::<Result<_, _>>().unwrap()
    }

    #[test]
    fn the_usual_questions_go_by_an_index() {
        let cylinder = Subject::Cylinder("A1".into());
        let all = Wanted::default();
        let cylinder = Wanted {
            about: Some(&cylinder),
            ..all.clone()
        };
        let time = Wanted {
            from: Some(Moment(5)),
            until: Some(Moment(9)),
            ..all.clone()
        };
        let kind = Wanted {
            kinds: &[Kind::Fill],
            ..all.clone()
        };
        let kinds = Wanted {
            kinds: &[Kind::RunStarted, Kind::RunStopped],
            ..time.clone()
        };
        let latest = Wanted {
            latest: Some(1),
            until: Some(Moment(9)),
            ..kind.clone()
        };
        let cylinder_in_time = Wanted {
            from: Some(Moment(5)),
            kinds: &[Kind::Fill],
            ..cylinder.clone()
        };
        for (wanted, first) in [
            (&all, "SCAN e USING INDEX event_by_time"),
            (
                &time,
                "SEARCH e USING INDEX event_by_time (happened>? AND happened<?)",
            ),
            (&kind, "SEARCH e USING INDEX event_by_kind (kind=?)"),
            (
                &kinds,
                "SEARCH e USING INDEX event_by_kind (kind=? AND happened>? AND happened<?)",
            ),
            (
                &latest,
                "SEARCH e USING INDEX event_by_kind (kind=? AND happened<?)",
            ),
            (
                &cylinder,
                "SEARCH a USING PRIMARY KEY (subject=? AND name=?)",
            ),
            (
                &cylinder_in_time,
                "SEARCH a USING PRIMARY KEY (subject=? AND name=? AND happened>?)",
            ),
        ] {
            let plan = plan(wanted);
            assert_eq!(plan[0], first, "{wanted:?}: {plan:#?}");
            let others = plan
                .iter()
                .skip(1)
                .filter(|step| !step.contains("TEMP B-TREE"));
            for step in others {
                assert!(
                    step.contains("INTEGER PRIMARY KEY"),
                    "{wanted:?}: {plan:#?}"
                );
            }
            // Several kinds are put in order once they are found; everything else comes in order.
            let sorts = plan.iter().any(|step| step.contains("TEMP B-TREE"));
            assert_eq!(sorts, wanted.kinds.len() > 1, "{wanted:?}: {plan:#?}");
        }
    }
}
