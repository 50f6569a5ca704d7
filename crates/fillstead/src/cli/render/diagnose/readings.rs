//! Each reading against the model, and what was made of each observation.

use insight::diagnose::answer::{Diagnosis, ReadingJudged};

use crate::cli::render::page::{Table, item};
use crate::cli::render::units::{Say, time};
use crate::words::sentence;

/// The readings with what stands apart, then the observations.
pub fn text(diagnosis: &Diagnosis, say: Say) -> String {
    let mut text = table(&diagnosis.readings, say);
    for (line, apart) in diagnosis.readings.iter().filter_map(apart) {
        text += &item(&sentence(&format!("line {line} stands apart: {apart}")));
    }
    if !diagnosis.observations.is_empty() {
        let mut seen = Table::new(2);
        for one in &diagnosis.observations {
            let when = one.t_s.map(time).unwrap_or_default();
            seen.row([when, format!("\"{}\": {}", one.text, one.understood)]);
        }
        text += &format!("\nWhat was seen, heard or done\n{}", seen.text());
    }
    let clock = diagnosis.clock_s.as_ref();
    if let Some(clock) = clock.filter(|clock| clock.value.abs() > clock.plus_minus) {
        text += &item(&format!(
            "The watch seems to run {:.0} ± {:.0} s ahead of the machine's start.",
            clock.value, clock.plus_minus
        ));
    }
    text
}

fn apart(reading: &ReadingJudged) -> Option<(usize, &String)> {
    Some((reading.line, reading.apart.as_ref()?))
}

fn table(readings: &[ReadingJudged], say: Say) -> String {
    if readings.is_empty() {
        return String::new();
    }
    let mut table = Table::new(2).right([0, 2, 3, 4]);
    let head = ["min", "gauge", "read", "fitted", "specified", ""];
    table.row(head.map(str::to_owned));
    for one in readings {
        let mark = match one.apart.is_some() {
            true => "stands apart",
            false => "",
        };
        table.row([
            time(one.t_s),
            one.gauge.clone(),
            say.number(one.bar),
            say.number(one.fitted_bar),
            say.number(one.specified_bar),
            mark.to_owned(),
        ]);
    }
    format!(
        "Readings against the model, {}\n{}",
        say.pressure_unit(),
        table.text()
    )
}
