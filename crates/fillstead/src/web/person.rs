//! Who is at the page: on this machine alone, whoever last gave a name in this browser.

use std::convert::Infallible;

use axum::extract::FromRequestParts;
use axum::http::header::{COOKIE, SET_COOKIE};
use axum::http::request::Parts;
use axum::response::Response;

/// The cookie that remembers a name.
const NAME: &str = "by";

/// Who is at the page.
#[derive(Clone, Debug, Default)]
pub struct Person {
    /// Name or initials; none: nobody has said yet.
    pub name: Option<String>,
}

impl<S: Send + Sync> FromRequestParts<S> for Person {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Person, Infallible> {
        let cookies = parts
            .headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|h| h.to_str().ok());
        let pairs = cookies
            .flat_map(|text| text.split(';'))
            .filter_map(|pair| pair.split_once('='));
        let value = pairs
            .filter(|(name, _)| name.trim() == NAME)
            .map(|(_, value)| decoded(value.trim()))
            .next();
        Ok(Person {
            name: value.flatten().filter(|name| !name.trim().is_empty()),
        })
    }
}

impl Person {
    /// The author of an entry: as typed in the form, else as remembered.
    pub fn author(&self, typed: Option<&str>) -> Option<String> {
        let typed = typed.map(str::trim).filter(|name| !name.is_empty());
        typed.map(str::to_owned).or_else(|| self.name.clone())
    }
}

/// The answer with this name remembered for the browser's next pages.
pub fn remember(mut answer: Response, name: &str) -> Response {
    let cookie = format!(
        "{NAME}={}; Path=/; Max-Age=31536000; SameSite=Strict",
        encoded(name)
    );
    if let Ok(value) = cookie.parse() {
        answer.headers_mut().append(SET_COOKIE, value);
    }
    answer
}

/// Bytes that a cookie may not hold, as `%` and two hex digits.
fn encoded(text: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-._~".contains(&b);
    text.bytes()
        .map(|b| {
            if plain(b) {
                char::from(b).to_string()
            } else {
                format!("%{b:02X}")
            }
        })
        .collect()
}

fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('%') {
        bytes.extend(rest.get(..at)?.bytes());
        bytes.push(u8::from_str_radix(rest.get(at + 1..at + 3)?, 16).ok()?);
        rest = rest.get(at + 3..)?;
    }
    bytes.extend(rest.bytes());
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_survives_its_cookie() {
        for name in ["MK", "Åsa; né=1", "100 %"] {
            assert_eq!(decoded(&encoded(name)).as_deref(), Some(name));
        }
        assert_eq!(decoded("%zz"), None);
        assert_eq!(decoded("%4"), None);
    }
}
