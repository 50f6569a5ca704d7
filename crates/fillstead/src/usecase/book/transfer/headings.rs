//! What people write over the columns of their lists, in four languages.
//!
//! The words are in `headings.txt`. Names are compared plain.

use std::sync::LazyLock;

/// A list that can be brought in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// Cylinders.
    Cylinders,
    /// Fills of earlier days.
    Fills,
}

/// A field, and the names people give its column.
struct Names {
    list: List,
    field: &'static str,
    names: Vec<&'static str>,
}

/// The table beside this file.
fn table() -> &'static [Names] {
    static TABLE: LazyLock<Vec<Names>> = LazyLock::new(|| {
        let lines = include_str!("headings.txt").lines();
        lines.filter_map(names).collect()
    });
    &TABLE
}

/// A line of the table; none for a remark.
fn names(line: &'static str) -> Option<Names> {
    let (head, names) = line.split_once(": ")?;
    let (list, field) = head.split_once(' ')?;
    let lists = [List::Cylinders, List::Fills];
    let list = lists.into_iter().find(|known| known.called() == list)?;
    Some(Names {
        list,
        field,
        names: names.split(", ").collect(),
    })
}

impl List {
    /// What people call it.
    pub fn called(self) -> &'static str {
        match self {
            List::Cylinders => "cylinders",
            List::Fills => "fills",
        }
    }

    /// Every field a column of this list may have.
    pub fn fields(self) -> Vec<&'static str> {
        self.names().map(|names| names.field).collect()
    }

    /// The field people mean by a heading, plain.
    pub fn meant(self, heading: &str) -> Option<&'static str> {
        let found = self.names().find(|names| names.names.contains(&heading));
        found.map(|names| names.field)
    }

    /// Its own names, and for fills those of the cylinder and the remark.
    fn names(self) -> impl Iterator<Item = &'static Names> {
        let shared = |names: &Names| matches!(names.field, "cylinder" | "remark");
        table()
            .iter()
            .filter(move |names| names.list == self || shared(names))
    }
}

/// Small letters and digits, words parted by one space; accents taken off.
pub fn plain(text: &str) -> String {
    let mut plain = String::new();
    for c in text.chars().take(200).flat_map(char::to_lowercase) {
        match bare(c) {
            Some(letters) => plain.push_str(letters),
            None if c.is_alphanumeric() => plain.push(c),
            None if c == '✓' => plain.push(c),
            None if !plain.ends_with(' ') => plain.push(' '),
            None => {}
        }
    }
    plain.trim().to_owned()
}

fn bare(c: char) -> Option<&'static str> {
    Some(match c {
        'ä' | 'à' | 'â' | 'á' | 'å' => "a",
        'é' | 'è' | 'ê' | 'ë' => "e",
        'î' | 'ï' | 'í' => "i",
        'ö' | 'ô' | 'ó' => "o",
        'ü' | 'û' | 'ù' | 'ú' => "u",
        'ç' => "c",
        'ñ' => "n",
        'ß' => "ss",
        '°' | 'º' => "",
        '№' => "no",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::usecase::book::form::Form;

    #[test]
    fn every_field_is_one_of_the_form_and_every_name_means_one() {
        for (list, form) in [(List::Cylinders, "cylinder"), (List::Fills, "fill")] {
            let form = Form::named(form).unwrap();
            for Names { field, names, .. } in list.names() {
                let extra = list == List::Fills && matches!(*field, "date" | "time" | "by");
                assert!(extra || form.field(field).is_some(), "{field}");
                for name in names {
                    assert_eq!(plain(name), *name, "not plain: {name}");
                    assert_eq!(list.meant(name), Some(*field), "{name} means two fields");
                }
            }
            for field in form.fields {
                assert!(list.fields().contains(&field.name), "{}", field.name);
            }
        }
        let lines = include_str!("headings.txt").lines();
        assert_eq!(
            table().len(),
            lines.filter(|line| !line.starts_with('#')).count()
        );
    }

    #[test]
    fn names_are_compared_plain() {
        assert_eq!(plain("  Prüfdruck: "), "prufdruck");
        assert_eq!(plain("N° de série"), "n de serie");
        assert_eq!(plain("Serial-No."), "serial no");
        assert_eq!(
            List::Cylinders.meant(&plain("Flaschen-Nr.")),
            Some("cylinder")
        );
        assert_eq!(List::Fills.meant(&plain("Année")), None);
    }
}
