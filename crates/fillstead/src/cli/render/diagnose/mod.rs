//! A diagnosis on paper: the headline, causes with their bars, settings, what to read and do next.
//!
//! Start at [`text`]. Not here: what is decided ([`insight::diagnose`]).

mod explain;
mod readings;

pub use explain::explanation;

use insight::diagnose::answer::{Cause, Diagnosis, NextCheck, NextReading, Standing};
use quantity::UnitSystem;

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::render::units::{Say, time};
use crate::cli::terminal::harmless;
use crate::usecase::diagnose::Answer;
use crate::usecase::diagnose::said::{self, Settings, chance};
use crate::words::{capital, sentence};

/// Signs of a full bar.
const BAR: f64 = 20.0;

/// The whole page.
pub fn text(answer: &Answer) -> String {
    let units = answer.file.station().map(|s| s.units);
    let units = units.unwrap_or(UnitSystem::Metric);
    let (say, diagnosis) = (Say { units }, &answer.diagnosis);
    let sections = [
        title(diagnosis),
        warnings(diagnosis),
        causes(diagnosis),
        settings(diagnosis, Settings { units }),
        next_reading(diagnosis.next_reading.as_ref(), say),
        next_check(diagnosis.next_check.as_ref()),
        to_do(diagnosis),
        readings::text(diagnosis, say),
        assumed(answer),
    ];
    let filled: Vec<&str> = sections
        .iter()
        .map(String::as_str)
        .filter(|section| !section.is_empty())
        .collect();
    harmless(&filled.join("\n"))
}

fn title(diagnosis: &Diagnosis) -> String {
    let mut text = format!("What is wrong with {}\n", diagnosis.station);
    if diagnosis.invented {
        text +=
            "Demonstration data: this station is invented. Set nothing on a real machine by it.\n";
    }
    text += &paragraph(2, &sentence(&diagnosis.headline));
    let standing = said::standing(diagnosis.standing);
    let misfit = diagnosis.misfit_bar.map(|bar| {
        format!("; the readings lie {bar:.1} bar from the fitted run (root mean square)")
    });
    text + &paragraph(
        2,
        &sentence(&format!("{standing}{}", misfit.unwrap_or_default())),
    )
}

fn warnings(diagnosis: &Diagnosis) -> String {
    if diagnosis.warnings.is_empty() {
        return String::new();
    }
    let all = diagnosis.warnings.iter();
    let all: String = all.map(|warning| item(&sentence(warning))).collect();
    format!("Before anything else\n{all}")
}

fn causes(diagnosis: &Diagnosis) -> String {
    if diagnosis.causes.is_empty() {
        return String::new();
    }
    let over = said::over_causes(diagnosis);
    let mut text = format!("{over}, with their chance given these readings\n");
    let mut table = Table::new(2).right([0]);
    for cause in said::worth_showing(diagnosis) {
        let size = cause.size.as_deref().map(|size| format!(", {size}"));
        table.row([
            chance(cause.probability),
            bar(cause.probability),
            format!("{}{}", capital(&cause.called), size.unwrap_or_default()),
        ]);
    }
    text += &table.text();
    if diagnosis.standing == Standing::Sound {
        return text;
    }
    for cause in said::worth_showing(diagnosis).take(2) {
        text += &reasons(cause);
    }
    text
}

/// A bar of so many signs; a chance that is there shows at least a little.
fn bar(probability: f64) -> String {
    let signs = (probability * BAR).round().clamp(0.0, BAR) as usize;
    let filled = "#".repeat(signs.max(usize::from(probability > 0.0)));
    format!("{filled:.<width$}", width = BAR as usize)
}

fn reasons(cause: &Cause) -> String {
    if cause.why.is_empty() && cause.looks_like.is_empty() {
        return String::new();
    }
    let mut table = Table::new(4);
    let mut row = |name: &str, says: String| {
        if !says.is_empty() {
            table.row([name.to_owned(), says]);
        }
    };
    row("why", cause.why.clone());
    row("looks like", said::looks_like(cause));
    row("shown by", cause.check.clone());
    row("source", cause.source.clone());
    format!("{}{}", paragraph(2, &capital(&cause.called)), table.text())
}

fn settings(diagnosis: &Diagnosis, figures: Settings) -> String {
    if diagnosis.settings.is_empty() {
        return String::new();
    }
    let mut table = Table::new(2);
    let head = ["", "specified", "found", ""];
    table.row(head.map(str::to_owned));
    for setting in &diagnosis.settings {
        table.row([
            capital(setting.called),
            figures.specified(setting).unwrap_or_default(),
            figures
                .found(setting)
                .unwrap_or_else(|| "no reading".to_owned()),
            said::verdict(setting.verdict).to_owned(),
        ]);
    }
    format!(
        "Found against specified; what is found holds nine times in ten\n{}",
        table.text()
    )
}

fn next_reading(next: Option<&NextReading>, say: Say) -> String {
    let Some(next) = next else {
        return String::new();
    };
    let when = match next.again {
        true => format!(
            "Run it again from the start, and read the {} gauge at {} min, {}.",
            next.gauge,
            time(next.minute * 60.0),
            next.why
        ),
        false => format!(
            "Read the {} gauge at {} min, {}.",
            next.gauge,
            time(next.minute * 60.0),
            next.why
        ),
    };
    let mut table = Table::new(4);
    for one in &next.expected {
        let (value, wide) = (
            say.number(one.bar.value),
            say.number(one.bar.plus_minus.abs()),
        );
        table.row([
            format!("{value} ± {wide} {}", say.pressure_unit()),
            format!("if it is: {}", one.called),
        ]);
    }
    format!(
        "The next reading that tells them apart\n{}{}",
        paragraph(2, &when),
        table.text()
    )
}

fn next_check(next: Option<&NextCheck>) -> String {
    let Some(next) = next else {
        return String::new();
    };
    let mut text = "The check by hand that tells most for its trouble\n".to_owned();
    text += &paragraph(2, &format!("{}: {}.", capital(&next.what), next.why));
    if !next.caution.is_empty() {
        text += &paragraph(2, &format!("Caution: {}.", next.caution));
    }
    text
}

fn to_do(diagnosis: &Diagnosis) -> String {
    let one = |todo: &said::Todo| item(&format!("{} {}", todo.first, todo.text));
    let all: String = said::todo(diagnosis).iter().map(one).collect();
    format!("What to do\n{all}")
}

fn assumed(answer: &Answer) -> String {
    let mut all: Vec<String> = Vec::new();
    all.extend(answer.diagnosis.assumed.iter().map(|text| sentence(text)));
    all.extend(answer.remarks.iter().map(|text| sentence(text)));
    let file = &answer.file.reading.assumed;
    if !file.is_empty() {
        let keys: Vec<String> = file
            .iter()
            .map(|a| format!("{} {}", a.key, a.value))
            .collect();
        all.push(format!(
            "Not in the station file: {}. `fillstead station check {}` gives the reasons.",
            keys.join(", "),
            answer.file.name
        ));
    }
    if all.is_empty() {
        return String::new();
    }
    let items: String = all.iter().map(|text| item(text)).collect();
    format!("Assumed\n{items}")
}
