//! Code that ships does not give up: no `unwrap` or `expect` outside tests.

use crate::failure::Failure;
use crate::tree::Tree;

const CALLS: [&str; 4] = [".unwrap()", ".expect(", ".unwrap_err()", ".expect_err("];

/// No `unwrap` or `expect` in the code that ships.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let mut found = Vec::new();
    for file in super::shipped(tree) {
        for (line, text) in file.work_lines() {
            for call in CALLS.iter().filter(|call| text.contains(*call)) {
                found.push(
                    Failure::at(&file.path, line, format!("`{call}` outside a test"))
                        .why("a number somebody typed may end the program here")
                        .remedy("return the error, or use a type that cannot fail"),
                );
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    #[test]
    fn tests_and_docs_may() {
        let source = "/// `x.unwrap()`\n#[expect(dead_code)]\nfn f() { x.unwrap_or(0) }\n\
                      #[cfg(test)]\nmod tests { fn f() { x.unwrap() } }\n";
        assert_eq!(places(check, &[("crates/x/src/a.rs", source)]), [""; 0]);
        assert_eq!(
            places(check, &[("crates/x/tests/a.rs", "fn f() { x.unwrap() }")]),
            [""; 0]
        );
    }

    #[test]
    fn code_that_ships_may_not() {
        for source in ["fn f() { x.unwrap() }", "fn f() { x\n.expect(\"y\") }"] {
            assert_eq!(
                places(check, &[("crates/x/src/a.rs", source)]).len(),
                1,
                "{source}"
            );
        }
    }
}
