//! What can be wrong and what shows it, read from `causes.txt`.
//!
//! The form is explained at the head of that file. Not here: what a cause does to the machine
//! ([`super::suspects`]).

use std::sync::LazyLock;

/// Something that may be wrong.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Known {
    /// Its short name.
    pub id: &'static str,
    /// What people call it.
    pub called: &'static str,
    /// How often it is met, a weight.
    pub prior: f64,
    /// What it does to the readings.
    pub why: &'static str,
    /// The check by hand that shows it.
    pub check: &'static str,
    /// What to do.
    pub remedy: &'static str,
    /// How far an owner may go.
    pub who: &'static str,
    /// What to take care of.
    pub cautions: Vec<&'static str>,
    /// The valve to be set: `pmv`, `relief`.
    pub valve: Option<&'static str>,
    /// Where this comes from.
    pub source: &'static str,
}

/// Something a person can see or hear.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sign {
    /// Its short name.
    pub id: &'static str,
    /// Groups of words: one of each group must be met.
    pub words: Vec<Vec<&'static str>>,
    /// What to do to look for it.
    pub ask: Option<&'static str>,
    /// What that costs, 1 being a minute with the ears.
    pub trouble: f64,
    /// What to take care of.
    pub caution: &'static str,
    /// How often it is met under each cause.
    pub seen: Vec<(&'static str, f64)>,
    /// How often it is met under the others.
    pub otherwise: f64,
}

impl Sign {
    /// How often it is met under this cause; of two causes together, the likelier.
    pub fn share(&self, ids: &[&str]) -> f64 {
        let of = |id: &&str| self.seen.iter().find(|(cause, _)| cause == id).map(|s| s.1);
        let most = ids.iter().filter_map(of).reduce(f64::max);
        most.unwrap_or(self.otherwise)
    }
}

/// All that is known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Knowledge {
    /// Causes, in the file's order.
    pub causes: Vec<Known>,
    /// Signs.
    pub signs: Vec<Sign>,
}

impl Knowledge {
    /// The cause of this name.
    pub fn cause(&self, id: &str) -> Option<&Known> {
        self.causes.iter().find(|cause| cause.id == id)
    }
}

/// What comes with the program.
pub static KNOWLEDGE: LazyLock<Knowledge> =
    LazyLock::new(|| knowledge(include_str!("causes.txt")).unwrap_or_default());

/// Reads the text.
///
/// **Errors** the first line that cannot be read: the text comes with the program, and a test
/// reads it.
fn knowledge(text: &'static str) -> Result<Knowledge, String> {
    let mut known = Knowledge::default();
    let mut in_sign = false;
    for (number, line) in (1..).zip(text.lines()) {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let wrong = || format!("line {number}: `{line}` cannot be read");
        let (key, value) = line.split_once(':').ok_or_else(wrong)?;
        let value = value.trim();
        match key {
            "cause" => {
                in_sign = false;
                known.causes.push(Known {
                    id: value,
                    ..Known::default()
                });
            }
            "sign" => {
                in_sign = true;
                known.signs.push(Sign {
                    id: value,
                    ..Sign::default()
                });
            }
            _ if in_sign => {
                let sign = known.signs.last_mut().ok_or_else(wrong)?;
                of_sign(sign, key, value).ok_or_else(wrong)?;
            }
            _ => {
                let cause = known.causes.last_mut().ok_or_else(wrong)?;
                of_cause(cause, key, value).ok_or_else(wrong)?;
            }
        }
    }
    Ok(known)
}

fn of_cause(cause: &mut Known, key: &str, value: &'static str) -> Option<()> {
    match key {
        "called" => cause.called = value,
        "prior" => cause.prior = value.parse().ok()?,
        "why" => cause.why = value,
        "check" => cause.check = value,
        "remedy" => cause.remedy = value,
        "who" => cause.who = value,
        "caution" => cause.cautions.push(value),
        "valve" => cause.valve = Some(value),
        "source" => cause.source = value,
        _ => return None,
    }
    Some(())
}

fn of_sign(sign: &mut Sign, key: &str, value: &'static str) -> Option<()> {
    match key {
        "words" => {
            let group = |words: &'static str| words.split('|').map(str::trim).collect();
            sign.words = value.split('+').map(group).collect();
        }
        "ask" => sign.ask = Some(value),
        "trouble" => sign.trouble = value.parse().ok()?,
        "caution" => sign.caution = value,
        "seen" => {
            for part in value.split(',') {
                let (id, share) = part.trim().rsplit_once(' ')?;
                let share = share.parse().ok()?;
                match id {
                    "else" => sign.otherwise = share,
                    _ => sign.seen.push((id, share)),
                }
            }
        }
        _ => return None,
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_text_is_read_whole() {
        let known = knowledge(include_str!("causes.txt")).unwrap();
        let prior: f64 = known.causes.iter().map(|c| c.prior).sum();
        assert!(prior > 90.0 && prior < 130.0, "{prior}");
        for cause in &known.causes {
            let texts = [
                cause.called,
                cause.why,
                cause.check,
                cause.remedy,
                cause.who,
                cause.source,
            ];
            assert!(texts.iter().all(|t| !t.is_empty()), "{}", cause.id);
            assert!(cause.prior > 0.0, "{}", cause.id);
        }
        for sign in &known.signs {
            assert!(sign.otherwise > 0.0 && sign.otherwise < 1.0, "{}", sign.id);
            assert!(!sign.words.is_empty(), "{}", sign.id);
            assert!(sign.ask.is_none() || sign.trouble >= 1.0, "{}", sign.id);
            for (id, share) in &sign.seen {
                assert!(known.cause(id).is_some(), "{}: {id}", sign.id);
                assert!(*share > 0.0 && *share < 1.0, "{}: {id}", sign.id);
            }
        }
    }

    #[test]
    fn a_line_that_cannot_be_read_is_named() {
        assert_eq!(
            knowledge("cause: x\nprior: often").unwrap_err(),
            "line 2: `prior: often` cannot be read"
        );
        assert!(knowledge("called: x").is_err());
        assert!(knowledge("sign: x\nseen: relief_weeps often").is_err());
    }

    /// Nothing here tells an owner to set, hold or try a relief valve.
    #[test]
    fn relief_valves_are_left_to_licensed_persons() {
        for cause in &KNOWLEDGE.causes {
            if cause.id.starts_with("relief") {
                assert!(cause.who.contains("licensed person"), "{}", cause.id);
            }
            for text in [cause.remedy, cause.check] {
                assert!(
                    !text.contains("screw down") && !text.contains("turn up"),
                    "{text}"
                );
            }
        }
    }
}
