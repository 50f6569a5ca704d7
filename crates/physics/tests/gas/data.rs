//! Reading the reference tables and comparing numbers.

use physics::gas::{Composition, Gas};

/// A comma-separated table: `#` lines, one line of names, then rows.
pub struct Table {
    names: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

/// One row, its values found by column name.
pub struct Row<'a> {
    table: &'a Table,
    fields: &'a [&'static str],
}

impl Table {
    pub fn read(text: &'static str) -> Self {
        let mut lines = text
            .lines()
            .filter(|line| !line.starts_with('#') && !line.is_empty());
        let names = lines.next().unwrap().split(',').collect();
        let rows: Vec<Vec<_>> = lines.map(|line| line.split(',').collect()).collect();
        assert!(rows.len() > 50, "table has lost its rows: {}", rows.len());
        Self { names, rows }
    }

    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|fields| Row {
            table: self,
            fields,
        })
    }
}

impl Row<'_> {
    pub fn text(&self, name: &str) -> &'static str {
        let column = self.table.names.iter().position(|n| *n == name);
        self.fields[column.unwrap_or_else(|| panic!("no column {name}"))]
    }

    pub fn get(&self, name: &str) -> f64 {
        self.text(name).parse().unwrap()
    }
}

/// Largest deviation met, with where it was met.
pub struct Worst {
    what: &'static str,
    limit: f64,
    pub value: f64,
    place: String,
}

impl Worst {
    pub fn new(what: &'static str, limit: f64) -> Self {
        Self {
            what,
            limit,
            value: 0.0,
            place: String::from("nowhere"),
        }
    }

    /// Takes in |got − want|/scale.
    pub fn see(&mut self, got: f64, want: f64, scale: f64, place: impl FnOnce() -> String) {
        let off = (got - want).abs() / scale.abs();
        assert!(
            off.is_finite(),
            "{}: {got} against {want} at {}",
            self.what,
            place()
        );
        if off > self.value {
            self.value = off;
            self.place = format!("{} (got {got}, want {want})", place());
        }
    }

    /// Fails if the limit was exceeded.
    pub fn check(&self) {
        assert!(self.value > 0.0, "{}: nothing compared", self.what);
        assert!(
            self.value <= self.limit,
            "{}: {} exceeds {} at {}",
            self.what,
            self.value,
            self.limit,
            self.place
        );
    }
}

pub fn air() -> Gas {
    Gas::new(Composition::dry_air())
}

/// Dry air by the equation of mixtures.
pub fn air_as_mixture() -> Gas {
    Gas::mixture(Composition::dry_air())
}

/// The gases every sweep goes over.
pub fn breathing_gases() -> [(&'static str, Gas); 4] {
    [
        ("air", air()),
        ("nitrox 32", Gas::new(Composition::nitrox(0.32).unwrap())),
        (
            "trimix 18/45",
            Gas::new(Composition::trimix(0.18, 0.45).unwrap()),
        ),
        ("oxygen", Gas::new(Composition::nitrox(1.0).unwrap())),
    ]
}
