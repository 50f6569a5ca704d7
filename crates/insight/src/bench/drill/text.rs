//! Drills as text: one block a drill, a line for each thing it says.
//!
//! Blocks are separated by blank lines, lines are `name: text`, parts of a line stand between `|`.
//! Lines that begin with # are remarks; a line that begins with blanks goes on with the one before.

use super::when::{From, Level, Place, When};
use super::{Drill, Meanwhile, Never, Not, Step};
use crate::bench::{Act, Begin, Happening, Refused, Setting, wrong};
use quantity::{Fraction, GaugePressure, Temperature, parse};
use station::Station;

/// Every block of a file, read or with what is wrong in it.
pub fn blocks(file: &str) -> Vec<Result<Drill, String>> {
    let mut all = Vec::new();
    let mut block: Vec<(String, String)> = Vec::new();
    for line in file.lines().chain([""]) {
        if line.starts_with('#') {
            continue;
        }
        if line.trim().is_empty() {
            if !block.is_empty() {
                all.push(drill(&std::mem::take(&mut block)));
            }
        } else if line.starts_with(' ') {
            if let Some((_, text)) = block.last_mut() {
                *text = format!("{text} {}", line.trim());
            }
        } else {
            let (name, text) = line.split_once(':').unwrap_or((line, ""));
            block.push((name.trim().to_owned(), text.trim().to_owned()));
        }
    }
    all
}

/// Names of lines.
const KNOWN: [&str; 14] = [
    "drill", "title", "about", "given", "set", "wrong", "begin", "ends", "tell", "do", "not",
    "never", "debrief", "source",
];

fn drill(block: &[(String, String)]) -> Result<Drill, String> {
    let key = block
        .first()
        .map(|(_, key)| key.clone())
        .unwrap_or_default();
    let wrong = |what: &str| format!("drill {key}: {what}");
    let one = |name: &str| {
        let found = block.iter().find(|(n, _)| n == name);
        found.map(|(_, text)| text.clone())
    };
    let needed = |name: &str| one(name).ok_or_else(|| wrong(&format!("`{name}:` is missing")));
    let rows = |name: &'static str| block.iter().filter(move |(n, _)| n == name);
    if let Some((name, _)) = block.iter().find(|(n, _)| !KNOWN.contains(&n.as_str())) {
        return Err(wrong(&format!("`{name}:` is not known")));
    }
    let list = |name: &str| one(name).unwrap_or_default();
    let set = list("set");
    let set = set
        .split(';')
        .filter_map(|pair| pair.trim().split_once(' '));
    let faults = list("wrong");
    let faults: Vec<String> = faults.split_whitespace().map(str::to_owned).collect();
    if let Some(bad) = faults.iter().find(|f| wrong::entry(f).is_none()) {
        return Err(wrong(&format!("no fault is called {bad}")));
    }
    let begin = one("begin").map_or(Some(Begin::Rest), |b| Begin::named(&b));
    let told = |text: &str| {
        let (at, words) = text.split_once('|')?;
        Some((clock(at)?, words.trim().to_owned()))
    };
    let read = |name: &'static str| {
        rows(name).map(move |(_, text)| text.split('|').map(str::trim).collect::<Vec<&str>>())
    };
    Ok(Drill {
        title: needed("title")?,
        about: needed("about")?,
        given: needed("given")?,
        set: set
            .map(|(k, v)| (k.to_owned(), v.trim().to_owned()))
            .collect(),
        wrong: faults,
        begin: begin.ok_or_else(|| wrong("begin is rest, running or filled"))?,
        seconds: clock(&needed("ends")?).ok_or_else(|| wrong("ends is a time like 8:00"))?,
        tells: rows("tell")
            .map(|(_, text)| told(text).ok_or_else(|| wrong(text)))
            .collect::<Result<_, _>>()?,
        steps: read("do")
            .map(|parts| step(&parts).ok_or_else(|| wrong(&parts.join(" | "))))
            .collect::<Result<_, _>>()?,
        nots: read("not")
            .map(|parts| not(&parts).ok_or_else(|| wrong(&parts.join(" | "))))
            .collect::<Result<_, _>>()?,
        nevers: read("never")
            .map(|parts| never(&parts).ok_or_else(|| wrong(&parts.join(" | "))))
            .collect::<Result<_, _>>()?,
        debrief: needed("debrief")?,
        source: needed("source")?,
        key,
    })
}

fn step(parts: &[&str]) -> Option<Step> {
    let &[act, due, within, why] = parts else {
        return None;
    };
    Act::named(act, 0)?;
    Some(Step {
        act: act.to_owned(),
        when: when(due)?,
        within_s: clock(within)?,
        why: why.to_owned(),
    })
}

fn not(parts: &[&str]) -> Option<Not> {
    let &[act, meanwhile, why] = parts else {
        return None;
    };
    Act::named(act, 0)?;
    Some(Not {
        act: act.to_owned(),
        meanwhile: match meanwhile {
            "always" => Meanwhile::Always,
            "pressure" => Meanwhile::Pressure,
            "running" => Meanwhile::Running,
            other => {
                let before = other.strip_prefix("before ")?;
                Act::named(before, 0)?;
                Meanwhile::Before(before.to_owned())
            }
        },
        why: why.to_owned(),
    })
}

fn never(parts: &[&str]) -> Option<Never> {
    let &[name, why] = parts else { return None };
    Some(Never {
        happening: Happening::named(name)?,
        why: why.to_owned(),
    })
}

fn when(text: &str) -> Option<When> {
    let words: Vec<&str> = text.split_whitespace().collect();
    Some(match words[..] {
        ["start"] => When::Start,
        ["at", time] => When::At(clock(time)?),
        ["after", act] => {
            Act::named(act, 0)?;
            When::After(act.to_owned())
        }
        [name] => When::Happened(Happening::named(name)?),
        [place, ">=", ref level @ ..] => When::Rises(self::place(place)?, self::level(level)?),
        [place, "<=", ref level @ ..] => When::Falls(self::place(place)?, self::level(level)?),
        _ => return None,
    })
}

fn place(name: &str) -> Option<Place> {
    Some(match name {
        "tower" => Place::Tower,
        "hose" => Place::Hose,
        "cylinder" => Place::Cylinder,
        _ => return None,
    })
}

/// `stop`, `relief -10 bar`, `1 bar`.
fn level(words: &[&str]) -> Option<Level> {
    let from = match *words.first()? {
        "pmv" => From::Pmv,
        "stop" => From::Stop,
        "relief" => From::Relief,
        _ => From::Zero,
    };
    let rest = if from == From::Zero {
        words
    } else {
        &words[1..]
    };
    let bar = match rest {
        [] => 0.0,
        [number, "bar"] => number.parse().ok()?,
        _ => return None,
    };
    Some(Level { from, bar })
}

/// Seconds of `m:ss`.
fn clock(text: &str) -> Option<u64> {
    let (minutes, seconds) = text.trim().split_once(':')?;
    let seconds: u64 = seconds.parse().ok().filter(|s| *s < 60)?;
    Some(minutes.parse::<u64>().ok()? * 60 + seconds)
}

/// The station's own setting, changed as the drill says.
///
/// **Errors** a value that cannot be read.
pub fn setting(drill: &Drill, station: &Station) -> Result<Setting, Refused> {
    let mut setting = Setting::of(station)?;
    let stop = stop_bar(station, &setting);
    for (name, value) in &drill.set {
        let done = set(&mut setting, name, value, stop, station);
        done.ok_or_else(|| {
            let what = format!("the drill sets {name} to {value}, which cannot be read");
            Refused::new(what, "choose another drill")
        })?;
    }
    Ok(setting)
}

/// Where filling of the setting's cylinder stops, bar.
fn stop_bar(station: &Station, setting: &Setting) -> f64 {
    let working = station.compressor.working_pressure.as_bar();
    let kind = station
        .cylinder_kinds
        .iter()
        .find(|k| k.id == setting.cylinder);
    kind.map_or(working, |k| {
        k.vessel.working_pressure.value.as_bar().min(working)
    })
}

fn set(setting: &mut Setting, name: &str, value: &str, stop: f64, station: &Station) -> Option<()> {
    match name {
        "intake" => setting.intake = parse::<Temperature>(value).ok()?.value,
        "humidity" => setting.humidity = parse::<Fraction>(value).ok()?.value,
        "start" => {
            let bar = match value.strip_prefix("stop") {
                Some(by) => {
                    stop + by
                        .trim()
                        .trim_end_matches("bar")
                        .trim()
                        .parse::<f64>()
                        .ok()?
                }
                None => parse::<GaugePressure>(value).ok()?.value.as_bar(),
            };
            setting.start = GaugePressure::bar(bar);
        }
        "tower" => {
            let pmv = station.pmv.as_ref();
            setting.tower = match value {
                "empty" => GaugePressure::bar(0.0),
                "opens" => pmv.map_or(setting.tower, |pmv| pmv.opens),
                "start" => setting.start,
                "full" => GaugePressure::bar(stop),
                other => parse::<GaugePressure>(other).ok()?.value,
            };
        }
        _ => return None,
    }
    Some(())
}
