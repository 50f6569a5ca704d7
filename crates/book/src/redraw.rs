//! Drawing anew in a file that may be damaged.
//!
//! Emptying a table whose pages are damaged can set free pages of another: of the ledger. So the
//! pages are looked through first, and damaged ones are left behind, never followed.

use rusqlite::{Connection, TransactionBehavior};

use crate::error::BookError;
use crate::verify::pages::{self, Pages};
use crate::{project, schema};

/// Refuses a file with damaged pages.
pub(crate) fn check(conn: &Connection) -> Result<(), BookError> {
    let pages = pages::look(conn, None);
    match pages.faults.first() {
        None => Ok(()),
        Some(fault) => Err(BookError::Damaged(fault.clone())),
    }
}

/// Draws what is read from the ledger.
pub(crate) fn redraw(conn: &mut Connection) -> Result<(), BookError> {
    let Pages {
        faults,
        of_drawn_only,
        ..
    } = pages::look(conn, None);
    match faults.into_iter().next() {
        None => in_place(conn),
        Some(_) if of_drawn_only => on_new_pages(conn),
        Some(fault) => Err(BookError::Damaged(fault)),
    }
}

fn in_place(conn: &mut Connection) -> Result<(), BookError> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    project::rebuild(&tx)?;
    Ok(tx.commit()?)
}

/// Forgets the old tables without touching their pages, then leaves those pages behind.
fn on_new_pages(conn: &mut Connection) -> Result<(), BookError> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    tx.pragma_update(None, "writable_schema", true)?;
    let forgotten = tx.execute(
        "DELETE FROM sqlite_schema WHERE tbl_name IN ('event', 'about')",
        [],
    );
    tx.pragma_update(None, "writable_schema", "RESET")?;
    forgotten?;
    tx.execute_batch(schema::DRAWN)?;
    project::rebuild(&tx)?;
    tx.commit()?;
    Ok(conn.execute_batch("VACUUM")?)
}
