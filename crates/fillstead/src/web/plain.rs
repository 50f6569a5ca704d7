//! Texts in places that hold only some letters: cookies, addresses.

use axum::http::HeaderMap;
use axum::http::header::COOKIE;

pub use crate::usecase::plan::query::encoded;

/// The text again; none where it is no text.
pub fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('%') {
        bytes.extend(rest.get(..at)?.bytes());
        let digits = rest.get(at + 1..at + 3)?;
        let hex = digits.bytes().all(|b| b.is_ascii_hexdigit());
        bytes.push(u8::from_str_radix(digits, 16).ok().filter(|_| hex)?);
        rest = rest.get(at + 3..)?;
    }
    bytes.extend(rest.bytes());
    String::from_utf8(bytes).ok()
}

/// A cookie as the browser sent it, the first of its name.
pub fn cookie<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|header| header.to_str().ok())
        .flat_map(|text| text.split(';'))
        .filter_map(|pair| pair.split_once('='))
        .find(|(found, _)| found.trim() == name)
        .map(|(_, value)| value.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_survives() {
        for name in ["MK", "Åsa; né=1", "100 %", "\r\nSet-Cookie: a=b"] {
            assert_eq!(decoded(&encoded(name)).as_deref(), Some(name));
            assert!(encoded(name).bytes().all(|b| b.is_ascii_graphic()));
        }
        for wrong in ["%zz", "%4", "%", "%+1", "%ff"] {
            assert_eq!(decoded(wrong), None, "{wrong}");
        }
    }
}
