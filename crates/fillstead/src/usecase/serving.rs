//! What a server is told before it starts.

use std::path::PathBuf;

/// What is served, and to whom.
#[derive(Clone, Debug)]
pub struct Serving {
    /// The book.
    pub book: PathBuf,
    /// The port to listen on; 0 lets the system choose.
    pub port: u16,
    /// Throw-away demonstration data.
    pub demonstration: bool,
}
