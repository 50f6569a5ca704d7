//! `fillstead cylinder`: its options, its answer as text or JSON.

use std::path::PathBuf;

use clap::Args;
use insight::cylinder::{FillAnswer, Rule, StampReading};
use serde::Serialize;
use serde_json::json;

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::render::cylinder as page;
use crate::cli::render::page::Table;
use crate::cli::station::unusable;
use crate::usecase::Trouble;
use crate::usecase::as_json::OfStation;
use crate::usecase::cylinder::{self as usecase, Asked, Gate, Stamp, Unanswered};

/// What can be asked about one cylinder.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct CylinderArguments {
    /// The station file; - for standard input
    #[arg(required_unless_present_any = ["stamp", "list_rules"], requires = "id")]
    station: Option<PathBuf>,
    /// The cylinder, as the station file calls it
    id: Option<String>,
    /// Read the stamps on a shoulder instead, such as "3AA2400+ 06^19+"
    #[arg(long, value_name = "TEXT", conflicts_with_all = ["station", "list_rules"])]
    stamp: Option<String>,
    /// The rule by which it is examined: us, uk, de and others, or one of --own-rule
    #[arg(long, value_name = "NAME")]
    rule: Option<String>,
    /// A file of rules of your own
    #[arg(long, value_name = "FILE")]
    own_rule: Option<PathBuf>,
    /// List the rules
    #[arg(long)]
    list_rules: bool,
    /// The day [default: today by this machine's clock, UTC]
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
    /// What it is used for: diving, rescue, storage or aircraft [default: diving]
    #[arg(long = "use", value_name = "USE")]
    used_for: Option<String>,
    /// A relief valve or regulator of this fill line alone holds it at this pressure
    #[arg(long, value_name = "P")]
    protected_at: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    json: bool,
}

const HELP: &str = "\
Examples:
  fillstead cylinder shed.toml A1 --rule uk
  fillstead cylinder shed.toml A1 --rule us --use rescue --today 2026-06-01
  fillstead cylinder shed.toml OLD --rule us --protected-at \"2216 psi\"
  fillstead cylinder shed.toml A1 --own-rule ours.txt
  fillstead cylinder --stamp \"3AA2400+ 06^19+\"
  fillstead cylinder --stamp \"PW 232 BAR PT 348 BAR 2019/06\" --rule uk
  fillstead cylinder --list-rules

A file of your own rules is a text with lines such as
  rule: club
  title: What our club does
  every: test, 60 months | any | club meeting of 2026-01-10 | own rule | minutes

Exit status: 0 no reason found to stop (or a stamp that can be read), 1 do not fill it (or a stamp
that cannot be), 2 input that cannot be used.";

/// Runs `fillstead cylinder`.
pub fn run(arguments: &CylinderArguments) -> Done {
    let asked = Asked {
        rule: arguments.rule.clone(),
        today: arguments.today.clone(),
        used_for: arguments.used_for.clone(),
        protected_at: arguments.protected_at.clone(),
    };
    let own = arguments.own_rule.as_deref();
    if arguments.list_rules {
        return list(&usecase::rules(own)?, arguments.json);
    }
    if let Some(text) = &arguments.stamp {
        let stamp = usecase::stamp(text, &asked, own).map_err(failure)?;
        return stamped(&stamp, arguments.json);
    }
    let (Some(path), Some(id)) = (&arguments.station, &arguments.id) else {
        let remedy = "name the station file and the cylinder, or give --stamp";
        return Err(Trouble::new("no cylinder is named", remedy).into());
    };
    let gate = usecase::at_station(path, id, &asked, own).map_err(failure)?;
    at_station(&gate, arguments.json)
}

fn at_station(gate: &Gate, json: bool) -> Done {
    let exit = exit(gate.fill.may);
    if json {
        return Answer::json(&OfStation::new(Written::of(gate), &gate.file), exit);
    }
    let text = page::at_station(gate);
    Ok(Answer { text, exit })
}

fn stamped(read: &Stamp, json: bool) -> Done {
    let exit = exit(read.sound());
    if json {
        let answer = StampWritten {
            today: read.today.to_string(),
            stamp: &read.stamp,
            fill: read.fill.as_ref(),
        };
        return Answer::json(&answer, exit);
    }
    let text = page::stamped(read);
    Ok(Answer { text, exit })
}

fn exit(may: bool) -> Exit {
    match may {
        true => Exit::Fine,
        false => Exit::Findings,
    }
}

fn failure(unanswered: Unanswered) -> Failure {
    match unanswered {
        Unanswered::Troubles(troubles) => troubles.into(),
        Unanswered::Unusable(file) => unusable(&file),
    }
}

/// A gate's answer as JSON.
#[derive(Serialize)]
struct Written<'a> {
    station: Option<&'a str>,
    invented: bool,
    #[serde(flatten)]
    fill: &'a FillAnswer,
}

impl Written<'_> {
    fn of(gate: &Gate) -> Written<'_> {
        let station = gate.file.station();
        Written {
            station: station.map(|s| s.name.as_str()),
            invented: station.is_some_and(|s| s.invented),
            fill: &gate.fill,
        }
    }
}

/// A stamp as JSON.
#[derive(Serialize)]
struct StampWritten<'a> {
    today: String,
    stamp: &'a StampReading,
    fill: Option<&'a FillAnswer>,
}

fn list(rules: &[Rule], json: bool) -> Done {
    if json {
        return Answer::json(&json!(rules), Exit::Fine);
    }
    let mut table = Table::new(2);
    for rule in rules {
        table.row([rule.id.clone(), rule.title.clone()]);
    }
    Ok(Answer::fine(format!(
        "Rules that --rule knows. Laws change, and most were seen on secondary pages only: each \
         answer\nnames its sources and how sure they are. Read the rule itself.\n{}",
        crate::cli::terminal::harmless(&table.text())
    )))
}
