//! Which units a person reads: chosen by `?units=us` or `?units=metric`, remembered in the browser.

use std::convert::Infallible;

use axum::extract::FromRequestParts;
use axum::http::HeaderValue;
use axum::http::header::SET_COOKIE;
use axum::http::request::Parts;
use axum::response::Response;
use quantity::UnitSystem;

use super::plain::cookie;

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
        let query = parts.uri.query().unwrap_or_default();
        let mut pairs = query.split('&').filter_map(|pair| pair.split_once('='));
        let asked = pairs.find(|(name, _)| *name == "units");
        let asked = asked.and_then(|(_, value)| system(value));
        if asked.is_some() {
            return Ok(Units {
                chosen: asked,
                now: true,
            });
        }
        Ok(Units {
            chosen: cookie(&parts.headers, "units").and_then(system),
            now: false,
        })
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

fn system(name: &str) -> Option<UnitSystem> {
    match name {
        "us" => Some(UnitSystem::Us),
        "metric" => Some(UnitSystem::Metric),
        _ => None,
    }
}
