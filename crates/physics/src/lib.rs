//! The physics of a small high-pressure breathing-air station.
//!
//! Start at [`sim`]: a [`sim::Plant`] described by vessels, valves and a
//! compressor, run by a [`sim::Sim`]. Below it, each usable alone:
//!
//! | module | holds |
//! |---|---|
//! | [`gas`] | real-gas states of dry air and breathing mixtures |
//!
//! Not here: files, clocks, randomness, printing. Time and seeds are
//! arguments; the same input gives the same output, bit for bit.
//! Inside, everything is SI and pressures are absolute (`_pa`), temperatures
//! thermodynamic (`_k`), masses kilograms (`_kg`).

pub mod gas;
