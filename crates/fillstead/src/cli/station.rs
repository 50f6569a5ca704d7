//! `fillstead station`: check a station file, begin a new one.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use serde_json::json;

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::drawing::Target;
use crate::cli::render::{assumed, problems};
use crate::cli::terminal::{complain, harmless};
use crate::cli::{ask, terminal};
use crate::usecase::as_json::{self, OfStation};
use crate::usecase::draft::Draft;
use crate::usecase::drawing::{self as usecase, Unanswered};
use crate::usecase::station::StationFile;
use crate::usecase::{Trouble, file};

/// What can be done with a station file.
#[derive(Subcommand)]
pub enum StationCommand {
    /// List every problem of a station file, and everything it leaves to be assumed
    #[command(after_help = CHECK_HELP)]
    Check {
        /// The station file; - for standard input
        file: PathBuf,
        /// Answer as JSON
        #[arg(long)]
        json: bool,
    },
    /// Begin a station file: a commented text with your figures in it
    #[command(after_help = NEW_HELP)]
    New(Box<NewArguments>),
    /// Draw the air path with symbols, in the order of the file
    #[command(after_help = DRAW_HELP)]
    Draw {
        /// The station file; - for standard input
        file: PathBuf,
        /// Write the SVG drawing to this file, never over an existing one; without it, or with -,
        /// the drawing is printed
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
        /// Answer as JSON: the parts in order, with their numbers and settings
        #[arg(long)]
        json: bool,
    },
}

const CHECK_HELP: &str = "\
Examples:
  fillstead station check shed.toml
  fillstead station check --json shed.toml

Exit status: 0 no problems, 1 warnings only, 2 errors or a file that cannot be read.";

const NEW_HELP: &str = "\
At a terminal it asks for what is not given. Otherwise --name, --working-pressure and one of
--charging-rate and --free-air-delivery are needed. An existing file is never overwritten.

Examples:
  fillstead station new shed.toml
  fillstead station new shed.toml --name \"Lean-to\" --working-pressure \"232 bar\" \\
      --charging-rate \"100 L/min\" --relief-lifts \"255 bar\" \\
      --cylinder \"steel 12\" --water-volume \"12 L\" --cylinder-pressure \"232 bar\"

Write down what the tags, the plates and the maker's manual say. Never set a valve to fit the file.";

const DRAW_HELP: &str = "\
Examples:
  fillstead station draw shed.toml --svg path.svg
  fillstead station draw shed.toml > path.svg

It draws what the file says, not what is bolted on.
Exit status: 0 a drawing, 2 input that cannot be used.";

/// Answers given at once.
#[derive(Args)]
pub struct NewArguments {
    /// The file to write; without it, or with -, the text is printed
    file: Option<PathBuf>,
    /// What people call the station
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Units for showing results: metric or us [default: as the working pressure is typed]
    #[arg(long, value_name = "UNITS")]
    units: Option<String>,
    /// Height above the sea, such as "250 m"
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<String>,
    /// Highest pressure the compressor is run to, such as "232 bar"
    #[arg(long, value_name = "P")]
    working_pressure: Option<String>,
    /// 2000 L divided by the minutes a 10 L cylinder takes from 0 to 200 bar, such as "100 L/min"
    #[arg(long, value_name = "FLOW", conflicts_with = "free_air_delivery")]
    charging_rate: Option<String>,
    /// Free air delivered, from the plate or the manual, such as "120 L/min"
    #[arg(long, value_name = "FLOW")]
    free_air_delivery: Option<String>,
    /// Number of stages
    #[arg(long, value_name = "N")]
    stages: Option<String>,
    /// Pressure at which the pressure maintaining valve opens
    #[arg(long, value_name = "P")]
    pmv_opens: Option<String>,
    /// Pressure at which it closes
    #[arg(long, value_name = "P")]
    pmv_closes: Option<String>,
    /// Pressure at which the final relief valve lifts
    #[arg(long, value_name = "P")]
    relief_lifts: Option<String>,
    /// Pressure stamped on the burst disc
    #[arg(long, value_name = "P")]
    disc_bursts: Option<String>,
    /// Pressure on the tower's plate
    #[arg(long, value_name = "P")]
    tower_rating: Option<String>,
    /// What you call a kind of cylinder
    #[arg(long, value_name = "NAME")]
    cylinder: Option<String>,
    /// Its water volume, such as "12 L"
    #[arg(long, value_name = "VOLUME", conflicts_with = "free_air")]
    water_volume: Option<String>,
    /// Its rated content of free air, such as "80 cu ft"
    #[arg(long, value_name = "VOLUME")]
    free_air: Option<String>,
    /// Working (service) pressure stamped on it
    #[arg(long, value_name = "P")]
    cylinder_pressure: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

/// Runs `fillstead station ...`.
pub fn run(command: StationCommand) -> Done {
    match command {
        StationCommand::Check { file, json } => check(&file, json),
        StationCommand::New(arguments) => new(&arguments),
        StationCommand::Draw { file, svg, json } => draw(&file, svg.as_deref(), json),
    }
}

fn draw(path: &Path, svg: Option<&Path>, json: bool) -> Done {
    let target = Target::of(svg, json)?;
    let answer = usecase::air_path(path).map_err(|unanswered| match unanswered {
        Unanswered::Trouble(trouble) => trouble.into(),
        Unanswered::Unusable(file) => unusable(&file),
    })?;
    let written = target.write(|| answer.drawing.standalone())?;
    if json {
        let part = |row: &Vec<String>| match &row[..] {
            [number, name, setting] => {
                json!({"balloon": number.parse::<u8>().ok(), "name": name, "setting": setting})
            }
            _ => json!(null),
        };
        let parts: Vec<_> = answer.table.rows.iter().map(part).collect();
        let answered = json!({
            "station": answer.station,
            "invented": answer.invented,
            "parts": parts,
            "svg": written,
        });
        return Answer::json(&OfStation::new(answered, &answer.file), Exit::Fine);
    }
    Ok(Answer::fine(match written {
        Some(name) => format!(
            "The air path of {} is in {name}.\n",
            harmless(&answer.station)
        ),
        None => answer.drawing.standalone(),
    }))
}

fn check(path: &Path, json: bool) -> Done {
    let file = StationFile::open(path)?;
    let exit = match (file.errors(), file.warnings()) {
        (0, 0) => Exit::Fine,
        (0, _) => Exit::Findings,
        _ => Exit::BadInput,
    };
    if json {
        let answer = json!({
            "file": file.name,
            "station": file.reading.station.as_ref().map(|s| s.name.as_str()),
            "errors": file.errors(),
            "warnings": file.warnings(),
            "problems": as_json::problems(&file),
            "assumed": as_json::assumed(&file.reading.assumed),
        });
        return Answer::json(&answer, exit);
    }
    let mut text = problems::text(&file, terminal::colours());
    text += &assumed::text(&file.reading.assumed);
    text += &problems::summary(&file);
    Ok(Answer { text, exit })
}

/// Why a file with errors gives no answer: its problems as the check shows them, then the error.
pub fn unusable(file: &StationFile) -> Failure {
    let name = harmless(&file.name);
    let what = format!(
        "{name} has {}",
        crate::words::counted(file.errors(), "error")
    );
    let remedy = match file.errors() {
        1 => format!("correct it, then look again with `fillstead station check {name}`"),
        _ => format!("correct them, then look again with `fillstead station check {name}`"),
    };
    let text = problems::text(file, terminal::colours_on_error());
    Failure::from(Trouble::new(what, remedy)).with_problems(text, as_json::problems(file))
}

fn new(arguments: &NewArguments) -> Done {
    let mut draft = Draft::default();
    let mut troubles = Vec::new();
    for (field, text) in arguments.given() {
        troubles.extend(draft.set(field, text).err());
    }
    if !troubles.is_empty() {
        return Err(troubles.into());
    }
    let target = arguments
        .file
        .as_deref()
        .filter(|path| *path != Path::new("-"));
    if let Some(path) = target {
        // Better told before the questions than after them.
        file::must_be_free(path)?;
    }
    let missing = draft.missing();
    if !missing.is_empty() {
        if arguments.json || !io::stdin().is_terminal() {
            return Err(lacking(&missing));
        }
        ask::all(
            &mut draft,
            &mut io::stdin().lock(),
            &mut io::stderr().lock(),
        )?;
    }
    let text = draft.text()?;
    if let Some(path) = target {
        file::write_new(path, &text)?;
    }
    written(arguments.json, target, text)
}

/// What to say once the text is there.
fn written(json: bool, target: Option<&Path>, text: String) -> Done {
    let name = target.map(|path| path.display().to_string());
    if json {
        return Answer::json(&json!({ "written": name, "text": text }), Exit::Fine);
    }
    let Some(name) = name.map(|name| harmless(&name)) else {
        if io::stdout().is_terminal() {
            complain("Nothing is written to disk: name a file to keep this text.\n\n");
        }
        return Ok(Answer::fine(text));
    };
    Ok(Answer::fine(format!(
        "{name} is written. What you did not answer stands in it as a remark, with what is assumed.\n\
         Next: complete it in an editor, then\n  fillstead station check {name}\n"
    )))
}

fn lacking(missing: &[&'static str]) -> Failure {
    let options: Vec<String> = missing.iter().map(|field| format!("--{field}")).collect();
    let (verb, them) = if missing.len() == 1 {
        ("is", "it")
    } else {
        ("are", "them")
    };
    let what = format!("{} {verb} missing", listed(&options));
    let mut remedy = format!("give {them}, or run this at a terminal to be asked");
    let either = [
        ("charging-rate", "free-air-delivery"),
        ("water-volume", "free-air"),
    ];
    for (field, instead) in either.iter().filter(|(field, _)| missing.contains(field)) {
        remedy += &format!("; --{instead} will do for --{field}");
    }
    Trouble::new(what, remedy).into()
}

/// `a, b and c`
fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

impl NewArguments {
    /// What was given, by the name of the option.
    fn given(&self) -> impl Iterator<Item = (&'static str, &str)> {
        [
            ("name", &self.name),
            ("units", &self.units),
            ("altitude", &self.altitude),
            ("working-pressure", &self.working_pressure),
            ("charging-rate", &self.charging_rate),
            ("free-air-delivery", &self.free_air_delivery),
            ("stages", &self.stages),
            ("pmv-opens", &self.pmv_opens),
            ("pmv-closes", &self.pmv_closes),
            ("relief-lifts", &self.relief_lifts),
            ("disc-bursts", &self.disc_bursts),
            ("tower-rating", &self.tower_rating),
            ("cylinder", &self.cylinder),
            ("water-volume", &self.water_volume),
            ("free-air", &self.free_air),
            ("cylinder-pressure", &self.cylinder_pressure),
        ]
        .into_iter()
        .filter_map(|(field, text)| Some((field, text.as_deref()?)))
    }
}
