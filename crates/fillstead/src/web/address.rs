//! Names and texts of people in addresses.

use std::fmt::Write;

/// A text as one part of a path, or as a value of a query.
pub fn part(text: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-_~".contains(&b);
    text.bytes().fold(String::new(), |mut out, b| {
        if plain(b) {
            out.push(char::from(b));
        } else {
            // Writing to a text does not fail.
            let _ = write!(out, "%{b:02X}");
        }
        out
    })
}

/// A path with what is given in its query; what is empty is left out.
pub fn with(path: &str, given: &[(&str, &str)]) -> String {
    let given = given.iter().filter(|(_, text)| !text.is_empty());
    let pairs: Vec<String> = given
        .map(|(name, text)| format!("{name}={}", part(text)))
        .collect();
    match pairs.is_empty() {
        true => path.to_owned(),
        false => format!("{path}?{}", pairs.join("&")),
    }
}

/// A path with one thing given.
pub fn one(path: &str, name: &str, text: &str) -> String {
    with(path, &[(name, text)])
}

/// The page of a cylinder.
pub fn cylinder(id: &str) -> String {
    format!("/book/cylinder/{}", part(id))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 3986, 2.1 and 2.3: what is not unreserved is written as % and two hex digits.
    #[test]
    fn names_are_encoded() {
        assert_eq!(part("A/1 é"), "A%2F1%20%C3%A9");
        assert_eq!(
            with("/book", &[("person", "a&b"), ("day", "")]),
            "/book?person=a%26b"
        );
    }
}
