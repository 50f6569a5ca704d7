//! What is asked of a plan, as it stands in an address: names of fields and texts as typed.
//!
//! A number without a unit has that of the page. Not here: what it means ([`super`]).

use quantity::{GaugePressure, Temperature, UnitSystem};

use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::usecase::wishes::Wishes;

/// A plan as asked. Empty texts are not asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Query {
    /// Name and start pressure of each cylinder, in the order of filling.
    pub cylinders: Vec<(String, String)>,
    /// Fill to, on the gauge.
    pub to: String,
    /// Tower gauge before the start.
    pub tower: String,
    /// Air at the intake.
    pub intake_temperature: String,
    /// Its relative humidity.
    pub humidity: String,
    /// Time between drains, `due` or `never`.
    pub drain_every: String,
    /// Time between cylinders on one hose.
    pub change_over: String,
    /// Until when: `full`, or a time.
    pub until: String,
    /// How long the machine has stood.
    pub stored: String,
    /// The cylinders stand in water.
    pub water_bath: bool,
    /// What is wrong with the station.
    pub faults: Vec<String>,
    /// More empty rows are wanted.
    pub more: bool,
}

/// Most cylinders of one plan: more than a shift fills.
pub const MOST_CYLINDERS: usize = 24;
/// No text of an address is longer.
const LONGEST: usize = 80;

impl Query {
    /// Reads the fields of an address; those it does not know it passes over.
    pub fn of(given: &Given, units: UnitSystem) -> Query {
        let mut query = Query::default();
        let (mut names, mut starts) = (Vec::new(), Vec::new());
        let mut removed: Option<usize> = None;
        for (name, text) in given {
            let text: String = text.trim().chars().take(LONGEST).collect();
            match name.as_str() {
                "cylinder" => names.push(text),
                "start" => starts.push(text),
                "remove" => removed = text.parse().ok(),
                "more" => query.more = true,
                "water-bath" => query.water_bath = !text.is_empty(),
                "fault" if !text.is_empty() => query.faults.push(text),
                _ => query.take(name, text, units),
            }
        }
        query.cylinders = paired(names, &starts, removed, units);
        query
    }

    fn take(&mut self, name: &str, text: String, units: UnitSystem) {
        match name {
            "to" => self.to = pressure(text, units),
            "tower" => self.tower = pressure(text, units),
            "intake-temperature" => {
                let unit = units.preferred::<Temperature>().symbol;
                self.intake_temperature = with_unit(text, unit);
            }
            "humidity" => self.humidity = with_unit(text, "%"),
            "drain-every" => self.drain_every = with_unit(text, "min"),
            "change-over" => self.change_over = with_unit(text, "min"),
            "until" => self.until = with_unit(text, "min"),
            "stored" => self.stored = with_unit(text, "d"),
            _ => {}
        }
    }

    /// The texts that are asked, by the names of their fields.
    pub fn fields(&self) -> Vec<(&'static str, String)> {
        let cylinder = |(id, start): &(String, String)| match start.is_empty() {
            true => ("cylinder", id.clone()),
            false => ("cylinder", format!("{id}@{start}")),
        };
        let mut fields: Vec<_> = self.cylinders.iter().map(cylinder).collect();
        let single = [
            ("to", &self.to),
            ("tower", &self.tower),
            ("intake-temperature", &self.intake_temperature),
            ("humidity", &self.humidity),
            ("drain-every", &self.drain_every),
            ("change-over", &self.change_over),
            ("until", &self.until),
            ("stored", &self.stored),
        ];
        let given = single.into_iter().filter(|(_, text)| !text.is_empty());
        fields.extend(given.map(|(name, text)| (name, text.clone())));
        if self.water_bath {
            fields.push(("water-bath", "yes".to_owned()));
        }
        fields.extend(self.faults.iter().map(|fault| ("fault", fault.clone())));
        fields
    }

    /// The same as an address has it after its question mark.
    pub fn address(&self) -> String {
        let pair = |(name, text): &(&str, String)| format!("{name}={}", encoded(text));
        let pairs: Vec<String> = self.fields().iter().map(pair).collect();
        pairs.join("&")
    }

    /// The wishes meant, cylinders aside; `of` names the fields as wishes do.
    pub fn wishes(&self) -> Wishes {
        let some = |text: &String| (!text.is_empty()).then(|| text.clone());
        Wishes {
            cylinders: Vec::new(),
            intake_temperature: some(&self.intake_temperature),
            humidity: some(&self.humidity),
            tower: some(&self.tower),
            until: some(&self.until),
            stop_at: some(&self.to),
            change_over: some(&self.change_over),
            water_bath: self.water_bath,
            drain: some(&self.drain_every),
            stored: some(&self.stored),
            faults: self.faults.clone(),
            ..Wishes::default()
        }
    }

    /// Everything wrong with the fields, each by its own; cylinders aside.
    pub fn troubles(&self, units: UnitSystem) -> Vec<Trouble> {
        let all = self.wishes();
        let mut one_each = vec![
            Wishes {
                intake_temperature: all.intake_temperature,
                ..Wishes::default()
            },
            Wishes {
                humidity: all.humidity,
                ..Wishes::default()
            },
            Wishes {
                tower: all.tower,
                ..Wishes::default()
            },
            Wishes {
                until: all.until,
                ..Wishes::default()
            },
            Wishes {
                stop_at: all.stop_at,
                ..Wishes::default()
            },
            Wishes {
                change_over: all.change_over,
                ..Wishes::default()
            },
            Wishes {
                drain: all.drain,
                ..Wishes::default()
            },
            Wishes {
                stored: all.stored,
                ..Wishes::default()
            },
        ];
        one_each.extend(all.faults.into_iter().map(|fault| Wishes {
            faults: vec![fault],
            ..Wishes::default()
        }));
        let wrong = one_each.into_iter().filter_map(|w| w.request(units).err());
        wrong.map(named_as_here).collect()
    }
}

/// The same trouble at the field of this page.
pub fn named_as_here(trouble: Trouble) -> Trouble {
    match trouble.field {
        Some("stop-at") => trouble.about("to"),
        Some("drain") => trouble.about("drain-every"),
        Some("fault") => Trouble {
            remedy: "choose one of the list, and write its size after it".to_owned(),
            ..trouble
        },
        _ => trouble,
    }
}

/// Names and start pressures by their rows. A name may bring its pressure after an @.
fn paired(
    names: Vec<String>,
    starts: &[String],
    removed: Option<usize>,
    units: UnitSystem,
) -> Vec<(String, String)> {
    let row = |(i, name): (usize, String)| {
        let beside = starts.get(i).filter(|text| !text.is_empty());
        let (id, start) = match (beside, name.rsplit_once('@')) {
            (Some(start), _) => (name.clone(), start.clone()),
            (None, Some((id, start))) => (id.trim().to_owned(), start.trim().to_owned()),
            (None, None) => (name.clone(), String::new()),
        };
        (Some(i + 1) != removed && !id.is_empty()).then(|| (id, pressure(start, units)))
    };
    let rows = names.into_iter().enumerate().filter_map(row);
    rows.take(MOST_CYLINDERS).collect()
}

pub fn pressure(text: String, units: UnitSystem) -> String {
    with_unit(text, units.preferred::<GaugePressure>().symbol)
}

/// A bare number with the unit it stands beside on the page.
pub fn with_unit(text: String, unit: &str) -> String {
    let number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+');
    match !text.is_empty() && text.chars().all(number) {
        true => format!("{text} {unit}"),
        false => text,
    }
}

/// A text as an address may hold it, before and after its question mark.
pub fn encoded(text: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-._~".contains(&b);
    let one = |b: u8| match b {
        b if plain(b) => char::from(b).to_string(),
        b => format!("%{b:02X}"),
    };
    text.bytes().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(pairs: &[(&str, &str)]) -> Query {
        let given: Given = pairs
            .iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect();
        Query::of(&given, UnitSystem::Metric)
    }

    #[test]
    fn a_form_and_a_shared_address_mean_the_same() {
        let form = of(&[
            ("cylinder", "A1"),
            ("start", "50"),
            ("cylinder", ""),
            ("start", ""),
            ("cylinder", "P1"),
            ("start", ""),
            ("tower", " 70 "),
            ("humidity", "75"),
        ]);
        let shared = of(&[
            ("cylinder", "A1@50 bar"),
            ("cylinder", "P1"),
            ("tower", "70 bar"),
            ("humidity", "75 %"),
        ]);
        assert_eq!(form, shared);
        assert_eq!(
            form.address(),
            "cylinder=A1%4050%20bar&cylinder=P1&tower=70%20bar&humidity=75%20%25"
        );
    }

    #[test]
    fn a_row_is_taken_out_by_its_number() {
        let query = of(&[("cylinder", "A1"), ("cylinder", "A2"), ("remove", "1")]);
        assert_eq!(query.cylinders, [("A2".to_owned(), String::new())]);
    }

    #[test]
    fn every_wrong_field_is_told() {
        let query = of(&[
            ("to", "lots"),
            ("humidity", "140"),
            ("drain-every", "often"),
            ("fault", "pmv-high"),
        ]);
        let fields: Vec<_> = query
            .troubles(UnitSystem::Metric)
            .into_iter()
            .map(|t| t.field)
            .collect();
        let wanted = ["humidity", "to", "drain-every", "fault"].map(Some);
        assert_eq!(fields, wanted);
    }
}
