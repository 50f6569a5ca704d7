//! Rule: no enriched gas near an oil-lubricated machine.

use super::kit::{AuditInput, Finding, Look, Part, Severity, rule, source};

rule! {
    /// ## What it looks at
    /// Names and stamps of cylinders, cylinder kinds and banks for words that mean more
    /// oxygen than air has: nitrox, EAN, oxygen, O2, trimix.
    /// ## Why it matters
    /// Oxygen and oil at pressure catch fire without a flame. And a cylinder cleaned for
    /// oxygen is no longer clean after air with oil in it.
    /// ## When it stays silent
    /// Where no name or stamp says so. The file does not say what gas goes through the
    /// machine: it computes air only.
    /// ## Source
    /// 29 CFR 1910.134(i)(3): more than 23.5 % oxygen only in equipment made for oxygen.
    /// ## Certainty
    /// Seen on a secondary page. A name is weak evidence: hence something to look into.
    "enriched-gas", "Is there enriched gas about?"
}

/// Words that stand alone in a name or stamp, in small letters.
const WORDS: [&str; 5] = ["nitrox", "oxygen", "o2", "trimix", "eanx"];

fn check(input: &AuditInput) -> Look {
    let station = input.station;
    let kinds = station.cylinder_kinds.iter().map(|k| (k.id.as_str(), ""));
    let banks = station.banks.iter().map(|b| (b.id.as_str(), ""));
    let cylinders = station.cylinders.iter();
    let cylinders = cylinders.map(|c| (c.id.as_str(), c.stamp.as_deref().unwrap_or("")));
    let all = kinds.chain(banks).chain(cylinders);
    let mut marked: Vec<&str> = all
        .filter(|(id, stamp)| enriched(id) || enriched(stamp))
        .map(|(id, _)| id)
        .collect();
    marked.sort_unstable();
    marked.dedup();
    if marked.is_empty() {
        return Look::fine("no cylinder is named or stamped for enriched gas");
    }
    let claim = format!("Named or stamped for enriched gas: {}.", marked.join(", "));
    let mut finding = Finding::new(Severity::LookInto, source::ENRICHED, claim)
        .why("Oxygen and oil at pressure catch fire; oil from this machine spoils an oxygen-clean cylinder.")
        .remedy(
            "Air only: never pass oxygen or enriched gas through an oil-lubricated machine, nor \
             top up such a cylinder unless the air is tested for it and the cylinder's owner knows.",
        );
    finding.parts = marked.into_iter().map(Part::cylinder).collect();
    Look::found(finding)
}

fn enriched(text: &str) -> bool {
    let text = text.to_lowercase();
    let mut words = text.split(|c: char| !c.is_alphanumeric());
    let numbered = |word: &str| {
        let share = word.strip_prefix("ean");
        let share = share.map(|rest| rest.strip_prefix('x').unwrap_or(rest));
        share.is_some_and(|n| !n.is_empty() && n.chars().all(|c| c.is_ascii_digit()))
    };
    words.any(|word| WORDS.contains(&word) || word == "ean" || numbered(word))
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, metric, with};
    use super::*;

    #[test]
    fn fires_for_a_name_or_stamp() {
        let named = with(metric(), "id = \"ten\"", "id = \"Nitrox ten\"");
        assert!(claims("enriched-gas", &named)[0].contains("Nitrox ten"));
        let cylinder = "[[cylinder]]\nid = \"A1\"\nkind = \"ten\"\nstamp = \"EAN36 clean\"\n";
        assert!(claims("enriched-gas", &format!("{}{cylinder}", metric()))[0].contains("A1"));
    }

    #[test]
    fn words_not_beginnings_of_words() {
        assert!(enriched("stage O2") && enriched("EAN 32") && enriched("eanx40"));
        assert!(!enriched("Dean's ten") && !enriched("CO2 free") && !enriched("ocean"));
    }

    #[test]
    fn silent_for_plain_air() {
        assert_eq!(claims("enriched-gas", metric()), [""; 0]);
    }
}
