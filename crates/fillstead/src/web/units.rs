//! Which units a person reads: chosen by `?units=us` or `?units=metric`, remembered in the browser.

use std::convert::Infallible;

use axum::extract::FromRequestParts;
use axum::http::HeaderValue;
use axum::http::header::{COOKIE, SET_COOKIE};
use axum::http::request::Parts;
use axum::response::Response;
use quantity::UnitSystem;

/// The units chosen; none: the station's own.
#[derive(Clone, Copy, Debug, Default)]
pub struct Units {
    /// Chosen now or before.
    pub chosen: Option<UnitSystem>,
    /// Chosen with this very request.
    now: bool,
}

impl<S: Send + Sync> FromRequestParts<S> for Units {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Units, Infallible> {
        let asked = named(parts.uri.query().unwrap_or_default(), '&');
        if asked.is_some() {
            return Ok(Units {
                chosen: asked,
                now: true,
            });
        }
        let cookies = parts.headers.get_all(COOKIE).iter();
        let kept = cookies.filter_map(|header| header.to_str().ok());
        let chosen = kept.filter_map(|text| named(text, ';')).next();
        Ok(Units { chosen, now: false })
    }
}

impl Units {
    /// The answer, with the choice remembered where it was made just now.
    pub fn remember(self, mut answer: Response) -> Response {
        let name = match self.chosen {
            Some(UnitSystem::Us) => "us",
            _ => "metric",
        };
        let cookie = format!("units={name}; Path=/; Max-Age=31536000; SameSite=Strict");
        if let (true, Ok(value)) = (self.now, HeaderValue::from_str(&cookie)) {
            answer.headers_mut().append(SET_COOKIE, value);
        }
        answer
    }
}

fn named(text: &str, between: char) -> Option<UnitSystem> {
    let mut pairs = text
        .split(between)
        .filter_map(|pair| pair.trim().split_once('='));
    match pairs.find(|(name, _)| *name == "units")?.1 {
        "us" => Some(UnitSystem::Us),
        "metric" => Some(UnitSystem::Metric),
        _ => None,
    }
}
