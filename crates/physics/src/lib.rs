//! The physics of a small high-pressure breathing-air station.
//!
//! Start at [`sim`]: a [`sim::Plant`] described by vessels, valves and a
//! compressor, run by a [`sim::Sim`]. Below it, each usable alone:
//!
//! | module | holds |
//! |---|---|
//! | [`gas`] | real-gas states of dry air and breathing mixtures |
//! | [`transport`] | viscosity and thermal conductivity of air |
//! | [`moist`] | the water that compressed air holds |
//! | [`purifier`] | drying bed: what it holds, lets through, has left |
//! | [`nozzle`] | flow through orifices, valves, relief seats; venting |
//! | [`heat`] | films between gas, wall and surroundings |
//! | [`machine`] | compressor stages, continuity, delivery curve |
//! | [`sim`] | the run: vessels, valves, events, balances |
//! | [`fit`] | a model fitted to readings, and how well it explains them |
//! | [`vent`] | thrust, venting time and stored energy, as closed forms |
//! | [`water`] | the ledger: where each gram of water goes |
//!
//! Not here: files, clocks, randomness, printing. Time and seeds are
//! arguments; the same input gives the same output, bit for bit.
//! Inside, everything is SI and pressures are absolute (`_pa`), temperatures
//! thermodynamic (`_k`), masses kilograms (`_kg`).

pub mod curve;
pub mod fit;
pub mod gas;
pub mod heat;
pub mod machine;
pub mod moist;
pub mod nozzle;
pub mod purifier;
pub mod sim;
pub mod transport;
pub mod vent;
pub mod water;
