//! An older fill log: each row a fill that no gate was asked about, marked as such.
//!
//! Not here: fills of today, which pass the gate.

use std::collections::{BTreeMap, BTreeSet};

use book::body::Fill;
use book::{Body, Book, Draft, Kind, Moment, Wanted};
use jiff::civil::{Date, DateTime, Time};

use super::cylinders::register;
use super::days;
use super::import::Source;
use super::plan::{New, Plan};
use super::sheet::{Cell, Row};
use crate::usecase::Trouble;
use crate::usecase::book::desk::Signed;
use crate::usecase::book::words;
use crate::usecase::near::nearest;

/// What stands first in the remark of a fill from an older record.
pub const MARK: &str = "from an older record";
/// What is said where only the day is known; noon stands for it.
const NO_TIME: &str = "time of day not known";

const NOON: Time = Time::constant(12, 0, 0, 0);

/// A day, and the time of day where it is known; or an exact moment.
enum When {
    Local(Date, Option<Time>),
    Exact(Moment),
}

/// Goes through the log.
pub(super) fn plan(
    book: &Book,
    source: &Source<'_>,
    signed: &Signed,
    plan: &mut Plan,
) -> Result<(), Trouble> {
    let register = register(book)?;
    let known: BTreeSet<&str> = register.keys().map(String::as_str).collect();
    let kept = kept(book)?;
    let mut seen: BTreeMap<(String, Moment), Vec<(usize, Fill)>> = BTreeMap::new();
    for row in &source.rows {
        let Some((fill, happened)) = one(source, row, &known, signed, plan) else {
            continue;
        };
        let key = (fill.cylinder.clone(), happened);
        if kept
            .get(&key)
            .is_some_and(|fills| fills.iter().any(|old| alike(old, &fill)))
        {
            plan.same += 1;
            continue;
        }
        let before = seen.entry(key).or_default();
        if let Some((other, _)) = before.iter().find(|(_, old)| alike(old, &fill)) {
            let what = format!("it says the same as row {other}");
            let remedy = "take one out; if it was filled twice, write the times of day";
            plan.problem(row.number, None, what, remedy);
            continue;
        }
        before.push((row.number, fill.clone()));
        let minute = signed.zone.minute(happened);
        let line = format!("{minute}, {}", words::of_body(&fill.clone().into()));
        plan.new.push(New {
            row: row.number,
            line,
        });
        plan.drafts.push(Draft {
            happened,
            ..signed.draft(fill)
        });
    }
    Ok(())
}

fn one(
    source: &Source<'_>,
    row: &Row,
    known: &BTreeSet<&str>,
    signed: &Signed,
    plan: &mut Plan,
) -> Option<(Fill, Moment)> {
    let given = source.given(row, plan);
    let when = when(source, row, signed);
    let by = words_of(source, row, "by");
    let (when, by) = match (when, by) {
        (Ok(when), Ok(by)) => (Some(when), by),
        (when, by) => {
            let troubles = [when.err(), by.err()];
            troubles
                .into_iter()
                .flatten()
                .for_each(|t| source.tell(row, t, plan));
            (None, None)
        }
    };
    let body = source.form.body(&given);
    let fill = match body {
        Ok(Body::Fill(fill)) => fill,
        Ok(_) => return None,
        Err(troubles) => {
            troubles.into_iter().for_each(|t| source.tell(row, t, plan));
            return None;
        }
    };
    implausible(&fill, known)
        .into_iter()
        .for_each(|t| source.tell(row, t, plan));
    if plan.bad_rows.contains(&row.number) {
        return None;
    }
    let (happened, timed) = when?;
    Some((marked(fill, by, timed), happened))
}

fn implausible(fill: &Fill, known: &BTreeSet<&str>) -> Vec<Trouble> {
    let mut troubles = Vec::new();
    if !known.contains(fill.cylinder.as_str()) {
        let what = format!("there is no cylinder \"{}\" on the register", fill.cylinder);
        let remedy = match nearest(&fill.cylinder, known.iter().copied()) {
            Some(near) => format!("did you mean {near}? else register it first"),
            None => {
                "register it first, or bring in a list with `book import --cylinders`".to_owned()
            }
        };
        troubles.push(Trouble::new(what, remedy).about("cylinder"));
    }
    if let (Some(from), Some(to)) = (&fill.from, &fill.to)
        && from.value().as_bar() > to.value().as_bar()
    {
        let what = format!("{from} before is more than {to} after");
        troubles
            .push(Trouble::new(what, "check whether the columns are changed round").about("from"));
    }
    troubles
}

/// The fill with its origin in the remark. One that has it already stays as it is.
fn marked(mut fill: Fill, by: Option<String>, timed: bool) -> Fill {
    let remark = fill.remark.take();
    if remark
        .as_deref()
        .is_some_and(|remark| remark.starts_with(MARK))
    {
        fill.remark = remark;
        return fill;
    }
    let parts = [
        Some(MARK.to_owned()),
        by.map(|by| format!("filled by {by}")),
        (!timed).then(|| NO_TIME.to_owned()),
        remark,
    ];
    fill.remark = Some(parts.into_iter().flatten().collect::<Vec<_>>().join("; "));
    fill
}

/// When it happened, and whether the time of day is known.
fn when(source: &Source<'_>, row: &Row, signed: &Signed) -> Result<(Moment, bool), Trouble> {
    let moment = match read_when(source, row)? {
        When::Exact(moment) => (moment, true),
        When::Local(day, time) => {
            let at = day.to_datetime(time.unwrap_or(NOON));
            let text = at.strftime("%Y-%m-%d %H:%M:%S").to_string();
            let moment = signed
                .zone
                .moment(&text, signed.recorded)
                .map_err(|t| t.about("date"))?;
            (moment, time.is_some())
        }
    };
    if moment.0 > signed.recorded {
        let what = format!("{} has not come yet", signed.zone.minute(moment.0));
        let remedy = match moment.1 {
            true => "check the day",
            false => "check the day; for a fill of today write the time of day too",
        };
        return Err(Trouble::new(what, remedy).about("date"));
    }
    if moment.0.0 < 0 {
        let what = format!("{} lies before 1970", signed.zone.minute(moment.0));
        return Err(Trouble::new(what, "check the year").about("date"));
    }
    Ok(moment)
}

fn read_when(source: &Source<'_>, row: &Row) -> Result<When, Trouble> {
    let about = |t: Trouble| t.about("date");
    let cell = cell(source, row, "date");
    let clock = clock(source, row).map_err(|t| t.about("time"))?;
    let text = source.reading.words(cell).map_err(about)?;
    let Some(text) = text else {
        let remedy = "write the day, like 2024-03-10";
        return Err(about(Trouble::new("the day is missing", remedy)));
    };
    if source.reading.own
        && let Ok(stamp) = text.parse::<jiff::Timestamp>()
    {
        return Ok(When::Exact(Moment(stamp.as_microsecond())));
    }
    if let Cell::Stamp(stamp) = cell {
        return Ok(When::Local(
            stamp.date(),
            clock.or_else(|| midnight_is_none(*stamp)),
        ));
    }
    let (date, behind) = days::parted(&text);
    let (whole, fraction) = match cell {
        Cell::Number(serial) if days::of_serial(*serial).is_some() => {
            (figures_day(*serial), fraction_of(*serial))
        }
        _ => (date.to_owned(), None),
    };
    let written = days::read(&whole, source.reading.order).map_err(about)?;
    if written.month_only {
        let what = format!("\"{text}\" is a month, and the day is missing");
        return Err(about(Trouble::new(
            what,
            "write the day too, like 2024-03-10",
        )));
    }
    let behind = behind.map(time_of).transpose().map_err(about)?;
    Ok(When::Local(written.first, clock.or(behind).or(fraction)))
}

fn figures_day(serial: f64) -> String {
    format!("{}", serial.floor())
}

/// The time of day in a serial number; none at midnight, where only the day was meant.
fn fraction_of(serial: f64) -> Option<Time> {
    of_fraction(serial.fract()).filter(|time| *time != Time::midnight())
}

fn of_fraction(fraction: f64) -> Option<Time> {
    let seconds = (fraction * 86_400.0).round() as i64;
    let time = Time::midnight().checked_add(jiff::Span::new().seconds(seconds));
    (0.0..1.0)
        .contains(&fraction)
        .then_some(time.ok())
        .flatten()
}

fn midnight_is_none(stamp: DateTime) -> Option<Time> {
    (stamp.time() != Time::midnight()).then(|| stamp.time())
}

/// The time in a column of its own.
fn clock(source: &Source<'_>, row: &Row) -> Result<Option<Time>, Trouble> {
    let cell = cell(source, row, "time");
    match cell {
        Cell::Clock(time) => return Ok(Some(*time)),
        Cell::Stamp(stamp) => return Ok(Some(stamp.time())),
        Cell::Number(number) if (0.0..1.0).contains(number) => return Ok(of_fraction(*number)),
        Cell::Span(seconds) if (0.0..86_400.0).contains(seconds) => {
            return Ok(of_fraction(seconds / 86_400.0));
        }
        _ => {}
    }
    source
        .reading
        .words(cell)?
        .map(|text| time_of(&text))
        .transpose()
}

fn time_of(text: &str) -> Result<Time, Trouble> {
    let written = text.trim().to_uppercase();
    let written = written.trim_end_matches("UHR").trim_end_matches('H').trim();
    let forms = [
        "%H:%M",
        "%H:%M:%S",
        "%I:%M %p",
        "%I:%M%p",
        "%I:%M:%S %p",
        "%HH%M",
        "%H.%M",
    ];
    forms
        .iter()
        .find_map(|form| Time::strptime(form, written).ok())
        .ok_or_else(|| {
            Trouble::new(
                format!("\"{text}\" is no time of day"),
                "write hours and minutes, like 19:40",
            )
        })
}

fn cell<'a>(source: &Source<'_>, row: &'a Row, field: &str) -> &'a Cell {
    source
        .columns
        .of(field)
        .map_or(&Cell::Empty, |column| row.cell(column.index))
}

fn words_of(
    source: &Source<'_>,
    row: &Row,
    field: &'static str,
) -> Result<Option<String>, Trouble> {
    source
        .reading
        .words(cell(source, row, field))
        .map_err(|t| t.about(field))
}

/// The fills the book holds, by cylinder and moment.
fn kept(book: &Book) -> Result<BTreeMap<(String, Moment), Vec<Fill>>, Trouble> {
    let events = book.events(&Wanted {
        kinds: &[Kind::Fill],
        ..Wanted::default()
    })?;
    let mut kept: BTreeMap<(String, Moment), Vec<Fill>> = BTreeMap::new();
    for event in events {
        if let Ok(Body::Fill(fill)) = event.body {
            kept.entry((fill.cylinder.clone(), event.happened))
                .or_default()
                .push(fill);
        }
    }
    Ok(kept)
}

/// Whether two fills of one cylinder at one moment are the same fill.
fn alike(one: &Fill, other: &Fill) -> bool {
    let bar = |p: &Option<book::Measure<quantity::GaugePressure>>| {
        p.as_ref()
            .map(|p| (p.value().as_bar() * 1e6).round() as i64)
    };
    (bar(&one.from), bar(&one.to), &one.person) == (bar(&other.from), bar(&other.to), &other.person)
}
