//! Whether a book is whole: the file, its log, its guards, every entry, and what is drawn from them.
//!
//! Start at [`verify`]. It goes on behind whatever it finds, and tells the first bad entry, how many
//! are good before it, and what can be done.
//! Not here: mending. What is drawn is drawn again by [`Pen::redraw`](crate::Pen::redraw); entries
//! that are gone come from a backup.
//! Cannot tell: a chain written anew from some entry on by somebody who knows how, or one whose end
//! was cut off together with the highest number. A seal noted elsewhere (number and hash, as on a
//! printed sheet) tells both: pass it in.

pub(crate) mod drawn;
mod judge;
pub(crate) mod pages;
mod report;
mod walk;

use std::path::Path;
use std::sync::mpsc::{Receiver, channel};
use std::thread::{self, ScopedJoinHandle};

use rusqlite::{Connection, OpenFlags};

pub use report::{BadEntry, Part, Problem, Progress, Report, Verdict};

use crate::book::{connect_to_read, connect_unchanging};
use crate::error::BookError;
use crate::hash::Hash;
use crate::{append, file, guard, schema};
use drawn::Keys;
use pages::Pages;
use walk::{Stretch, Walk};

/// Tries so often to open a book three times between two entries.
const TRIES: u32 = 20;
/// Below so many entries one thread reads them all.
const WORTH_SHARING: u64 = 2_000;

/// Checks everything there is to check. `seal` is a number and a hash that somebody noted from this
/// book elsewhere; `progress` is called now and then with the number of entries done.
///
/// # Errors
/// There is no book to check: no such file, something else, or a book of a later program; or it is
/// locked. Whatever is wrong *with* a book is in the report.
pub fn verify(
    path: &Path,
    seal: Option<(u64, Hash)>,
    progress: &mut dyn FnMut(Progress),
) -> Result<Report, BookError> {
    examine(path, &connect_to_read, seal, progress)
}

/// The same of a file that nobody else knows yet.
pub(crate) fn verify_unpublished(path: &Path) -> Result<Report, BookError> {
    examine(path, &connect_unchanging, None, &mut |_| {})
}

type Connect<'a> = &'a dyn Fn(&Path) -> Result<Connection, BookError>;

fn examine(
    path: &Path,
    connect: Connect<'_>,
    seal: Option<(u64, Hash)>,
    progress: &mut dyn FnMut(Progress),
) -> Result<Report, BookError> {
    let mut report = Report::default();
    if let Some(what) = file::damage(path)? {
        report.problem(Part::File, what);
    }
    let conns = connections(path, connect)?;
    let Some(one) = conns.first() else {
        return Err(BookError::Locked);
    };
    let form = match schema::form(one) {
        Ok(form) => form,
        Err(BookError::Damaged(what)) => {
            report.unreadable(&what);
            return Ok(report);
        }
        Err(other) => return Err(other),
    };
    identify(path, one, form)?;
    report.guards(form, guard::amiss(one));
    let (last, ever) = highest(one);
    let extent = Extent { last, ever, form };
    let (all, pages, keys) = look(conns, extent, seal, progress);
    report.entries(all, ever, seal, keys.as_ref(), &pages);
    report.pages(pages);
    Ok(report)
}

/// Refuses what is no book, or one of a later program.
fn identify(path: &Path, conn: &Connection, form: i64) -> Result<(), BookError> {
    let known = schema::FORM;
    match schema::is_book(conn)? {
        true if form > known => Err(BookError::Newer { found: form, known }),
        true => Ok(()),
        false if form == 0 => Err(BookError::Unfinished(path.to_owned())),
        false => Err(BookError::NotABook(path.to_owned())),
    }
}

/// Three connections that see the same entries; one, where somebody writes so much that they do not.
fn connections(path: &Path, connect: Connect<'_>) -> Result<Vec<Connection>, BookError> {
    let open = || -> Result<(Connection, Highest), BookError> {
        let conn = match connect(path) {
            // The list of tables does not read: SQLite is asked again below, told to go on.
            Err(BookError::Damaged(_)) => {
                let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
                Connection::open_with_flags(path, flags)?
            }
            other => other?,
        };
        // On a connection that only reads this means: go on with a file that is too short.
        let _ = conn.pragma_update(None, "writable_schema", true);
        conn.execute_batch("BEGIN")?;
        let seen = highest(&conn);
        Ok((conn, seen))
    };
    for _ in 0..TRIES {
        let (one, other, third) = (open()?, open()?, open()?);
        if one.1 == other.1 && other.1 == third.1 {
            return Ok(vec![one.0, other.0, third.0]);
        }
    }
    Ok(vec![open()?.0])
}

/// The highest number there is, and the highest ever given, as far as they read.
type Highest = (Option<u64>, Option<u64>);

fn highest(conn: &Connection) -> Highest {
    let last = conn.query_row("SELECT max(seq) FROM entry", [], |row| row.get(0));
    (last.ok().flatten(), append::highest_ever(conn).ok())
}

#[derive(Clone, Copy)]
struct Extent {
    last: Option<u64>,
    ever: Option<u64>,
    form: i64,
}

/// Reads it all: in three threads, or in one after the other on one connection.
fn look(
    mut conns: Vec<Connection>,
    extent: Extent,
    seal: Option<(u64, Hash)>,
    progress: &mut dyn FnMut(Progress),
) -> (Vec<Walk>, Pages, Option<Keys>) {
    let keys = (extent.form == schema::FORM).then(Keys::default);
    let total = extent.last.unwrap_or(0);
    let stretch = |from, to| Stretch {
        from,
        to,
        end: total.max(extent.ever.unwrap_or(0)),
        sealed: seal.map(|(seq, _)| seq),
    };
    let most = i64::MAX.unsigned_abs();
    let stretches = match total < WORTH_SHARING || conns.len() < 3 {
        true => vec![stretch(1, most)],
        false => vec![stretch(1, total / 2), stretch(total / 2 + 1, most)],
    };
    let for_pages = if conns.len() > 1 { conns.pop() } else { None };
    thread::scope(|scope| {
        let (tell, told) = channel();
        let known = keys.as_ref();
        let pages = for_pages.map(|conn| scope.spawn(move || pages::look(&conn, known)));
        let mut running: Vec<ScopedJoinHandle<'_, (Walk, Connection)>> = Vec::new();
        for (conn, stretch) in conns.into_iter().zip(stretches) {
            let tell = tell.clone();
            running.push(scope.spawn(move || (walk::walk(&conn, stretch, known, &tell), conn)));
        }
        drop(tell);
        follow(&told, total, progress);
        let (mut walks, mut last) = (Vec::new(), None);
        for walk in running {
            match walk.join() {
                Ok((walk, conn)) => {
                    walks.push(walk);
                    last = Some(conn);
                }
                Err(_) => walks.push(Walk::broken_off()),
            }
        }
        let pages = match (pages, last) {
            (Some(pages), _) => pages.join().unwrap_or_else(|_| Pages::broken_off()),
            (None, Some(conn)) => pages::look(&conn, known),
            (None, None) => Pages::broken_off(),
        };
        (walks, pages, keys.clone())
    })
}

fn follow(told: &Receiver<u64>, total: u64, progress: &mut dyn FnMut(Progress)) {
    let mut done = 0;
    while let Ok(more) = told.recv() {
        done += more;
        progress(Progress { done, total });
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::body::Note;
    use crate::{Draft, Moment, Pen, lock};

    /// As when somebody writes too much for three connections to see the same.
    #[test]
    fn one_connection_is_enough() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/tmp");
        fs::create_dir_all(&path).unwrap();
        let path = path.join("one_connection.book");
        for tail in ["", "-wal", "-shm", "-writer"] {
            let _ = fs::remove_file(lock::beside(&path, tail));
        }
        let draft = |text: &str| Draft {
            recorded: Moment(0),
            happened: Moment(0),
            zone: "UTC".into(),
            author: "MK".into(),
            body: Note {
                text: text.into(),
                cylinder: Some("A1".into()),
            }
            .into(),
        };
        let mut pen = Pen::begin(&path, "a test", &draft("first")).unwrap();
        let drafts: Vec<Draft> = (0..2_500).map(|n| draft(&format!("note {n}"))).collect();
        pen.append_all(&drafts).unwrap();
        drop(pen);
        let conn = connect_to_read(&path).unwrap();
        let (last, ever) = highest(&conn);
        let form = schema::FORM;
        let extent = Extent { last, ever, form };
        let (walks, pages, keys) = look(vec![conn], extent, None, &mut |_| {});
        let mut report = Report::default();
        report.entries(walks, ever, None, keys.as_ref(), &pages);
        report.pages(pages);
        assert!(report.is_whole(), "{:?}", report.problems);
        assert_eq!((report.entries, report.good), (2_501, 2_501));
    }
}
