//! A forecast on paper: the job, what happens, what the gauges read, how each cylinder ends.
//!
//! Start at [`text`]. Not here: figures ([`insight`]) and their units ([`super::units`]).

mod bed;
mod csv;
mod cylinder;
mod ending;
#[cfg(test)]
mod example;
mod plot;
mod readings;
mod timeline;
mod title;
mod water;

use quantity::UnitSystem;

use crate::cli::render::units::Say;
use crate::cli::terminal::harmless;
use crate::usecase::forecast::Answer;

pub use csv::csv;

/// The whole page; `svg` is the name of the drawing that was written.
pub fn text(answer: &Answer, svg: Option<&str>) -> String {
    let station = answer.file.station();
    let say = Say {
        units: station.map_or(UnitSystem::Metric, |s| s.units),
    };
    let forecast = &answer.forecast;
    let sections = [
        title::text(say, answer),
        timeline::text(say, forecast),
        readings::text(say, forecast),
        plot::text(say, forecast, &plot::Settings::of(station)),
        drawn(svg),
        cylinder::text(say, forecast),
        water::text(forecast, station),
        bed::text(say, forecast, station),
        ending::without_pmv(say, forecast),
        water::settings(say, forecast, station),
        ending::balance(say, forecast),
        ending::assumed(answer),
        ending::cautions(),
    ];
    let filled: Vec<&str> = sections
        .iter()
        .map(String::as_str)
        .filter(|s| !s.is_empty())
        .collect();
    harmless(&filled.join("\n"))
}

fn drawn(svg: Option<&str>) -> String {
    svg.map_or(String::new(), |name| {
        format!("The same as a drawing is in {name}.\n")
    })
}
