//! Forms about the book itself: prices, rules, notes.

use book::Kind;

use crate::usecase::book::form::Form;
use crate::usecase::book::form::field::Type::{Number, OneOf, Text};
use crate::usecase::book::form::field::{first, may, must};

const PRICED: &[&str] = &["kilowatt_hour", "cartridge", "running_hour"];

/// What energy, a cartridge or a running hour costs.
pub static PRICE: Form = Form {
    kind: Kind::PriceSet,
    name: "price",
    about: "What energy, a cartridge or a running hour costs",
    caution: "",
    fields: &[
        first("of", "what is paid for", "kilowatt_hour", OneOf(PRICED)),
        must("amount", "how much", "0.34", Number),
        must("currency", "currency", "EUR", Text),
    ],
};

/// The rules by which cylinders and air are judged from here on.
pub static RULES: Form = Form {
    kind: Kind::RulesChosen,
    name: "rules",
    about: "The rules by which cylinders and air are judged from here on",
    caution: "",
    fields: &[
        may("cylinder-rule", "requalification rule", "uk", Text),
        may("air-standard", "air standard", "EN 12021", Text),
    ],
};

/// Anything else worth keeping.
pub static NOTE: Form = Form {
    kind: Kind::Note,
    name: "note",
    about: "Anything else worth keeping",
    caution: "",
    fields: &[
        first("text", "note", "new key for the shed", Text),
        may("cylinder", "cylinder it is about", "A1", Text),
    ],
};
