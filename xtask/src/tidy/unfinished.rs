//! Nothing is left unfinished or switched off, in tests neither.

use crate::failure::Failure;
use crate::rust::has_word;
use crate::tree::Tree;

/// What marks it, and the word that must stand alone in it.
const MARKS: [(&str, &str); 4] = [
    ("#[ignore", "ignore"),
    ("todo!", "todo"),
    ("unimplemented!", "unimplemented"),
    ("cfg_attr(", "ignore"),
];

/// No test is ignored and no `todo!` stands anywhere.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let mut found = Vec::new();
    for file in tree.rust() {
        for (line, text) in (1..).zip(file.code.lines()) {
            for (mark, word) in MARKS {
                if text.contains(mark) && has_word(text, word) {
                    found.push(failure(&file.path, line, mark));
                }
            }
        }
    }
    found
}

fn failure(path: &str, line: usize, mark: &str) -> Failure {
    Failure::at(path, line, format!("`{mark}` stands here"))
        .why("what is in the tree works and is tested")
        .remedy("finish it or take it out")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    #[test]
    fn finished_code_passes() {
        let source = "fn ignored() { a(\"todo!\") } // todo!\n#[test]\nfn t() { mastodon!() }\n";
        assert_eq!(places(check, &[("crates/x/src/a.rs", source)]), [""; 0]);
    }

    #[test]
    fn each_mark_is_found_in_tests_too() {
        for source in [
            "#[ignore]",
            "#[ignore = \"slow\"]",
            "fn f() { todo!() }",
            "#[cfg(test)] mod t { fn f() { unimplemented!() } }",
            "#[cfg_attr(debug_assertions, ignore)]",
        ] {
            assert_eq!(
                places(check, &[("crates/x/tests/a.rs", source)]).len(),
                1,
                "{source}"
            );
        }
    }
}
