//! Where functions begin and end.

use super::{is_word, item_end, line_of};

/// A function with a body.
#[derive(Debug, PartialEq, Eq)]
pub struct Function {
    pub name: String,
    /// Line of `fn`, counted from 1.
    pub line: usize,
    /// Lines from `fn` to the closing brace, both counted.
    pub length: usize,
}

/// Every function with a body in code whose texts and comments are blank.
pub fn all(code: &str) -> Vec<Function> {
    code.match_indices("fn ")
        .filter_map(|(at, _)| function(code, at))
        .collect()
}

fn function(code: &str, at: usize) -> Option<Function> {
    let before = at.checked_sub(1).and_then(|i| code.as_bytes().get(i));
    if before.is_some_and(|&b| is_word(b)) {
        return None;
    }
    let rest = code.get(at + 3..)?.trim_start();
    let name: String = rest
        .chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_')
        .collect();
    let end = item_end(code, at);
    let has_body = code.as_bytes().get(end) == Some(&b'}');
    let line = line_of(code, at);
    (has_body && !name.is_empty()).then(|| Function {
        name,
        line,
        length: line_of(code, end) + 1 - line,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(code: &str) -> Vec<(String, usize, usize)> {
        all(code)
            .into_iter()
            .map(|f| (f.name, f.line, f.length))
            .collect()
    }

    #[test]
    fn bodies_are_measured() {
        let code = "\npub fn a(\n    x: [u8; 2],\n) -> u8 {\n    if x { y }\n}\nfn b() {}\n";
        assert_eq!(found(code), [("a".into(), 2, 5), ("b".into(), 7, 1)]);
    }

    #[test]
    fn declarations_and_pointer_types_are_none() {
        assert_eq!(
            found("fn a(&self) -> u8;\ntype F = fn (u8) -> u8;\nmacro fn $name() {}"),
            []
        );
    }

    #[test]
    fn a_function_in_a_function_is_found_too() {
        let code = "fn a() {\n    fn b() {\n    }\n}\n";
        assert_eq!(found(code), [("a".into(), 1, 4), ("b".into(), 2, 2)]);
    }
}
