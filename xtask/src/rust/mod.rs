//! Rust sources as the checks need them: code without texts and comments, and
//! what of it is there for tests only.
//!
//! Start at [`RustFile::work`]: the code that ships.

mod functions;
mod lexer;
mod paths;

use std::collections::BTreeMap;

pub use lexer::is_word;
use lexer::{Kind, only};

const TEST_MARK: &str = "#[cfg(test)]";

/// One Rust file, taken apart.
pub struct RustFile {
    pub path: String,
    pub source: String,
    /// All code, tests too; texts and comments are blank.
    pub code: String,
    /// Code that is not there for tests only.
    pub work: String,
    /// Texts in that code; all else is blank.
    pub literals: String,
    /// The whole file is there for tests or measurements.
    pub is_test: bool,
}

/// A stretch of lines, counted from 1, both ends included.
pub type Lines = std::ops::RangeInclusive<usize>;

impl RustFile {
    fn new(path: &str, source: &str, is_test: bool) -> RustFile {
        let code = only(source, Kind::Code);
        let tests = if is_test {
            Vec::from([1..=usize::MAX])
        } else {
            test_lines(&code)
        };
        RustFile {
            path: path.into(),
            work: without(&code, &tests),
            literals: without(&only(source, Kind::Literal), &tests),
            source: source.into(),
            code,
            is_test,
        }
    }

    /// Lines that are not there for tests only, blank ones and comments counted.
    pub fn own_lines(&self) -> usize {
        let tests: usize = test_lines(&self.code)
            .iter()
            .map(|lines| lines.clone().count())
            .sum();
        if self.is_test {
            0
        } else {
            self.source.lines().count() - tests
        }
    }

    /// Every function of the code that ships.
    pub fn functions(&self) -> Vec<functions::Function> {
        functions::all(&self.work)
    }

    /// Every path (`std::fs::read`) of the code that ships, imports spelt out.
    pub fn paths(&self) -> Vec<paths::Path> {
        paths::all(&self.work)
    }

    /// Lines of [`work`](Self::work) with their numbers.
    pub fn work_lines(&self) -> impl Iterator<Item = (usize, &str)> {
        self.work.lines().zip(1..).map(|(text, line)| (line, text))
    }
}

/// Reads every Rust file of a tree.
pub fn read(texts: &BTreeMap<String, String>) -> Vec<RustFile> {
    let sources = || texts.iter().filter(|(path, _)| path.ends_with(".rs"));
    let modules: Vec<String> = sources()
        .flat_map(|(path, text)| test_modules(path, &only(text, Kind::Code)))
        .collect();
    sources()
        .map(|(path, text)| RustFile::new(path, text, is_test(path, &modules)))
        .collect()
}

/// Files of `tests/`, `benches/` and of modules declared for tests only.
fn is_test(path: &str, modules: &[String]) -> bool {
    let outside_src = path.contains("/tests/") || path.contains("/benches/");
    (outside_src && !path.contains("/src/"))
        || modules.iter().any(|m| {
            path.strip_prefix(m.as_str())
                .is_some_and(|r| r == ".rs" || r.starts_with('/'))
        })
}

/// Paths, without `.rs`, of modules a file declares for tests only.
fn test_modules(path: &str, code: &str) -> Vec<String> {
    let stem = path.trim_end_matches(".rs");
    let folder = ["/mod", "/lib", "/main"]
        .iter()
        .find_map(|root| stem.strip_suffix(root))
        .unwrap_or(stem);
    code.match_indices(TEST_MARK)
        .filter_map(|(at, mark)| {
            let item = code.get(at + mark.len()..)?.trim_start();
            let item = item.strip_prefix("pub ").unwrap_or(item);
            let name = item.strip_prefix("mod ")?.split_once(';')?.0;
            name.bytes()
                .all(is_word)
                .then(|| format!("{folder}/{name}"))
        })
        .collect()
}

/// Where items marked `#[cfg(test)]` stand.
fn test_lines(code: &str) -> Vec<Lines> {
    let mut found: Vec<Lines> = Vec::new();
    for (at, mark) in code.match_indices(TEST_MARK) {
        let end = item_end(code, at + mark.len());
        let lines = line_of(code, at)..=line_of(code, end);
        if found.last().is_none_or(|last| last.end() < lines.start()) {
            found.push(lines);
        }
    }
    found
}

/// Where the item that begins at or after `from` ends: its last byte.
pub fn item_end(code: &str, from: usize) -> usize {
    let mut depth = 0_i32;
    for (at, b) in code.bytes().enumerate().skip(from) {
        match b {
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' => depth -= 1,
            b'}' => {
                depth -= 1;
                if depth <= 0 {
                    return at;
                }
            }
            b';' if depth == 0 => return at,
            _ => {}
        }
    }
    code.len()
}

/// The line, counted from 1, of a byte.
pub fn line_of(code: &str, at: usize) -> usize {
    1 + code.bytes().take(at).filter(|&b| b == b'\n').count()
}

/// The text with some lines blanked.
fn without(code: &str, lines: &[Lines]) -> String {
    let mut out = String::with_capacity(code.len());
    for (line, text) in (1..).zip(code.split_inclusive('\n')) {
        if lines.iter().any(|l| l.contains(&line)) {
            out.extend(text.bytes().map(|b| if b == b'\n' { '\n' } else { ' ' }));
        } else {
            out.push_str(text);
        }
    }
    out
}

/// Whether `word` stands in `text` by itself, not inside a longer word.
pub fn has_word(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, _)| {
        let before = at.checked_sub(1).and_then(|i| text.as_bytes().get(i));
        let after = text.as_bytes().get(at + word.len());
        !before.is_some_and(|&b| is_word(b)) && !after.is_some_and(|&b| is_word(b))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tree::Tree;

    const SOURCE: &str = "fn a() {}\n#[cfg(test)]\nmod tests {\n    fn b() {}\n}\nfn c() {}\n";

    #[test]
    fn test_modules_are_no_work() {
        let file = RustFile::new("src/a.rs", SOURCE, false);
        assert!(file.work.contains("fn a") && file.work.contains("fn c"));
        assert!(!file.work.contains("fn b") && file.code.contains("fn b"));
        assert_eq!(file.own_lines(), 2);
    }

    #[test]
    fn modules_declared_for_tests_are_test_files() {
        let tree = Tree::of(&[
            (
                "crates/x/src/lib.rs",
                "#[cfg(test)]\npub mod checks;\nmod tests_of_air;\n",
            ),
            ("crates/x/src/checks.rs", ""),
            ("crates/x/src/checks/more.rs", ""),
            ("crates/x/src/tests_of_air.rs", ""),
            ("crates/x/src/valve.rs", "#[cfg(test)]\nmod tests;\n"),
            ("crates/x/src/valve/tests.rs", ""),
            ("crates/x/tests/all.rs", ""),
        ]);
        let tests: Vec<_> = tree
            .rust()
            .iter()
            .filter(|f| f.is_test)
            .map(|f| f.path.as_str())
            .collect();
        assert_eq!(
            tests,
            [
                "crates/x/src/checks.rs",
                "crates/x/src/checks/more.rs",
                "crates/x/src/valve/tests.rs",
                "crates/x/tests/all.rs"
            ]
        );
    }

    #[test]
    fn a_marked_function_or_import_ends_where_it_ends() {
        let source = "#[cfg(test)]\nuse a::{b, c};\n#[cfg(test)]\nfn d(x: [u8; 3]) {\n}\nfn e() {}";
        let file = RustFile::new("src/a.rs", source, false);
        assert_eq!(file.own_lines(), 1);
        assert_eq!(file.work.trim(), "fn e() {}");
    }

    #[test]
    fn words_stand_alone() {
        assert!(has_word("a todo!()", "todo"));
        assert!(!has_word("mastodon todos", "todo"));
    }
}
