//! What an air test measures or notices, and one such result as written.
//!
//! Not here: the numbers in it ([`super::amount`]).

use physics::moist::Trace;
use serde::Serialize;

/// What is measured or noticed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Measurand {
    /// Oxygen, by volume.
    Oxygen,
    /// Nitrogen, by volume.
    Nitrogen,
    /// Carbon monoxide.
    CarbonMonoxide,
    /// Carbon dioxide.
    CarbonDioxide,
    /// Oil as drops, mist or condensed vapour.
    Oil,
    /// All hydrocarbons, counted as methane.
    Hydrocarbons,
    /// Volatile organic compounds without methane, counted as methane.
    VolatileOrganics,
    /// Water vapour.
    Water,
    /// Smell and taste.
    Odour,
    /// Drops of water seen.
    LiquidWater,
}

/// On what scale it is measured; the unit after the arrow is the one compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// Parts of the whole → %.
    Share,
    /// Traces of a gas of this molar mass, kg/mol → ppm.
    Gas(f64),
    /// Mass in a volume of air → mg/m³.
    Mass,
    /// Moisture, as dew point too → mg/m³.
    Moisture,
    /// Seen or smelt, without number.
    Noticed,
}

/// Molar mass of methane, kg/mol. **Source** IUPAC standard atomic weights.
const METHANE: f64 = 16.043e-3;

impl Measurand {
    /// All of them, in the order of a report.
    pub const ALL: [Measurand; 10] = [
        Self::Oxygen,
        Self::Nitrogen,
        Self::CarbonMonoxide,
        Self::CarbonDioxide,
        Self::Oil,
        Self::Hydrocarbons,
        Self::VolatileOrganics,
        Self::Water,
        Self::Odour,
        Self::LiquidWater,
    ];

    /// Its name in sentences.
    pub fn name(self) -> &'static str {
        self.names().first().copied().unwrap_or_default()
    }

    /// Its name and what else it is called.
    pub fn names(self) -> &'static [&'static str] {
        match self {
            Self::Oxygen => &["oxygen", "o2"],
            Self::Nitrogen => &["nitrogen", "n2"],
            Self::CarbonMonoxide => &["carbon monoxide", "co"],
            Self::CarbonDioxide => &["carbon dioxide", "co2"],
            Self::Oil => &["oil", "oil mist", "lubricant", "condensed hydrocarbons"],
            Self::Hydrocarbons => &["hydrocarbons", "total hydrocarbons", "thc"],
            Self::VolatileOrganics => &["volatile organics", "voc"],
            Self::Water => &["water", "h2o", "moisture", "dew point", "frost point"],
            Self::Odour => &["odour", "odor", "smell", "taste"],
            Self::LiquidWater => &["liquid water", "free water"],
        }
    }

    /// The one with this name; case, spaces, `-` and `_` do not matter.
    pub fn named(name: &str) -> Option<Self> {
        let wanted = super::find::key(name);
        let is_it = |it: &Self| it.names().iter().any(|n| super::find::key(n) == wanted);
        Self::ALL.into_iter().find(is_it)
    }

    /// The one that may be meant by a name nobody knows.
    pub fn near(name: &str) -> Option<&'static str> {
        let known = Self::ALL.iter().flat_map(|it| it.names()).copied();
        super::find::nearest(name, known)
    }

    /// The unit in which it is compared; empty where nothing is counted.
    pub fn unit(self) -> &'static str {
        match self.scale() {
            Scale::Share => "%",
            Scale::Gas(_) => "ppm",
            Scale::Mass | Scale::Moisture => "mg/m3",
            Scale::Noticed => "",
        }
    }

    /// How to write a result.
    pub fn examples(self) -> &'static str {
        match self.scale() {
            Scale::Share => "`20.9 %` or `20.9 % ± 0.2 %`",
            Scale::Gas(_) => "`3 ppm`, `< 1 ppm`, `3 ppm ± 1 ppm` or `4 mg/m3`",
            Scale::Mass => "`0.1 mg/m3` or `< 0.1 mg/m3`",
            Scale::Moisture => {
                "`25 mg/m3`, `33 ppm`, `-50 °F` (dew or frost point at 1 atm) or `-8 °C at 200 bar`"
            }
            Scale::Noticed => "`none`, `slight` or `strong`",
        }
    }

    pub(super) fn scale(self) -> Scale {
        match self {
            Self::Oxygen | Self::Nitrogen => Scale::Share,
            Self::CarbonMonoxide => Scale::Gas(Trace::CarbonMonoxide.molar_mass()),
            Self::CarbonDioxide => Scale::Gas(Trace::CarbonDioxide.molar_mass()),
            Self::Hydrocarbons | Self::VolatileOrganics => Scale::Gas(METHANE),
            Self::Oil => Scale::Mass,
            Self::Water => Scale::Moisture,
            Self::Odour | Self::LiquidWater => Scale::Noticed,
        }
    }
}

/// One result, as the laboratory or the tube gives it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// Of what.
    pub what: Measurand,
    /// The value with its unit: `8 ppm`, `< 0.1 mg/m3`, `-8 °C at 200 bar`, `none`.
    pub value: String,
    /// How far it may be off to either side, where that is stated: `0.5 ppm`,
    /// `10 % of value`. Where the value is in %, a bare % is percentage points.
    pub uncertainty: Option<String>,
}

impl Measured {
    /// Reads `8 ppm`, `8 ppm ± 1 ppm`, `8 ± 1 ppm`, `-8 °C ± 1 K at 200 bar`;
    /// `+/-` is the same as ±.
    pub fn new(what: Measurand, text: &str) -> Self {
        let plain = text.replace("+/-", "±").replace("+-", "±");
        let Some((value, off)) = plain.split_once('±') else {
            return Self {
                what,
                value: plain.trim().to_owned(),
                uncertainty: None,
            };
        };
        let (off, place) = match off.split_once(" at ") {
            Some((off, place)) => (off.trim(), format!(" at {}", place.trim())),
            None => (off.trim(), String::new()),
        };
        let value = value.trim();
        let (of_value, of_off) = (unit(value), unit(off));
        let with = |text: &str, own: &str, other: &str| match own.is_empty() {
            true => format!("{text} {other}").trim().to_owned(),
            false => text.to_owned(),
        };
        Self {
            what,
            value: with(value, of_value, of_off) + &place,
            uncertainty: Some(with(off, of_off, of_value)),
        }
    }

    /// As written.
    pub fn as_given(&self) -> String {
        match &self.uncertainty {
            Some(off) => format!("{} ± {off}", self.value),
            None => self.value.clone(),
        }
    }
}

/// What follows the number, without a place such as `at 200 bar`.
fn unit(text: &str) -> &str {
    let text = text.split(" at ").next().unwrap_or_default();
    text.trim_start_matches(|c: char| c.is_ascii_digit() || " <+-−.,".contains(c))
        .trim()
}
