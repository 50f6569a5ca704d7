//! The book: records that lose nothing and can be shown to be whole.
//!
//! A book is one SQLite file. Its heart is a ledger: numbered [`Entry`]s, each with the time, an
//! author, a kind, a versioned body and the hash of the entry before it. Nothing in it is ever
//! changed; a correction is a new entry that names the old one. What pages show is drawn from the
//! ledger and can be drawn again.
//!
//! Start at [`Pen`], which begins a book or opens one for writing, and [`Book`], which reads.
//! [`Body`] is everything that can be entered. [`verify`] tells whether a book is whole.
//! Not here: any physics, any station, the clock, time zones, printing. Time is an argument.
//! Invariants: this is the only crate that speaks SQL; one process writes; an entry is
//! acknowledged only once it is on the disk.

mod append;
mod backup;
pub mod body;
mod book;
mod entry;
mod error;
mod file;
mod guard;
mod hash;
mod lock;
mod measure;
mod project;
mod query;
mod redraw;
mod schema;
mod transfer;
mod verify;
mod wal;

pub use append::{Draft, Written};
pub use backup::backup;
pub use body::{Body, Kind};
pub use book::{Book, Pen};
pub use entry::{Entry, Moment};
pub use error::BookError;
pub use hash::Hash;
pub use measure::{Amount, Measure};
pub use query::{Event, Subject, Wanted};
pub use transfer::{LineError, TransferError, export, extend, restore};
pub use verify::{BadEntry, Part, Problem, Progress, Report, Verdict, verify};
