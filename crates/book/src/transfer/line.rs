//! One entry as one line of JSON, and back, byte for byte.

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::utc;
use crate::entry::{Entry, Moment};
use crate::hash::Hash;

/// An entry as a line. The times stand in it twice: as counted, and to be read by people.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    seq: u64,
    recorded: i64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    recorded_utc: Option<String>,
    happened: i64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    happened_utc: Option<String>,
    zone: String,
    author: String,
    kind: String,
    version: u32,
    /// As stored, where it stands on one line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    body: Option<Box<RawValue>>,
    /// Else as a text.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    body_text: Option<String>,
    prev: String,
    hash: String,
}

/// The line of an entry, without its end.
pub(super) fn write(entry: &Entry) -> Result<String, serde_json::Error> {
    let raw = RawValue::from_string(entry.text.clone()).ok();
    let raw = raw.filter(|raw| raw.get() == entry.text && !entry.text.contains(['\n', '\r']));
    let line = Line {
        seq: entry.seq,
        recorded: entry.recorded.0,
        recorded_utc: utc::written(entry.recorded),
        happened: entry.happened.0,
        happened_utc: utc::written(entry.happened),
        zone: entry.zone.clone(),
        author: entry.author.clone(),
        kind: entry.kind.clone(),
        version: entry.version,
        body_text: raw.is_none().then(|| entry.text.clone()),
        body: raw,
        prev: entry.prev.to_string(),
        hash: entry.hash.to_string(),
    };
    serde_json::to_string(&line)
}

/// The entry of a line, its hash checked.
pub(super) fn read(text: &str) -> Result<Entry, String> {
    let line: Line = serde_json::from_str(text).map_err(|error| match error.is_eof() {
        true => "the line is cut off".to_owned(),
        false => format!("it is not an entry as JSON: {error}"),
    })?;
    let body = match (line.body, line.body_text) {
        (Some(raw), None) => raw.get().to_owned(),
        (None, Some(text)) => text,
        _ => return Err("it needs one of `body` and `body_text`".into()),
    };
    let hash = |name: &str, text: &str| {
        Hash::parse(text).ok_or_else(|| format!("`{name}` is not 64 hex digits"))
    };
    let entry = Entry {
        seq: line.seq,
        recorded: Moment(line.recorded),
        happened: Moment(line.happened),
        zone: line.zone,
        author: line.author,
        kind: line.kind,
        version: line.version,
        text: body,
        prev: hash("prev", &line.prev)?,
        hash: hash("hash", &line.hash)?,
    };
    for (name, moment, told) in [
        ("recorded", entry.recorded, line.recorded_utc),
        ("happened", entry.happened, line.happened_utc),
    ] {
        if told.is_some() && told != utc::written(moment) {
            return Err(format!("`{name}` and `{name}_utc` do not agree"));
        }
    }
    fit(&entry)?;
    Ok(entry)
}

/// Whether a book can hold it, and its hash holds.
fn fit(entry: &Entry) -> Result<(), String> {
    if entry.seq == 0 || i64::try_from(entry.seq).is_err() {
        return Err(format!("{} is no number of an entry", entry.seq));
    }
    if entry.author.is_empty() || entry.kind.is_empty() || entry.version == 0 {
        return Err("author, kind and version may not be empty".into());
    }
    if serde_json::from_str::<&RawValue>(&entry.text).is_err() {
        return Err("its body is not JSON".into());
    }
    match entry.computed_hash() == entry.hash {
        true => Ok(()),
        false => Err(format!(
            "{entry} is not what was written: its hash does not hold"
        )),
    }
}
