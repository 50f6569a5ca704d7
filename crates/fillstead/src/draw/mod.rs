//! The drawings: pure functions from answers to SVG, shared by pages, print and command line.
//!
//! Start at the module of a drawing; each gives a [`Drawing`], and each plot its data as a
//! [`Table`] as well. [`Drawing::svg`] is for a page that brings [`STYLE`], the design's properties
//! and, at zero size, [`SYMBOLS`]; [`Drawing::standalone`] is for a file.
//! Not here: what the answers are, where the text goes; the pressure ladder ([`insight::ladder`]).
//! Invariants: labels do not overlap, every scale of pressures is linear and starts at zero, what
//! a person typed is escaped, and no coordinate is anything but a number.

mod alone;
pub mod bells;
pub mod dial;
mod drawing;
pub mod figures;
pub mod gauge;
pub mod intervals;
pub mod limits;
mod place;
pub mod points;
pub mod running;
pub mod schematic;
mod sheet;
mod table;
#[cfg(test)]
mod tests;
mod text;
pub mod tolerance;
pub mod trace;
pub mod water;

pub use drawing::Drawing;
pub use table::Table;
pub use text::escaped;

/// Symbols and patterns, for a page to hold once at zero size (not `display:none`).
pub const SYMBOLS: &str = include_str!("../../assets/symbols.svg");

/// The classes of the drawings, for a page's style sheet.
pub const STYLE: &str = include_str!("../../assets/drawing.css");
