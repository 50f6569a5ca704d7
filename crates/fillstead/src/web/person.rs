//! Who is at the page: on this machine alone, whoever last gave a name in this browser; over the
//! network, whoever is signed in.

use std::convert::Infallible;

use axum::extract::FromRequestParts;
use axum::http::header::SET_COOKIE;
use axum::http::request::Parts;
use axum::response::Response;

use super::plain::{cookie, decoded, encoded};
use crate::usecase::people::Role;
use crate::usecase::people::sign::SignedIn;

/// The cookie that remembers a name.
const NAME: &str = "by";

/// Who is at the page.
#[derive(Clone, Debug, Default)]
pub struct Person {
    /// Name or initials; none: nobody has said yet.
    pub name: Option<String>,
    /// What they may do over the network; none: on this machine, where everything is allowed.
    pub role: Option<Role>,
}

impl<S: Send + Sync> FromRequestParts<S> for Person {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Person, Infallible> {
        if let Some(somebody) = parts.extensions.get::<SignedIn>() {
            return Ok(Person {
                name: Some(somebody.name.clone()),
                role: Some(somebody.role),
            });
        }
        let name = cookie(&parts.headers, NAME).and_then(decoded);
        Ok(Person {
            name: name.filter(|name| !name.trim().is_empty()),
            role: None,
        })
    }
}

impl Person {
    /// The author of an entry: whoever is signed in; else as typed in the form, else as remembered.
    pub fn author(&self, typed: Option<&str>) -> Option<String> {
        let typed = typed.map(str::trim).filter(|name| !name.is_empty());
        match self.is_signed_in() {
            true => self.name.clone(),
            false => typed.map(str::to_owned).or_else(|| self.name.clone()),
        }
    }

    /// Whether the name is that of a session, and not to be typed.
    pub fn is_signed_in(&self) -> bool {
        self.role.is_some()
    }

    /// Whether this person may correct an entry of this author: their own, or any as a keeper.
    pub fn may_correct(&self, author: &str) -> bool {
        match self.role {
            None | Some(Role::Keeper) => true,
            Some(Role::Operator) => self.name.as_deref() == Some(author),
            Some(Role::Onlooker) => false,
        }
    }
}

/// The answer with this name remembered for the browser's next pages.
pub fn remember(mut answer: Response, name: &str) -> Response {
    let cookie = format!(
        "{NAME}={}; HttpOnly; Path=/; Max-Age=31536000; SameSite=Strict",
        encoded(name)
    );
    if let Ok(value) = cookie.parse() {
        answer.headers_mut().append(SET_COOKIE, value);
    }
    answer
}
