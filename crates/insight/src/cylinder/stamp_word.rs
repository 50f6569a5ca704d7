//! The single words of a stamp: specifications, pressures, dates, alloys.
//!
//! Marks of pressure: PW, WP and PS working, PH, PT and TP test pressure; bar
//! is the unit of ISO 13769 and EN 1089-1 marks, psi that of 49 CFR 178 ones
//! (both from memory). Not here: what contradicts what ([`super::stamp`]).

use super::pressure::typed;
use super::stamp::{StampDate, StampPressure};
use super::when::When;
use station::{Date, Material};

/// What a word is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Word {
    Specification {
        name: String,
        material: Material,
        service: Option<StampPressure>,
        plus: bool,
    },
    Permit {
        number: String,
        service: Option<StampPressure>,
    },
    Service(StampPressure),
    Test(StampPressure),
    Date(StampDate),
    Alloy(String),
    Made(Material),
    Condemned,
    /// A mark that says nothing asked here, such as the authority's name.
    Known,
    Doubtful(String),
    Unread(String),
}

/// Specifications, longest first, with what they are made of and the unit of the
/// number behind them. An M marks a metric (Canadian) one.
const SPECIFICATIONS: [(&str, Material, &str); 10] = [
    ("3AAX", Material::Steel, "psi"),
    ("3AAM", Material::Steel, "bar"),
    ("3ALM", Material::Aluminium, "bar"),
    ("3AA", Material::Steel, "psi"),
    ("3AX", Material::Steel, "psi"),
    ("3AL", Material::Aluminium, "psi"),
    ("3HT", Material::Steel, "psi"),
    ("3AM", Material::Steel, "bar"),
    ("3T", Material::Steel, "psi"),
    ("3A", Material::Steel, "psi"),
];

/// Design standards that say what a cylinder is made of (titles of the standards).
const DESIGNS: [(&str, Material); 8] = [
    ("ISO9809", Material::Steel),
    ("EN1964", Material::Steel),
    ("34CRMO4", Material::Steel),
    ("ISO7866", Material::Aluminium),
    ("EN1975", Material::Aluminium),
    ("ISO11119", Material::Composite),
    ("EN12245", Material::Composite),
    ("EN12257", Material::Composite),
];

const ALLOYS: [&str; 5] = ["6351", "6061", "6082", "7032", "7060"];
const SERVICE_MARKS: [&str; 3] = ["PW", "WP", "PS"];
const TEST_MARKS: [&str; 3] = ["PH", "PT", "TP"];
const AUTHORITIES: [&str; 7] = ["DOT", "ICC", "CTC", "TC", "UN", "CE", "AIR"];

/// Reads the first word, with those behind it that belong to it: what it is, and
/// how many words that took.
pub(super) fn read_word(words: &[&str], today: Date) -> (Word, usize) {
    let Some(&first) = words.first() else {
        return (Word::Known, 1);
    };
    let bare = without_authority(first);
    if bare.is_empty() {
        return (Word::Known, 1);
    }
    if matches!(bare, "CONDEMNED" | "REJECTED" | "XXX" | "XXXX") {
        return (Word::Condemned, 1);
    }
    specification(bare, words)
        .or_else(|| permit(bare, words))
        .or_else(|| marked(bare, words))
        .or_else(|| alloy(bare))
        .or_else(|| date(bare, today))
        .or_else(|| unmarked(bare, words))
        .unwrap_or_else(|| (Word::Unread(first.to_owned()), 1))
}

fn without_authority(word: &str) -> &str {
    for name in AUTHORITIES {
        if let Some(rest) = word.strip_prefix(name)
            && (rest.is_empty() || rest.starts_with('-'))
        {
            return rest.trim_start_matches('-');
        }
    }
    word
}

fn specification(word: &str, words: &[&str]) -> Option<(Word, usize)> {
    let (name, material, unit) = SPECIFICATIONS
        .iter()
        .find(|(name, _, _)| word.starts_with(name))?;
    let rest = word.get(name.len()..)?.trim_start_matches('-');
    let (name, material) = ((*name).to_owned(), *material);
    let at = |text: &str, used: usize| {
        let plus = text.ends_with('+');
        let number: f64 = text.trim_end_matches('+').parse().ok()?;
        let pressure = typed(number, unit)?;
        let service = StampPressure {
            pressure,
            unit_from: Some(format!("{unit}, as a number behind {name} is")),
        };
        let (name, material) = (name.clone(), material);
        Some((
            Word::Specification {
                name,
                material,
                service: Some(service),
                plus,
            },
            used,
        ))
    };
    if !rest.is_empty() {
        return at(rest, 1);
    }
    let next = words.get(1).copied().unwrap_or_default();
    // an alloy is no pressure
    let follows = !ALLOYS.contains(&next.trim_end_matches('+'));
    follows.then(|| at(next, 2)).flatten().or_else(|| {
        let alone = Word::Specification {
            name: name.clone(),
            material,
            service: None,
            plus: false,
        };
        Some((alone, 1))
    })
}

/// `E9791-3500`, `SP10915-4500`, `E 9894 4500`: a permit's number and service pressure.
fn permit(word: &str, words: &[&str]) -> Option<(Word, usize)> {
    let rest = word.strip_prefix("SP").or_else(|| word.strip_prefix('E'))?;
    let rest = rest.trim_start_matches('-');
    let (text, mut used) = match rest {
        "" => (*words.get(1)?, 2),
        _ => (rest, 1),
    };
    let (number, pressure) = match text.split_once('-') {
        Some((number, pressure)) => (number, Some(pressure)),
        None => (text, None),
    };
    let digits = (3..=5).contains(&number.len()) && number.chars().all(|c| c.is_ascii_digit());
    if !digits {
        return None;
    }
    let psi = |text: &str| typed(text.parse().ok()?, "psi");
    let mut service = pressure.and_then(psi);
    if pressure.is_none()
        && let Some(next) = words.get(used)
        && next.len() == 4
        && let Some(found) = psi(next)
    {
        service = Some(found);
        used += 1;
    }
    let service = service.map(|pressure| StampPressure {
        pressure,
        unit_from: Some("psi, as a number behind a DOT permit is".into()),
    });
    let number = number.to_owned();
    Some((Word::Permit { number, service }, used))
}

/// `PW232`, `PW 232 BAR`, `TP 5000 PSI`.
fn marked(word: &str, words: &[&str]) -> Option<(Word, usize)> {
    let mark = word.get(..2)?;
    let service = SERVICE_MARKS.contains(&mark);
    if !service && !TEST_MARKS.contains(&mark) {
        return None;
    }
    let rest = word.get(2..)?.trim_start_matches([':', '=', '-']);
    let (number, used) = match rest {
        "" => (*words.get(1)?, 2),
        _ => (rest, 1),
    };
    let (pressure, used) = pressure(number, words, used, Some(mark))?;
    let word = match pressure {
        Err(doubt) => Word::Doubtful(doubt),
        Ok(pressure) if service => Word::Service(pressure),
        Ok(pressure) => Word::Test(pressure),
    };
    Some((word, used))
}

/// `232 BAR`, `3000PSI`: a pressure with its unit and no mark is the service pressure.
fn unmarked(word: &str, words: &[&str]) -> Option<(Word, usize)> {
    let (pressure, used) = pressure(word, words, 1, None)?;
    Some((Word::Service(pressure.ok()?), used))
}

type Read = Result<StampPressure, String>;

/// A number with its unit in the same word, in the next, or implied by the mark.
fn pressure(text: &str, words: &[&str], used: usize, mark: Option<&str>) -> Option<(Read, usize)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.');
    let (digits, unit) = text.split_at(end.unwrap_or(text.len()));
    let number: f64 = digits.parse().ok()?;
    let stamped = |unit: &str| {
        let symbol = unit_symbol(unit)?;
        let pressure = typed(number, symbol)?;
        Some(StampPressure {
            pressure,
            unit_from: None,
        })
    };
    if !unit.is_empty() {
        return Some((Ok(stamped(unit)?), used));
    }
    if let Some(next) = words.get(used).and_then(|word| stamped(word)) {
        return Some((Ok(next), used + 1));
    }
    let mark = mark?;
    let symbol = match number {
        n if n <= 750.0 => "bar",
        n if n >= 1500.0 => "psi",
        _ => {
            let doubt = format!("{mark} {digits} without a unit can be neither bar nor psi");
            return Some((Err(doubt), used));
        }
    };
    let pressure = typed(number, symbol)?;
    let unit_from = format!("no unit behind {mark}: {symbol} by its size");
    Some((
        Ok(StampPressure {
            pressure,
            unit_from: Some(unit_from),
        }),
        used,
    ))
}

fn unit_symbol(text: &str) -> Option<&'static str> {
    match text {
        "BAR" | "BARG" => Some("bar"),
        "PSI" | "PSIG" => Some("psi"),
        "MPA" => Some("MPa"),
        _ => None,
    }
}

fn alloy(word: &str) -> Option<(Word, usize)> {
    let plain = word.strip_prefix("AA").unwrap_or(word);
    let plain = plain.split('-').next().unwrap_or(plain);
    if ALLOYS.contains(&plain) {
        return Some((Word::Alloy(plain.to_owned()), 1));
    }
    let design = DESIGNS.iter().find(|(name, _)| word.starts_with(name))?;
    Some((Word::Made(design.1), 1))
}

/// `06^19+`, `06-19`, `06/19`, `6H19`, `06^A123^19`, `2019/06`, `06-2019`, `2019-06-30`;
/// + and * (or ★) may follow.
fn date(word: &str, today: Date) -> Option<(Word, usize)> {
    let core = word.trim_end_matches(['+', '*', '★']);
    let marks = word.get(core.len()..)?;
    let when = match parse_when(core, today)? {
        Ok(when) => when,
        Err(doubt) => return Some((Word::Doubtful(doubt), 1)),
    };
    let date = StampDate {
        text: word.to_owned(),
        when,
        plus: marks.contains('+'),
        star: marks.contains(['*', '★']),
    };
    Some((Word::Date(date), 1))
}

fn parse_when(core: &str, today: Date) -> Option<Result<When, String>> {
    let parts: Vec<&str> = core
        .split(|c: char| !c.is_ascii_digit())
        .filter(|part| !part.is_empty())
        .collect();
    let letters = core.chars().filter(char::is_ascii_alphabetic).count();
    let starts = core.starts_with(|c: char| c.is_ascii_digit());
    let ends = core.ends_with(|c: char| c.is_ascii_digit());
    if !starts || !ends || core.contains('.') {
        return None;
    }
    let number = |text: &str| text.parse::<u16>().ok();
    let (year, month, day) = match parts.as_slice() {
        [y, m] if y.len() == 4 && m.len() == 2 && letters == 0 => (number(y)?, number(m)?, None),
        [m, y] if m.len() <= 2 && y.len() == 4 && letters == 0 => (number(y)?, number(m)?, None),
        [m, y] if m.len() <= 2 && y.len() == 2 && letters <= 1 => {
            (century(number(y)?, today), number(m)?, None)
        }
        [y, m, d] if y.len() == 4 && letters == 0 => (number(y)?, number(m)?, number(d)),
        // a requalifier's number stands between month and year
        [m, _, y] if m.len() <= 2 && y.len() == 2 && (1..=2).contains(&letters) => {
            (century(number(y)?, today), number(m)?, None)
        }
        _ => return None,
    };
    if !(1900..2200).contains(&year) {
        return None;
    }
    let month = u8::try_from(month).ok()?;
    let when = match day {
        None => When::month(year, month),
        Some(day) => Date::new(year, month, u8::try_from(day).ok()?).map(When::on),
    };
    Some(when.ok_or_else(|| format!("{core} is no date: stamps give the month, then the year")))
}

/// Two digits of a year, never later than this year.
fn century(short: u16, today: Date) -> u16 {
    let this = 100 * (today.year() / 100);
    if this + short <= today.year() {
        this + short
    } else {
        this - 100 + short
    }
}
