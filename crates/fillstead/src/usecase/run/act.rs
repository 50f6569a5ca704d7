//! What the operator did in a run, written down once: in the order it happened, never twice.
//!
//! A tap names the start and the last entry its page knew. A tap on an old page writes nothing
//! where somebody else did the same meanwhile; a tap sent again after the network was away is known
//! by its moment, which a page makes unlike any other to the microsecond. Both are read from the
//! book itself, under its writer's lock, so they hold after a restart.
//! Not here: starting ([`super::start`]).

use std::path::Path;

use book::body::{Drained, Reading, RunStarted, RunStopped};
use book::{Amount, Body, Kind, Measure, Moment, Pen};
use quantity::TimeSpan;

use super::course::on_line;
use super::log::{FILL_GAUGE, Log, NOT_FILLED, PMV_OPENS, TOWER, WHIP};
use super::look::station_at;
use super::start::{Typed, pressure};
use super::steps::WRONG;
use super::waited::{AHEAD_S, made_before};
use crate::usecase::Trouble;
use crate::usecase::book::add;
use crate::usecase::book::desk::{self, Signed, Who};
use crate::usecase::book::form::Given;
use crate::usecase::book::gate;

/// Two taps for the same act lie no further apart than this, s.
const SAME_ACT_S: f64 = 90.0;
/// A tap that comes this long after it was made was kept while the network was away, s.
const LATE_S: f64 = 15.0;

/// What was done.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// The drain was opened and shut.
    Drained,
    /// A gauge was read, as typed.
    Reading {
        /// Which.
        of: String,
        /// What it showed.
        value: String,
    },
    /// The machine was switched off.
    Stopped,
    /// The fill gauge at the stop, as typed.
    Filled {
        /// What it showed.
        to: String,
    },
    /// Nothing was filled.
    NotFilled,
    /// The whip reads nothing.
    Bled,
    /// The next cylinders are on the line and the machine was started again.
    Next {
        /// The tower gauge before, as typed.
        tower: Typed,
    },
    /// Something was seen or heard.
    Wrong {
        /// Its key.
        what: String,
    },
}

/// A tap: against which page, and when.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tap {
    /// Number of the start its page showed.
    pub run: u64,
    /// Number of the last entry its page knew.
    pub seq: u64,
    /// When it was made, microseconds since 1970-01-01 UTC; none: now.
    pub at: Option<i64>,
}

/// What came of a tap.
#[derive(Clone, Debug, PartialEq)]
pub enum Done {
    /// It is in the book, under these numbers.
    Written(Vec<u64>),
    /// It was in the book already.
    Known(u64),
    /// Nothing was written, because of what is in the book since; in a sentence.
    Moot(String),
}

/// Writes down what was done.
pub fn act(path: &Path, act: &Act, tap: &Tap, by: Option<&str>) -> Result<Done, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let who = Who {
        by,
        ..Who::default()
    };
    let (mut pen, mut signed) = desk::pen(path, "fillstead serve, the run page", &who)?;
    let Some(latest) = Log::read(pen.book(), None).map_err(one)? else {
        return Ok(Done::Moot("No run was ever started.".to_owned()));
    };
    let log = match latest.started.seq == tap.run {
        true => Some(latest.clone()),
        false => Log::read(pen.book(), Some(tap.run)).map_err(one)?,
    };
    let log = log.ok_or_else(|| {
        let what = format!("entry {} is no start of the machine", tap.run);
        one(Trouble::new(what, "open the run page anew"))
    })?;
    let late = when(tap, &log, &mut signed);
    if let Some(seq) = known(&pen, act, tap, &log, &signed).map_err(one)? {
        return Ok(Done::Known(seq));
    }
    let current = latest.started.seq == log.started.seq;
    if let Some(why) = moot(act, tap, &log, current, late, signed.happened) {
        return Ok(Done::Moot(why));
    }
    write(&mut pen, act, &log, &signed)
}

/// Puts the moment of the tap into the signature; whether it comes late.
fn when(tap: &Tap, log: &Log, signed: &mut Signed) -> bool {
    let now = signed.recorded;
    let made = tap
        .at
        .map(Moment)
        .filter(|at| *at > log.started.happened && at.seconds_since(now) < AHEAD_S);
    match made {
        Some(at) => signed.happened = at,
        // Never before what is in the book of this run, should the clock have gone back.
        None => signed.happened = Moment(now.0.max(log.last_happened.0 + 1)),
    }
    made.is_some_and(|at| now.seconds_since(at) > LATE_S)
}

/// The kind of entry an act makes.
fn kind(act: &Act) -> Kind {
    match act {
        Act::Drained => Kind::Drained,
        Act::Stopped => Kind::RunStopped,
        Act::Filled { .. } => Kind::Fill,
        Act::Next { .. } => Kind::RunStarted,
        Act::Reading { .. } | Act::NotFilled | Act::Bled | Act::Wrong { .. } => Kind::Reading,
    }
}

/// The entry this very tap made before: same kind, same moment to the microsecond.
fn known(
    pen: &Pen,
    act: &Act,
    tap: &Tap,
    log: &Log,
    signed: &Signed,
) -> Result<Option<u64>, Trouble> {
    // Fills of several cylinders share a moment: those are told apart by their cylinder.
    if tap.at != Some(signed.happened.0) || matches!(act, Act::Filled { .. }) {
        return Ok(None);
    }
    made_before(pen.book(), log.started.seq, kind(act), signed.happened)
}

/// Why this tap writes nothing, in a sentence.
pub fn moot(
    act: &Act,
    tap: &Tap,
    log: &Log,
    current: bool,
    late: bool,
    happened: Moment,
) -> Option<String> {
    let by = |seq: u64, author: &str, what: &str| {
        Some(format!(
            "Nothing was written: {what} already (entry {seq}, by {author}). This is how it stands now."
        ))
    };
    match act {
        // What a gauge showed, and what was heard, is true whatever anybody else did.
        Act::Reading { .. } | Act::Wrong { .. } => return None,
        Act::Stopped | Act::Drained => {}
        _ if current => {}
        _ => {
            let text = "Nothing was written: the machine was started again since. This is how it \
                        stands now.";
            return Some(text.to_owned());
        }
    }
    if let (Act::Stopped, Some(stop)) = (act, &log.stopped) {
        return by(stop.seq, &stop.author, "the stop is in the book");
    }
    let same = log
        .drains
        .iter()
        .filter(|_| *act == Act::Drained)
        .find(|d| {
            let near = d.happened.seconds_since(happened).abs() < SAME_ACT_S;
            d.seq > tap.seq && (near || !late)
        });
    if let Some(drain) = same {
        return by(drain.seq, &drain.author, "this drain is in the book");
    }
    if let (Act::Drained, Some(stop), false) = (act, &log.stopped, late)
        && stop.seq > tap.seq
    {
        return by(stop.seq, &stop.author, "the machine was stopped");
    }
    if let (Act::Bled, Some(bled)) = (act, log.bled()) {
        return by(bled.seq, &bled.author, "the bleed is in the book");
    }
    let needs_stop = matches!(
        act,
        Act::Bled | Act::Filled { .. } | Act::NotFilled | Act::Next { .. }
    );
    if needs_stop && log.stopped.is_none() {
        return Some("Nothing was written: the machine runs. Stop it first.".to_owned());
    }
    if matches!(act, Act::Next { .. }) && log.bled().is_none() {
        let text = "Nothing was written: nobody has said that the hose reads 0.";
        return Some(text.to_owned());
    }
    None
}

/// Writes the entries of an act.
fn write(pen: &mut Pen, act: &Act, log: &Log, signed: &Signed) -> Result<Done, Vec<Trouble>> {
    let body: Body = match act {
        Act::Filled { to } => return filled(pen, to, log, signed),
        Act::Next { tower } => next(pen, tower, log)?.into(),
        Act::Drained => Drained::default().into(),
        Act::Stopped => RunStopped::default().into(),
        Act::Reading { of, value } => reading(of, value).map_err(|t| vec![t])?.into(),
        Act::NotFilled => observed(NOT_FILLED, "nothing was filled").into(),
        Act::Bled => Reading {
            of: WHIP.to_owned(),
            value: Measure::parse("0 bar").ok().map(Amount::Pressure),
            observed: Some("bled to nothing before disconnecting".to_owned()),
        }
        .into(),
        Act::Wrong { what } => {
            let known = WRONG.iter().find(|wrong| wrong.key == what);
            let known = known.ok_or_else(|| {
                let what = format!("nothing is known of \"{what}\"");
                vec![Trouble::new(what, "choose from the list")]
            })?;
            observed(known.key, known.what).into()
        }
    };
    Ok(Done::Written(vec![add::write(pen, signed, body)?.seq]))
}

fn observed(of: &str, what: &str) -> Reading {
    Reading {
        of: of.to_owned(),
        value: None,
        observed: Some(what.to_owned()),
    }
}

/// A reading of one of the gauges of the page.
fn reading(of: &str, value: &str) -> Result<Reading, Trouble> {
    let of = [FILL_GAUGE, TOWER, PMV_OPENS]
        .into_iter()
        .find(|known| *known == of);
    let of = of.ok_or_else(|| {
        Trouble::new(
            "that gauge is not on this page",
            "choose the fill gauge or the tower gauge",
        )
        .about("of")
    })?;
    let value = pressure("value", value)?;
    Ok(Reading {
        of: of.to_owned(),
        value: Some(Amount::Pressure(value)),
        observed: (of == PMV_OPENS).then(|| "air at the fill valve".to_owned()),
    })
}

/// A fill for each cylinder on the line that has none yet. They are full whatever the gate says by
/// now: it was asked before the start, and what stands against them is kept with them.
fn filled(pen: &mut Pen, to: &str, log: &Log, signed: &Signed) -> Result<Done, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let to = pressure("to", to).map_err(one)?;
    let station = station_at(pen.book(), log.started.happened).map_err(one)?;
    let planned = &log.started.body.planned;
    let here = station
        .as_ref()
        .map_or(planned.as_slice(), |s| on_line(s, planned));
    let begun = log.started.happened;
    let end = log.stopped.as_ref().map_or(begun, |stop| stop.happened);
    let took = TimeSpan::second(end.seconds_since(begun).max(1.0).round());
    let mut written = Vec::new();
    for p in log.unrecorded(here) {
        let mut given: Given = vec![
            ("cylinder".into(), p.cylinder.clone()),
            ("to".into(), to.typed().to_owned()),
            ("took".into(), quantity::clock(took)),
            ("already-filled".into(), "yes".into()),
        ];
        let with: Vec<&str> = here
            .iter()
            .map(|other| other.cylinder.as_str())
            .filter(|other| *other != p.cylinder)
            .collect();
        given.extend([
            (
                "from".into(),
                p.from
                    .as_ref()
                    .map(|m| m.typed().to_owned())
                    .unwrap_or_default(),
            ),
            ("person".into(), p.person.clone().unwrap_or_default()),
            ("with".into(), with.join("; ")),
        ]);
        let answered = p.overridden.clone().map(|why| ("override".to_owned(), why));
        let with_override: Given = given.iter().cloned().chain(answered.clone()).collect();
        let done = gate::fill_signed(pen, signed, &with_override);
        // What was overridden before the start may stand against nothing any more.
        let done = match done {
            Err(troubles)
                if answered.is_some() && troubles.iter().any(|t| t.field == Some("override")) =>
            {
                gate::fill_signed(pen, signed, &given)?
            }
            other => other?,
        };
        written.push(done.added.seq);
    }
    match written.is_empty() {
        true => Ok(Done::Moot(
            "Nothing was written: these fills are in the book already.".to_owned(),
        )),
        false => Ok(Done::Written(written)),
    }
}

/// The next start of the same job.
fn next(pen: &Pen, tower: &Typed, log: &Log) -> Result<RunStarted, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let before = &log.started.body;
    let station = station_at(pen.book(), log.started.happened).map_err(one)?;
    let here = station
        .as_ref()
        .map_or(0, |s| on_line(s, &before.planned).len());
    let planned = before.planned.get(here..).unwrap_or_default().to_vec();
    if planned.is_empty() {
        let remedy = "start a new run for further cylinders";
        return Err(one(Trouble::new("no further cylinder was planned", remedy)));
    }
    let tower = tower.as_deref().filter(|text| !text.trim().is_empty());
    Ok(RunStarted {
        hours: None,
        tower: tower
            .map(|text| pressure("tower", text))
            .transpose()
            .map_err(one)?,
        checked: Vec::new(),
        planned,
        continues: Some(before.continues.unwrap_or(log.started.seq)),
        ..before.clone()
    })
}
