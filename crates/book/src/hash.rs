//! The hash that chains entries: SHA-256 (FIPS 180-4) over an entry's fields.
//!
//! What is hashed is, for the text `fillstead entry 1` and then each field in order, its length in
//! bytes as eight bytes, least first, then the bytes: number, time written, time it happened (both
//! microseconds since 1970-01-01 UTC, as decimal text), zone, author, kind, version (decimal text),
//! body, and the 32 bytes of the hash before. The first entry's hash before is 32 zero bytes.

use std::fmt;

use sha2::{Digest, Sha256};

/// The hash of one entry, and with it of all before.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Hash(pub [u8; 32]);

impl Hash {
    /// What stands before the first entry.
    pub const NONE: Hash = Hash([0; 32]);

    /// The hash of these fields.
    pub(crate) fn of(fields: &[&[u8]]) -> Hash {
        let length: usize = fields.iter().map(|field| field.len() + 8).sum();
        // Put together first: the digest is quickest over one stretch of bytes.
        let mut bytes = Vec::with_capacity(length + 32);
        for field in std::iter::once(&b"fillstead entry 1".as_slice()).chain(fields) {
            bytes.extend((field.len() as u64).to_le_bytes());
            bytes.extend_from_slice(field);
        }
        Hash(Sha256::digest(&bytes).into())
    }

    /// The first eight bytes in hex: enough to compare by eye.
    pub fn short(&self) -> String {
        self.to_string().chars().take(16).collect()
    }

    /// Reads 64 hex digits.
    pub fn parse(text: &str) -> Option<Hash> {
        if text.len() != 64 || !text.is_ascii() {
            return None;
        }
        let mut bytes = [0; 32];
        for (i, byte) in bytes.iter_mut().enumerate() {
            *byte = u8::from_str_radix(text.get(2 * i..2 * i + 2)?, 16).ok()?;
        }
        Some(Hash(bytes))
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 examples (NIST, SHA-256): the message "abc". It checks the library behind
    /// [`Hash::of`], which adds lengths of its own.
    #[test]
    fn sha_256_of_abc() {
        let digest: [u8; 32] = Sha256::digest(b"abc").into();
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Hash(digest).to_string(), expected);
        assert_eq!(Hash::parse(expected), Some(Hash(digest)));
    }

    #[test]
    fn where_one_field_ends_matters() {
        assert_ne!(Hash::of(&[b"ab", b"c"]), Hash::of(&[b"a", b"bc"]));
        assert_eq!(Hash::parse("zz"), None);
    }
}
