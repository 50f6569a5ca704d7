//! The command line and the pages do not know each other.

use crate::failure::Failure;
use crate::rust::RustFile;
use crate::tree::Tree;

const FACES: [(&str, &str); 2] = [("cli", "web"), ("web", "cli")];

/// `cli` never names `web`, and the other way round.
pub fn check(tree: &Tree) -> Vec<Failure> {
    FACES
        .iter()
        .flat_map(|&(face, other)| {
            tree.sources_of("fillstead")
                .filter(move |file| belongs(&file.path, face))
                .flat_map(move |file| names(file, other))
        })
        .collect()
}

fn belongs(path: &str, face: &str) -> bool {
    path.strip_prefix("crates/fillstead/src/")
        .and_then(|rest| rest.strip_prefix(face))
        .is_some_and(|rest| rest == ".rs" || rest.starts_with('/'))
}

fn names(file: &RustFile, other: &str) -> Vec<Failure> {
    file.paths()
        .iter()
        .filter(|path| is_module(&path.text, other))
        .map(|path| {
            Failure::at(
                &file.path,
                path.line,
                format!("`{}` reaches into `{other}`", path.text),
            )
            .why("both faces must give the same answers, from the same use cases")
            .remedy("move what both need into `usecase`")
        })
        .collect()
}

/// Whether a path leads from the crate's root, or upwards, into a module.
fn is_module(path: &str, module: &str) -> bool {
    let mut steps = path
        .split("::")
        .skip_while(|step| matches!(*step, "crate" | "super"));
    path.contains("::") && !path.starts_with(module) && steps.next() == Some(module)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    #[test]
    fn both_may_use_the_use_cases() {
        let source = "use crate::{usecase, cli::args};\nfn f() { web::own_thing(); }";
        assert_eq!(
            places(check, &[("crates/fillstead/src/cli/run.rs", source)]),
            [""; 0]
        );
        assert_eq!(
            places(
                check,
                &[("crates/fillstead/src/main.rs", "use crate::web;")]
            ),
            [""; 0]
        );
    }

    #[test]
    fn neither_may_use_the_other() {
        for source in [
            "use crate::{usecase, web};",
            "use super::super::web::page;",
            "crate::web::x()",
        ] {
            let found = places(check, &[("crates/fillstead/src/cli/run.rs", source)]);
            assert_eq!(found, ["crates/fillstead/src/cli/run.rs:1"], "{source}");
        }
        let found = places(
            check,
            &[("crates/fillstead/src/web.rs", "\nuse crate::cli::print;")],
        );
        assert_eq!(found, ["crates/fillstead/src/web.rs:2"]);
    }
}
