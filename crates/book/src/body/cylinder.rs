//! Entries about cylinders: registered with their stamps, examined, condemned, gone.

use quantity::{FreeVolume, GaugePressure, Mass, Volume};
use serde::{Deserialize, Serialize};

use crate::measure::Measure;

/// What a cylinder is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// Steel.
    Steel,
    /// Aluminium alloy.
    Aluminium,
    /// A liner wrapped in fibre.
    Composite,
}

/// What a cylinder is used for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Use {
    /// Breathing under water.
    Diving,
    /// Breathing in smoke or gas.
    Rescue,
    /// Kept at the station to fill from.
    Storage,
    /// Aircraft.
    Aircraft,
}

/// A cylinder on the register. A later registration of the same name replaces this one whole.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct CylinderRegistered {
    /// What it is called here.
    pub cylinder: String,
    /// Whose it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// Serial number on its shoulder.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub serial: Option<String>,
    /// Water volume as stamped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_volume: Option<Measure<Volume>>,
    /// Free air held when full, where that is what is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub free_air: Option<Measure<FreeVolume>>,
    /// Working (service) pressure as stamped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working_pressure: Option<Measure<GaugePressure>>,
    /// Test pressure as stamped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub test_pressure: Option<Measure<GaugePressure>>,
    /// What it is made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub material: Option<Material>,
    /// Empty mass as stamped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass: Option<Measure<Mass>>,
    /// Specification, such as `3AA`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub specification: Option<String>,
    /// Number of a special permit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub permit: Option<String>,
    /// Alloy, such as `6351`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub alloy: Option<String>,
    /// Thread of the neck and of the valve's outlet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thread: Option<String>,
    /// All stamps, as they stand on the shoulder.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stamp: Option<String>,
    /// When it was made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<String>,
    /// When it was put into service.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub commissioned: Option<String>,
    /// Last pressure test before it came on the register.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tested: Option<String>,
    /// Last inspection inside and out before that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub visual: Option<String>,
    /// Last eddy-current examination before that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub eddy_current: Option<String>,
    /// End of life, as stamped or extended.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub life_ends: Option<String>,
    /// Whether a plus mark follows the date of the latest test.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plus: Option<bool>,
    /// Whether a burst disc fit for the plus mark is in its valve.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub disc_fits: Option<bool>,
    /// What it is used for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub used_for: Option<Use>,
    /// Anything else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

/// An examination of a cylinder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Check {
    /// Pressure test (requalification).
    Test,
    /// Inspection inside and out.
    Visual,
    /// Eddy-current examination of the neck.
    EddyCurrent,
}

/// A cylinder was examined.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CylinderInspected {
    /// Which cylinder.
    pub cylinder: String,
    /// How.
    pub check: Check,
    /// When, as stamped or on the certificate.
    pub on: String,
    /// Whether it passed.
    pub passed: bool,
    /// By whom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Whether a plus mark follows the date.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plus: Option<bool>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

/// A cylinder never to be filled again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CylinderCondemned {
    /// Which.
    pub cylinder: String,
    /// Why.
    pub why: String,
}

/// A cylinder gone from the register: sold, lost, taken away by its owner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CylinderLeft {
    /// Which.
    pub cylinder: String,
    /// Why.
    pub why: String,
}
