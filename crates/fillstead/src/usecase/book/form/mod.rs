//! Forms: what may be written down about each kind of entry, as data.
//!
//! A form is a table of fields. The command line makes its options from it, the pages their
//! inputs, a spreadsheet its columns; what was typed becomes a body by the table alone, and a body
//! becomes what was typed again. A field's name is the body's key with hyphens, unless
//! the field says otherwise.
//! Start at [`Form::body`]. Not here: the fill gate, files, the book itself.

mod field;
mod forms;

use book::{Body, Kind};
use serde_json::{Map, Value};

use crate::usecase::Trouble;
use crate::usecase::near::meant;

pub use field::{Field, Type};
pub use forms::{FILL_LINE, FORMS};

/// What may be written down about one kind of entry.
#[derive(Debug)]
pub struct Form {
    /// What it makes.
    pub kind: Kind,
    /// Its name in commands and addresses: a verb or a thing.
    pub name: &'static str,
    /// What it is for, in a line.
    pub about: &'static str,
    /// What stands where the hand is; empty where nothing can hurt.
    pub caution: &'static str,
    /// Its fields, in the order in which people think of them.
    pub fields: &'static [Field],
}

/// What was typed into a form: name of the field, and text.
pub type Given = Vec<(String, String)>;

impl Form {
    /// The form of this name.
    pub fn named(name: &str) -> Result<&'static Form, Trouble> {
        FORMS
            .iter()
            .copied()
            .find(|form| form.name == name)
            .ok_or_else(|| {
                let names: Vec<&str> = FORMS.iter().map(|form| form.name).collect();
                Trouble::new(
                    format!("nothing called \"{name}\" is kept"),
                    meant(name, &names),
                )
            })
    }

    /// The form that makes this kind of entry; none for kinds that are made another way.
    pub fn of(kind: Kind) -> Option<&'static Form> {
        FORMS.iter().copied().find(|form| form.kind == kind)
    }

    /// The field of this name.
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.name == name)
    }

    /// The body of what was typed, or everything that is wrong with it. An empty text counts as
    /// not given.
    pub fn body(&self, given: &[(String, String)]) -> Result<Body, Vec<Trouble>> {
        self.body_over(Map::new(), given)
    }

    /// The body of what was typed over a body that is there: what is not typed stays. An empty
    /// text takes a field away.
    pub fn body_over(
        &self,
        mut object: Map<String, Value>,
        given: &[(String, String)],
    ) -> Result<Body, Vec<Trouble>> {
        let mut troubles = Vec::new();
        for (name, text) in given {
            let Some(field) = self.field(name) else {
                let names: Vec<&str> = self.fields.iter().map(|field| field.name).collect();
                let what = format!("{} has no \"{name}\"", self.kind.called());
                troubles.push(Trouble::new(what, meant(name, &names)));
                continue;
            };
            match text.trim() {
                "" => drop(object.remove(&field.key())),
                text => match field.kind.value(text) {
                    Ok(value) => drop(object.insert(field.key(), value)),
                    Err(trouble) => troubles.push(trouble.about(field.name)),
                },
            }
        }
        for field in self.fields.iter().filter(|field| field.needed) {
            let typed = given
                .iter()
                .any(|(name, text)| name == field.name && !text.trim().is_empty());
            if !object.contains_key(&field.key()) && !typed {
                let what = format!("{} is missing", field.label);
                let remedy = format!("give it, such as {}", field.example);
                troubles.push(Trouble::new(what, remedy).about(field.name));
            }
        }
        if !troubles.is_empty() {
            return Err(troubles);
        }
        let text = Value::Object(object).to_string();
        Body::read(self.kind.name(), self.kind.version(), &text).map_err(|error| {
            let remedy = "check its figures, and enter it again";
            vec![Trouble::new(
                format!("this cannot be kept: {error}"),
                remedy,
            )]
        })
    }

    /// What would have to be typed to get this body: for forms that are shown filled in. A body of
    /// another kind gives nothing.
    pub fn given(&self, body: &Body) -> Given {
        if body.kind() != self.kind {
            return Vec::new();
        }
        let object = object_of(body);
        let text = |field: &Field| {
            Some((
                field.name.to_owned(),
                field::text(object.get(&field.key())?)?,
            ))
        };
        self.fields.iter().filter_map(text).collect()
    }
}

/// What was typed into these fields; a number alone with the unit of whoever asks, stamps aside.
pub fn whole<'f>(fields: impl IntoIterator<Item = &'f Field> + Clone, given: &Given) -> Given {
    let one = |(name, text): &(String, String)| {
        let field = fields.clone().into_iter().find(|f| f.name == name);
        let text = field.map_or_else(|| text.clone(), |field| field.kind.whole(text));
        (name.clone(), text)
    };
    given.iter().map(one).collect()
}

/// The texts of a value that holds several.
pub fn texts(value: &Value) -> Vec<String> {
    let several = value.as_array().map(Vec::as_slice).unwrap_or_default();
    several.iter().filter_map(field::text).collect()
}

/// A body as an object of keys.
pub fn object_of(body: &Body) -> Map<String, Value> {
    let text = body.json().unwrap_or_default();
    match serde_json::from_str(&text) {
        Ok(Value::Object(object)) => object,
        _ => Map::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(fields: &[(&str, &str)]) -> Given {
        fields
            .iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect()
    }

    #[test]
    fn every_form_has_a_name_of_its_own_and_fields_the_body_knows() {
        for form in FORMS {
            assert_eq!(
                FORMS.iter().filter(|f| f.name == form.name).count(),
                1,
                "{}",
                form.name
            );
            // Each field given alone or with what is needed must read back as typed.
            let all: Given = form
                .fields
                .iter()
                .map(|field| (field.name.to_owned(), field.example.to_owned()))
                .collect();
            let body = form
                .body(&all)
                .unwrap_or_else(|t| panic!("{}: {t:?}", form.name));
            assert_eq!(form.given(&body), all, "{}", form.name);
        }
    }

    #[test]
    fn everything_wrong_is_told_at_once() {
        let form = Form::named("fill").unwrap();
        let troubles = form
            .body(&given(&[("from", "50"), ("too", "232 bar")]))
            .unwrap_err();
        let fields: Vec<_> = troubles.iter().map(|trouble| trouble.field).collect();
        assert_eq!(fields, [Some("from"), None, Some("cylinder")]);
        assert!(
            troubles[1].remedy.contains("did you mean to?"),
            "{}",
            troubles[1].remedy
        );
    }

    #[test]
    fn what_is_not_typed_stays_and_an_empty_text_takes_away() {
        let form = Form::named("fill").unwrap();
        let old = form
            .body(&given(&[
                ("cylinder", "A1"),
                ("from", "50 bar"),
                ("to", "232 bar"),
            ]))
            .unwrap();
        let new = form
            .body_over(object_of(&old), &given(&[("to", "230 bar"), ("from", "")]))
            .unwrap();
        let expected = given(&[("cylinder", "A1"), ("to", "230 bar")]);
        assert_eq!(form.given(&new), expected);
    }

    #[test]
    fn a_name_nearly_right_is_meant() {
        let trouble = Form::named("fil").unwrap_err();
        assert_eq!(trouble.remedy, "did you mean fill?");
    }
}
