//! What a check of the machine found, kept: settings with how closely they are known.
//!
//! Not here: how it was found; the book knows no physics.

use quantity::GaugePressure;
use serde::{Deserialize, Serialize};

use crate::measure::Measure;

/// Settings found from the readings of a run. Each `..._within` is half of the interval that holds
/// the setting nine times in ten.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct CheckKept {
    /// What was found, in a sentence.
    pub says: String,
    /// The start of the run that was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub run: Option<u64>,
    /// Whether the run is kept as a good one, to compare later ones with.
    #[serde(skip_serializing_if = "is_false")]
    pub baseline: bool,
    /// Where the pressure maintaining valve opens.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pmv_opens: Option<Measure<GaugePressure>>,
    /// Give or take.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pmv_opens_within: Option<Measure<GaugePressure>>,
    /// Where it closes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pmv_closes: Option<Measure<GaugePressure>>,
    /// Give or take.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pmv_closes_within: Option<Measure<GaugePressure>>,
    /// Where the final relief valve lifts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relief_lifts: Option<Measure<GaugePressure>>,
    /// Give or take.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relief_lifts_within: Option<Measure<GaugePressure>>,
    /// Where it reseats.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relief_reseats: Option<Measure<GaugePressure>>,
    /// Give or take.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub relief_reseats_within: Option<Measure<GaugePressure>>,
    /// Anything else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

fn is_false(yes: &bool) -> bool {
    !yes
}

/// A setting that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SettingKept<'a> {
    /// `pmv_opens`, `pmv_closes`, `relief_lifts` or `relief_reseats`.
    pub name: &'static str,
    /// What was found.
    pub found: &'a Measure<GaugePressure>,
    /// Half of the interval that holds it nine times in ten, where it was given.
    pub within: Option<&'a Measure<GaugePressure>>,
}

impl CheckKept {
    /// The settings found.
    pub fn settings(&self) -> impl Iterator<Item = SettingKept<'_>> {
        let all = [
            ("pmv_opens", &self.pmv_opens, &self.pmv_opens_within),
            ("pmv_closes", &self.pmv_closes, &self.pmv_closes_within),
            (
                "relief_lifts",
                &self.relief_lifts,
                &self.relief_lifts_within,
            ),
            (
                "relief_reseats",
                &self.relief_reseats,
                &self.relief_reseats_within,
            ),
        ];
        all.into_iter().filter_map(|(name, found, within)| {
            Some(SettingKept {
                name,
                found: found.as_ref()?,
                within: within.as_ref(),
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_given_is_not_stored_and_the_rest_reads_back() {
        let bare = CheckKept {
            says: "nothing wrong".into(),
            ..CheckKept::default()
        };
        let text = serde_json::to_string(&bare).unwrap();
        assert_eq!(text, r#"{"says":"nothing wrong"}"#);
        let kept = CheckKept {
            run: Some(12),
            baseline: true,
            pmv_opens: Some(Measure::parse("131 bar").unwrap()),
            pmv_opens_within: Some(Measure::parse("58 psi").unwrap()),
            ..bare
        };
        let text = serde_json::to_string(&kept).unwrap();
        assert_eq!(serde_json::from_str::<CheckKept>(&text).unwrap(), kept);
        let settings: Vec<_> = kept.settings().map(|s| (s.name, s.found.typed())).collect();
        assert_eq!(settings, [("pmv_opens", "131 bar")]);
    }
}
