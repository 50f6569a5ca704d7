//! Do the settings of a station fit together? From a station file to findings and a drawing.
//!
//! Not here: the rules ([`insight::audit`]) and the ladder ([`insight::ladder`]).

use std::path::Path;

use insight::audit::{Audit, RULES, Rule, Severity, audit};
use insight::ladder;
use quantity::UnitSystem;

use crate::usecase::Trouble;
use crate::usecase::station::StationFile;

/// An audit with what it was made from.
pub struct Answer {
    /// The station file, usable.
    pub file: StationFile,
    /// Whether the file says of itself that its station is invented.
    pub invented: bool,
    /// The units preferred.
    pub units: UnitSystem,
    /// What was found.
    pub audit: Audit,
}

impl Answer {
    /// Whether something has to be put right first: a finding graver than "look into".
    pub fn grave(&self) -> bool {
        let mut severities = self.audit.findings.iter().map(|finding| finding.severity);
        severities.any(|severity| severity < Severity::LookInto)
    }

    /// The pressure ladder drawn with characters.
    pub fn ladder(&self) -> String {
        ladder::text(&self.audit.ladder, self.units)
    }

    /// The same as an SVG that stands alone.
    pub fn svg(&self) -> String {
        ladder::svg(&self.audit.ladder, self.units)
    }
}

/// Why there is no audit.
pub enum Unanswered {
    /// The file cannot be read.
    Trouble(Trouble),
    /// The station file has errors.
    Unusable(Box<StationFile>),
}

/// Looks at the station in this file with every rule.
pub fn audit_file(path: &Path) -> Result<Answer, Unanswered> {
    audit_of(StationFile::open(path).map_err(Unanswered::Trouble)?)
}

/// Looks at the station in a file already read.
pub fn audit_of(file: StationFile) -> Result<Answer, Unanswered> {
    let Some(station) = file.station() else {
        return Err(Unanswered::Unusable(Box::new(file)));
    };
    let (audit, units, invented) = (audit(station), station.units, station.invented);
    Ok(Answer {
        file,
        invented,
        units,
        audit,
    })
}

/// The rule of this name; case, spaces and underscores do not matter.
pub fn rule(name: &str) -> Result<&'static Rule, Trouble> {
    let plain = name.trim().to_lowercase().replace([' ', '_'], "-");
    let known = RULES.iter().find(|rule| rule.id == plain);
    known.ok_or_else(|| {
        let list = "`fillstead audit --list-rules` lists them";
        let remedy = match nearest(&plain) {
            Some(near) => format!("did you mean {near}? {list}"),
            None => list.to_owned(),
        };
        Trouble::new(format!("there is no rule \"{}\"", name.trim()), remedy).about("explain")
    })
}

/// How alike two names must be for one to be meant by the other.
const ALIKE: f64 = 0.6;

/// The nearest name, where one is near enough to be meant.
fn nearest(name: &str) -> Option<&'static str> {
    let alike = |rule: &Rule| strsim::sorensen_dice(name, rule.id);
    let best = RULES.iter().max_by(|a, b| alike(a).total_cmp(&alike(b)))?;
    (alike(best) > ALIKE).then_some(best.id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_is_found_as_people_type_it() {
        for name in ["pmv-gap", " PMV gap", "pmv_gap"] {
            assert_eq!(rule(name).map(|rule| rule.id), Ok("pmv-gap"));
        }
    }

    #[test]
    fn near_names_are_meant() {
        let remedy = |name| rule(name).map(|rule| rule.id).unwrap_err().remedy;
        for (typed, meant) in [
            ("pmv-gpa", "pmv-gap"),
            ("relief-mising", "relief-missing"),
            ("disc-above-weakst", "disc-above-weakest"),
            ("hoserating", "hose-rating"),
            ("disc-before-releif", "disc-before-relief"),
        ] {
            let remedy = remedy(typed);
            assert!(
                remedy.starts_with(&format!("did you mean {meant}?")),
                "{typed}: {remedy}"
            );
        }
        assert!(remedy("noise").starts_with("`fillstead audit --list-rules`"));
    }
}
