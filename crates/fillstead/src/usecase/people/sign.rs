//! Signing in and out, and who is signed in.
//!
//! A session is a random 256-bit token in the browser; here only its SHA-256 is kept, so that the
//! file lets nobody in. It ends after 12 hours without use, after 7 days whatever happens, and when
//! the person goes or gets a new PIN.

use std::net::IpAddr;
use std::path::Path;

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::tries::{self, Tries};
use super::{Entry, Role, file, pin, same};
use crate::usecase::Trouble;

/// Without use a session ends after so long, s.
pub const IDLE_S: i64 = 12 * 3600;
/// It ends after so long whatever happens, s.
pub const LONGEST_S: i64 = 7 * 86_400;
/// Use is written down so often, s.
const SEEN_EVERY_S: i64 = 300;
/// Addresses kept as known for each person.
const MOST_KNOWN: usize = 8;
/// Sessions kept; the oldest make room.
const MOST_SESSIONS: usize = 500;

/// Who is signed in, who tried.
#[derive(Default, Serialize, Deserialize)]
pub struct State {
    sessions: Vec<Session>,
    tries: Vec<Tries>,
    known: Vec<Known>,
}

#[derive(Serialize, Deserialize)]
struct Session {
    /// SHA-256 of the token.
    token: String,
    name: String,
    begun: i64,
    seen: i64,
}

/// An address somebody has signed in from.
#[derive(PartialEq, Serialize, Deserialize)]
struct Known {
    name: String,
    from: String,
}

/// Who is signed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedIn {
    /// As entries are signed.
    pub name: String,
    /// What they may do.
    pub role: Role,
}

/// Why somebody is not signed in.
#[derive(Debug, PartialEq)]
pub enum Denied {
    /// Name and PIN do not go together.
    Wrong,
    /// Too many wrong tries: so many seconds to wait.
    Wait(i64),
    /// The files beside the book are at fault.
    Trouble(Trouble),
}

impl From<Trouble> for Denied {
    fn from(trouble: Trouble) -> Denied {
        Denied::Trouble(trouble)
    }
}

/// Signs somebody in: the token for their browser. `now` in seconds since 1970.
pub fn sign_in(
    book: &Path,
    name: &str,
    pin: &str,
    from: IpAddr,
    now: i64,
) -> Result<String, Denied> {
    let entry = proven(book, name, pin, from, now)?;
    let _turn = file::turn();
    // The PIN may have changed, or the person gone, while it was looked at.
    let people = file::people(book)?;
    let there = |other: &Entry| other.name == entry.name && other.pin == entry.pin;
    if !people.iter().any(there) {
        return Err(Denied::Wrong);
    }
    let from = tries::address(from);
    Ok(begin(book, &entry.name, Some(from), now)?)
}

/// Whoever has this name and PIN. Each try counts, and those before a right one are forgiven.
pub(super) fn proven(
    book: &Path,
    name: &str,
    pin: &str,
    from: IpAddr,
    now: i64,
) -> Result<Entry, Denied> {
    let address = tries::address(from);
    counted(book, name, &address, now)?;
    let people = file::people(book)?;
    let entry = people.into_iter().find(|entry| same(&entry.name, name));
    let right = pin::matches(pin, entry.as_ref().map(|entry| entry.pin.as_str()));
    let _turn = file::turn();
    let mut state = file::state(book)?;
    let (of_name, Some(entry)) = (named(name), entry.filter(|_| right)) else {
        let waits = [named(name), address].map(|of| tries::left(&state.tries, &of, now));
        let longest = waits.into_iter().flatten().max();
        return Err(longest.map_or(Denied::Wrong, Denied::Wait));
    };
    tries::forgive(&mut state.tries, &of_name);
    tries::forgive(&mut state.tries, &address);
    file::keep_state(book, &state)?;
    Ok(entry)
}

/// Begins a session of somebody, and knows the address they came from. The caller holds the turn.
pub(super) fn begin(
    book: &Path,
    name: &str,
    from: Option<String>,
    now: i64,
) -> Result<String, Trouble> {
    let token = token()?;
    let mut state = file::state(book)?;
    state.begin(&token, name, now);
    if let Some(from) = from {
        state.know(name.to_owned(), from);
    }
    file::keep_state(book, &state)?;
    Ok(token)
}

/// Counts a try before it is looked at, so that many at once are no way around.
fn counted(book: &Path, name: &str, address: &str, now: i64) -> Result<(), Denied> {
    let _turn = file::turn();
    let mut state = file::state(book)?;
    let known = state
        .known
        .iter()
        .any(|k| same(&k.name, name) && k.from == address);
    let of_name = tries::left(&state.tries, &named(name), now).filter(|_| !known);
    let wait = of_name.max(tries::left(&state.tries, address, now));
    if let Some(wait) = wait {
        return Err(Denied::Wait(wait));
    }
    tries::count(&mut state.tries, address, now);
    if !known {
        tries::count(&mut state.tries, &named(name), now);
    }
    Ok(file::keep_state(book, &state)?)
}

/// Who has this token; nobody where it has ended or never was.
pub fn signed_in(book: &Path, token: &str, now: i64) -> Result<Option<SignedIn>, Trouble> {
    let hash = hash(token);
    let state = file::state(book)?;
    let Some(session) = state
        .sessions
        .iter()
        .find(|s| s.token == hash && s.lasts(now))
    else {
        return Ok(None);
    };
    let people = file::people(book)?;
    let entry = people
        .iter()
        .find(|e| e.name == session.name && e.since <= session.begun);
    if entry.is_some() && now - session.seen > SEEN_EVERY_S {
        seen(book, &hash, now)?;
    }
    Ok(entry.map(|entry| SignedIn {
        name: entry.name.clone(),
        role: entry.role,
    }))
}

/// Ends the session of this token.
pub fn sign_out(book: &Path, token: &str) -> Result<(), Trouble> {
    let _turn = file::turn();
    let mut state = file::state(book)?;
    let hash = hash(token);
    state.sessions.retain(|session| session.token != hash);
    file::keep_state(book, &state)
}

/// Ends every session of somebody and forgets wrong tries with their name. The caller holds the
/// turn.
pub(super) fn end_all(book: &Path, name: &str) -> Result<(), Trouble> {
    let mut state = file::state(book)?;
    state.sessions.retain(|session| session.name != name);
    tries::forgive(&mut state.tries, &named(name));
    file::keep_state(book, &state)
}

fn seen(book: &Path, hash: &str, now: i64) -> Result<(), Trouble> {
    let _turn = file::turn();
    let mut state = file::state(book)?;
    let session = state.sessions.iter_mut().find(|s| s.token == hash);
    if let Some(session) = session {
        session.seen = now;
    }
    file::keep_state(book, &state)
}

impl Session {
    /// A clock put back ends no session; one put forward may.
    fn lasts(&self, now: i64) -> bool {
        now - self.seen < IDLE_S && now - self.begun < LONGEST_S
    }
}

impl State {
    fn begin(&mut self, token: &str, name: &str, now: i64) {
        self.sessions.retain(|session| session.lasts(now));
        let over = (self.sessions.len() + 1).saturating_sub(MOST_SESSIONS);
        self.sessions.drain(..over);
        self.sessions.push(Session {
            token: hash(token),
            name: name.to_owned(),
            begun: now,
            seen: now,
        });
    }

    fn know(&mut self, name: String, from: String) {
        let known = Known { name, from };
        self.known.retain(|other| *other != known);
        let of_them = |other: &&Known| other.name == known.name;
        if self.known.iter().filter(of_them).count() >= MOST_KNOWN {
            let oldest = self.known.iter().position(|other| other.name == known.name);
            oldest.map(|oldest| self.known.remove(oldest));
        }
        self.known.push(known);
    }
}

fn token() -> Result<String, Trouble> {
    let mut bytes = [0; 32];
    getrandom::fill(&mut bytes).map_err(|error| {
        let what = format!("this machine gave no random numbers: {error}");
        Trouble::new(what, "try again, or restart the machine")
    })?;
    Ok(URL_SAFE_NO_PAD.encode(bytes))
}

/// A name in the list of tries: hashed, since people type a PIN in the wrong place.
fn named(name: &str) -> String {
    hash(&format!("name {}", name.trim().to_lowercase()))
}

fn hash(text: &str) -> String {
    URL_SAFE_NO_PAD.encode(Sha256::digest(text.as_bytes()))
}
