//! Audit: do the settings of a station fit together, and fit the rules?
//!
//! Start at [`audit()`]. Each rule is one file with its explanation, its check
//! and its tests, and stands in [`RULES`]; [`explain`] gives the explanation as
//! written there. Findings carry their numbers, margin, remedy and source. Not
//! here: files and places in them (the station reader), and any promise that a
//! machine without findings is safe: the strongest words are "no reason found
//! to stop".

mod kit;

mod cartridge_hours;
mod disc_above_weakest;
mod disc_before_relief;
mod discharge_temperature;
mod drain_interval;
mod enriched_gas;
mod gauge_unfit;
mod hose_rating;
mod intake_exhaust;
mod ladder_order;
mod lower_rated_cylinder;
mod operating_ratio;
mod pmv_gap;
mod pmv_too_low;
mod rating_missing;
mod relief_above_rating;
mod relief_capacity;
mod relief_cut_off;
mod relief_missing;
mod relief_moved;
mod relief_reseats;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;

#[cfg(test)]
pub(crate) use testing::{TRADE, metric, station as read_station, with};

pub use kit::{AuditInput, Finding, Look, Measure, Severity, Source};

use crate::ladder::Ladder;
use serde::Serialize;
use station::Station;

/// One rule: what it is called, what it explains, and its check.
pub struct Rule {
    /// Its name in answers and on the command line.
    pub id: &'static str,
    /// What it asks.
    pub title: &'static str,
    /// Its explanation, line by line, as written in its file.
    pub explanation: &'static [&'static str],
    /// Looks at a station.
    pub check: fn(&AuditInput) -> Look,
}

/// Every rule, in the order in which findings of one severity are told.
pub static RULES: [Rule; 21] = [
    relief_missing::RULE,
    relief_above_rating::RULE,
    relief_cut_off::RULE,
    relief_capacity::RULE,
    relief_moved::RULE,
    lower_rated_cylinder::RULE,
    hose_rating::RULE,
    ladder_order::RULE,
    disc_before_relief::RULE,
    disc_above_weakest::RULE,
    operating_ratio::RULE,
    relief_reseats::RULE,
    intake_exhaust::RULE,
    enriched_gas::RULE,
    cartridge_hours::RULE,
    drain_interval::RULE,
    pmv_too_low::RULE,
    pmv_gap::RULE,
    gauge_unfit::RULE,
    discharge_temperature::RULE,
    rating_missing::RULE,
];

/// What an audit found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Audit {
    /// The gravest first.
    pub findings: Vec<Finding>,
    /// Every set pressure on one scale.
    pub ladder: Ladder,
    /// What was looked at and gave no reason to stop.
    pub fine: Vec<Said>,
    /// Rules that could not look, or not at everything, and why.
    pub silent: Vec<Said>,
    /// All of it in one sentence.
    pub verdict: String,
}

/// What a rule says besides findings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Said {
    /// The rule's name.
    pub rule: &'static str,
    /// What it says.
    pub says: String,
}

/// Looks at a station with every rule.
pub fn audit(station: &Station) -> Audit {
    let input = AuditInput::new(station);
    let (mut findings, mut fine, mut silent) = (Vec::new(), Vec::new(), Vec::new());
    for rule in &RULES {
        let look = (rule.check)(&input);
        let said = |says| Said {
            rule: rule.id,
            says,
        };
        let mut found: Vec<Finding> = look.findings;
        found.iter_mut().for_each(|finding| finding.rule = rule.id);
        found.sort_by(|a, b| a.claim.cmp(&b.claim));
        findings.extend(found);
        fine.extend(look.fine.into_iter().map(said));
        silent.extend(look.silent.into_iter().map(said));
    }
    findings.sort_by_key(|finding| finding.severity);
    Audit {
        verdict: verdict(&findings, silent.len()),
        findings,
        ladder: input.ladder,
        fine,
        silent,
    }
}

/// The sentence under which an audit is remembered.
fn verdict(findings: &[Finding], silent: usize) -> String {
    let unseen = match silent {
        0 => String::new(),
        1 => "; one thing could not be looked at".to_owned(),
        n => format!("; {n} things could not be looked at"),
    };
    let words = match findings.first().map(|finding| finding.severity) {
        Some(severity @ (Severity::Stop | Severity::FixBeforeNextRun)) => severity.meaning(),
        _ => "No reason found to stop, by what the file says",
    };
    format!("{}{unseen}.", words.trim_end_matches('.'))
}

/// The explanation of a rule, as its page: none for a name that is no rule.
pub fn explain(rule: &str) -> Option<String> {
    let rule = RULES.iter().find(|r| r.id == rule)?;
    let lines = rule.explanation.iter().map(|line| line.trim());
    let page: Vec<&str> = lines.collect();
    Some(format!("# {}\n\n{}\n", rule.title, page.join("\n")))
}
