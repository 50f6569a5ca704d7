//! One entry of the ledger as it is stored, and its place in time.

use std::fmt;

use crate::body::{Body, BodyError};
use crate::hash::Hash;

/// A point in time: microseconds since 1970-01-01 00:00 UTC. What day and hour that is in a zone is
/// the caller's to say.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(pub i64);

impl Moment {
    /// Seconds from an earlier moment to this one; negative where it is later.
    pub fn seconds_since(self, earlier: Moment) -> f64 {
        (self.0 - earlier.0) as f64 * 1e-6
    }
}

/// An entry as stored: nothing in it is ever changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number, from 1, without gaps.
    pub seq: u64,
    /// When it was written, by the clock of the machine that wrote it.
    pub recorded: Moment,
    /// When it happened, as its author says; else the time it was written.
    pub happened: Moment,
    /// The station's time zone, an IANA name such as `Europe/Dublin`.
    pub zone: String,
    /// Who made it.
    pub author: String,
    /// Its kind, as stored.
    pub kind: String,
    /// The version of its body's form.
    pub version: u32,
    /// The body, JSON exactly as written.
    pub text: String,
    /// The hash of the entry before.
    pub prev: Hash,
    /// Its own hash.
    pub hash: Hash,
}

impl Entry {
    /// The body, read. Older versions come out in today's form.
    ///
    /// # Errors
    /// A kind or version this program does not know, or a body that does not read.
    pub fn body(&self) -> Result<Body, BodyError> {
        Body::read(&self.kind, self.version, &self.text)
    }

    /// The hash its fields give; it is whole where this is [`Entry::hash`].
    pub fn computed_hash(&self) -> Hash {
        Hash::of(&[
            self.seq.to_string().as_bytes(),
            self.recorded.0.to_string().as_bytes(),
            self.happened.0.to_string().as_bytes(),
            self.zone.as_bytes(),
            self.author.as_bytes(),
            self.kind.as_bytes(),
            self.version.to_string().as_bytes(),
            self.text.as_bytes(),
            &self.prev.0,
        ])
    }
}

impl fmt::Display for Entry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "entry {} ({})", self.seq, self.kind)
    }
}
