//! Parts of a station and the numbers they carry in every drawing.

use serde::Serialize;

/// A part, with the number of its balloon: the same in drawing, ladder and finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Part {
    /// 1 to 12; none for what the drawings do not number.
    pub balloon: Option<u8>,
    /// What it is called.
    pub name: String,
}

impl Part {
    fn new(balloon: u8, name: impl Into<String>) -> Part {
        Part {
            balloon: Some(balloon),
            name: name.into(),
        }
    }

    /// Where air is drawn in.
    pub fn intake() -> Part {
        Part::new(1, "intake")
    }

    /// A stage, counted from 1, of so many: 2 is the first, 4 the last, 3 those between.
    pub fn stage(number: usize, of: usize) -> Part {
        match number {
            n if n >= of => Part::new(4, "last stage"),
            1 => Part::new(2, "stage 1"),
            n => Part::new(3, format!("stage {n}")),
        }
    }

    /// Separator and sump.
    pub fn separator() -> Part {
        Part::new(5, "separator")
    }

    /// Housing of separator and purifier.
    pub fn tower() -> Part {
        Part::new(6, "tower")
    }

    /// The purifier's filling.
    pub fn cartridge() -> Part {
        Part::new(6, "cartridge")
    }

    /// Pressure maintaining valve.
    pub fn pmv() -> Part {
        Part::new(7, "PMV")
    }

    /// Final relief valve.
    pub fn relief() -> Part {
        Part::new(8, "relief valve")
    }

    /// Burst disc.
    pub fn disc() -> Part {
        Part::new(9, "burst disc")
    }

    /// Fill hoses.
    pub fn whip() -> Part {
        Part::new(11, "fill hose")
    }

    /// A kind of cylinder.
    pub fn cylinder(id: &str) -> Part {
        Part::new(12, id)
    }

    /// A storage cylinder.
    pub fn bank(id: &str) -> Part {
        Part {
            balloon: None,
            name: format!("bank {id}"),
        }
    }

    /// A gauge.
    pub fn gauge(name: &str) -> Part {
        Part {
            balloon: None,
            name: format!("gauge {name}"),
        }
    }
}
