//! The clock, and time as people write it in the station's zone.
//!
//! The machine's clock is read here and nowhere else. Days and hours are those of a zone (an IANA
//! name such as `Europe/Dublin`); the rules of every zone are in the program, so that it works
//! without a network and on any system.

use book::Moment;
use jiff::civil;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use station::Date;

use crate::usecase::Trouble;

/// A zone with its name.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Its IANA name.
    pub name: String,
    zone: TimeZone,
}

impl Zone {
    /// The zone of this name.
    pub fn named(name: &str) -> Result<Zone, Trouble> {
        match TimeZone::get(name.trim()) {
            Ok(zone) => Ok(Zone {
                name: zone.iana_name().unwrap_or(name.trim()).to_owned(),
                zone,
            }),
            Err(_) => Err(Trouble::new(
                format!("there is no time zone \"{}\"", name.trim()),
                "write a continent and a city, such as \"Europe/Dublin\" or \"America/Chicago\", or \
                 \"UTC\"",
            )
            .about("zone")),
        }
    }

    /// The zone this machine is set to; Greenwich where it does not say.
    pub fn of_this_machine() -> Zone {
        let zone = TimeZone::system();
        match zone.iana_name() {
            Some(name) => Zone {
                name: name.to_owned(),
                zone,
            },
            None => Zone {
                name: "UTC".to_owned(),
                zone: TimeZone::UTC,
            },
        }
    }

    /// Day and minute there: `2026-05-20 19:40`.
    pub fn minute(&self, moment: Moment) -> String {
        self.shown(moment, "%Y-%m-%d %H:%M")
    }

    /// The minute alone: `19:40`.
    pub fn clock(&self, moment: Moment) -> String {
        self.shown(moment, "%H:%M")
    }

    /// The day there: `2026-05-20`.
    pub fn day_text(&self, moment: Moment) -> String {
        self.shown(moment, "%Y-%m-%d")
    }

    /// Day, time and offset for programs (RFC 3339): `2026-05-20T19:40:12.345678+01:00`.
    pub fn exact(&self, moment: Moment) -> String {
        self.shown(moment, "%Y-%m-%dT%H:%M:%S%.f%:z")
    }

    fn shown(&self, moment: Moment, form: &str) -> String {
        match self.zoned(moment) {
            Some(zoned) => zoned.strftime(form).to_string(),
            None => "outside the calendar".to_owned(),
        }
    }

    fn zoned(&self, moment: Moment) -> Option<ZonedDateTime> {
        let stamp = Timestamp::from_microsecond(moment.0).ok()?;
        Some(stamp.to_zoned_datetime(self.zone.clone()))
    }

    /// The day there, as rules of cylinders count.
    pub fn day(&self, moment: Moment) -> Option<Date> {
        Date::parse(&self.day_text(moment))
    }

    /// The moments at which a day begins and the next begins.
    pub fn day_limits(&self, day: Date) -> Option<(Moment, Moment)> {
        let year = i16::try_from(day.year()).ok()?;
        let first =
            civil::Date::new(year, day.month().cast_signed(), day.day().cast_signed()).ok()?;
        let begin = |day: civil::Date| {
            let zoned = day.in_tz(&self.name).ok()?;
            Some(Moment(zoned.timestamp().as_microsecond()))
        };
        Some((begin(first)?, begin(first.tomorrow().ok()?)?))
    }

    /// The moment at which a day begins, written as in the book.
    pub fn begins(&self, day: &str) -> Option<Moment> {
        Some(self.day_limits(Date::parse(day)?)?.0)
    }

    /// The day there; clear where the clock shows none.
    pub fn today_at(&self, moment: Moment) -> Result<Date, Trouble> {
        self.day(moment).ok_or_else(|| {
            Trouble::new(
                "the clock shows no day of the calendar",
                "set this machine's clock",
            )
        })
    }

    /// When something happened, as typed: `2026-05-20 19:40`, or `19:40` for the same day as `now`.
    pub fn moment(&self, text: &str, now: Moment) -> Result<Moment, Trouble> {
        let text = text.trim();
        let written = match text.len() <= 5 && text.contains(':') {
            true => format!("{} {text:0>5}", self.day_text(now)),
            false => text.to_owned(),
        };
        let wrong = || {
            Trouble::new(
                format!("\"{text}\" is no time"),
                "write a day and a time, like \"2026-05-20 19:40\", or today's time alone, like 19:40",
            )
            .about("at")
        };
        let parsed = [
            "%Y-%m-%d %H:%M",
            "%Y-%m-%d %H:%M:%S",
            "%Y-%m-%dT%H:%M",
            "%Y-%m-%dT%H:%M:%S",
        ]
        .iter()
        .find_map(|form| civil::DateTime::strptime(form, &written).ok())
        .ok_or_else(wrong)?;
        // An hour that comes twice is taken as its first; one that is left out, as the clock shows.
        let zoned = self.zone.to_ambiguous_zoned_datetime(parsed).compatible();
        let zoned = zoned.map_err(|_| wrong())?;
        Ok(Moment(zoned.timestamp().as_microsecond()))
    }
}

/// The names of all zones with a continent, for a list to choose from.
pub fn zones() -> Vec<String> {
    let names = jiff::tz::db()
        .available()
        .map(|name| name.as_str().to_owned());
    let named = |name: &String| name.contains('/') && !name.starts_with("Etc/");
    names.filter(named).chain(["UTC".to_owned()]).collect()
}

/// The moment this machine's clock shows.
pub fn now() -> Moment {
    Moment(Timestamp::now().as_microsecond())
}

/// The day typed for `--today`; the clock's day in this zone where none is.
pub fn today_in(typed: Option<&str>, zone: &Zone) -> Result<Date, Trouble> {
    match typed {
        Some(text) => day_typed(text).map_err(|trouble| trouble.about("today")),
        None => zone.day(now()).ok_or_else(|| {
            Trouble::new(
                "this machine's clock shows no day of the calendar",
                "set the clock, or give the day, like --today \"2026-05-20\"",
            )
        }),
    }
}

/// The day typed for `--today`; the clock's day at Greenwich where none is.
pub fn today(typed: Option<&str>) -> Result<Date, Trouble> {
    let greenwich = Zone {
        name: "UTC".to_owned(),
        zone: TimeZone::UTC,
    };
    today_in(typed, &greenwich)
}

/// A day as typed.
pub fn day_typed(text: &str) -> Result<Date, Trouble> {
    Date::parse(text.trim()).ok_or_else(|| {
        Trouble::new(
            format!("\"{text}\" is no day of the calendar"),
            "write year-month-day, like \"2026-05-20\"",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dublin() -> Zone {
        Zone::named("Europe/Dublin").unwrap()
    }

    /// POSIX time counts 86 400 s a day from 1970-01-01; 1 000 000 000 s is 2001-09-09 01:46:40 UTC
    /// (widely printed).
    #[test]
    fn a_moment_is_shown_in_its_zone() {
        let moment = Moment(1_000_000_000_000_000);
        assert_eq!(
            Zone::named("UTC").unwrap().minute(moment),
            "2001-09-09 01:46"
        );
        // Irish standard time was one hour ahead of Greenwich in September.
        assert_eq!(dublin().exact(moment), "2001-09-09T02:46:40+01:00");
    }

    #[test]
    fn a_time_typed_is_read_back() {
        let now = Moment(1_779_264_000_000_000); // 2026-05-20 08:00 UTC
        let at = dublin().moment("2026-05-20 19:40", now).unwrap();
        assert_eq!(dublin().minute(at), "2026-05-20 19:40");
        assert_eq!(dublin().moment("19:40", now).unwrap(), at);
        assert_eq!(
            dublin().clock(dublin().moment("9:05", now).unwrap()),
            "09:05"
        );
        for text in [
            "",
            "yesterday",
            "25:00",
            "2026-02-30 10:00",
            "20.5.2026 19:40",
        ] {
            let trouble = dublin().moment(text, now).unwrap_err();
            assert_eq!(trouble.field, Some("at"), "{text}");
        }
    }

    /// Summer time began at 01:00 on 2026-03-29 (last Sunday of March, Directive 2000/84/EC).
    #[test]
    fn a_day_may_have_23_hours() {
        let day = Date::parse("2026-03-29").unwrap();
        let (begin, end) = dublin().day_limits(day).unwrap();
        assert_eq!(end.seconds_since(begin), 23.0 * 3600.0);
        assert_eq!(dublin().day(begin), Some(day));
    }

    #[test]
    fn a_zone_is_named_by_its_city() {
        let trouble = Zone::named("Dublin time").unwrap_err();
        assert!(trouble.what.contains("Dublin time"), "{}", trouble.what);
    }

    #[test]
    fn a_day_typed_counts() {
        assert_eq!(
            today(Some(" 2026-05-20 ")).unwrap(),
            Date::parse("2026-05-20").unwrap()
        );
        assert_eq!(today(Some("20.5.2026")).unwrap_err().field, Some("today"));
    }
}
