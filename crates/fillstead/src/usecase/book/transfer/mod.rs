//! Taking the book out and bringing older records in: tables, spreadsheets, the lossless lines.
//!
//! Start at [`import::import`] (lists of cylinders, old fill logs), [`export::export`] and [`entries`]. A sheet is
//! read cell by cell ([`sheet`]), its columns are known by their headings
//! ([`columns`]), each cell becomes the text a person would have typed ([`value`]), and the form
//! does the rest. Not here: the forms, the fill gate, the ledger itself.
//! Invariant: nothing is guessed. What can be read in two ways is a problem with its row and column.

mod columns;
mod cylinders;
mod days;
pub mod entries;
pub mod export;
mod figures;
mod fills;
mod headings;
pub mod import;
pub mod letters;
mod machine;
mod means;
mod named;
pub mod plan;
mod plausible;
mod sheet;
mod tables;
mod value;
mod workbook;
