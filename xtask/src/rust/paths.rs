//! Which items code names: `std::fs::read`, and imports spelt out.

use super::{is_word, line_of};

/// A path as written, with `use a::{b, c}` spelt out as `a::b` and `a::c`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    pub text: String,
    /// Counted from 1.
    pub line: usize,
}

impl Path {
    /// Whether the path is `prefix` or something inside it.
    pub fn is_in(&self, prefix: &str) -> bool {
        self.text
            .strip_prefix(prefix)
            .is_some_and(|r| r.is_empty() || r.starts_with("::"))
    }
}

/// Every path in code whose texts and comments are blank.
pub fn all(code: &str) -> Vec<Path> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = next_word(code, at) {
        let (text, end) = path_at(code, start);
        let line = line_of(code, start);
        if text == "use" {
            let stop = code
                .get(end..)
                .and_then(|r| r.find(';'))
                .map_or(code.len(), |l| end + l);
            let import = code.get(end..stop).unwrap_or_default();
            found.extend(
                spell_out(import)
                    .into_iter()
                    .map(|text| Path { text, line }),
            );
            at = stop;
        } else {
            found.push(Path { text, line });
            at = end;
        }
    }
    found
}

fn next_word(code: &str, from: usize) -> Option<usize> {
    code.bytes()
        .enumerate()
        .skip(from)
        .find(|&(_, b)| is_word(b))
        .map(|(at, _)| at)
}

/// The path that begins at `start`, and where it ends.
fn path_at(code: &str, start: usize) -> (String, usize) {
    let rest = code.get(start..).unwrap_or_default();
    let mut length = 0;
    loop {
        length += rest
            .bytes()
            .skip(length)
            .take_while(|&b| is_word(b))
            .count();
        let more = rest.get(length..).and_then(|r| r.strip_prefix("::"));
        if !more.is_some_and(|r| r.bytes().next().is_some_and(is_word)) {
            break;
        }
        length += 2;
    }
    (
        rest.get(..length).unwrap_or_default().into(),
        start + length,
    )
}

/// `a::{b as x, c::{self, d}}` as `a::b`, `a::c`, `a::c::d`.
fn spell_out(import: &str) -> Vec<String> {
    let import = import.trim().trim_start_matches("::");
    let Some((head, tail)) = import.split_once('{') else {
        let name = import.split(" as ").next().unwrap_or_default().trim();
        let name = name
            .strip_suffix("::self")
            .or(name.strip_suffix("::*"))
            .unwrap_or(name);
        return if name.is_empty() {
            Vec::new()
        } else {
            vec![name.into()]
        };
    };
    let inside = tail.rsplit_once('}').map_or(tail, |(inside, _)| inside);
    split_at_commas(inside)
        .iter()
        .flat_map(|part| spell_out(&format!("{}{}", head.trim(), part.trim())))
        .collect()
}

/// Parts between commas that stand in no braces.
fn split_at_commas(text: &str) -> Vec<&str> {
    let mut depth = 0_usize;
    text.split(|c| {
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        c == ',' && depth == 0
    })
    .filter(|part| !part.trim().is_empty())
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(code: &str) -> Vec<String> {
        all(code).into_iter().map(|p| p.text).collect()
    }

    #[test]
    fn imports_are_spelt_out() {
        assert_eq!(
            texts("use std::{fs, io::{self, Write as W}, sync::*,};"),
            ["std::fs", "std::io", "std::io::Write", "std::sync"]
        );
        assert_eq!(
            texts("pub(crate) use super::web;").last().unwrap(),
            "super::web"
        );
    }

    #[test]
    fn paths_in_the_code_are_found_with_their_line() {
        let found = all("fn f() {\n    std::fs::read(x)\n}");
        assert!(found.contains(&Path {
            text: "std::fs::read".into(),
            line: 2
        }));
    }

    #[test]
    fn inside_means_whole_segments() {
        let path = Path {
            text: "std::fs::read".into(),
            line: 1,
        };
        assert!(path.is_in("std::fs") && path.is_in("std::fs::read"));
        assert!(!path.is_in("std::f"));
    }
}
