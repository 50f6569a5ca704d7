//! What is on record of a valve's adjustments, and what it says about setting it now.
//!
//! Not here: the computation ([`insight::diagnose::adjust`]); setting a valve, which is done as its
//! maker's manual says.

use std::path::Path;

use book::body::{Part, ValveSet};
use book::{Body, Book, Event, Kind, Subject, Wanted};
use insight::diagnose::adjust::{
    Adjustment, Advice, Learnt, Towards, Uncertain, Valve, advise, learn,
};
use insight::diagnose::answer::{Diagnosis, SettingFound, Standing, Verdict};
use insight::drift::gauge_uncertainty;
use quantity::GaugePressure;
use station::{Reads, Station};

use crate::draw::figures::{Figures, short};
use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::clock::Zone;
use crate::words::counted;

/// Standard uncertainty of a setting read from a gauge that the station file does not describe, bar.
const NO_GAUGE_BAR: f64 = 4.0;
/// 90 % of the normal distribution lies within so many standard uncertainties.
const NINE_IN_TEN: f64 = 1.6449;

/// What to do about a valve that is off.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The valve, by its name in the book's form.
    pub valve: &'static str,
    /// What it is called.
    pub called: &'static str,
    /// What to do, in sentences.
    pub sentences: Vec<String>,
    /// Where it opens now, with its unit, for the entry that records the adjustment.
    pub before: String,
    /// Whether it may be set by a trained person at the machine at all.
    pub may_be_set: bool,
}

/// The valve that the leading cause names, with what the book knows of its adjustments; none where
/// no valve is to be set.
pub fn setting(
    path: &Path,
    station: &Station,
    diagnosis: &Diagnosis,
) -> Result<Option<Setting>, Trouble> {
    if !matches!(diagnosis.standing, Standing::Likely | Standing::Leading) {
        return Ok(None);
    }
    let Some(valve) = diagnosis.causes.first().and_then(|cause| cause.valve) else {
        return Ok(None);
    };
    let (name, valve) = match valve {
        "relief" => ("relief_lifts", Valve::Relief),
        _ => ("pmv_opens", Valve::Pmv),
    };
    let off =
        |s: &&SettingFound| s.name == name && matches!(s.verdict, Verdict::Below | Verdict::Above);
    let Some(found) = diagnosis.settings.iter().find(off) else {
        return Ok(None);
    };
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let adjustments = adjustments(&book, &zone, station, valve)?;
    Ok(told(station, valve, &adjustments, found))
}

/// The adjustments on record since the valve was last replaced, with both pressures and the turns.
pub fn adjustments(
    book: &Book,
    zone: &Zone,
    station: &Station,
    valve: Valve,
) -> Result<Vec<Adjustment>, Trouble> {
    let part = match valve {
        Valve::Pmv => Part::Pmv,
        Valve::Relief => Part::Relief,
    };
    let subject = Subject::Part(part.key().to_owned());
    let events = book.events(&Wanted {
        kinds: &[Kind::ValveSet, Kind::PartReplaced],
        about: Some(&subject),
        ..Wanted::default()
    })?;
    let new = |event: &Event| matches!(event.body, Ok(Body::PartReplaced(_)));
    let since = events.iter().rposition(new).map_or(0, |place| place + 1);
    let sd_bar = gauge_uncertainty(station, Reads::Tower).map_or(NO_GAUGE_BAR, |pa| pa / 1e5);
    let one = |event: &Event| match &event.body {
        Ok(Body::ValveSet(set)) => adjustment(event, set, sd_bar, zone),
        _ => None,
    };
    let after = events.get(since..).unwrap_or_default();
    Ok(after.iter().filter_map(one).collect())
}

fn adjustment(event: &Event, set: &ValveSet, sd_bar: f64, zone: &Zone) -> Option<Adjustment> {
    let read = |value| Uncertain { value, sd_bar };
    let day = zone.day_text(event.happened);
    Some(Adjustment {
        name: format!("entry {} of {day}", event.seq),
        before: read(set.before.as_ref()?.value()),
        after: read(set.after.as_ref()?.value()),
        turns: set.turns?,
    })
}

fn told(
    station: &Station,
    valve: Valve,
    adjustments: &[Adjustment],
    setting: &SettingFound,
) -> Option<Setting> {
    let (found, specified) = (setting.found_bar?, setting.specified_bar?);
    let figures = Figures {
        units: station.units,
    };
    let now = Uncertain {
        value: GaugePressure::bar(found),
        sd_bar: setting.plus_minus_bar? / NINE_IN_TEN,
    };
    let (valve_name, called) = match valve {
        Valve::Pmv => ("pmv", "pressure maintaining valve"),
        Valve::Relief => ("relief", "final relief valve"),
    };
    let sentences = match advise(valve, adjustments, now, GaugePressure::bar(specified)) {
        Ok(advice) => sentences(
            &advice,
            learn(adjustments).ok().flatten(),
            figures,
            specified,
        ),
        Err(error) => vec![
            format!("What is on record of its adjustments cannot be used: {error}."),
            MANUAL.to_owned(),
        ],
    };
    Some(Setting {
        valve: valve_name,
        called,
        sentences,
        before: format!("{} {}", figures.set(found), figures.unit()),
        may_be_set: valve == Valve::Pmv,
    })
}

const MANUAL: &str = "Set it only as its maker's manual says, by somebody trained to do it, with the \
    machine stopped and tower and lines vented to zero.";
const RELIEF: &str = "A relief valve is not set here, and never to hold back more: a licensed person sets \
    and seals it on a test rig, or it is replaced. Do not turn, plug, cap or weigh it down. Do not run \
    the machine until that is done.";

const STEP: &str = "Turn a part of it first, close up, run, and read where the valve opens before \
    turning on.";
const LEAVE: &str = "What was found and what is specified differ by no more than these readings can \
    tell: leave the screw alone, and read again.";

fn sentences(
    advice: &Advice,
    learnt: Option<Learnt>,
    figures: Figures,
    wanted_bar: f64,
) -> Vec<String> {
    let wanted = format!("{} {}", figures.set(wanted_bar), figures.unit());
    match advice {
        Advice::Licensed => vec![RELIEF.to_owned()],
        Advice::Leave => vec![LEAVE.to_owned()],
        Advice::Direction { towards, why } => {
            let first = format!(
                "It is to be set towards {}, to {wanted}. How much of a turn cannot be told: {why}. \
                 Which way the screw turns for that, the maker's manual says.",
                way(*towards)
            );
            vec![first, MANUAL.to_owned()]
        }
        Advice::Turn { .. } => {
            let mut all = vec![turn(advice, &wanted)];
            all.extend(learnt.map(|learnt| so_far(&learnt, figures)));
            all.extend([STEP, MANUAL].map(str::to_owned));
            all
        }
    }
}

fn way(towards: Towards) -> &'static str {
    match towards {
        Towards::Higher => "higher",
        Towards::Lower => "lower",
    }
}

/// Which way and how far, by the record; empty where that is not what is advised.
fn turn(advice: &Advice, wanted: &str) -> String {
    let Advice::Turn {
        towards,
        clockwise,
        turns,
        low,
        high,
        part_of_the_way,
    } = advice
    else {
        return String::new();
    };
    let hand = match clockwise {
        true => "clockwise",
        false => "anticlockwise",
    };
    let part = match part_of_the_way {
        true => ": part of the way, for no more was ever turned at once",
        false => "",
    };
    format!(
        "By the record, {} turn {hand} ({} to {}, nine times in ten) takes it towards {}, to \
         {wanted}{part}.",
        short(*turns, 2),
        short(*low, 2),
        short(*high, 2),
        way(*towards)
    )
}

/// What a turn did so far.
fn so_far(learnt: &Learnt, figures: Figures) -> String {
    format!(
        "Learnt from {}: a turn clockwise moved it by {} ± {} {}.",
        counted(learnt.adjustments, "adjustment"),
        short(figures.value(learnt.bar_per_turn), 0),
        short(figures.value(NINE_IN_TEN * learnt.sd_bar), 0),
        figures.unit()
    )
}
