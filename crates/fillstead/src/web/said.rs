//! Sentences of the use cases on a page: a command in them becomes the way to its form.
//!
//! The use cases name commands between backticks; a page has links instead.

use super::address;
use crate::usecase::book::form::Form;

/// A piece of a sentence.
#[derive(Debug, PartialEq)]
pub struct Piece {
    /// Its words.
    pub text: String,
    /// Where they lead; empty for plain words.
    pub href: String,
}

/// A sentence in pieces.
pub fn pieces(text: &str) -> Vec<Piece> {
    let parts = text.split('`').enumerate();
    let pieces = parts.map(|(i, part)| match i % 2 {
        0 => plain(part),
        _ => command(part),
    });
    pieces.filter(|piece| !piece.text.is_empty()).collect()
}

fn plain(text: &str) -> Piece {
    Piece {
        text: text.to_owned(),
        href: String::new(),
    }
}

fn link(text: &str, href: String) -> Piece {
    Piece {
        text: text.to_owned(),
        href,
    }
}

fn command(text: &str) -> Piece {
    let words = words(text.trim_start_matches("fillstead "));
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["book", "add", "BOOK", "station", ..] => {
            link("enter the station file", "/book/add/station".into())
        }
        ["book", "add", "BOOK", "air-test", ..] => link("enter an air test", "/air".into()),
        ["book", "add", "BOOK", form, rest @ ..] => {
            to_form(form, rest).unwrap_or_else(|| plain(text))
        }
        ["book", "trace", ..] => link("who and what got this air", "/book/trace".into()),
        ["book", "print", _, "quarantine", ..] => {
            link("the list of what is set aside", "/print/quarantine".into())
        }
        ["book", "due" | "list", ..] => link("the book", "/book".into()),
        ["book", "correct", ..] => link("the entry's own page", "/book".into()),
        ["cylinder", "--list-rules"] => link("the form", "/book/add/rules".into()),
        _ => plain(text),
    }
}

/// The form a command makes an entry with, filled in as the command is.
fn to_form(name: &str, rest: &[&str]) -> Option<Piece> {
    let form = Form::named(name).ok()?;
    let mut given: Vec<(&str, &str)> = Vec::new();
    let mut firsts = form.fields.iter().filter(|field| field.first);
    let mut rest = rest.iter();
    while let Some(word) = rest.next() {
        match word.strip_prefix("--") {
            Some(option) => given.push((option, rest.next().copied().unwrap_or_default())),
            None => given.push((firsts.next()?.name, word)),
        }
    }
    let href = address::with(&format!("/book/add/{name}"), &given);
    Some(link(&format!("enter: {}", form.name), href))
}

/// Words of a command; quotes hold several together.
fn words(text: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (i, part) in text.split('"').enumerate() {
        match i % 2 {
            0 => words.extend(part.split_whitespace().map(str::to_owned)),
            _ => words.push(part.to_owned()),
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_become_ways() {
        let told = pieces("write it down: `book add BOOK cause 41`, or wait");
        assert_eq!(told[1].href, "/book/add/cause?of=41");
        assert_eq!(told[2].text, ", or wait");
        let told = pieces("choose one (`book add BOOK rules --air-standard \"EN 12021\"`)");
        assert_eq!(told[1].href, "/book/add/rules?air-standard=EN%2012021");
        assert_eq!(pieces("`book add BOOK nothing`")[0].href, "");
        assert_eq!(pieces("plain `odd").len(), 2);
    }
}
