//! What is typed beside a fill: the line it hangs on, and what somebody answers for.
//!
//! Not here: what the gate makes of it ([`super::gate`]).

use book::Measure;
use quantity::GaugePressure;

use super::form::{FILL_LINE, Field, Given, texts};
use crate::usecase::Trouble;

/// What stands on the line and what somebody answers for, as typed beside a fill.
#[derive(Clone, Debug, Default)]
pub(super) struct Line {
    pub with: Vec<String>,
    pub protected_at: Option<Measure<GaugePressure>>,
    pub overridden: Option<String>,
    pub already_filled: bool,
}

/// What was typed of the line and the override.
pub(super) fn line(given: &Given) -> Result<Line, Vec<Trouble>> {
    let mut line = Line::default();
    let mut troubles = Vec::new();
    for (name, text) in given.iter().filter(|(_, text)| !text.trim().is_empty()) {
        let Some(field) = FILL_LINE.iter().find(|field| field.name == name) else {
            continue;
        };
        if let Err(trouble) = line.take(field, text.trim()) {
            troubles.push(trouble.about(field.name));
        }
    }
    match troubles.is_empty() {
        true => Ok(line),
        false => Err(troubles),
    }
}

impl Line {
    fn take(&mut self, field: &Field, text: &str) -> Result<(), Trouble> {
        let value = field.kind.value(text)?;
        match field.name {
            "with" => self.with = texts(&value),
            "protected-at" => {
                self.protected_at = Measure::parse(text).ok();
            }
            "override" => self.overridden = Some(text.to_owned()),
            _ => self.already_filled = value == true,
        }
        Ok(())
    }
}
