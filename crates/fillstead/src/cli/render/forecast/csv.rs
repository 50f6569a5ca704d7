//! All readings as CSV: a row for each time and cylinder, always under the same header.
//!
//! Pressures are gauge, in bar; temperatures in °C; times in seconds.

use insight::forecast::answer::{CylinderSample, Forecast, Sample};

use crate::usecase::Trouble;

/// Stages whose gauges have a column: more than any machine has.
const STAGES: usize = 5;

const HEADER: [&str; 20] = [
    "t_s",
    "running",
    "tower_bar",
    "tower_low_bar",
    "tower_median_bar",
    "tower_high_bar",
    "tower_c",
    "line_bar",
    "cylinder",
    "cylinder_bar",
    "cylinder_low_bar",
    "cylinder_median_bar",
    "cylinder_high_bar",
    "gas_c",
    "wall_c",
    "stage_1_bar",
    "stage_2_bar",
    "stage_3_bar",
    "stage_4_bar",
    "stage_5_bar",
];

/// The readings as CSV.
pub fn csv(forecast: &Forecast) -> Result<String, Trouble> {
    let mut out = csv::Writer::from_writer(Vec::new());
    let mut rows = || {
        out.write_record(HEADER)?;
        for sample in &forecast.samples {
            for cylinder in &sample.cylinders {
                out.write_record(record(sample, cylinder))?;
            }
        }
        Ok::<(), csv::Error>(())
    };
    rows().map_err(|error| unwritten(&error))?;
    let bytes = out.into_inner().map_err(|error| unwritten(&error))?;
    String::from_utf8(bytes).map_err(|error| unwritten(&error))
}

fn unwritten(error: &dyn std::error::Error) -> Trouble {
    Trouble::new(
        format!("the readings cannot be written as CSV: {error}"),
        "ask for --json",
    )
}

fn record(sample: &Sample, cylinder: &CylinderSample) -> Vec<String> {
    let number = |x: f64| format!("{x:.3}");
    let mut cells = vec![number(sample.t_s), sample.running.to_string()];
    let tower = sample.tower;
    cells.extend([sample.tower_bar, tower.low, tower.median, tower.high].map(number));
    cells.extend([sample.tower_c, sample.line_bar].map(number));
    cells.push(cylinder.id.clone());
    let band = cylinder.band;
    cells.extend([cylinder.bar, band.low, band.median, band.high].map(number));
    cells.extend([cylinder.gas_c, cylinder.wall_c].map(number));
    let stage = |i| {
        sample
            .stages_bar
            .get(i)
            .map_or(String::new(), |bar| number(*bar))
    };
    cells.extend((0..STAGES).map(stage));
    cells
}
