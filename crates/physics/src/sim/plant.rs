//! What a station is made of, as the simulation sees it.
//!
//! Vessels hold gas, links carry it, gates decide how far a link is open.
//! Not here: any state that changes with time (see [`super::Sim`]).

use crate::gas::GasTable;
use crate::heat::{GasFilm, OuterFilm};
use crate::machine::Delivery;
use std::sync::Arc;
use thiserror::Error;

/// A whole station: the fixed part of a run.
#[derive(Debug, Clone)]
pub struct Plant {
    /// The gas in every vessel.
    pub gas: Arc<GasTable>,
    /// Atmospheric pressure, Pa.
    pub atmosphere_pa: f64,
    /// Where gas is held. Index = the number used by links and valves.
    pub vessels: Vec<Vessel>,
    /// Where gas flows.
    pub links: Vec<Link>,
    /// Valves that act by themselves.
    pub valves: Vec<AutoValve>,
    /// Burst discs.
    pub discs: Vec<Disc>,
    /// Valves that a hand works: names only; how far open they are is a control.
    pub hand_valves: Vec<HandValve>,
    /// The compressor, where there is one.
    pub compressor: Option<Compressor>,
}

/// A space holding gas at one pressure and temperature.
#[derive(Debug, Clone)]
pub struct Vessel {
    /// What it is called in events and messages.
    pub name: String,
    /// Gas space, m³.
    pub volume_m3: f64,
    /// Temperature around it, K.
    pub surroundings_k: f64,
    /// How heat passes between gas and surroundings.
    pub thermal: Thermal,
}

/// How heat passes between a vessel's gas and its surroundings.
#[derive(Debug, Clone)]
pub enum Thermal {
    /// Directly; the wall stores nothing.
    Bare(OuterFilm),
    /// Through a wall at one temperature.
    Walled {
        /// Heat capacity of the wall, J/K.
        capacity_j_k: f64,
        /// Gas to wall.
        inside: GasFilm,
        /// Wall to surroundings.
        outside: OuterFilm,
    },
}

/// A passage for gas.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// What it is called.
    pub name: String,
    /// The vessel it leads from.
    pub from: usize,
    /// Where it leads to.
    pub to: End,
    /// Effective area C_d·A when fully open, m².
    pub area_m2: f64,
    /// Whether gas can also flow backwards (no check action).
    pub two_way: bool,
    /// What opens and shuts it.
    pub gate: Gate,
}

/// The far end of a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Another vessel.
    Vessel(usize),
    /// The open air.
    Atmosphere,
}

/// What opens and shuts a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gate {
    /// Always open (a leak, a restriction, a plain check valve).
    Open,
    /// A valve worked by hand: index into `hand_valves`.
    Hand(usize),
    /// A valve that acts by itself: index into `valves`.
    Auto(usize),
    /// A burst disc: index into `discs`.
    Disc(usize),
}

/// A valve worked by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandValve {
    /// What it is called.
    pub name: String,
}

/// A valve that opens on rising pressure in the vessel it senses and closes on
/// falling pressure: a pressure maintaining valve or a relief valve.
///
/// Spring and friction: on the way up it opens between `opens` and
/// `fully_open`; on the way down it follows the same line shifted to `closes`.
#[derive(Debug, Clone, PartialEq)]
pub struct AutoValve {
    /// What it is called in events.
    pub name: String,
    /// The vessel whose pressure moves it.
    pub senses: usize,
    /// Pressure at which it starts to open, Pa.
    pub opens_pa: f64,
    /// Pressure at which it has closed again, Pa.
    pub closes_pa: f64,
    /// Pressure at which a proportional valve is fully open, Pa.
    pub fully_open_pa: f64,
    /// How it moves in between.
    pub action: Action,
}

/// How a valve moves between shut and open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Fully open at `opens`, shut at `closes`: a pop valve.
    Snap,
    /// As far open as the pressure lifts it, with friction.
    Proportional,
    /// Seized where it stood: fully open.
    StuckOpen,
    /// Seized shut.
    StuckShut,
}

/// A burst disc: opens once, for good.
#[derive(Debug, Clone, PartialEq)]
pub struct Disc {
    /// What it is called in events.
    pub name: String,
    /// The vessel whose pressure bursts it.
    pub senses: usize,
    /// Bursting pressure, Pa.
    pub bursts_pa: f64,
}

/// The compressor as a source of gas.
#[derive(Debug, Clone)]
pub struct Compressor {
    /// The vessel it delivers into.
    pub into: usize,
    /// Flow, enthalpy and power over delivery pressure.
    pub delivery: Delivery,
}

/// Why a plant cannot be run.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PlantError {
    /// An index points to nothing.
    #[error("{what} refers to {kind} number {index}, of which there are {count}")]
    NoSuch {
        /// Which part refers.
        what: String,
        /// To what kind of part.
        kind: &'static str,
        /// The index.
        index: usize,
        /// How many there are.
        count: usize,
    },
    /// A number that must be positive (or ordered) is not.
    #[error("{what}: {rule} (got {value})")]
    BadNumber {
        /// Which part.
        what: String,
        /// What is required.
        rule: &'static str,
        /// What was given.
        value: f64,
    },
}

impl Plant {
    /// Checks that indices point somewhere and numbers make sense.
    pub fn check(&self) -> Result<(), PlantError> {
        for vessel in &self.vessels {
            positive(&vessel.name, "volume must be above zero", vessel.volume_m3)?;
            if let Thermal::Walled { capacity_j_k, .. } = vessel.thermal {
                positive(
                    &vessel.name,
                    "wall heat capacity must be above zero",
                    capacity_j_k,
                )?;
            }
        }
        for link in &self.links {
            self.vessel_exists(&link.name, link.from)?;
            if let End::Vessel(to) = link.to {
                self.vessel_exists(&link.name, to)?;
            }
            if !(link.area_m2 >= 0.0 && link.area_m2.is_finite()) {
                return Err(bad(&link.name, "area must not be negative", link.area_m2));
            }
            self.gate_exists(link)?;
        }
        for valve in &self.valves {
            self.vessel_exists(&valve.name, valve.senses)?;
            let gap = valve.opens_pa - valve.closes_pa;
            positive(
                &valve.name,
                "must open above where it closes; gap in Pa",
                gap,
            )?;
            let travel = valve.fully_open_pa - valve.opens_pa;
            positive(
                &valve.name,
                "must be fully open above where it opens; gap in Pa",
                travel,
            )?;
        }
        for disc in &self.discs {
            self.vessel_exists(&disc.name, disc.senses)?;
            positive(
                &disc.name,
                "bursting pressure must be above zero",
                disc.bursts_pa,
            )?;
        }
        self.compressor
            .as_ref()
            .map_or(Ok(()), |c| self.vessel_exists("compressor", c.into))
    }

    fn vessel_exists(&self, what: &str, index: usize) -> Result<(), PlantError> {
        exists(what, "vessel", index, self.vessels.len())
    }

    fn gate_exists(&self, link: &Link) -> Result<(), PlantError> {
        match link.gate {
            Gate::Open => Ok(()),
            Gate::Hand(i) => exists(&link.name, "hand valve", i, self.hand_valves.len()),
            Gate::Auto(i) => exists(&link.name, "valve", i, self.valves.len()),
            Gate::Disc(i) => exists(&link.name, "disc", i, self.discs.len()),
        }
    }
}

fn exists(what: &str, kind: &'static str, index: usize, count: usize) -> Result<(), PlantError> {
    if index < count {
        return Ok(());
    }
    Err(PlantError::NoSuch {
        what: what.to_owned(),
        kind,
        index,
        count,
    })
}

fn positive(what: &str, rule: &'static str, value: f64) -> Result<(), PlantError> {
    if value > 0.0 && value.is_finite() {
        Ok(())
    } else {
        Err(bad(what, rule, value))
    }
}

fn bad(what: &str, rule: &'static str, value: f64) -> PlantError {
    PlantError::BadNumber {
        what: what.to_owned(),
        rule,
        value,
    }
}
