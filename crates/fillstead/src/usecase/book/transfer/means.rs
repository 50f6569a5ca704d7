//! Words of other languages for what a form takes by name.
//!
//! Not here: headings ([`super::headings`]).

use super::headings::plain;

/// What a form takes, and what people write for it, plain.
const MEANS: &[(&str, &[&str])] = &[
    ("steel", &["stahl", "acier", "acero", "st"]),
    ("aluminium", &["aluminum", "alu", "al", "aluminio"]),
    (
        "composite",
        &[
            "carbon",
            "cfk",
            "cfrp",
            "kohlefaser",
            "verbund",
            "carbone",
            "carbono",
            "composito",
        ],
    ),
    ("diving", &["dive", "scuba", "tauchen", "plongee", "buceo"]),
    (
        "rescue",
        &[
            "scba",
            "fire",
            "fire service",
            "atemschutz",
            "feuerwehr",
            "secours",
            "bomberos",
            "rescate",
        ],
    ),
    (
        "storage",
        &["bank", "cascade", "speicher", "stockage", "almacen"],
    ),
    ("aircraft", &["aviation", "luftfahrt", "aviacion"]),
    (
        "yes",
        &["ja", "oui", "si", "x", "wahr", "vrai", "verdadero", "✓"],
    ),
    ("no", &["nein", "non", "falsch", "faux", "falso"]),
];

/// What a form takes for this word; the word itself where none is known.
pub fn known(word: &str) -> &str {
    let written = plain(word);
    let means = MEANS
        .iter()
        .find(|(_, words)| words.contains(&written.as_str()));
    means.map_or(word, |(name, _)| name)
}

/// Whether a cell says that nothing is known.
pub fn nothing(text: &str) -> bool {
    let text = text.trim();
    matches!(text, "-" | "–" | "—" | "--" | "/" | ".")
        || matches!(plain(text).as_str(), "n a" | "na" | "k a")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_four_languages_are_known() {
        assert_eq!(known("Stahl"), "steel");
        assert_eq!(known("Sí"), "yes");
        assert_eq!(known("bronze"), "bronze");
        assert!(nothing("n/a") && nothing(" – ") && !nothing("0"));
    }
}
