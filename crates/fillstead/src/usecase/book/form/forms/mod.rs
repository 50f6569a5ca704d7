//! The forms themselves: every kind of entry that people make by hand.
//!
//! Not here: kinds made from a file (station, air test) or by the program (a refusal at the gate).

mod air;
mod cylinders;
mod keeping;
mod machine;
mod runs;

use super::Form;

pub use runs::FILL_LINE;

/// Every form, in the order in which people meet them.
pub static FORMS: [&Form; 21] = [
    &runs::START,
    &runs::STOP,
    &runs::READING,
    &runs::DRAIN,
    &runs::FILL,
    &cylinders::CYLINDER,
    &cylinders::INSPECTION,
    &cylinders::CONDEMN,
    &cylinders::LEFT,
    &machine::VALVE,
    &machine::REPLACED,
    &machine::TESTED,
    &machine::CHECK,
    &machine::PARK,
    &air::SYMPTOM,
    &air::CAUSE,
    &air::RELEASE,
    &machine::INTERVAL,
    &keeping::PRICE,
    &keeping::RULES,
    &keeping::NOTE,
];

#[cfg(test)]
mod tests {
    use book::body::{Part, Priced, Valve};

    use super::super::field::Type;
    use super::*;

    fn choices(form: &str, field: &str) -> Vec<&'static str> {
        let form = FORMS.iter().find(|f| f.name == form).unwrap();
        match form.field(field).unwrap().kind {
            Type::OneOf(names) => names.to_vec(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn choices_are_those_of_the_ledger() {
        let keys: Vec<&str> = Part::ALL.iter().map(|part| part.key()).collect();
        for form in ["replaced", "tested", "interval"] {
            assert_eq!(choices(form, "part"), keys, "{form}");
        }
        let keys: Vec<&str> = Valve::ALL.iter().map(|valve| valve.key()).collect();
        assert_eq!(choices("valve", "valve"), keys);
        let keys = Priced::ALL.map(|p| serde_json::to_value(p).unwrap());
        assert_eq!(choices("price", "of"), keys);
    }
}
