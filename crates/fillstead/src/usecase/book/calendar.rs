//! Due dates as a calendar (iCalendar, RFC 5545) that ordinary programs take in.
//!
//! Each due date is an all-day event with reminders at nine in the morning. An event has the same
//! name each time, so that taking the file in again moves it instead of doubling it.
//! Not here: what is due, and when.

use book::Moment;
use chrono::{Days, NaiveDate, TimeDelta};
use icalendar::{Alarm, Calendar, Component, Event, EventLike, Property};
use station::Date;

use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// Something due on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// Its name among all calendars, the same each time: station and thing, such as
    /// `boathouse/cylinder/A1/test@fillstead`.
    pub uid: String,
    /// The day.
    pub on: Date,
    /// What a calendar shows.
    pub summary: String,
    /// What it shows besides.
    pub description: String,
    /// Days before at which it reminds; 0 for the day itself.
    pub remind_days_before: Vec<u32>,
}

/// Who made a calendar, as the standard wants it.
const MAKER: &str = "-//Fillstead//Book//EN";

/// No line is longer, octets.
const LONGEST: usize = 75;

/// The calendar's text. `name` is what programs call it; `made` is when it was made.
pub fn text(name: &str, dues: &[Due], made: Moment) -> Result<String, Trouble> {
    let utc = Zone::named("UTC")?;
    let stamp = utc.minute(made).replace(['-', ':'], "").replace(' ', "T") + "00Z";
    let mut calendar = Calendar::empty();
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", MAKER),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "PUBLISH"),
    ] {
        calendar.append_property(Property::new(key, value));
    }
    calendar.name(&plain(name));
    for due in dues {
        calendar.push(event(due, &stamp)?);
    }
    Ok(folded(&calendar.to_string()))
}

/// No line over 75 octets (RFC 5545, 3.1): the library lets a last line have 76.
fn folded(text: &str) -> String {
    let line = |line: &str| {
        let end = line.floor_char_boundary(LONGEST);
        let (head, rest) = line.split_at(end);
        match rest {
            "" => format!("{head}\r\n"),
            rest => format!("{head}\r\n {rest}\r\n"),
        }
    };
    text.split_terminator("\r\n").map(line).collect()
}

fn event(due: &Due, stamp: &str) -> Result<Event, Trouble> {
    let first = day(due.on)?;
    let mut event = Event::new();
    event
        .uid(&plain(&due.uid))
        .summary(&plain(&due.summary))
        .description(&plain(&due.description))
        .starts(first)
        .ends(first + Days::new(1))
        .add_property("DTSTAMP", stamp)
        .add_property("LAST-MODIFIED", stamp)
        // Something due takes nobody's time.
        .add_property("TRANSP", "TRANSPARENT");
    for days in &due.remind_days_before {
        // Nine in the morning, counted from the beginning of the day it is due.
        let before = TimeDelta::hours(9 - 24 * i64::from(*days));
        let mut alarm = Alarm::display(&plain(&due.summary), before);
        // Else the library reads the clock and draws a name by chance.
        alarm
            .uid(&format!("{}/{days}", plain(&due.uid)))
            .add_property("DTSTAMP", stamp);
        event.alarm(alarm);
    }
    Ok(event.done())
}

fn day(date: Date) -> Result<NaiveDate, Trouble> {
    let day = NaiveDate::from_ymd_opt(
        i32::from(date.year()),
        u32::from(date.month()),
        u32::from(date.day()),
    );
    day.ok_or_else(|| Trouble::new(format!("{date} is outside the calendar"), "check the year"))
}

/// A text without signs that have no place in a calendar; line breaks stay.
fn plain(text: &str) -> String {
    let lines = text.replace("\r\n", "\n").replace('\r', "\n");
    lines
        .chars()
        .filter(|c| !c.is_control() || *c == '\n')
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use icalendar::CalendarComponent;
    use proptest::prelude::*;

    /// 1997-07-14 17:00:00 UTC, the DTSTART of the first example of RFC 5545, section 3.4; its Unix
    /// time by the POSIX formula: 27 years, 7 of them leap, and 194 days.
    const MADE: Moment = Moment(((27 * 365 + 7 + 194) * 86_400 + 17 * 3600) * 1_000_000);

    fn due(summary: &str, description: &str) -> Due {
        Due {
            uid: "boathouse/cylinder/A1/test@fillstead".into(),
            on: Date::new(2026, 12, 31).unwrap(),
            summary: summary.into(),
            description: description.into(),
            remind_days_before: vec![30, 0],
        }
    }

    fn made(due: Due) -> String {
        text("Due at the boathouse", &[due], MADE).unwrap()
    }

    /// RFC 5545: an all-day event has DATE values, DTEND is the day after (3.6.1); DTSTAMP is UTC
    /// (3.8.7.2); a trigger is a duration from the start (3.8.6.3).
    #[test]
    fn an_all_day_event_with_reminders() {
        let text = made(due("A1: pressure test", "by the rule uk"));
        let text = text.replace("\r\n ", "");
        for line in [
            "VERSION:2.0",
            "DTSTAMP:19970714T170000Z",
            "DTSTART;VALUE=DATE:20261231",
            "DTEND;VALUE=DATE:20270101",
            "UID:boathouse/cylinder/A1/test@fillstead",
            "SUMMARY:A1: pressure test",
            "ACTION:DISPLAY",
            "TRIGGER:-PT2559600S",
            "TRIGGER:PT32400S",
        ] {
            assert!(text.lines().any(|l| l == line), "no {line} in\n{text}");
        }
        assert_eq!((30 * 24 - 9) * 3600, 2_559_600);
        assert_eq!(text.matches("BEGIN:VALARM").count(), 2);
    }

    #[test]
    fn the_same_again_is_the_same_text() {
        let one = due("A1", "x");
        assert_eq!(made(one.clone()), made(one));
        assert!(
            text("nothing", &[], MADE)
                .unwrap()
                .ends_with("END:VCALENDAR\r\n")
        );
    }

    /// RFC 5545, 3.3.11: backslash, semicolon, comma and line break are written with a backslash.
    #[test]
    fn signs_with_a_meaning_are_written_out() {
        let text = made(due("a, b; c\\d\r\ne", ""));
        assert!(text.contains("SUMMARY:a\\, b\\; c\\\\d\\ne\r\n"), "{text}");
    }

    proptest! {
        /// RFC 5545, 3.1: lines end with CRLF and have at most 75 octets; unfolded and read they
        /// give what was written.
        #[test]
        fn every_text_comes_back(summary in "[a-z].{0,90}[a-z]", description in "[a-z](.|\n){0,90}[a-z]") {
            let text = made(due(&summary, &description));
            prop_assert!(!text.replace("\r\n", "").contains(['\r', '\n']));
            for line in text.split("\r\n") {
                prop_assert!(line.len() <= 75, "{} octets: {}", line.len(), line);
            }
            let read: Calendar = text.parse().unwrap();
            let Some(CalendarComponent::Event(event)) = read.components.first() else {
                panic!("no event in {text}");
            };
            prop_assert_eq!(event.get_uid(), Some("boathouse/cylinder/A1/test@fillstead"));
            prop_assert_eq!(event.get_summary().unwrap_or_default(), plain(&summary));
            prop_assert_eq!(event.get_description().unwrap_or_default(), plain(&description));
        }
    }
}
