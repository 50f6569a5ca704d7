//! Files and functions short enough to be read in one go.

use crate::failure::Failure;
use crate::rust::RustFile;
use crate::tree::Tree;

/// Lines of a file that are not there for tests only, comments counted.
const FILE: usize = 400;
/// Lines of a function. Forty is the aim.
const FUNCTION: usize = 60;

/// No file and no function is longer than the limits.
pub fn check(tree: &Tree) -> Vec<Failure> {
    super::shipped(tree)
        .flat_map(|file| too_long(file).into_iter().chain(long_functions(file)))
        .collect()
}

fn too_long(file: &RustFile) -> Option<Failure> {
    let lines = file.own_lines();
    (lines > FILE && !is_coefficient_table(file)).then(|| {
        Failure::at(&file.path, 1, format!("{lines} lines without the tests"))
            .why(format!("{FILE} is the limit, and 150 is usual"))
            .remedy("split it by subject")
    })
}

fn long_functions(file: &RustFile) -> Vec<Failure> {
    file.functions()
        .into_iter()
        .filter(|function| function.length > FUNCTION)
        .map(|function| {
            let what = format!("`{}` has {} lines", function.name, function.length);
            Failure::at(&file.path, function.line, what)
                .why(format!("{FUNCTION} is the limit, and 40 is the aim"))
                .remedy("give its parts names of their own")
        })
        .collect()
}

/// A table of coefficients says so in its first line and has no function.
fn is_coefficient_table(file: &RustFile) -> bool {
    let says_so = file
        .source
        .lines()
        .next()
        .and_then(|line| line.strip_prefix("//!"))
        .is_some_and(|doc| doc.to_lowercase().contains("coefficients"));
    says_so && file.functions().is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    const PATH: &str = "crates/x/src/a.rs";

    fn found(source: &str) -> Vec<String> {
        places(check, &[(PATH, source)])
    }

    #[test]
    fn the_limits_are_inclusive() {
        assert_eq!(found(&"//\n".repeat(FILE)), [""; 0]);
        assert_eq!(found(&"//\n".repeat(FILE + 1)), ["crates/x/src/a.rs:1"]);
        let function = |lines: usize| format!("\nfn f() {{\n{}}}\n", "g();\n".repeat(lines - 2));
        assert_eq!(found(&function(FUNCTION)), [""; 0]);
        assert_eq!(found(&function(FUNCTION + 1)), ["crates/x/src/a.rs:2"]);
    }

    #[test]
    fn tests_do_not_count() {
        let tests = "x();\n".repeat(FILE);
        assert_eq!(
            found(&format!(
                "#[cfg(test)]\nmod tests {{\nfn f() {{\n{tests}}}\n}}\n"
            )),
            [""; 0]
        );
    }

    #[test]
    fn only_tables_without_functions_are_exempt() {
        let numbers = "1.0,\n".repeat(FILE);
        let table = format!("//! Coefficients of the equation.\n{numbers}");
        assert_eq!(found(&table), [""; 0]);
        assert_eq!(
            found(&format!("{table}fn f() {{}}\n")),
            ["crates/x/src/a.rs:1"]
        );
        assert_eq!(
            found(&format!("//! Numbers.\n{numbers}")),
            ["crates/x/src/a.rs:1"]
        );
    }
}
