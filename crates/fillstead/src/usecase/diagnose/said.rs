//! Words and figures of a diagnosis, the same on the command line, the page and the sheet.

use insight::diagnose::answer::{Cause, Diagnosis, SettingFound, Standing, Verdict};
use quantity::UnitSystem;

use crate::draw::figures::{Figures, short};
use crate::words::sentence;

/// NIST SP 811, B.8.
const LITRES_IN_CUBIC_FOOT: f64 = 28.316_846_592;

/// What a standing means.
pub fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::NoReadings => "no readings yet",
        Standing::Sound => "nothing stands against a sound machine",
        Standing::Likely => "one cause stands out",
        Standing::Leading => "several causes explain the readings, and one leads",
        Standing::CannotTell => "cannot tell: the readings do not decide",
        Standing::DoesNotFit => "does not fit: nothing known here explains the readings",
    }
}

/// What a verdict means.
pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within its tolerance",
        Verdict::Below => "below its tolerance",
        Verdict::Above => "above its tolerance",
        Verdict::CannotTell => "cannot tell",
        Verdict::NotReached => "not reached",
    }
}

/// Figures of settings in a person's units.
#[derive(Clone, Copy, Debug)]
pub struct Settings {
    /// The units.
    pub units: UnitSystem,
}

impl Settings {
    /// A pressure in the person's unit; anything else as it is.
    pub fn number(self, setting: &SettingFound, value: f64) -> f64 {
        match (setting.unit, self.units) {
            ("bar", _) => Figures { units: self.units }.value(value),
            ("L/min", UnitSystem::Us) => value / LITRES_IN_CUBIC_FOOT,
            _ => value,
        }
    }

    /// Its unit as shown.
    pub fn unit(self, setting: &SettingFound) -> &'static str {
        match (setting.unit, self.units) {
            ("bar", _) => Figures { units: self.units }.unit(),
            ("L/min", UnitSystem::Us) => "cu ft/min",
            (other, _) => other,
        }
    }

    /// `131 ± 4 bar`; none where the readings do not reach it.
    pub fn found(self, setting: &SettingFound) -> Option<String> {
        let found = setting.found?;
        Some(self.about(setting, found, setting.plus_minus))
    }

    /// `150 ± 5 bar`; none where the station file says nothing.
    pub fn specified(self, setting: &SettingFound) -> Option<String> {
        let specified = setting.specified?;
        Some(self.about(setting, specified, setting.tolerance))
    }

    fn about(self, setting: &SettingFound, value: f64, give: Option<f64>) -> String {
        let unit = self.unit(setting);
        let wide = give.map(|give| self.number(setting, give));
        let digits = digits(wide.unwrap_or(1.0)).min(finest(unit));
        let value = short(self.number(setting, value), digits);
        let wide = wide.filter(|wide| wide.is_finite());
        match wide.map(|wide| short(wide, digits)) {
            Some(wide) if wide != "0" => format!("{value} ± {wide} {unit}"),
            _ => format!("{value} {unit}"),
        }
    }
}

/// Digits after the point that a figure with this uncertainty deserves.
fn digits(wide: f64) -> usize {
    match wide {
        wide if wide >= 2.0 || wide <= 0.0 => 0,
        wide if wide >= 0.2 => 1,
        _ => 2,
    }
}

/// Digits after the point that no gauge goes beyond.
fn finest(unit: &str) -> usize {
    match unit {
        "psi" => 0,
        "bar" => 1,
        _ => 2,
    }
}

/// A chance in percent, never quite none and never quite sure.
pub fn chance(probability: f64) -> String {
    match (100.0 * probability).round() {
        whole if whole < 1.0 => "under 1 %".to_owned(),
        whole if whole > 99.0 => "over 99 %".to_owned(),
        whole => format!("{whole:.0} %"),
    }
}

/// Causes worth showing: the leading ones, until little is left.
pub fn worth_showing(diagnosis: &Diagnosis) -> impl Iterator<Item = &Cause> {
    const LITTLE: f64 = 0.02;
    const MOST: usize = 6;
    let few = diagnosis.causes.iter().enumerate();
    few.filter(|(i, cause)| *i == 0 || cause.probability >= LITTLE)
        .map(|(_, cause)| cause)
        .take(MOST)
}

/// What stands over the causes.
pub fn over_causes(diagnosis: &Diagnosis) -> &'static str {
    match diagnosis.standing {
        Standing::DoesNotFit => "What was weighed; none of it fits",
        _ => "Likely causes",
    }
}

/// What sort of thing is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// Something to do now.
    Action,
    /// Something to take care of.
    Caution,
    /// Nothing stands against it.
    Good,
    /// Something to know.
    Note,
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Todo {
    /// Its sort.
    pub sort: Sort,
    /// What it is about, in a few words.
    pub first: &'static str,
    /// The rest, a whole sentence.
    pub text: String,
}

const RELIEF: &str = "a relief valve is set and sealed by a licensed person on a test rig, or replaced; \
    never turned, plugged or capped at the machine";
const NOTHING: &str = "that nothing is wrong is the likeliest, and not sure; read on";
const GUESS: &str = "the readings do not decide; a part changed on a guess hides what was wrong";
const MISFIT: &str = "nothing known here explains these readings: read again, and ask a technician; the \
    support-call sheet has everything they ask";
const MANUAL: &str = "the maker's manual, local codes and competent persons decide; this is computed from \
    readings, and says nothing about the air";

/// Causes that look alike here: a few names, and how many more.
pub fn looks_like(cause: &Cause) -> String {
    const FEW: usize = 4;
    let few: Vec<&str> = cause
        .looks_like
        .iter()
        .take(FEW)
        .map(String::as_str)
        .collect();
    match cause.looks_like.len().saturating_sub(FEW) {
        0 => few.join("; "),
        more => format!("{}; and {more} more", few.join("; ")),
    }
}

/// Whether the likeliest is that nothing is wrong.
pub fn nothing_leads(diagnosis: &Diagnosis) -> bool {
    let first = diagnosis.causes.first();
    first.is_some_and(|cause| cause.id == "healthy")
}

/// What to do, in this order: the reading that decides, cautions, the remedy, by whom.
pub fn todo(diagnosis: &Diagnosis) -> Vec<Todo> {
    let mut all = Vec::new();
    let mut add = |sort, first, text: &str| {
        if !text.is_empty() {
            let text = sentence(text);
            all.push(Todo { sort, first, text });
        }
    };
    let open = matches!(
        diagnosis.standing,
        Standing::Leading | Standing::CannotTell | Standing::Likely
    );
    if open && diagnosis.next_reading.is_some() {
        let text = "it tells most about what is still open";
        add(Sort::Action, "Take one more reading first:", text);
    }
    match diagnosis.standing {
        Standing::Likely | Standing::Leading if nothing_leads(diagnosis) => {
            add(Sort::Note, "Change nothing.", NOTHING);
        }
        Standing::Likely | Standing::Leading => {
            if let Some(cause) = diagnosis.causes.first() {
                for caution in &cause.cautions {
                    add(Sort::Caution, "Caution.", caution);
                }
                if cause.valve == Some("relief") {
                    add(Sort::Caution, "Caution.", RELIEF);
                }
                let remedy = match cause.remedy.is_empty() {
                    true => String::new(),
                    false => format!("{}: {}", cause.called, cause.remedy),
                };
                add(Sort::Note, "Remedy, if this is so:", &remedy);
                add(Sort::Note, "By whom.", &cause.who);
            }
        }
        Standing::CannotTell => add(Sort::Note, "Change nothing yet.", GUESS),
        Standing::DoesNotFit => add(Sort::Caution, "Do not go on filling.", MISFIT),
        Standing::Sound => {
            let text = "what was not read was not looked at";
            add(Sort::Good, "Nothing to do by these readings.", text);
        }
        Standing::NoReadings => {}
    }
    add(Sort::Note, "Keep in mind:", MANUAL);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn setting(unit: &'static str, found: f64, plus_minus: f64) -> SettingFound {
        SettingFound {
            name: "pmv_opens",
            called: "PMV opens",
            unit,
            found: Some(found),
            plus_minus: Some(plus_minus),
            low: Some(found - plus_minus),
            high: Some(found + plus_minus),
            specified: Some(150.0),
            tolerance: Some(5.0),
            found_bar: None,
            plus_minus_bar: None,
            specified_bar: None,
            verdict: Verdict::Below,
        }
    }

    /// 1 bar = 14.5038 psi (NIST SP 811, B.8): 131 bar is 1900 psi, 4 bar 58 psi.
    #[test]
    fn figures_are_in_the_units_chosen_and_leaks_keep_a_digit() {
        let (metric, us) = (UnitSystem::Metric, UnitSystem::Us);
        let of = |units| Settings { units };
        let pmv = setting("bar", 131.2, 4.1);
        assert_eq!(of(metric).found(&pmv).unwrap(), "131 ± 4 bar");
        assert_eq!(of(us).found(&pmv).unwrap(), "1903 ± 59 psi");
        assert_eq!(of(metric).specified(&pmv).unwrap(), "150 ± 5 bar");
        let leak = setting("L/min", 0.14, 0.35);
        assert_eq!(of(metric).found(&leak).unwrap(), "0.1 ± 0.3 L/min");
        // 1 cu ft is 28.317 L: 96 L is 3.39 cu ft, 3 L 0.11 cu ft.
        let delivery = setting("L/min", 96.0, 3.0);
        assert_eq!(of(us).found(&delivery).unwrap(), "3.39 ± 0.11 cu ft/min");
        let none = SettingFound {
            found: None,
            ..leak
        };
        assert_eq!(of(us).found(&none), None);
        let still = setting("bar", 255.0, 0.01);
        assert_eq!(of(metric).found(&still).unwrap(), "255 bar");
    }

    #[test]
    fn a_chance_is_never_none_and_never_sure() {
        assert_eq!(chance(0.0), "under 1 %");
        assert_eq!(chance(1.0), "over 99 %");
        assert_eq!(chance(0.617), "62 %");
    }
}
