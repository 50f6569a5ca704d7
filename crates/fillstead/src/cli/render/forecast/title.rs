//! The head of the page: whose station, and the job in a line.

use insight::forecast::answer::{CylinderEnd, Forecast};
use insight::forecast::request::Until;
use quantity::TimeSpan;

use crate::cli::render::page::paragraph;
use crate::cli::render::units::{Say, percent};
use crate::usecase::forecast::Answer;

/// Station, mark of invention, job, conditions.
pub fn text(say: Say, answer: &Answer) -> String {
    let forecast = &answer.forecast;
    let mut text = format!("{}\n", forecast.station);
    if forecast.invented {
        text += &paragraph(
            0,
            "Demonstration data: this station is invented. Set nothing on a real machine by it.",
        );
    }
    text += "\n";
    let together = answer.file.station().map_or(1, |s| s.whip.count.max(1));
    text += &paragraph(0, &job(say, forecast, together));
    text += &paragraph(0, &conditions(say, answer));
    if !answer.faults.is_empty() {
        text += &paragraph(0, &format!("Faults: {}.", answer.faults.join(", ")));
    }
    text
}

/// Cylinders hang on as many hoses as there are, group after group.
fn job(say: Say, forecast: &Forecast, together: usize) -> String {
    let one = |c: &CylinderEnd| {
        format!(
            "{} from {} to {}",
            c.id,
            say.exact(c.start_bar),
            say.exact(c.stop_bar)
        )
    };
    let group = |group: &[CylinderEnd]| -> String {
        group
            .iter()
            .map(one)
            .collect::<Vec<_>>()
            .join(" together with ")
    };
    let all: Vec<String> = forecast.cylinders.chunks(together).map(group).collect();
    format!("The job: fill {}.", all.join(", then "))
}

fn conditions(say: Say, answer: &Answer) -> String {
    let mut parts = Vec::new();
    let asked = answer.request.intake_temperature;
    if let Some(air) = asked.or(answer.file.station().map(|s| s.intake.temperature)) {
        parts.push(format!(
            "Air at the intake {}",
            say.temperature(air.as_celsius())
        ));
    }
    let humidity = answer.request.humidity;
    if let Some(humidity) = humidity.or(answer.file.station().map(|s| s.intake.humidity)) {
        parts.push(format!("{} humidity", percent(humidity.as_ratio())));
    }
    if let Some(first) = answer.forecast.samples.first() {
        parts.push(format!("tower at {}", say.pressure(first.tower_bar)));
    }
    if let Some(stored) = answer.request.stored {
        parts.push(format!(
            "the machine has stood {} days",
            (stored.as_day() * 10.0).round() / 10.0
        ));
    }
    if answer.request.water_bath {
        parts.push("cylinders in water".to_owned());
    }
    if let Until::For(time) = answer.request.until {
        parts.push(format!("the machine runs {}, full or not", span(time)));
    }
    parts.join(", ") + "."
}

/// `40 min`; seconds where it is short.
fn span(time: TimeSpan) -> String {
    match time.as_second() {
        short if short < 100.0 => format!("{short:.0} s"),
        _ => format!("{} min", (time.as_minute() * 10.0).round() / 10.0),
    }
}
