//! `fillstead audit`: its options, its answer as text, JSON or a drawing.

use std::path::PathBuf;

use clap::Args;
use insight::audit::{Audit, RULES, Rule};
use serde::Serialize;
use serde_json::{Value, json};

use crate::cli::answer::{Answer, Done, Exit, Failure};
use crate::cli::drawing::Target;
use crate::cli::render::audit as page;
use crate::cli::render::page::Table;
use crate::cli::station::unusable;
use crate::usecase::as_json::OfStation;
use crate::usecase::audit::{self as usecase, Unanswered};

/// What an audit can be asked.
#[derive(Args)]
#[command(after_help = HELP)]
pub struct AuditArguments {
    /// The station file; - for standard input
    #[arg(required_unless_present_any = ["explain", "list_rules"])]
    file: Option<PathBuf>,
    /// Print what a rule looks at, why, where it stands and how sure that is
    #[arg(long, value_name = "RULE", conflicts_with_all = ["svg", "list_rules"])]
    explain: Option<String>,
    /// List the rules
    #[arg(long, conflicts_with = "svg")]
    list_rules: bool,
    /// Write the pressure ladder as an SVG drawing, never over an existing file; with - print it
    /// instead of the answer
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Answer as JSON; pressures are gauge, in bar
    #[arg(long)]
    json: bool,
}

const HELP: &str = "\
Examples:
  fillstead audit shed.toml
  fillstead audit shed.toml --svg ladder.svg
  fillstead audit shed.toml --svg - > ladder.svg
  fillstead audit --list-rules
  fillstead audit --explain pmv-gap

Exit status: 0 nothing found that has to be put right (there may be things to look into, and
notes), 1 a finding graver than that, 2 input that cannot be used.";

/// Runs `fillstead audit`.
pub fn run(arguments: &AuditArguments) -> Done {
    if let Some(name) = &arguments.explain {
        return explain(usecase::rule(name)?, arguments.json);
    }
    let Some(path) = arguments.file.as_deref().filter(|_| !arguments.list_rules) else {
        return list_rules(arguments.json);
    };
    let target = Target::of(arguments.svg.as_deref(), arguments.json)?;
    let answer = usecase::audit_file(path).map_err(failure)?;
    let written = target.write(|| answer.svg())?;
    let exit = match answer.grave() {
        true => Exit::Findings,
        false => Exit::Fine,
    };
    if arguments.json {
        return Answer::json(
            &OfStation::new(Written::of(&answer, written), &answer.file),
            exit,
        );
    }
    let text = match target.printed {
        true => answer.svg(),
        false => page::text(&answer, written.as_deref()),
    };
    Ok(Answer { text, exit })
}

/// An audit as JSON.
#[derive(Serialize)]
struct Written<'a> {
    station: &'a str,
    invented: bool,
    #[serde(flatten)]
    audit: &'a Audit,
    svg: Option<String>,
}

impl Written<'_> {
    fn of(answer: &usecase::Answer, svg: Option<String>) -> Written<'_> {
        Written {
            station: &answer.audit.ladder.station,
            invented: answer.invented,
            audit: &answer.audit,
            svg,
        }
    }
}

fn failure(unanswered: Unanswered) -> Failure {
    match unanswered {
        Unanswered::Trouble(trouble) => trouble.into(),
        Unanswered::Unusable(file) => unusable(&file),
    }
}

fn explain(rule: &Rule, json: bool) -> Done {
    if !json {
        return Ok(Answer::fine(page::explanation(rule)));
    }
    let sections = page::sections(rule);
    let one = |(heading, text): &(String, String)| json!({"heading": heading, "text": text});
    let answer = json!({
        "rule": rule.id,
        "title": rule.title,
        "sections": sections.iter().map(one).collect::<Value>(),
    });
    Answer::json(&answer, Exit::Fine)
}

fn list_rules(json: bool) -> Done {
    if json {
        let one = |rule: &Rule| json!({"rule": rule.id, "title": rule.title});
        return Answer::json(&RULES.iter().map(one).collect::<Value>(), Exit::Fine);
    }
    let mut table = Table::new(2);
    for rule in &RULES {
        table.row([rule.id, rule.title].map(str::to_owned));
    }
    Ok(Answer::fine(format!(
        "What an audit asks; --explain RULE tells why, and where each rule stands:\n{}",
        table.text()
    )))
}
