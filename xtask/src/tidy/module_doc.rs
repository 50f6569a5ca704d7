//! Every Rust file begins by saying what it holds.

use crate::failure::Failure;
use crate::tree::Tree;

/// The first line of every Rust file is a `//!` with words in it.
pub fn check(tree: &Tree) -> Vec<Failure> {
    tree.rust()
        .iter()
        .filter(|file| !says_something(&file.source))
        .map(|file| {
            Failure::at(&file.path, 1, "no module doc in the first line")
                .why("a reader cannot tell what the file is for")
                .remedy("begin with `//!`: what it holds, and what it does not")
        })
        .collect()
}

fn says_something(source: &str) -> bool {
    let first = source
        .lines()
        .next()
        .and_then(|line| line.strip_prefix("//!"));
    first.is_some_and(|doc| doc.split_whitespace().count() > 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    #[test]
    fn a_sentence_passes() {
        assert_eq!(
            places(
                check,
                &[("crates/x/src/a.rs", "//! Flow through orifices.\n")]
            ),
            [""; 0]
        );
    }

    #[test]
    fn silence_does_not() {
        for source in [
            "",
            "use a;\n",
            "// Flow.\n",
            "//!\nuse a;",
            "//! placeholder\n",
        ] {
            let found = places(check, &[("crates/x/tests/a.rs", source)]);
            assert_eq!(found, ["crates/x/tests/a.rs:1"], "{source:?}");
        }
    }
}
