//! One row of a standard's table as a limit or an interval.
//!
//! Not here: cells and columns ([`super::cells`]).

use quantity::{GaugePressure, Quantity, parse};

use super::cells::Columns;
use crate::air::judge::Point;
use crate::air::measurand::{Measurand, Scale};
use crate::air::mistake::Mistake;
use crate::air::standard::{Allowed, Bound, Certainty, CylinderSpan, Interval, Limit, Standard};
use crate::air::{amount, find};

/// Adds the row to the standard.
pub(super) fn add(
    standard: &mut Standard,
    columns: &Columns,
    cells: &[String],
) -> Result<(), Mistake> {
    if cells.len() > columns.len() {
        return Err(Mistake::new(
            "this line has more cells than the heading",
            "put a text with a comma in quotes",
        ));
    }
    let row = Row { columns, cells };
    if row.cell("quantity") == "interval" {
        standard.interval = Some(row.interval()?);
    } else {
        standard.limits.push(row.limit()?);
    }
    Ok(())
}

struct Row<'a> {
    columns: &'a Columns,
    cells: &'a [String],
}

impl Row<'_> {
    fn cell(&self, name: &str) -> &str {
        self.columns.cell(self.cells, name)
    }

    fn limit(&self) -> Result<Limit, Mistake> {
        let what = self.what()?;
        Ok(Limit {
            what,
            allowed: self.allowed(what)?,
            point: self.point()?,
            cylinder: match self.cell("cylinder") {
                "" => None,
                text => Some(span(text)?),
            },
            not_for_oil_free: self.not_for_oil_free()?,
            note: self.cell("note").into(),
            source: self.source(),
            certainty: self.certainty()?,
        })
    }

    fn what(&self) -> Result<Measurand, Mistake> {
        let name = self.cell("quantity");
        Measurand::named(name).ok_or_else(|| {
            let cause = format!("`{name}` is nothing an air test measures");
            let known: Vec<&str> = Measurand::ALL.iter().map(|m| m.name()).collect();
            let remedy = match Measurand::near(name) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("use {} or interval", known.join(", ")),
            };
            Mistake::new(cause, remedy)
        })
    }

    fn allowed(&self, what: Measurand) -> Result<Allowed, Mistake> {
        if what.scale() == Scale::Noticed {
            return match self.cell("at_most") {
                "none" => Ok(Allowed::NoneAtAll),
                "none significant" => Ok(Allowed::NoneSignificant),
                other => Err(Mistake::new(
                    format!("`{other}` is no limit of {}", what.name()),
                    "write none or none significant",
                )),
            };
        }
        let (least, most) = (self.bound(what, "at_least")?, self.bound(what, "at_most")?);
        match (&least, &most) {
            (None, None) => Err(Mistake::new(
                format!("{} has no limit in this line", what.name()),
                "fill at_least or at_most, or take the line out",
            )),
            (Some(least), Some(most)) if least.value > most.value => Err(Mistake::new(
                format!("{} is more than {}", least.text, most.text),
                "exchange at_least and at_most",
            )),
            _ => Ok(Allowed::Within { least, most }),
        }
    }

    fn bound(&self, what: Measurand, column: &str) -> Result<Option<Bound>, Mistake> {
        let number = self.cell(column);
        if number.is_empty() {
            return Ok(None);
        }
        let text = format!("{number} {}", self.cell("unit"));
        let value = amount::bound(what, &text)?;
        Ok(Some(Bound {
            text: text.trim().to_owned(),
            value,
        }))
    }

    fn point(&self) -> Result<Option<Point>, Mistake> {
        match self.cell("point") {
            "" => Ok(None),
            word => Point::named(word).map(Some).ok_or_else(|| {
                Mistake::new(
                    format!("`{word}` is no sampling point"),
                    "write outlet or cylinder, or leave it empty for either",
                )
            }),
        }
    }

    fn not_for_oil_free(&self) -> Result<bool, Mistake> {
        match self.cell("unless") {
            "" => Ok(false),
            "oil-free" => Ok(true),
            other => Err(Mistake::new(
                format!("`{other}` is no exception known here"),
                "write oil-free or leave it empty",
            )),
        }
    }

    fn source(&self) -> String {
        match self.cell("source") {
            "" => "the owner's own rule".into(),
            source => source.into(),
        }
    }

    fn certainty(&self) -> Result<Certainty, Mistake> {
        let word = self.cell("certainty");
        if word.is_empty() {
            return Ok(Certainty::Owner);
        }
        let known = Certainty::WORDS.iter().find(|(name, _)| *name == word);
        known.map(|(_, certainty)| *certainty).ok_or_else(|| {
            let names = Certainty::WORDS.map(|(name, _)| name);
            let remedy = match find::nearest(word, names.into_iter()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("use {}", names.join(", ")),
            };
            Mistake::new(format!("`{word}` is no certainty"), remedy)
        })
    }

    fn interval(&self) -> Result<Interval, Mistake> {
        if !matches!(self.cell("unit"), "months" | "month") {
            return Err(Mistake::new(
                "an interval is counted in months",
                "write months in the column unit",
            ));
        }
        let latest = months(self.cell("at_most"))?;
        let usual = match self.cell("at_least") {
            "" => latest,
            text => months(text)?,
        };
        if usual > latest {
            return Err(Mistake::new(
                format!(
                    "the usual interval of {usual} months is longer than the latest of {latest}"
                ),
                "write the usual one in at_least, the latest in at_most",
            ));
        }
        Ok(Interval {
            usual_months: usual,
            latest_months: latest,
            note: self.cell("note").into(),
            source: self.source(),
            certainty: self.certainty()?,
        })
    }
}

fn months(text: &str) -> Result<u16, Mistake> {
    let number = text.parse().ok().filter(|n| (1..=240).contains(n));
    number.ok_or_else(|| {
        Mistake::new(
            format!("`{text}` is no number of months"),
            "write a whole number from 1 to 240",
        )
    })
}

/// `40 to 200 bar`, `to 225 bar`, `over 225 to 330 bar`, `over 200 bar`,
/// `300 bar`. A single pressure is a class: what is within 1 % of it (3000 psi
/// and 207 bar, say).
fn span(text: &str) -> Result<CylinderSpan, Mistake> {
    const CLASS: f64 = 0.01;
    let (rest, only_above) = match text.strip_prefix("over ") {
        Some(rest) => (rest, true),
        None => (text, false),
    };
    let ends = rest.split_once("to ").map(|(from, to)| (from.trim(), to));
    let pressure = |text: &str| {
        parse::<GaugePressure>(text).map_err(|error| Mistake::new(error.cause(), error.remedy()))
    };
    let (from_pa, to_pa) = match ends {
        Some((from, to)) => {
            let to = pressure(to)?;
            let from = match from {
                "" => 0.0,
                number => pressure(&format!("{number} {}", to.unit.symbol))?
                    .value
                    .si(),
            };
            (from, to.value.si())
        }
        None => {
            let one = pressure(rest)?.value.si();
            match only_above {
                true => (one, f64::INFINITY),
                false => (one * (1.0 - CLASS), one * (1.0 + CLASS)),
            }
        }
    };
    Ok(CylinderSpan {
        text: text.to_owned(),
        from_pa,
        only_above,
        to_pa,
    })
}
