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
    let [one, other, third] = connections(path, connect)?;
    let form = match schema::form(&one) {
        Ok(form) => form,
        Err(BookError::Damaged(what)) => {
            report.unreadable(&what);
            return Ok(report);
        }
        Err(other) => return Err(other),
    };
    identify(path, &one, form)?;
    report.guards(form, guard::amiss(&one));
    let (last, ever) = highest(&one);
    let (all, pages, keys) = look(
        [one, other, third],
        Extent { last, ever, form },
        seal,
        progress,
    );
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

/// Three connections that see the same entries, though somebody may be writing.
fn connections(path: &Path, connect: Connect<'_>) -> Result<[Connection; 3], BookError> {
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
    loop {
        let (one, other, third) = (open()?, open()?, open()?);
        if one.1 == other.1 && other.1 == third.1 {
            return Ok([one.0, other.0, third.0]);
        }
    }
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

/// Reads it all, in three threads.
fn look(
    conns: [Connection; 3],
    extent: Extent,
    seal: Option<(u64, Hash)>,
    progress: &mut dyn FnMut(Progress),
) -> (Vec<Walk>, Pages, Option<Keys>) {
    let keys = (extent.form == schema::FORM).then(Keys::default);
    let total = extent.last.unwrap_or(0);
    let end = total.max(extent.ever.unwrap_or(0));
    let most = i64::MAX.unsigned_abs();
    let shares = match total < WORTH_SHARING {
        true => vec![(1, most)],
        false => vec![(1, total / 2), (total / 2 + 1, most)],
    };
    let [one, other, third] = conns;
    thread::scope(|scope| {
        let (tell, told) = channel();
        let mut running: Vec<ScopedJoinHandle<'_, Walk>> = Vec::new();
        for (conn, (from, to)) in [one, other].into_iter().zip(shares) {
            let stretch = Stretch {
                from,
                to,
                end,
                sealed: seal.map(|(seq, _)| seq),
            };
            let (tell, keys) = (tell.clone(), keys.as_ref());
            running.push(scope.spawn(move || walk::walk(&conn, stretch, keys, &tell)));
        }
        drop(tell);
        let about = keys.as_ref();
        let pages = scope.spawn(move || pages::look(&third, about));
        follow(&told, total, progress);
        let walks = running.into_iter().filter_map(|walk| walk.join().ok());
        let walks = walks.collect();
        let pages = pages.join().unwrap_or_else(|_| Pages::failed());
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
