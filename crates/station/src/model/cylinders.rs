//! Vessels that are filled or stored from: what their stamps and labels say.

use quantity::{FreeVolume, GaugePressure, Mass, Typed, Volume};

use super::Material;
use crate::date::Date;

/// A vessel for compressed air, as its stamps describe it.
#[derive(Clone, Debug, PartialEq)]
pub struct Vessel {
    /// How big it is, in the form its owner knows.
    pub capacity: Capacity,
    /// Working (service) pressure, in the unit stamped on it.
    pub working_pressure: Typed<GaugePressure>,
    /// Test pressure, in the unit stamped on it.
    pub test_pressure: Option<Typed<GaugePressure>>,
    /// What it is made of; steel when not given.
    pub material: Material,
    /// Mass of the empty vessel.
    pub mass: Option<Mass>,
}

/// How big a vessel is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Capacity {
    /// The space inside.
    Water(Volume),
    /// Nominal content of free air at working pressure.
    FreeAir(FreeVolume),
}

/// A storage cylinder piped to the station.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// What it is called; unique.
    pub id: String,
    /// The vessel itself.
    pub vessel: Vessel,
}

/// A kind of cylinder that is filled here.
#[derive(Clone, Debug, PartialEq)]
pub struct CylinderKind {
    /// What it is called; unique.
    pub id: String,
    /// The vessel itself.
    pub vessel: Vessel,
}

/// A cylinder known by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Cylinder {
    /// What it is called; unique.
    pub id: String,
    /// Id of one of [`Station::cylinder_kinds`](super::Station::cylinder_kinds).
    pub kind: String,
    /// Whose it is.
    pub owner: Option<String>,
    /// Serial number on its shoulder.
    pub serial: Option<String>,
    /// Day it was made.
    pub made: Option<Date>,
    /// Day of its last pressure test.
    pub tested: Option<Date>,
    /// Day of its last inspection inside and out.
    pub visual: Option<Date>,
    /// Whether a plus mark follows its test date.
    pub plus: Option<bool>,
    /// Other stamps worth keeping, as typed.
    pub stamp: Option<String>,
}
