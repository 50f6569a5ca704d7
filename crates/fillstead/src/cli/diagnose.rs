//! `fillstead diagnose`: its options, its answer as text or JSON.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::render::diagnose::{explanation, text};
use crate::cli::station::unusable;
use crate::cli::terminal::Progress;
use crate::usecase::Trouble;
use crate::usecase::as_json::OfStation;
use crate::usecase::diagnose::{Asked, Undone, diagnose_file, found_something, line_trouble};

/// What a diagnosis can be asked.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct DiagnoseArguments {
    /// The station file; - for standard input
    #[arg(required_unless_present = "explain")]
    file: Option<PathBuf>,
    /// The readings, as comma-separated text; - for standard input
    #[arg(required_unless_present = "explain")]
    readings: Option<PathBuf>,
    /// A cylinder on the line and its pressure before filling; give it again for the next one
    /// [default: the station's first]
    #[arg(long, value_name = "ID[@START]")]
    cylinder: Vec<String>,
    /// Tower gauge before the start [default: from the readings, else not known]
    #[arg(long, value_name = "P")]
    tower: Option<String>,
    /// Air at the intake, such as "24 °C" [default: from the station file]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    intake_temperature: Option<String>,
    /// Answer as JSON; pressures are gauge, in bar, times in seconds
    #[arg(long)]
    json: bool,
    /// Print how a diagnosis is computed, and where that comes from
    #[arg(long)]
    explain: bool,
}

const HELP: &str = "\
A list of readings is a text as spreadsheets save it (CSV), a line for each reading or thing noticed:
  time,gauge,reading,observed
  1:00,tower,75 bar,
  2:10,tower,126 bar,air at the fill valve
  9:00,,,drained 40 mL
Times are minutes and seconds, or minutes, from the start of the machine. Gauges go by their name in
the station file, or tower, line, stage 1. Columns may stand in any order.

Examples:
  fillstead diagnose shed.toml readings.csv
  fillstead diagnose shed.toml readings.csv --cylinder \"A1@60 bar\" --tower \"0 bar\"
  fillstead diagnose --explain

Exit status: 0 nothing wrong found, 1 something found or it cannot be told, 2 input that cannot be
used.";

/// Runs `fillstead diagnose`.
pub fn run(arguments: &DiagnoseArguments) -> Done {
    if arguments.explain {
        return Ok(Answer::fine(explanation()));
    }
    let (Some(file), Some(readings)) = (&arguments.file, &arguments.readings) else {
        let what = "no list of readings is named";
        return Err(Trouble::new(what, "name the station file and the readings").into());
    };
    let asked = Asked {
        cylinders: arguments.cylinder.clone(),
        tower: arguments.tower.clone(),
        intake_temperature: arguments.intake_temperature.clone(),
    };
    let progress = Progress::begin(0);
    let answer = diagnose_file(file, readings, &asked, &|done| progress.at(done));
    progress.end();
    let answer = answer.map_err(failure)?;
    let exit = match found_something(&answer.diagnosis) {
        true => Exit::Findings,
        false => Exit::Fine,
    };
    if arguments.json {
        return Answer::json(&OfStation::new(&answer.diagnosis, &answer.file), exit);
    }
    let text = text(&answer);
    Ok(Answer { text, exit })
}

/// Why there is no answer, with the exit status it deserves.
fn failure(undone: Undone) -> Failure {
    match undone {
        Undone::Wrong { lines, troubles } => {
            let mut all: Vec<Trouble> = lines.iter().map(line_trouble).collect();
            all.extend(troubles);
            all.into()
        }
        Undone::Refused(trouble) => Failure::refused(trouble),
        Undone::Unusable(file) => unusable(&file),
    }
}
