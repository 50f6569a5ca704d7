//! The run as a small picture: pressure over time, the tower thin, the cylinders thick.
//!
//! The scale begins at zero and is linear. Not here: which figures are worth showing.

mod canvas;

use insight::forecast::answer::{Band, Forecast, Sample};
use station::Station;

use crate::cli::render::page::{paragraph, width};
use crate::cli::render::units::Say;
use crate::cli::terminal::WIDTH as PAGE;
use canvas::{Canvas, HEIGHT, WIDTH};

/// Columns to the left of the picture.
const AXIS: usize = 7;

/// The set pressures worth a line, in bar, with their names.
pub struct Settings(Vec<(String, f64)>);

impl Settings {
    /// Those of a station.
    pub fn of(station: Option<&Station>) -> Settings {
        let Some(station) = station else {
            return Settings(Vec::new());
        };
        let pmv = station.pmv.as_ref();
        let named = [
            ("burst disc", station.burst_disc.as_ref().map(|d| d.bursts)),
            ("relief", station.relief.as_ref().map(|r| r.lifts)),
            ("working", Some(station.compressor.working_pressure)),
            ("PMV opens", pmv.map(|p| p.opens)),
            ("PMV closes", pmv.map(|p| p.closes)),
        ];
        let known = named
            .into_iter()
            .filter_map(|(name, p)| Some((name.to_owned(), p?.as_bar())));
        Settings(known.collect())
    }
}

/// The picture with its axes and legend.
pub fn text(say: Say, forecast: &Forecast, settings: &Settings) -> String {
    let (Some(last), true) = (forecast.samples.last(), forecast.samples.len() > 1) else {
        return String::new();
    };
    let scale = Scale::of(say, forecast, settings, last.t_s);
    let mut canvas = Canvas::new();
    for (_, bar) in settings.0.iter().filter(|(_, bar)| *bar <= scale.top_bar) {
        canvas.dashes(scale.row(*bar));
    }
    if forecast.members > 1 {
        bands(&mut canvas, &scale, forecast);
    }
    curves(&mut canvas, &scale, forecast);
    let head = format!(
        "The run ({} on the gauge, over minutes)\n",
        say.pressure_unit()
    );
    let picture = body(say, &canvas, &scale, settings);
    head + &picture + &minutes(scale.end_s / 60.0) + &legend(forecast)
}

/// The tower, and the cylinders over it; several of these are marked.
fn curves(canvas: &mut Canvas, scale: &Scale, forecast: &Forecast) {
    let curve = |value: &dyn Fn(&Sample) -> Option<f64>| {
        let known = forecast
            .samples
            .iter()
            .filter_map(|s| Some((s.t_s, value(s)?)));
        scale.rows(&known.collect::<Vec<_>>())
    };
    canvas.thin(&curve(&|s| Some(s.tower_bar)));
    let cylinders: Vec<Vec<usize>> = (0..forecast.cylinders.len())
        .map(|i| curve(&|s| s.cylinders.get(i).map(|c| c.bar)))
        .collect();
    for rows in &cylinders {
        canvas.thick(rows);
    }
    if cylinders.len() > 1 {
        for (i, rows) in cylinders.iter().enumerate() {
            canvas.marks(rows, mark(i), 2 + 3 * i, 3 * cylinders.len());
        }
    }
}

/// The mark of a cylinder among several: its number, from ten on a letter.
fn mark(i: usize) -> char {
    u32::try_from(i + 1)
        .ok()
        .and_then(|n| char::from_digit(n, 36))
        .unwrap_or('*')
}

/// What each stroke is.
fn legend(forecast: &Forecast) -> String {
    let several = forecast.cylinders.len() > 1;
    let named = forecast.cylinders.iter().enumerate().map(|(i, c)| {
        let mark = if several {
            mark(i).to_string()
        } else {
            String::new()
        };
        format!("━{mark} {}", c.id)
    });
    let names = named.collect::<Vec<_>>().join("  ");
    let dots = if forecast.members > 1 {
        "   · 90 % of runs"
    } else {
        ""
    };
    let legend = format!("─ tower   {names}{dots}");
    match AXIS + 1 + width(&legend) <= PAGE {
        true => format!("{:AXIS$} {legend}\n", ""),
        false => paragraph(AXIS + 1, &legend),
    }
}

/// How times and pressures lie on the canvas.
struct Scale {
    /// Time at the right edge.
    end_s: f64,
    /// Pressure at the top row.
    top_bar: f64,
    /// Between labels of the pressure axis, in the unit shown.
    step: f64,
}

impl Scale {
    fn of(say: Say, forecast: &Forecast, settings: &Settings, end_s: f64) -> Scale {
        let highs = |s: &Sample| {
            let cylinders = s.cylinders.iter().map(|c| c.band.high.max(c.bar));
            cylinders.fold(s.tower.high.max(s.tower_bar), f64::max)
        };
        let reached = forecast.samples.iter().map(highs).fold(1.0, f64::max);
        // The next protection above the run belongs in the picture, so that its distance shows.
        let near = |bar: &f64| *bar > reached && *bar < reached * 1.3;
        let next = settings
            .0
            .iter()
            .map(|(_, bar)| *bar)
            .filter(near)
            .fold(reached, f64::max);
        let step = nice(say.value(next) / 6.0);
        let top = (say.value(next) / step * 4.0).ceil() / 4.0 * step;
        Scale {
            end_s,
            top_bar: next * top / say.value(next),
            step,
        }
    }

    fn row(&self, bar: f64) -> usize {
        let row = (bar / self.top_bar * (HEIGHT - 1) as f64).round();
        row.clamp(0.0, (HEIGHT - 1) as f64) as usize
    }

    /// The row of a curve in every column, between its points on a straight line.
    fn rows(&self, points: &[(f64, f64)]) -> Vec<usize> {
        (0..WIDTH)
            .map(|column| self.row(between(points, self.time(column))))
            .collect()
    }

    fn time(&self, column: usize) -> f64 {
        self.end_s * column as f64 / (WIDTH - 1) as f64
    }
}

fn bands(canvas: &mut Canvas, scale: &Scale, forecast: &Forecast) {
    let mut band = |of: &dyn Fn(&Sample) -> Option<Band>| {
        let side = |pick: &dyn Fn(Band) -> f64| {
            let points = forecast
                .samples
                .iter()
                .filter_map(|s| Some((s.t_s, pick(of(s)?))));
            scale.rows(&points.collect::<Vec<_>>())
        };
        canvas.dots(&side(&|b| b.low), &side(&|b| b.high));
    };
    band(&|s| Some(s.tower));
    for i in 0..forecast.cylinders.len() {
        band(&|s| s.cylinders.get(i).map(|c| c.band));
    }
}

/// The curve at a time; its ends go on level.
fn between(points: &[(f64, f64)], t: f64) -> f64 {
    let after = points.partition_point(|(at, _)| *at < t);
    match (
        after.checked_sub(1).and_then(|i| points.get(i)),
        points.get(after),
    ) {
        (Some((t0, v0)), Some((t1, v1))) => v0 + (v1 - v0) * (t - t0) / (t1 - t0),
        (None, Some((_, v))) | (Some((_, v)), None) => *v,
        (None, None) => 0.0,
    }
}

/// The canvas between its axis and the names of the settings.
fn body(say: Say, canvas: &Canvas, scale: &Scale, settings: &Settings) -> String {
    let mut names: Vec<Vec<String>> = vec![Vec::new(); HEIGHT];
    for (name, bar) in settings.0.iter().filter(|(_, bar)| *bar <= scale.top_bar) {
        if let Some(names) = names.get_mut(scale.row(*bar)) {
            names.push(format!("{name} {:.0}", say.value(*bar)));
        }
    }
    let ticks: Vec<(usize, f64)> = (0..)
        .map(|n| f64::from(n) * scale.step)
        .take_while(|tick| *tick <= say.value(scale.top_bar) * 1.0001)
        .map(|tick| {
            (
                scale.row(scale.top_bar * tick / say.value(scale.top_bar)),
                tick,
            )
        })
        .collect();
    let line = |row: usize| {
        let tick = ticks.iter().find(|(at, _)| *at == row);
        let axis = tick.map_or(format!("{:>AXIS$}", "│"), |(_, tick)| {
            format!("{tick:>5.0} ┤")
        });
        let names = names
            .get(row)
            .map_or(String::new(), |names| names.join(", "));
        format!("{axis}{} {names}", canvas.line(row))
            .trim_end()
            .to_owned()
            + "\n"
    };
    (0..HEIGHT).rev().map(line).collect()
}

/// The axis of time, with minutes under it.
fn minutes(end: f64) -> String {
    let step = nice(end / 8.0);
    let mut rule: Vec<char> = std::iter::repeat_n('─', WIDTH).collect();
    let mut below = vec![' '; AXIS + WIDTH + 4];
    let marks = (0..)
        .map(|n| f64::from(n) * step)
        .take_while(|minute| *minute <= end);
    for minute in marks {
        let column = (minute / end * (WIDTH - 1) as f64).round() as usize;
        if let Some(mark) = rule.get_mut(column) {
            *mark = '┬';
        }
        let text = format!("{}", (minute * 100.0).round() / 100.0);
        let places = below
            .iter_mut()
            .skip((AXIS + column).saturating_sub(text.len() / 2));
        places.zip(text.chars()).for_each(|(place, c)| *place = c);
    }
    let rule: String = rule.into_iter().collect();
    let below: String = below.into_iter().collect();
    format!("{:>AXIS$}{rule}\n{}\n", "└", below.trim_end())
}

/// The next larger of 1, 2 and 5 times a power of ten.
fn nice(least: f64) -> f64 {
    let power = 10_f64.powf(least.max(1e-3).log10().floor());
    [1.0, 2.0, 5.0]
        .into_iter()
        .map(|n| n * power)
        .find(|n| *n >= least)
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        for (least, step) in [
            (0.3, 0.5),
            (1.0, 1.0),
            (3.0, 5.0),
            (58.0, 100.0),
            (1240.0, 2000.0),
        ] {
            assert!(
                (nice(least) / step - 1.0).abs() < 1e-12,
                "{least}: {}",
                nice(least)
            );
        }
    }

    #[test]
    fn curves_are_straight_between_points_and_level_beyond() {
        let points = [(0.0, 10.0), (60.0, 30.0)];
        for (t, v) in [
            (-5.0, 10.0),
            (0.0, 10.0),
            (30.0, 20.0),
            (60.0, 30.0),
            (90.0, 30.0),
        ] {
            assert!((between(&points, t) - v).abs() < 1e-12, "{t}");
        }
        assert!(between(&[], 1.0).abs() < 1e-12);
    }
}
