//! Every table and key of a station file, as data: what sort of value it is, its bounds, and
//! what is taken when it is not written.
//!
//! Start at [`FIELDS`]; to add a key, add a row here and read it in [`crate::read`].
//! Not here: what the values mean ([`crate::model`]) and whether they agree ([`crate::check`]).
//! Reasons that say "common practice" have no source beyond that.

use Form::{Count, Day, Flag, Number, Pressures, Quantity as Q, Table, Tables, Words};

/// One key of one table.
#[derive(Clone, Copy)]
pub struct Field {
    /// The table it belongs to; empty for the file itself.
    pub table: &'static str,
    /// Its name in that table.
    pub key: &'static str,
    /// What sort of value it takes.
    pub form: Form,
    /// What happens when it is not written.
    pub need: Need,
}

/// What sort of value a key takes.
#[derive(Clone, Copy)]
pub enum Form {
    /// A quantity between two others, each with a unit.
    Quantity(&'static str, &'static str),
    /// A plain number within bounds.
    Number(f64, f64),
    /// A whole number within bounds.
    Count(usize, usize),
    /// Any words, one of a few words, or a list of them.
    Words,
    /// `2024-03-01`
    Day,
    /// `true` or `false`
    Flag,
    /// A table with the fields of that name.
    Table(&'static str),
    /// Any number of tables with the fields of that name.
    Tables(&'static str),
    /// A table whose keys are ids and whose values are pressures.
    Pressures,
}

/// What happens when a key is not written.
#[derive(Clone, Copy)]
pub enum Need {
    /// It may be absent.
    Optional,
    /// It must be there; the text says where a person finds it.
    Required(&'static str),
    /// This value is taken, for this reason.
    Default(&'static str, &'static str),
}

impl Field {
    const fn new(table: &'static str, key: &'static str, form: Form) -> Self {
        Self {
            table,
            key,
            form,
            need: Need::Optional,
        }
    }

    const fn or(self, value: &'static str, reason: &'static str) -> Self {
        Self {
            need: Need::Default(value, reason),
            ..self
        }
    }

    const fn required(self, found: &'static str) -> Self {
        Self {
            need: Need::Required(found),
            ..self
        }
    }
}

/// The row for a key.
pub fn field(table: &str, key: &str) -> Option<&'static Field> {
    FIELDS.iter().find(|f| f.table == table && f.key == key)
}

/// The row for a path such as `gauge[2].span`.
pub fn field_at(path: &str) -> Option<&'static Field> {
    let (table, key) = path.rsplit_once('.')?;
    let name = table.split_once('[').map_or(table, |(name, _)| name);
    field(name, key)
}

impl Form {
    /// Whether a quantity lies between the bounds, where there are any.
    pub fn allows<Q: quantity::Quantity>(self, value: Q) -> bool {
        let Form::Quantity(low, high) = self else {
            return true;
        };
        let bound = |text| quantity::parse::<Q>(text).map(|b| b.value.si());
        match (bound(low), bound(high)) {
            (Ok(least), Ok(most)) => (least..=most).contains(&value.si()),
            _ => true,
        }
    }
}

/// All rows of a table.
pub fn fields_of(table: &str) -> impl Iterator<Item = &'static Field> {
    FIELDS.iter().filter(move |f| f.table == table)
}

/// How the heading of a table is written.
pub fn heading(table: &str) -> String {
    let listed = |f: &Field| matches!(f.form, Tables(name) if name == table);
    match table {
        "" => "the top of the file".to_owned(),
        _ if FIELDS.iter().any(listed) => format!("[[{table}]]"),
        _ => format!("[{table}]"),
    }
}

const PRACTICE: &str = "usual for small machines; common practice, no source";
const GUESS: &str = "a middling figure; measure or look it up where it matters";
const MANUAL: &str = "see the maker's manual or the plate of the compressor";
const TAG: &str = "see the maker's manual or the valve's tag";
/// Where the figures of a vessel stand.
pub(crate) const VESSEL_FOUND: &str = "see the stamps on it";
const ACTION: &str = "opens further as the pressure rises; write \"snap\" for one that jumps";
const SAME: &str = "the compressor's own figure";

const fn f(table: &'static str, key: &'static str, form: Form) -> Field {
    Field::new(table, key, form)
}

/// Pressures a setting, a rating or a stamp can have.
const SET: Form = Q("5 bar", "1500 bar");
/// Pressures a dial can show now.
pub(crate) const DIAL: Form = Q("0 bar", "1500 bar");
/// Passages of valves and drains.
const BORE: Form = Q("0.05 mm", "50 mm");
/// Parts of a whole, as plus or minus.
const PART: Form = Q("0 %", "50 %");

/// Every table and key.
pub(crate) static FIELDS: &[Field] = &[
    f("", "station", Table("station")).required("who and where this station is"),
    f("", "intake", Table("intake")),
    f("", "compressor", Table("compressor")).required(MANUAL),
    f("", "separator", Table("separator")),
    f("", "purifier", Table("purifier")),
    f("", "tower", Table("tower")),
    f("", "air_path", Table("air_path")),
    f("", "pmv", Table("pmv")),
    f("", "relief", Table("relief")),
    f("", "burst_disc", Table("burst_disc")),
    f("", "vent", Table("vent")),
    f("", "whip", Table("whip")),
    f("", "gauge", Tables("gauge")),
    f("", "bank", Tables("bank")),
    f("", "cylinder_kind", Tables("cylinder_kind")),
    f("", "cylinder", Tables("cylinder")),
    f("", "tolerances", Table("tolerances")),
    f("", "now", Table("now")),
    //
    f("station", "name", Words).required("what people call it"),
    f("station", "owner", Words),
    f("station", "altitude", Q("-450 m", "5000 m")),
    f("station", "ambient_pressure", Q("500 mbar", "1100 mbar")),
    f("station", "units", Words).or("metric", "results are shown in bar, °C and litres"),
    f("station", "invented", Flag).or("false", "only demonstration data are marked as invented"),
    //
    f("intake", "temperature", Q("-40 °C", "60 °C")).or("20 °C", "a mild day; give today's"),
    f("intake", "humidity", Q("0 %", "100 %")).or("60 %", "an ordinary day; give today's"),
    f("intake", "coldest_month", Q("-40 °C", "60 °C")),
    f("intake", "warmest_month", Q("-40 °C", "60 °C")),
    f("intake", "place", Words),
    //
    f("compressor", "working_pressure", SET).required(MANUAL),
    f("compressor", "charging_rate", Q("1 L/min", "20000 L/min")),
    f(
        "compressor",
        "free_air_delivery",
        Q("1 L/min", "20000 L/min"),
    ),
    f("compressor", "stage_count", Count(1, 6)),
    f("compressor", "speed", Q("50 rpm", "10000 rpm")),
    f("compressor", "drive", Words),
    f("compressor", "power", Q("0.05 kW", "500 kW")),
    f("compressor", "cooler_approach", Q("0 K", "80 K")).or("10 K", PRACTICE),
    f("compressor", "polytropic_exponent", Number(1.0, 1.67)).or("1.3", PRACTICE),
    f("compressor", "clearance", Q("0 %", "25 %")).or("5 %", PRACTICE),
    f("compressor", "oil_carry_over", Q("0 mg/m3", "1000 mg/m3")),
    f("compressor", "stage", Tables("compressor.stage")),
    f("compressor", "delivery", Tables("compressor.delivery")),
    //
    f("compressor.stage", "swept_volume", Q("0.05 mL", "100 L")).required(MANUAL),
    f("compressor.stage", "clearance", Q("0 %", "25 %")).or("", SAME),
    f(
        "compressor.stage",
        "rated_pressure",
        Q("0.5 bar", "1500 bar"),
    ),
    f("compressor.stage", "relief", Q("0.5 bar", "1500 bar")),
    f("compressor.stage", "polytropic_exponent", Number(1.0, 1.67)).or("", SAME),
    f("compressor.stage", "cooler_approach", Q("0 K", "80 K")).or("", SAME),
    //
    f("compressor.delivery", "at", DIAL).required("the gauge while you timed it"),
    f(
        "compressor.delivery",
        "free_air",
        Q("0 L/min", "20000 L/min"),
    )
    .required("your timing"),
    //
    f("separator", "volume", Q("50 mL", "50 L")).or("0.5 L", GUESS),
    f("separator", "sump_volume", Q("1 mL", "20 L")).or("90 mL", GUESS),
    f("separator", "efficiency", Q("0 %", "100 %")).or("98 %", PRACTICE),
    f("separator", "drain_interval", Q("1 min", "24 h")).or(
        "15 min",
        "by hand every 10 to 15 minutes; common practice, no source",
    ),
    f("separator", "drain_bore", BORE).or("2 mm", GUESS),
    //
    f("purifier", "volume", Q("50 mL", "200 L")).or("1.5 L", GUESS),
    f("purifier", "changed", Day),
    f("purifier", "changed_at_hours", Q("0 h", "1000000 h")),
    f("purifier", "rated_hours", Q("0.5 h", "100000 h")),
    f("purifier", "flow_bore", BORE),
    f("purifier", "bed", Tables("purifier.bed")),
    //
    f("purifier.bed", "kind", Words).required("see the cartridge's label"),
    f("purifier.bed", "adsorbent", Words),
    f("purifier.bed", "mass", Q("1 g", "500 kg")).required("see the cartridge's label"),
    f("purifier.bed", "diameter", Q("5 mm", "2 m")),
    f("purifier.bed", "length", Q("5 mm", "5 m")),
    //
    f("tower", "rated_pressure", SET),
    f("tower", "wall_mass", Q("0.1 kg", "5000 kg")).or("10 kg", GUESS),
    f("tower", "material", Words).or("aluminium", PRACTICE),
    f("tower", "leak", Q("0 L/min", "500 L/min")),
    //
    f("air_path", "order", Words),
    //
    f("pmv", "opens", SET).required(TAG),
    f("pmv", "closes", SET).required(TAG),
    f("pmv", "action", Words).or("proportional", ACTION),
    f("pmv", "bore", BORE).or("3 mm", GUESS),
    f("pmv", "full_open_above", Q("0.1 bar", "200 bar")).or("", "10 % of `opens`"),
    //
    f("relief", "lifts", SET).required(TAG),
    f("relief", "stamped", SET),
    f("relief", "reseats", SET).or("", "90 % of `lifts`; common practice, no source"),
    f("relief", "action", Words).or("proportional", ACTION),
    f("relief", "bore", BORE).or("3 mm", GUESS),
    f("relief", "full_lift_above", Q("0.1 bar", "200 bar"))
        .or("", "10 % of `lifts`, the usual allowance for accumulation"),
    //
    f("burst_disc", "bursts", SET).required("see the stamp on the disc or the maker's manual"),
    f("burst_disc", "tolerance", Q("0 %", "25 %"))
        .or("5 %", "the usual band for discs bursting above 40 psi"),
    f("burst_disc", "bore", BORE).or("6 mm", GUESS),
    //
    f("vent", "bore", BORE).or("2 mm", GUESS),
    //
    f("whip", "volume", Q("1 mL", "50 L")).or("0.05 L", "one hose of about 1.5 m and a valve"),
    f("whip", "count", Count(1, 40)).or("1", "one fill hose"),
    f("whip", "bleed_bore", BORE).or("1 mm", GUESS),
    f("whip", "fill_bore", BORE).or("1.5 mm", GUESS),
    f("whip", "rated_pressure", SET),
    //
    f("gauge", "name", Words).required("what you call it"),
    f("gauge", "reads", Words).required("what it is connected to"),
    f("gauge", "span", Q("0.5 bar", "2500 bar")).required("the last figure on its dial"),
    f("gauge", "class", Number(0.0, 10.0)).or("1.6", "usual for dial gauges of this size"),
    f("gauge", "resolution", Q("0 bar", "50 bar")),
    //
    f("bank", "id", Words).required("what you call it"),
    f("bank", "water_volume", Q("0.05 L", "5000 L")),
    f("bank", "free_air", Q("1 L", "2000 m3")),
    f("bank", "working_pressure", SET),
    f("bank", "service_pressure", SET),
    f("bank", "test_pressure", Q("5 bar", "2500 bar")),
    f("bank", "material", Words).or("steel", "most storage cylinders are steel"),
    f("bank", "mass", Q("0.05 kg", "10000 kg")),
    //
    f("cylinder_kind", "id", Words).required("what you call it"),
    f("cylinder_kind", "water_volume", Q("0.05 L", "5000 L")),
    f("cylinder_kind", "free_air", Q("1 L", "2000 m3")),
    f("cylinder_kind", "working_pressure", SET),
    f("cylinder_kind", "service_pressure", SET),
    f("cylinder_kind", "test_pressure", Q("5 bar", "2500 bar")),
    f("cylinder_kind", "material", Words).or("steel", "the commonest; check the stamps"),
    f("cylinder_kind", "mass", Q("0.05 kg", "10000 kg")),
    //
    f("cylinder", "id", Words).required("what you call it"),
    f("cylinder", "kind", Words).required("the id of a [[cylinder_kind]]"),
    f("cylinder", "owner", Words),
    f("cylinder", "serial", Words),
    f("cylinder", "made", Day),
    f("cylinder", "tested", Day),
    f("cylinder", "visual", Day),
    f("cylinder", "plus", Flag),
    f("cylinder", "stamp", Words),
    //
    f("tolerances", "delivery", PART).or("5 %", PRACTICE),
    f("tolerances", "pmv", PART).or("5 %", PRACTICE),
    f("tolerances", "relief", PART).or("3 %", "the usual set tolerance above 70 psi"),
    f("tolerances", "burst_disc", PART).or("", "the disc's own tolerance"),
    f("tolerances", "volume", PART).or("3 %", PRACTICE),
    f("tolerances", "heat_transfer", Q("0 %", "90 %")).or("30 %", GUESS),
    f("tolerances", "intake_temperature", Q("0 K", "30 K")).or("2 K", GUESS),
    f("tolerances", "start_pressure", Q("0 bar", "50 bar")),
    //
    f("now", "tower", DIAL),
    f("now", "line", DIAL),
    f("now", "hours", Q("0 h", "1000000 h")),
    f("now", "banks", Pressures),
    f("now", "cylinders", Pressures),
];

#[cfg(test)]
mod tests {
    use super::{FIELDS, Field, Form, Need, heading};
    use crate::{Problem, ProblemId};

    /// What is wrong with one key when it is given this value, in a file with little else.
    fn problems_with(field: &Field, value: &str) -> Vec<Problem> {
        let text = format!("{}\n{} = {value}\n", heading(field.table), field.key);
        let start = text.len() - value.len() - 1;
        let here = |p: &Problem| p.labels.first().is_some_and(|l| l.span.start >= start);
        crate::read(&text)
            .problems
            .into_iter()
            .filter(here)
            .collect()
    }

    fn quantities() -> impl Iterator<Item = (&'static Field, &'static str, &'static str)> {
        FIELDS.iter().filter_map(|f| match f.form {
            Form::Quantity(low, high) => Some((f, low, high)),
            _ => None,
        })
    }

    /// Every row of a quantity is read, as the quantity its bounds are written in.
    #[test]
    fn bounds_are_accepted_and_guarded() {
        for (field, low, high) in quantities() {
            let name = format!("{}.{}", field.table, field.key);
            for bound in [low, high] {
                let found = problems_with(field, &format!("\"{bound}\""));
                assert!(found.is_empty(), "{name} = {bound}: {found:?}");
            }
            let (number, unit) = high.split_once(' ').unwrap();
            let number: f64 = number.parse().unwrap();
            let found = problems_with(field, &format!("\"{} {unit}\"", number * 1000.0));
            let ids: Vec<ProblemId> = found.iter().map(|p| p.id).collect();
            assert_eq!(ids, [ProblemId::OutOfRange], "{name}");
        }
    }

    /// A default could as well be written in the file.
    #[test]
    fn defaults_can_be_written() {
        for field in FIELDS {
            let Need::Default(value, _) = field.need else {
                continue;
            };
            let written = match field.form {
                Form::Quantity(..) | Form::Words => format!("\"{value}\""),
                _ => value.to_owned(),
            };
            if !value.is_empty() {
                let found = problems_with(field, &written);
                assert!(found.is_empty(), "{}.{}: {found:?}", field.table, field.key);
            }
        }
    }

    /// No row is forgotten by the readers: every key minds being given a list of lists.
    #[test]
    fn every_key_is_read() {
        for field in FIELDS {
            let path = (field.table, field.key);
            let found = match field.table {
                "" => crate::read(&format!("{} = 3\n", field.key)).problems,
                _ => problems_with(field, "[[3]]"),
            };
            let wrong = |p: &Problem| {
                matches!(
                    p.id,
                    ProblemId::WrongType | ProblemId::NotADate | ProblemId::UnknownWord
                )
            };
            assert!(found.iter().any(wrong), "{path:?}: {found:?}");
        }
    }

    #[test]
    fn no_key_twice() {
        for (index, field) in FIELDS.iter().enumerate() {
            let same = |f: &Field| f.table == field.table && f.key == field.key;
            assert_eq!(
                FIELDS.iter().position(same),
                Some(index),
                "{}.{}",
                field.table,
                field.key
            );
        }
    }
}
