//! What a person says of the columns of a sheet: `Our name=field unit, ...`.
//!
//! Not here: columns known by their headings ([`super::columns`]).

use super::columns::{has_unit, letter};
use super::headings::{List, plain};
use crate::usecase::Trouble;
use crate::usecase::book::form::Form;
use crate::usecase::near::meant;

/// What a person says of a column.
#[derive(Clone, Debug, PartialEq)]
pub struct Named {
    /// Its heading, or its letter.
    pub name: String,
    /// The field; none where it is to be left out.
    pub field: Option<&'static str>,
    /// The unit of bare numbers.
    pub unit: Option<String>,
}

/// What the person says of the columns: `Our name=field unit`, several parted by commas.
pub fn read(texts: &[String], list: List, form: &Form) -> Result<Vec<Named>, Vec<Trouble>> {
    let fields = list.fields();
    let mut troubles = Vec::new();
    let mut all = Vec::new();
    for piece in texts
        .iter()
        .flat_map(|text| text.split(','))
        .filter(|p| !p.trim().is_empty())
    {
        let Some((name, what)) = piece.rsplit_once('=') else {
            let remedy = "write its heading or letter, an equals sign and the field, like \"Size=water-volume L\"";
            let what = format!("\"{}\" names no field", piece.trim());
            troubles.push(Trouble::new(what, remedy).about("columns"));
            continue;
        };
        let name = name.trim().to_owned();
        let (field, unit) = match what.trim().split_once(' ') {
            Some((field, unit)) => (field, Some(unit.trim())),
            None => (what.trim(), None),
        };
        let wanted = field.replace('_', "-");
        let field = match fields.iter().find(|known| **known == wanted) {
            Some(field) => Some(*field),
            None if field == "-" => None,
            None => {
                let what = format!("{} have no \"{field}\"", list.called());
                troubles.push(Trouble::new(what, meant(field, &fields)).about("columns"));
                continue;
            }
        };
        if let (Some(unit), Some(field)) = (unit, field.and_then(|f| form.field(f)))
            && (!has_unit(field.kind) || field.kind.value(&format!("1 {unit}")).is_err())
        {
            let what = format!("\"{unit}\" is no unit of {}", field.label);
            let remedy = format!("write one such as in \"{}\"", field.example);
            troubles.push(Trouble::new(what, remedy).about("columns"));
        }
        all.push(Named {
            name,
            field,
            unit: unit.map(str::to_owned),
        });
    }
    match troubles.is_empty() {
        true => Ok(all),
        false => Err(troubles),
    }
}

/// What the person said of columns that are not there.
pub fn unused(named: &[Named], row: usize, headings: &[&str], width: usize) -> Vec<Trouble> {
    let there = |n: &&Named| {
        (0..width).any(|index| letter(index) == n.name) || headings.iter().any(|h| same(&n.name, h))
    };
    let tell = |n: &Named| {
        let what = format!("there is no column \"{}\" in row {row}", n.name);
        Trouble::new(what, meant(&n.name, headings)).about("columns")
    };
    named.iter().filter(|n| !there(n)).map(tell).collect()
}

/// Whether two headings are the same to a person.
pub fn same(one: &str, other: &str) -> bool {
    one.trim() == other.trim() || (plain(one) == plain(other) && !plain(one).is_empty())
}

/// What was said of a heading.
pub fn by_name<'a>(named: &'a [Named], heading: &str) -> Option<&'a Named> {
    named.iter().find(|named| same(&named.name, heading))
}
