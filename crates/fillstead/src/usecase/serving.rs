//! What a server is told before it starts.

use std::path::PathBuf;

/// What is served, and to whom.
#[derive(Clone, Debug)]
pub struct Serving {
    /// The book.
    pub book: PathBuf,
    /// The station file on the disk that follows what is saved; none: only the book is written.
    pub station: Option<PathBuf>,
    /// The port to listen on; 0 lets the system choose.
    pub port: u16,
    /// Throw-away demonstration data.
    pub demonstration: bool,
}
