//! `fillstead convert`: its options, its answer as text or JSON.

use clap::Args;

use crate::cli::answer::{Answer, Done, Exit};
use crate::cli::render::convert as page;
use crate::usecase::convert::{Asked, converted};

/// What can be converted, and under which conditions.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct ConvertArguments {
    /// The amount with its unit: mg/m3, ppm, a dew or frost point in °C or °F, or a relative
    /// humidity in %
    #[arg(allow_hyphen_values = true)]
    amount: String,
    /// Of what: water, co, co2 or oil [default: water]
    #[arg(long, value_name = "WHAT")]
    of: Option<String>,
    /// A gauge pressure at which the dew and frost point are wanted too, such as "200 bar" or
    /// "3000 psi"
    #[arg(long, value_name = "P")]
    at: Option<String>,
    /// Air temperature for a relative humidity [default: 20 °C]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// The amount is a dew or frost point at the pressure of --at, not at 1 atm
    #[arg(long)]
    point_at_pressure: bool,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

const HELP: &str = "\
Examples:
  fillstead convert \"25 mg/m3\"                                water by mass
  fillstead convert \"67 ppm\" --at \"3000 psi\"                  its points in the bank as well
  fillstead convert \"-50 °F\"                                  a dew point at 1 atm
  fillstead convert \"-8 °C\" --at \"200 bar\" --point-at-pressure
  fillstead convert \"60 %\" --temperature \"24 °C\"              relative humidity
  fillstead convert \"5 ppm\" --of co
  fillstead convert \"0.5 mg/m3\" --of oil

mg/m3 is per cubic metre of air at 20 °C and 1 atm, ppm is by volume, and a dew or frost point is
at 1 atm unless --point-at-pressure says otherwise.

Exit status: 0 converted, 2 input that cannot be used.";

/// Runs `fillstead convert`.
pub fn run(arguments: &ConvertArguments) -> Done {
    let converted = converted(&Asked {
        amount: arguments.amount.clone(),
        of: arguments.of.clone(),
        at: arguments.at.clone(),
        temperature: arguments.temperature.clone(),
        point_at_pressure: arguments.point_at_pressure,
    })?;
    if arguments.json {
        return Answer::json(&converted, Exit::Fine);
    }
    Ok(Answer::fine(page::text(&converted)))
}
