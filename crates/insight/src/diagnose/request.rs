//! What a diagnosis is asked: readings and observations as a person has them.
//!
//! [`read`] turns written lines into [`Reading`]s and tells every problem with its line.
//! Not here: files and their form (comma-separated text is the program's affair).

use crate::forecast::request::CylinderStart;
use quantity::{GaugePressure, Temperature, TimeSpan, parse};
use station::{Reads, Station};

/// Longest time from the start that a reading may be of, s.
const LONGEST_S: f64 = 48.0 * 3600.0;

/// What to find out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Request {
    /// What was read and noticed.
    pub readings: Vec<Reading>,
    /// The cylinders on the line, with their pressure before filling where known; empty: the
    /// station's first.
    pub cylinders: Vec<CylinderStart>,
    /// Tower gauge before the start; none: taken from the readings, else unknown.
    pub tower: Option<GaugePressure>,
    /// Air at the intake; none: the station file's.
    pub intake_temperature: Option<Temperature>,
}

/// One line as it was written; a blank field is an empty text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Row {
    /// Where it stands, counted from 1.
    pub line: usize,
    /// `m:ss`, or minutes, from the start of the machine.
    pub time: String,
    /// Which gauge: its name in the station file, or `tower`, `line`, `stage 1`.
    pub gauge: String,
    /// What it showed, with its unit.
    pub reading: String,
    /// What was seen, heard or done.
    pub observed: String,
}

/// Something read or noticed at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The line it was written on, counted from 1.
    pub line: usize,
    /// Since the machine was started, s; none where no time was given.
    pub t_s: Option<f64>,
    /// Standard uncertainty of that time, s, from the way it was written.
    pub t_sd_s: f64,
    /// What a gauge showed.
    pub shown: Option<Shown>,
    /// What was seen, heard or done, as written; empty where nothing was.
    pub observed: String,
}

/// What a gauge showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// What the gauge reads.
    pub reads: Reads,
    /// Its value.
    pub value: GaugePressure,
    /// The value as written.
    pub typed: String,
}

/// Why a line cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowProblem {
    /// The line, counted from 1.
    pub line: usize,
    /// Which field of it: `time`, `gauge`, `reading`, `observed`.
    pub field: &'static str,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

/// Reads written lines.
///
/// **Errors** every line that cannot be used, each with what to write instead.
pub fn read(station: &Station, rows: &[Row]) -> Result<Vec<Reading>, Vec<RowProblem>> {
    let mut readings = Vec::new();
    let mut problems = Vec::new();
    for row in rows {
        match one(station, row) {
            Ok(reading) => readings.extend(reading),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() {
        Ok(readings)
    } else {
        Err(problems)
    }
}

/// What a gauge of this name reads: its name in the station file, or what everybody calls it.
pub fn gauge_called(station: &Station, name: &str) -> Option<Reads> {
    let name = name.trim().to_lowercase();
    let own = station
        .gauges
        .iter()
        .find(|g| g.name.to_lowercase() == name);
    if let Some(gauge) = own {
        return Some(gauge.reads);
    }
    match name.as_str() {
        "tower" | "tower gauge" | "final" | "separator" => Some(Reads::Tower),
        "line" | "panel" | "whip" | "fill" | "fill gauge" | "cylinder" => Some(Reads::Line),
        _ => {
            let stage = name.strip_prefix("stage")?.trim().parse().ok()?;
            let between = 1..station.compressor.stage_count;
            between.contains(&stage).then_some(Reads::Stage(stage))
        }
    }
}

fn one(station: &Station, row: &Row) -> Result<Option<Reading>, RowProblem> {
    let bad = |field, what: String, remedy: &str| RowProblem {
        line: row.line,
        field,
        what,
        remedy: remedy.to_owned(),
    };
    let (time, observed) = (row.time.trim(), row.observed.trim());
    let (gauge, reading) = (row.gauge.trim(), row.reading.trim());
    if [time, gauge, reading, observed]
        .iter()
        .all(|f| f.is_empty())
    {
        return Ok(None);
    }
    let timed = moment(time).map_err(|(what, remedy)| bad("time", what, remedy))?;
    let shown = match (gauge.is_empty(), reading.is_empty()) {
        (_, true) => None,
        (true, false) => {
            return Err(bad(
                "gauge",
                format!("{reading} was read, but not on which gauge"),
                "name the gauge: tower, line, or as the station file calls it",
            ));
        }
        (false, false) => Some(shown(station, row)?),
    };
    if shown.is_some() && timed.is_none() {
        return Err(bad(
            "time",
            format!("{reading} was read, but not when"),
            "give the time since the start, as 4:30 or in minutes",
        ));
    }
    let (t_s, t_sd_s) = timed.map_or((None, 0.0), |(t, sd)| (Some(t), sd));
    Ok(Some(Reading {
        line: row.line,
        t_s,
        t_sd_s,
        shown,
        observed: observed.to_owned(),
    }))
}

fn shown(station: &Station, row: &Row) -> Result<Shown, RowProblem> {
    let bad = |field, what: String, remedy: String| RowProblem {
        line: row.line,
        field,
        what,
        remedy,
    };
    let (gauge, reading) = (row.gauge.trim(), row.reading.trim());
    let reads = gauge_called(station, gauge).ok_or_else(|| {
        let names: Vec<&str> = station.gauges.iter().map(|g| g.name.as_str()).collect();
        let known = if names.is_empty() {
            "tower, line".to_owned()
        } else {
            names.join(", ")
        };
        let what = format!("the station file has no gauge called `{gauge}`");
        bad("gauge", what, format!("write one of: {known}"))
    })?;
    let typed = parse::<GaugePressure>(reading).map_err(|e| {
        let remedy = "write the number with its unit, like `132 bar` or `1900 psi`";
        bad("reading", e.cause(), remedy.to_owned())
    })?;
    let bar = typed.value.as_bar();
    if !(-1.0..=1000.0).contains(&bar) {
        let what = format!("no gauge here shows {reading}");
        let remedy = "check the number and its unit".to_owned();
        return Err(bad("reading", what, remedy));
    }
    Ok(Shown {
        reads,
        value: typed.value,
        typed: reading.to_owned(),
    })
}

type Told = (String, &'static str);

/// A time since the start and its standard uncertainty, both in s: `m:ss`, `h:mm:ss`, minutes, or
/// a number with its unit. Blank is no time.
fn moment(text: &str) -> Result<Option<(f64, f64)>, Told> {
    const REMEDY: &str = "write minutes and seconds like 4:30, or minutes like 4.5";
    let wrong = || (format!("`{text}` is not a time"), REMEDY);
    if text.is_empty() {
        return Ok(None);
    }
    let seconds = if text.contains(':') {
        clock(text).ok_or_else(wrong)?
    } else if let Ok(minutes) = text.replace(',', ".").parse::<f64>() {
        minutes * 60.0
    } else {
        parse::<TimeSpan>(text)
            .map_err(|_| wrong())?
            .value
            .as_second()
    };
    if !(-LONGEST_S..=LONGEST_S).contains(&seconds) {
        return Err((format!("`{text}` is not within 48 h of the start"), REMEDY));
    }
    // a whole minute is read off the watch less closely than minutes and seconds
    let whole = !text.contains([':', '.', ',']);
    Ok(Some((seconds, if whole { 8.0 } else { 4.0 })))
}

fn clock(text: &str) -> Option<f64> {
    let (sign, text) = text.strip_prefix('-').map_or((1.0, text), |t| (-1.0, t));
    let parts: Vec<&str> = text.split(':').collect();
    if !(2..=3).contains(&parts.len()) {
        return None;
    }
    let mut seconds = 0.0;
    for (i, part) in parts.iter().enumerate() {
        let value: u32 = part.trim().parse().ok()?;
        if i > 0 && value > 59 {
            return None;
        }
        seconds = seconds * 60.0 + f64::from(value);
    }
    Some(sign * seconds)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn station() -> Station {
        let text = include_str!("../../../../stations/boathouse.toml");
        station::read(text).station.unwrap()
    }

    fn row(time: &str, gauge: &str, reading: &str, observed: &str) -> Row {
        Row {
            line: 2,
            time: time.into(),
            gauge: gauge.into(),
            reading: reading.into(),
            observed: observed.into(),
        }
    }

    #[test]
    fn times_are_minutes_and_seconds_or_minutes() {
        let s = |text| moment(text).unwrap().map(|(t, _)| t);
        assert_eq!(s("4:30"), Some(270.0));
        assert_eq!(s("1:02:03"), Some(3723.0));
        assert_eq!(s("-0:30"), Some(-30.0));
        assert_eq!(s("4.5"), Some(270.0));
        assert_eq!(s("4,5"), Some(270.0));
        assert_eq!(s("31"), Some(1860.0));
        assert_eq!(s("31 min"), Some(1860.0));
        assert_eq!(s(""), None);
        for wrong in ["4:75", "soon", "4:", ":30", "1:2:3:4", "9999"] {
            assert!(moment(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn gauges_go_by_their_own_name_or_the_usual_one() {
        let station = station();
        assert_eq!(gauge_called(&station, "Panel"), Some(Reads::Line));
        assert_eq!(gauge_called(&station, "first stage"), Some(Reads::Stage(1)));
        assert_eq!(gauge_called(&station, "stage 2"), Some(Reads::Stage(2)));
        assert_eq!(gauge_called(&station, "stage 3"), None);
        assert_eq!(gauge_called(&station, "thermometer"), None);
    }

    #[test]
    fn every_line_that_cannot_be_used_is_told() {
        let station = station();
        let rows = [
            row("1:00", "tower", "96 bar", ""),
            row("2:00", "tower", "96", ""),
            row("2:00", "boiler", "96 bar", ""),
            row("", "tower", "96 bar", ""),
            row("later", "", "", "hiss at the relief valve"),
            row("2:00", "", "96 bar", ""),
            row("2:00", "tower", "2900 bar", ""),
        ];
        let problems = read(&station, &rows).unwrap_err();
        let fields: Vec<&str> = problems.iter().map(|p| p.field).collect();
        assert_eq!(
            fields,
            ["reading", "gauge", "time", "time", "gauge", "reading"]
        );
        assert!(problems[1].remedy.contains("tower, panel, first stage"));
        assert!(problems.iter().all(|p| !p.remedy.is_empty()));
    }

    #[test]
    fn blanks_are_allowed() {
        let station = station();
        let rows = [
            row("", "", "", ""),
            row("31", "", "", "hissing"),
            row("", "", "", "drained 40 mL"),
            row("2:00", "tower", "1900 psi", ""),
        ];
        let readings = read(&station, &rows).unwrap();
        assert_eq!(readings.len(), 3);
        let shown = readings[2].shown.as_ref().unwrap();
        // 1 psi = 6894.757 Pa (NIST SP 811)
        assert!((shown.value.as_bar() - 131.0004).abs() < 1e-3);
        assert_eq!(readings[0].t_s, Some(1860.0));
    }
}
