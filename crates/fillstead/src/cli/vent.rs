//! `fillstead vent`: its options, its answer as text or JSON.

use std::path::PathBuf;

use clap::Args;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::forecast::failure;
use crate::cli::render::vent as page;
use crate::usecase::as_json::OfStation;
use crate::usecase::vent::{Asked, vent_file};

/// What can be asked about letting the air out.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct VentArguments {
    /// The station file; - for standard input
    file: PathBuf,
    /// Tower gauge at the start [default: working pressure, as after a run]
    #[arg(long, value_name = "P")]
    tower: Option<String>,
    /// Pressure in the whip at the start [default: working pressure, as after a run]
    #[arg(long, value_name = "P")]
    line: Option<String>,
    /// Air around the machine, such as "5 °C" [default: from the station file]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Bore of a fill hose, for its thrust [default: 5 mm]
    #[arg(long, value_name = "LENGTH")]
    hose_bore: Option<String>,
    /// Narrowest passage of a cylinder's own valve [default: the station's fill valve]
    #[arg(long, value_name = "LENGTH")]
    valve_bore: Option<String>,
    /// Answer as JSON; pressures are gauge, in bar, times in seconds, energies in kJ
    #[arg(long)]
    json: bool,
}

const HELP: &str = "\
Examples:
  fillstead vent shed.toml
  fillstead vent shed.toml --tower \"120 bar\" --line \"200 bar\"
  fillstead vent shed.toml --hose-bore \"4 mm\" --json

Times are computed, compressor off and cylinders shut. A calculated zero is no zero: the bleed that
no longer hisses decides.

Exit status: 0 an answer, 2 input that cannot be used.";

/// Runs `fillstead vent`.
pub fn run(arguments: &VentArguments) -> Done {
    let asked = Asked {
        tower: arguments.tower.clone(),
        line: arguments.line.clone(),
        temperature: arguments.temperature.clone(),
        hose_bore: arguments.hose_bore.clone(),
        valve_bore: arguments.valve_bore.clone(),
    };
    let answer = vent_file(&arguments.file, &asked).map_err(failure)?;
    if arguments.json {
        return Answer::json(&OfStation::new(&answer.vent, &answer.file), Exit::Fine);
    }
    Ok(Answer::fine(page::text(&answer)))
}
