//! Who may touch the world: print, listen, read the clock, the disk or chance.

use crate::failure::Failure;
use crate::rust::{RustFile, has_word};
use crate::tree::Tree;

/// Something code may name, kept to some crates.
struct Effect {
    /// Paths that have it, with everything inside them.
    paths: &'static [&'static str],
    /// Macros that have it.
    macros: &'static [&'static str],
    /// Crates that must do without; empty: all but [`RIM`].
    kept_from: &'static [&'static str],
    why: &'static str,
    remedy: &'static str,
}

/// The one crate with terminal, network and clock.
const RIM: &str = "fillstead";

/// Inside a path above and harmless.
const HARMLESS: [&str; 2] = ["std::time::Duration", "core::time::Duration"];

const EFFECTS: [Effect; 6] = [
    Effect {
        paths: &["std::io::stdout", "std::io::stderr", "std::io::stdin"],
        macros: &["print", "println", "eprint", "eprintln", "dbg"],
        kept_from: &[],
        why: "only the program prints",
        remedy: "return the text or the data",
    },
    Effect {
        paths: &["std::net", "std::os::unix::net"],
        macros: &[],
        kept_from: &[],
        why: "only the program listens",
        remedy: "let the caller bring what comes over the network",
    },
    Effect {
        paths: &["std::time", "core::time"],
        macros: &[],
        kept_from: &[],
        why: "only the program reads the clock",
        remedy: "take the time as an argument",
    },
    Effect {
        paths: &["std::fs", "std::env", "std::process"],
        macros: &["env", "option_env"],
        kept_from: &["quantity", "physics", "station", "insight"],
        why: "this crate sees texts and data, not files",
        remedy: "let the caller read it and pass it in",
    },
    Effect {
        paths: &[
            "serde",
            "serde_json",
            "rand",
            "rand_pcg",
            "std::hash::RandomState",
        ],
        macros: &[],
        kept_from: &["quantity", "physics"],
        why: "this crate is pure: same input, same output, in no format",
        remedy: "take the numbers as an argument; write formats in the crate that calls this one",
    },
    Effect {
        paths: &["std::collections::HashMap", "std::collections::HashSet"],
        macros: &[],
        kept_from: &["physics"],
        why: "their order changes from run to run, so results would too",
        remedy: "use a Vec or a BTreeMap",
    },
];

/// No crate touches what is kept from it.
pub fn check(tree: &Tree) -> Vec<Failure> {
    let mut found = Vec::new();
    for name in tree.crates() {
        for effect in EFFECTS.iter().filter(|effect| effect.is_kept_from(name)) {
            for file in tree.sources_of(name) {
                found.extend(uses(file, effect));
            }
        }
    }
    found
}

impl Effect {
    fn is_kept_from(&self, name: &str) -> bool {
        if self.kept_from.is_empty() {
            name != RIM
        } else {
            self.kept_from.contains(&name)
        }
    }
}

/// Every use of an effect in the code that ships.
fn uses(file: &RustFile, effect: &Effect) -> Vec<Failure> {
    let paths = file
        .paths()
        .into_iter()
        .filter(|path| effect.paths.iter().any(|p| path.is_in(p)))
        .filter(|path| !HARMLESS.iter().any(|p| path.is_in(p)))
        .map(|path| (path.line, path.text));
    let macros = file.work_lines().flat_map(|(line, text)| {
        let calls = effect.macros.iter().map(|name| format!("{name}!"));
        calls
            .filter(move |call| calls_macro(text, call))
            .map(move |call| (line, call))
    });
    paths
        .chain(macros)
        .map(|(line, name)| {
            Failure::at(&file.path, line, format!("`{name}` is used"))
                .why(effect.why)
                .remedy(effect.remedy)
        })
        .collect()
}

/// `print!` is not in `eprint!`.
fn calls_macro(text: &str, call: &str) -> bool {
    let name = call.trim_end_matches('!');
    text.contains(call) && has_word(text, name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::places;

    fn found(name: &str, source: &str) -> usize {
        let manifest = format!("crates/{name}/Cargo.toml");
        let path = format!("crates/{name}/src/lib.rs");
        places(check, &[(&manifest, ""), (&path, source)]).len()
    }

    #[test]
    fn pure_code_passes() {
        let source = "use std::time::Duration;\nfn f(t: Duration) -> String { format!(\"println!\") }\n\
                      // std::fs\n#[cfg(test)]\nmod tests { use std::fs; }\n";
        assert_eq!(found("physics", source), 0);
    }

    #[test]
    fn every_effect_is_seen() {
        for source in [
            "fn f() { println!(\"\") }",
            "fn f() { eprint!(\"\") }",
            "use std::{fmt, net::{TcpListener}};",
            "use std::time::{Duration, Instant};",
            "fn f() { std::time::SystemTime::now(); }",
            "use std::fs;",
            "use ::std::env;",
            "const A: &str = env!(\"HOME\");",
            "use serde::Serialize;",
            "fn f() { rand::random() }",
            "use std::collections::HashMap;",
        ] {
            assert_eq!(found("physics", source), 1, "{source}");
        }
    }

    #[test]
    fn each_crate_has_its_own_limits() {
        assert_eq!(found("insight", "use rand::Rng; use serde::Serialize;"), 0);
        assert_eq!(found("insight", "use std::fs;"), 1);
        assert_eq!(found("book", "use std::fs;"), 0);
        assert_eq!(found("book", "use std::time::SystemTime;"), 1);
        assert_eq!(
            found(
                "fillstead",
                "use std::{fs, net, time}; fn f() { println!() }"
            ),
            0
        );
    }
}
