//! An entry of the ledger as a line of JSON, from which it can be written again byte for byte.

use book::Entry;
use serde::Serialize;
use serde_json::value::RawValue;

use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// An entry as a line. The times stand in it twice: as counted, and to be read by people.
#[derive(Serialize)]
struct Line<'a> {
    seq: u64,
    recorded: i64,
    recorded_utc: String,
    happened: i64,
    happened_utc: String,
    zone: &'a str,
    author: &'a str,
    kind: &'a str,
    version: u32,
    /// As stored, where it stands on one line.
    #[serde(skip_serializing_if = "Option::is_none")]
    body: Option<&'a RawValue>,
    /// Else as a text.
    #[serde(skip_serializing_if = "Option::is_none")]
    body_text: Option<&'a str>,
    prev: String,
    hash: String,
}

/// The line of an entry, without its end.
pub fn line(entry: &Entry) -> Result<String, Trouble> {
    let raw: Option<&RawValue> = serde_json::from_str(&entry.text).ok();
    let raw = raw.filter(|raw| raw.get() == entry.text && !entry.text.contains(['\n', '\r']));
    let utc = Zone::named("UTC")?;
    let shown = |moment| format!("{}Z", utc.exact(moment).trim_end_matches("+00:00"));
    let line = Line {
        seq: entry.seq,
        recorded: entry.recorded.0,
        recorded_utc: shown(entry.recorded),
        happened: entry.happened.0,
        happened_utc: shown(entry.happened),
        zone: &entry.zone,
        author: &entry.author,
        kind: &entry.kind,
        version: entry.version,
        body: raw,
        body_text: raw.is_none().then_some(&entry.text),
        prev: entry.prev.to_string(),
        hash: entry.hash.to_string(),
    };
    serde_json::to_string(&line).map_err(|error| {
        let what = format!("{entry} cannot be written as JSON: {error}");
        Trouble::new(what, "run `fillstead book verify`")
    })
}
