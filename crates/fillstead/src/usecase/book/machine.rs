//! The station in force in a book, as if its file were at hand.

use std::path::Path;

use book::answer::station::station_text;

use super::desk;
use super::records::with_register;
use crate::usecase::Trouble;
use crate::usecase::station::StationFile;

/// The station file in force, its station with every cylinder of the register.
pub fn station_file(path: &Path) -> Result<StationFile, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let told = station_text(&book, None)?;
    let text = told.text().ok_or_else(|| {
        Trouble::new(
            "this book holds no station file",
            "add it: `fillstead book add BOOK station FILE`",
        )
    })?;
    let mut file = StationFile::of_text("the book's station file".to_owned(), text.to_owned());
    if let Some(station) = file.reading.station.take() {
        file.reading.station = Some(with_register(station, &book, &zone)?);
    }
    Ok(file)
}
