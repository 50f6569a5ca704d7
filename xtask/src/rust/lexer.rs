//! Telling code, texts and comments of Rust apart, byte by byte.
//!
//! Enough for checks that look for words: string and character literals,
//! line and nested block comments. Not a parser.

/// What a byte belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Code,
    /// A string or character literal with its quotes.
    Literal,
    Comment,
}

/// The source with everything but one kind blanked. Length and line breaks
/// stay, so a place in the result is a place in the source.
pub fn only(source: &str, wanted: Kind) -> String {
    let mut out = String::with_capacity(source.len());
    let mut at = 0;
    while at < source.len() {
        let (kind, end) = piece(source.as_bytes(), at);
        let end = (end..=source.len())
            .find(|&e| source.is_char_boundary(e))
            .unwrap_or(end);
        let text = source.get(at..end).unwrap_or_default();
        if kind == wanted {
            out.push_str(text);
        } else {
            out.extend(text.bytes().map(|b| if b == b'\n' { '\n' } else { ' ' }));
        }
        at = end;
    }
    out
}

/// The kind of what begins at `at`, and where it ends (always after `at`).
fn piece(source: &[u8], at: usize) -> (Kind, usize) {
    let rest = source.get(at..).unwrap_or_default();
    let (kind, length) = match rest {
        [b'/', b'/', ..] => (Kind::Comment, line(rest)),
        [b'/', b'*', ..] => (Kind::Comment, block(rest)),
        [b'"', ..] => (Kind::Literal, quoted(rest, b'"')),
        [b'\'', ..] => character(rest),
        [b, ..] if is_word(*b) => word(rest),
        _ => (Kind::Code, 1),
    };
    (kind, at + length.max(1))
}

/// Whether a byte can stand in an identifier.
pub fn is_word(b: u8) -> bool {
    b == b'_' || b.is_ascii_alphanumeric() || b >= 0x80
}

fn line(rest: &[u8]) -> usize {
    rest.iter().position(|&b| b == b'\n').unwrap_or(rest.len())
}

fn block(rest: &[u8]) -> usize {
    let mut depth = 0_usize;
    let mut at = 0;
    while let Some(pair) = rest.get(at..at + 2) {
        match pair {
            b"/*" => depth += 1,
            b"*/" => depth = depth.saturating_sub(1),
            _ => {
                at += 1;
                continue;
            }
        }
        at += 2;
        if depth == 0 {
            return at;
        }
    }
    rest.len()
}

/// Length of a literal between two quotes, with backslash escapes.
fn quoted(rest: &[u8], quote: u8) -> usize {
    let mut at = 1;
    while let Some(&b) = rest.get(at) {
        match b {
            b'\\' => at += 2,
            _ if b == quote => return at + 1,
            _ => at += 1,
        }
    }
    rest.len()
}

/// A character literal, or the quote of a lifetime.
fn character(rest: &[u8]) -> (Kind, usize) {
    let first = rest.get(1).copied().unwrap_or(b' ');
    let width = match first {
        b'\\' => return (Kind::Literal, quoted(rest, b'\'')),
        0xF0.. => 4,
        0xE0.. => 3,
        0xC0.. => 2,
        _ => 1,
    };
    if rest.get(1 + width) == Some(&b'\'') {
        (Kind::Literal, width + 2)
    } else {
        (Kind::Code, 1)
    }
}

/// An identifier or number, or the raw string that begins like one.
fn word(rest: &[u8]) -> (Kind, usize) {
    let length = rest.iter().position(|&b| !is_word(b)).unwrap_or(rest.len());
    let raw = matches!(rest.get(..length), Some(b"r" | b"br" | b"cr"));
    match raw.then(|| raw_string(rest, length)).flatten() {
        Some(end) => (Kind::Literal, end),
        None => (Kind::Code, length),
    }
}

/// Where a raw string ends whose hashes or quote begin at `from`.
fn raw_string(rest: &[u8], from: usize) -> Option<usize> {
    let hashes = rest.get(from..)?.iter().take_while(|&&b| b == b'#').count();
    let open = from + hashes;
    if rest.get(open) != Some(&b'"') {
        return None;
    }
    let mut end = vec![b'"'];
    end.resize(1 + hashes, b'#');
    let inside = rest.get(open + 1..)?;
    let closes = inside.windows(end.len()).position(|w| w == end);
    Some(closes.map_or(rest.len(), |c| open + 1 + c + end.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(source: &str) -> String {
        only(source, Kind::Code)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    }

    #[test]
    fn comments_go() {
        assert_eq!(code("a // b\nc /* d /* e */ f */ g"), "a c g");
        assert_eq!(code("/// doc `x.unwrap()`\nfn f() {}"), "fn f() {}");
    }

    #[test]
    fn literals_go() {
        assert_eq!(code(r#"a("b // \" c", 'd', '\'', '"')"#), "a( , , , )");
        assert_eq!(code("r#\"x \" y\"# z"), "z");
        assert_eq!(code("'€' b\"x\""), "b");
    }

    #[test]
    fn lifetimes_and_raw_names_stay() {
        assert_eq!(
            code("fn f<'a>(x: &'a str) { r#type }"),
            "fn f<'a>(x: &'a str) { r#type }"
        );
    }

    #[test]
    fn length_and_lines_stay() {
        let source = "a /* é\n */ \"€\n\" b";
        for kind in [Kind::Code, Kind::Literal, Kind::Comment] {
            let out = only(source, kind);
            assert_eq!(out.len(), source.len());
            assert_eq!(out.lines().count(), 3);
        }
    }

    #[test]
    fn unfinished_source_ends() {
        for source in ["\"a", "/* a", "r#\"a", "'", "'\\", "/"] {
            assert_eq!(only(source, Kind::Code).len(), source.len(), "{source}");
        }
    }
}
