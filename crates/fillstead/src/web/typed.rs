//! What was typed into an address or a form, by name.

use crate::usecase::book::form::Given;

/// What was typed.
pub struct Typed(pub Given);

impl Typed {
    /// The text of this name; none where nothing, or only spaces, was typed.
    pub fn text(&self, name: &str) -> Option<&str> {
        let found = self.0.iter().rev().find(|(other, _)| other == name);
        found
            .map(|(_, text)| text.trim())
            .filter(|text| !text.is_empty())
    }

    /// The same as a text of its own.
    pub fn own(&self, name: &str) -> Option<String> {
        self.text(name).map(str::to_owned)
    }

    /// The same; empty where nothing was typed.
    pub fn shown(&self, name: &str) -> String {
        self.text(name).unwrap_or_default().to_owned()
    }

    /// Several, parted by semicolons.
    pub fn several(&self, name: &str) -> Vec<String> {
        let parts = self.text(name).unwrap_or_default().split(';');
        let parts = parts.map(str::trim).filter(|part| !part.is_empty());
        parts.map(str::to_owned).collect()
    }
}
