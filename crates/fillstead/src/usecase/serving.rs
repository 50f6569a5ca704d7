//! What a server is told before it starts.

use std::path::PathBuf;

use tempfile::TempDir;

/// What is served, and to whom.
#[derive(Debug)]
pub struct Serving {
    /// The book.
    pub book: PathBuf,
    /// The station file on the disk that follows what is saved; none: only the book is written.
    pub station: Option<PathBuf>,
    /// The port to listen on; 0 lets the system choose.
    pub port: u16,
    /// Reached from the network too; people sign in.
    pub lan: bool,
    /// Each request in a line on the standard error.
    pub log: bool,
    /// The folder of throw-away demonstration data, which goes when the server ends.
    pub demonstration: Option<TempDir>,
}
