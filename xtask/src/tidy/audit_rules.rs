//! Every audit rule explains itself, has a test, and the map names it.
//!
//! A rule is a file of `crates/insight/src/audit/`; helpers stand in its
//! `mod.rs` or elsewhere.

use crate::failure::Failure;
use crate::rust::RustFile;
use crate::tree::Tree;

const FOLDER: &str = "crates/insight/src/audit/";

/// The headings of a rule's documentation, with what they are to say.
const SECTIONS: [(&str, &str); 5] = [
    ("What it looks at", "which values of the station"),
    ("Why it matters", "what goes wrong otherwise"),
    (
        "When it stays silent",
        "which missing values or cases it leaves alone",
    ),
    (
        "Source",
        "document, edition, clause; or \"common practice, no source\"",
    ),
    ("Certainty", "how sure the source and the rule are"),
];

/// Each rule has every section and a test, and `ARCHITECTURE.md` mentions it.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let map = tree.text("ARCHITECTURE.md").unwrap_or_default();
    rules(tree)
        .flat_map(|(name, file)| {
            let unnamed = (!map.contains(name)).then(|| {
                Failure::at(
                    &file.path,
                    1,
                    format!("ARCHITECTURE.md does not mention `{name}`"),
                )
                .why("a reader cannot find the rule")
                .remedy("add it to the list of audit rules")
            });
            let untested = (!file.source.contains("#[test]")).then(|| {
                Failure::at(&file.path, 1, "the rule has no test")
                    .why("nobody knows whether it fires when it must and is silent when it must")
                    .remedy("test both beside it")
            });
            missing_sections(file)
                .into_iter()
                .chain(unnamed)
                .chain(untested)
        })
        .collect()
}

fn rules(tree: &Tree) -> impl Iterator<Item = (&str, &RustFile)> {
    tree.rust()
        .iter()
        .filter(|file| !file.is_test)
        .filter_map(|file| {
            let name = file.path.strip_prefix(FOLDER)?.strip_suffix(".rs")?;
            (name != "mod" && !name.contains('/')).then_some((name, file))
        })
}

fn missing_sections(file: &RustFile) -> Vec<Failure> {
    SECTIONS
        .iter()
        .filter(|(heading, _)| !has_section(&file.source, heading))
        .map(|(heading, says)| {
            Failure::at(
                &file.path,
                1,
                format!("no section `## {heading}`, or nothing in it"),
            )
            .why("the finding's page is made from it")
            .remedy(format!("document the rule: {says}"))
        })
        .collect()
}

/// A doc heading with at least one line of words before the next heading.
fn has_section(source: &str, heading: &str) -> bool {
    let mut docs = source.lines().filter_map(|line| {
        let line = line.trim_start();
        line.strip_prefix("//!")
            .or(line.strip_prefix("///"))
            .map(str::trim)
    });
    docs.any(|doc| doc.strip_prefix("##").is_some_and(|h| h.trim() == heading))
        && docs
            .find(|doc| !doc.is_empty())
            .is_some_and(|doc| !doc.starts_with('#'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    const RULE: &str = "crates/insight/src/audit/relief_low.rs";
    const MAP: (&str, &str) = ("ARCHITECTURE.md", "- `relief_low`");

    fn good() -> String {
        SECTIONS
            .iter()
            .map(|(heading, says)| format!("//! ## {heading}\n//!\n//! {says}\n"))
            .chain(["#[cfg(test)]\nmod tests {\n#[test]\nfn fires() {}\n}\n".to_owned()])
            .collect()
    }

    #[test]
    fn a_rule_without_a_test_is_told() {
        let without = good().replace("#[test]", "");
        assert_eq!(places(check, &[(RULE, &without), MAP]).len(), 1);
    }

    #[test]
    fn an_explained_rule_passes() {
        assert_eq!(places(check, &[(RULE, &good()), MAP]), [""; 0]);
        let on_items = good().replace("//!", "///");
        assert_eq!(places(check, &[(RULE, &on_items), MAP]), [""; 0]);
    }

    #[test]
    fn a_missing_or_empty_section_is_told() {
        for (heading, says) in SECTIONS {
            let without = good().replace(heading, "Else");
            assert_eq!(
                places(check, &[(RULE, &without), MAP]).len(),
                1,
                "{heading}"
            );
            let empty = good().replace(says, "");
            assert_eq!(
                places(check, &[(RULE, &empty), MAP]).len(),
                1,
                "{heading} empty"
            );
        }
    }

    #[test]
    fn a_rule_missing_from_the_map_is_told() {
        assert_eq!(
            places(check, &[(RULE, &good()), ("ARCHITECTURE.md", "x")]).len(),
            1
        );
    }

    #[test]
    fn helpers_and_tests_are_no_rules() {
        let helpers = [
            (
                "crates/insight/src/audit/mod.rs",
                "#[cfg(test)]\nmod tests;",
            ),
            ("crates/insight/src/audit/tests.rs", ""),
            ("crates/insight/src/forecast.rs", ""),
        ];
        assert_eq!(places(check, &helpers), [""; 0]);
    }
}
