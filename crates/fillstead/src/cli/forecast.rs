//! `fillstead forecast`: its options, its answer as text, JSON or CSV.

use std::path::PathBuf;

use clap::Args;
use insight::fault::CATALOGUE;
use insight::forecast::answer::Forecast;
use serde::Serialize;
use serde_json::{Value, json};

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::drawing::Target;
use crate::cli::render::forecast;
use crate::cli::render::page::Table;
use crate::cli::station::unusable;
use crate::cli::terminal::Progress;
use crate::print::html;
use crate::usecase::as_json::OfStation;
use crate::usecase::file::{must_be_free, write_new};
use crate::usecase::forecast::{self as usecase, Unanswered, Wishes};
use crate::usecase::plan::sheet::of_file;

/// What a forecast can be asked.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct ForecastArguments {
    /// The station file; - for standard input
    #[arg(required_unless_present = "list_faults")]
    file: Option<PathBuf>,
    /// A cylinder, or a kind of cylinder, and its pressure before filling; give it again for the
    /// next one, in the order of filling [default: the station's first]
    #[arg(long, value_name = "ID[@START]")]
    cylinder: Vec<String>,
    /// Air at the intake today, such as "24 °C" [default: from the station file]
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    intake_temperature: Option<String>,
    /// Its relative humidity, such as "75 %" [default: from the station file]
    #[arg(long, value_name = "H")]
    humidity: Option<String>,
    /// Tower gauge before the start [default: from the station file, else where the PMV closes]
    #[arg(long, value_name = "P")]
    tower: Option<String>,
    /// Stop when the last cylinder is full, or after this time whatever happens [default: full]
    #[arg(long, value_name = "full|DURATION")]
    until: Option<String>,
    /// Stop filling at this gauge pressure, below the rating
    #[arg(long, value_name = "P")]
    stop_at: Option<String>,
    /// Time between cylinders on one hose, with the machine stopped [default: 4 min]
    #[arg(long, value_name = "T")]
    change_over: Option<String>,
    /// The cylinders stand in still water instead of air
    #[arg(long)]
    water_bath: bool,
    /// When the sump is drained: due, never, or every so often, such as "15 min"; and always when
    /// the machine stops, unless never [default: due]
    #[arg(long, value_name = "due|never|T")]
    drain: Option<String>,
    /// Running time of the cartridge before this run [default: from the station file's hours]
    #[arg(long, value_name = "T")]
    cartridge_age: Option<String>,
    /// A file with the data of another adsorbent, named in [[purifier.bed]]; see
    /// stations/adsorbent.toml. May be given again
    #[arg(long, value_name = "FILE")]
    adsorbent: Vec<String>,
    /// How long the machine has stood since its last run, such as "20 d"; it matters where the
    /// tower has leaked down or stood open
    #[arg(long, value_name = "T")]
    stored: Option<String>,
    /// Other opening pressures of the PMV, to compare what they do to the water, such as
    /// "55,100,150 bar"; without a unit in the station's
    #[arg(long, value_name = "P,P,...", allow_hyphen_values = true)]
    compare_pmv: Vec<String>,
    /// Something wrong with the station: what would the gauges show? May be given again
    #[arg(long, value_name = "NAME[=SIZE]")]
    fault: Vec<String>,
    /// Runs behind the 90 % bands [default: 200]
    #[arg(long, value_name = "N")]
    members: Option<usize>,
    /// Seed of these runs: the same seed gives the same bands [default: 1]
    #[arg(long, value_name = "N")]
    seed: Option<u64>,
    /// Time between readings [default: 1 min]
    #[arg(long, value_name = "T")]
    every: Option<String>,
    /// Answer as JSON; pressures are gauge, in bar, temperatures in °C
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print all readings as CSV, in the same units
    #[arg(long)]
    csv: bool,
    /// Write the gauges through time as an SVG drawing, never over an existing file; with - print
    /// it instead of the answer
    #[arg(long, value_name = "FILE", conflicts_with_all = ["csv", "list_faults"])]
    svg: Option<PathBuf>,
    /// Write the run card as an HTML page made for print, never over an existing file
    #[arg(long, value_name = "FILE", conflicts_with_all = ["csv", "list_faults"])]
    card: Option<PathBuf>,
    /// List the faults that --fault knows
    #[arg(long, conflicts_with = "csv")]
    list_faults: bool,
}

const HELP: &str = "\
Examples:
  fillstead forecast shed.toml
  fillstead forecast shed.toml --cylinder \"A1@50 bar\" --cylinder \"A2@60 bar\"
  fillstead forecast shed.toml --intake-temperature \"31 °C\" --stop-at \"200 bar\"
  fillstead forecast shed.toml --until \"20 min\" --fault \"pmv-high=20 bar\"
  fillstead forecast shed.toml --compare-pmv 60,100,140
  fillstead forecast shed.toml --every \"10 s\" --csv > readings.csv
  fillstead forecast shed.toml --svg trace.svg
  fillstead forecast shed.toml --card card.html

Exit status: 0 a forecast, 1 refused, 2 input that cannot be used.";

/// Runs `fillstead forecast`.
pub fn run(arguments: &ForecastArguments) -> Done {
    let Some(path) = arguments.file.as_deref().filter(|_| !arguments.list_faults) else {
        return list_faults(arguments.json);
    };
    let target = Target::of(arguments.svg.as_deref(), arguments.json)?;
    if let Some(card) = &arguments.card {
        must_be_free(card).map_err(|trouble| trouble.about("card"))?;
    }
    let wishes = arguments.wishes();
    let progress = Progress::begin(wishes.members());
    let answer = usecase::forecast_run(path, &wishes, &|done| progress.at(done));
    progress.end();
    let answer = answer.map_err(failure)?;
    let written = target.write(|| answer.svg())?;
    if let Some(card) = &arguments.card {
        let page = html(&of_file(&answer, &wishes)?)?;
        write_new(card, &page).map_err(|trouble| trouble.about("card"))?;
    }
    if arguments.csv {
        return forecast::csv(&answer.forecast)
            .map(Answer::fine)
            .map_err(Failure::from);
    }
    if arguments.json {
        let forecast = Written {
            forecast: &answer.forecast,
            svg: written,
        };
        return Answer::json(&OfStation::new(forecast, &answer.file), Exit::Fine);
    }
    let text = match target.printed {
        true => answer.svg(),
        false => forecast::text(&answer, written.as_deref()),
    };
    Ok(Answer::fine(text))
}

/// A forecast as JSON.
#[derive(Serialize)]
struct Written<'a> {
    #[serde(flatten)]
    forecast: &'a Forecast,
    /// The name of the drawing, where one was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    svg: Option<String>,
}

/// Why there is no answer, with the exit status it deserves.
pub(super) fn failure(unanswered: Unanswered) -> Failure {
    match unanswered {
        Unanswered::Trouble(trouble) => trouble.into(),
        Unanswered::Refused(trouble) => Failure::refused(trouble),
        Unanswered::Unusable(file) => unusable(&file),
    }
}

fn list_faults(json: bool) -> Done {
    if json {
        let one = |e: &insight::fault::Entry| json!({"name": e.name, "example": e.example, "meaning": e.meaning});
        return Answer::json(&CATALOGUE.iter().map(one).collect::<Value>(), Exit::Fine);
    }
    let mut table = Table::new(2);
    for entry in CATALOGUE {
        table.row([
            format!("--fault \"{}\"", entry.example),
            entry.meaning.to_owned(),
        ]);
    }
    Ok(Answer::fine(format!(
        "Faults a forecast can be given, with a size where one is needed:\n{}",
        table.text()
    )))
}

impl ForecastArguments {
    fn wishes(&self) -> Wishes {
        Wishes {
            cylinders: self.cylinder.clone(),
            intake_temperature: self.intake_temperature.clone(),
            humidity: self.humidity.clone(),
            tower: self.tower.clone(),
            until: self.until.clone(),
            stop_at: self.stop_at.clone(),
            change_over: self.change_over.clone(),
            water_bath: self.water_bath,
            drain: self.drain.clone(),
            cartridge_age: self.cartridge_age.clone(),
            adsorbents: self.adsorbent.clone(),
            stored: self.stored.clone(),
            compare_pmv: self.compare_pmv.clone(),
            faults: self.fault.clone(),
            members: self.members,
            seed: self.seed,
            every: self.every.clone(),
        }
    }
}
