//! Where a drawing asked for with `--svg` goes: a new file, or the standard output.

use std::path::Path;

use crate::cli::answer::Failure;
use crate::usecase::{Trouble, file};

/// Where a drawing goes.
pub struct Target<'a> {
    /// Instead of the answer, to the standard output.
    pub printed: bool,
    file: Option<&'a Path>,
}

impl<'a> Target<'a> {
    /// As asked: nowhere, `-`, or a file that is not there yet. Better told before the work than
    /// after it.
    pub fn of(option: Option<&'a Path>, json: bool) -> Result<Target<'a>, Failure> {
        let printed = option == Some(Path::new("-"));
        if printed && json {
            return Err(Trouble::new(
                "--json and --svg - both want the standard output",
                "name a file after --svg, or leave --json out",
            )
            .into());
        }
        let file = option.filter(|_| !printed);
        if let Some(path) = file {
            file::must_be_free(path).map_err(|trouble| trouble.about("svg"))?;
        }
        Ok(Target { printed, file })
    }

    /// Writes the drawing where a file is asked for; its name, if it was.
    pub fn write(&self, svg: impl FnOnce() -> String) -> Result<Option<String>, Failure> {
        let Some(path) = self.file else {
            return Ok(None);
        };
        file::write_new(path, &svg()).map_err(|trouble| trouble.about("svg"))?;
        Ok(Some(path.display().to_string()))
    }
}
