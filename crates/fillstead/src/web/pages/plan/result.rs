//! The answer as figures, drawings and tables.

use insight::forecast::answer::{Band, CylinderEnd, Forecast, ForecastEvent};
use insight::ladder::Ladder;
use station::Station;

use crate::draw::Table;
use crate::draw::figures::{Figures, grams, short, time};
use crate::draw::trace::{self, Medium, Scale, Trace};
use crate::draw::water::{self, Ledger};
use crate::usecase::plan::card::{self, order};
use crate::usecase::plan::{Plan, sheet};
use crate::web::page::sentence;

use super::wet::{drain_rule, pmv, purifier};

/// Everything answered.
pub struct Outcome {
    /// Unit of pressures.
    pub unit: &'static str,
    /// Running time, and all of it with the change-overs.
    pub running: (String, String),
    /// Settled, and at which temperature.
    pub settled: (String, String),
    /// How many drains, and when.
    pub drains: (String, String),
    /// Room to the relief valve, and for how long.
    pub room: Option<(String, String)>,
    /// The air it is counted with.
    pub air: String,
    /// The order of filling.
    pub order: String,
    /// What to think of before filling further.
    pub hold: Vec<String>,
    /// The gauges through time.
    pub trace: String,
    /// Where times stand in it.
    pub scale: Scale,
    /// Names of the columns of the readings.
    pub ids: Vec<String>,
    /// What gauges read, minute by minute.
    pub readings: Vec<Minute>,
    /// What happens: when, what, in which part of the runs.
    pub events: Vec<[String; 3]>,
    /// How each cylinder ends.
    pub ends: Vec<End>,
    /// The water, drawn.
    pub water: Option<String>,
    /// The same as rows.
    pub water_table: Option<Table>,
    /// What it sums to, or why there is none.
    pub water_says: String,
    /// How the drain interval was found.
    pub drain_rule: String,
    /// The purifier, name and sentence.
    pub purifier: Vec<(&'static str, String)>,
    /// With and without the PMV.
    pub pmv: Vec<[String; 3]>,
    /// How it ended, and how well sums come out.
    pub ended: String,
    /// What was taken for granted.
    pub assumed: Vec<String>,
    /// What was made wrong on purpose.
    pub faults: Vec<String>,
}

/// One row of readings.
pub struct Minute {
    /// Seconds since the start.
    pub t_s: f64,
    /// As a clock shows it.
    pub time: String,
    /// The tower with its band, then each cylinder.
    pub cells: Vec<String>,
    /// What happens in this minute.
    pub event: String,
}

/// How a cylinder ends.
pub struct End {
    /// Its name.
    pub id: String,
    /// Cells of the table.
    pub cells: Vec<String>,
}

/// The outcome of a plan; none where nothing could be forecast.
pub fn outcome(plan: &Plan) -> Option<Outcome> {
    let (request, forecast) = plan.answer.as_ref()?;
    let station = &plan.station;
    let figures = Figures {
        units: station.units,
    };
    let ladder = Ladder::of(station);
    let drawn = Trace {
        forecast,
        ladder: &ladder,
        units: station.units,
        readings: &[],
        measured: &[],
    };
    let ledger = forecast.water.as_ref().map(|water| Ledger {
        water,
        purifier: forecast.purifier.as_ref(),
    });
    let missing = forecast.water_missing.clone().unwrap_or_default();
    Some(Outcome {
        unit: figures.unit(),
        running: running(forecast),
        settled: settles(forecast, figures),
        drains: drains(forecast),
        room: room(station, forecast, figures),
        air: sheet::air(station, request),
        order: order(forecast, station.whip.count),
        hold: hold(forecast, figures),
        trace: trace::draw(&drawn, Medium::Screen).svg(),
        scale: trace::scale(&drawn, Medium::Screen),
        ids: forecast.cylinders.iter().map(|c| c.id.clone()).collect(),
        readings: readings(forecast, figures),
        events: forecast.events.iter().map(event).collect(),
        ends: forecast.cylinders.iter().map(|c| end(c, figures)).collect(),
        water: ledger.as_ref().map(|ledger| water::draw(ledger).svg()),
        water_table: ledger.as_ref().map(water::table),
        water_says: match &forecast.water {
            Some(water) => format!("{} g drawn in", grams(water.intake_g)),
            None => sentence(&missing),
        },
        drain_rule: forecast
            .water
            .as_ref()
            .map(|w| drain_rule(w, station))
            .unwrap_or_default(),
        purifier: purifier(plan.cartridge.as_ref(), forecast, figures),
        pmv: pmv(forecast, figures),
        ended: ended(forecast),
        assumed: forecast
            .assumed
            .iter()
            .map(|a| sentence(&format!("{} ({})", a.what, a.why.trim_end_matches('.'))))
            .collect(),
        faults: plan.query.faults.clone(),
    })
}

/// When events of a kind are.
fn times<'f>(forecast: &'f Forecast, kind: &'static str) -> impl Iterator<Item = f64> + 'f {
    forecast
        .events
        .iter()
        .filter(move |e| e.kind == kind)
        .map(|e| e.t_s)
}

fn running(forecast: &Forecast) -> (String, String) {
    let stops: f64 = times(forecast, "compressor_stopped").sum();
    let starts: f64 = times(forecast, "compressor_started").sum();
    let last = times(forecast, "compressor_stopped").fold(0.0, f64::max);
    let ran = stops - starts;
    let all = match last - ran > 1.0 {
        true => format!("of {} in all", time(last)),
        false => "without a stop".to_owned(),
    };
    (time(ran.max(0.0)), all)
}

fn settles(forecast: &Forecast, figures: Figures) -> (String, String) {
    let at = forecast.cylinders.first().map_or(15.0, |c| c.reference_c);
    let at = format!("at {}", figures.temperature(at));
    let several = if forecast.cylinders.len() > 1 {
        ", each below"
    } else {
        ""
    };
    (card::settles(forecast, figures), format!("{at}{several}"))
}

fn drains(forecast: &Forecast) -> (String, String) {
    let at: Vec<String> = times(forecast, "drain_due").map(time).collect();
    (at.len().to_string(), at.join(", "))
}

/// Room between stop and relief valve, and how long it lasts at the rate of the last minutes.
fn room(station: &Station, forecast: &Forecast, figures: Figures) -> Option<(String, String)> {
    let relief = station.relief.as_ref()?;
    let stop = forecast
        .cylinders
        .iter()
        .map(|c| c.stop_bar)
        .fold(0.0, f64::max);
    let room = relief.lifts.as_bar() - stop;
    let running: Vec<_> = forecast.samples.iter().filter(|s| s.running).collect();
    let pair = running.last().zip(running.iter().rev().nth(2));
    let rate = pair.map(|(b, a)| (b.tower_bar - a.tower_bar) / ((b.t_s - a.t_s) / 60.0).max(1e-9));
    let lasts = match rate {
        Some(rate) if rate > 0.1 && room > 0.0 => {
            format!("about {} min, valves open", short(room / rate, 1))
        }
        _ => String::new(),
    };
    Some((figures.set(room), lasts))
}

/// Where a hot fill settles well below the rating: not to be filled higher for that.
fn hold(forecast: &Forecast, figures: Figures) -> Vec<String> {
    let unit = figures.unit();
    let short_of = |c: &&CylinderEnd| c.stop_for_rating_bar > c.rated_bar + 1.0;
    let one = |c: &CylinderEnd| {
        format!(
            "To hold {} settled, {} would have to be stopped at {} {unit}. That is above its rating: \
             let it cool and top it up.",
            c.rated,
            c.id,
            figures.read(c.stop_for_rating_bar)
        )
    };
    forecast
        .cylinders
        .iter()
        .filter(short_of)
        .take(1)
        .map(one)
        .collect()
}

fn banded(figures: Figures, bar: f64, band: Band) -> String {
    let (low, high) = (figures.read(band.low), figures.read(band.high));
    match low == high {
        true => figures.read(bar),
        false => format!("{} ({low} to {high})", figures.read(bar)),
    }
}

fn readings(forecast: &Forecast, figures: Figures) -> Vec<Minute> {
    let last = forecast
        .events
        .iter()
        .filter(|e| e.kind != "cooled")
        .map(|e| e.t_s);
    let last = last.fold(0.0, f64::max);
    let mut from = f64::NEG_INFINITY;
    let mut rows = Vec::new();
    for sample in forecast.samples.iter().filter(|s| s.t_s <= last + 60.0) {
        let within = |e: &&ForecastEvent| e.t_s > from && e.t_s <= sample.t_s;
        let words = forecast.events.iter().filter(within).map(said);
        let cylinders = sample
            .cylinders
            .iter()
            .map(|c| banded(figures, c.bar, c.band));
        rows.push(Minute {
            t_s: sample.t_s,
            time: time(sample.t_s),
            event: words.collect::<Vec<_>>().join(", "),
            cells: std::iter::once(banded(figures, sample.tower_bar, sample.tower))
                .chain(cylinders)
                .collect(),
        });
        from = sample.t_s;
    }
    rows
}

/// An event in words.
fn said(event: &ForecastEvent) -> String {
    let of = event.cylinder.as_deref().unwrap_or("cylinder");
    match event.kind {
        "compressor_started" => "machine starts".to_owned(),
        "compressor_stopped" => "machine stops".to_owned(),
        "pmv_opened" => "PMV opens".to_owned(),
        "pmv_closed" => "PMV closes".to_owned(),
        "pmv_holding" => "PMV holds".to_owned(),
        "full" => format!("{of} full"),
        "relief_lifted" => "relief valve lifts".to_owned(),
        "relief_reseated" => "relief valve reseats".to_owned(),
        "relief_holding" => "relief valve holds".to_owned(),
        "disc_burst" => "disc bursts".to_owned(),
        "bleed_opened" => "bleed the hose".to_owned(),
        "bleed_closed" => "hose empty, bleed shut".to_owned(),
        "drain_due" => "drain the sump".to_owned(),
        "cooled" => "cylinders have cooled".to_owned(),
        other => other.replace('_', " "),
    }
}

fn event(event: &ForecastEvent) -> [String; 3] {
    let within = match event.when {
        Some(band) if band.high - band.low >= 1.0 => {
            format!("{} to {}", time(band.low), time(band.high))
        }
        _ => String::new(),
    };
    let share = match event.share < 0.995 {
        true => format!("{within} in {:.0} % of runs", event.share * 100.0),
        false => within,
    };
    [
        time(event.t_s),
        sentence(&said(event)),
        share.trim().to_owned(),
    ]
}

fn end(c: &CylinderEnd, figures: Figures) -> End {
    let unit = figures.unit();
    let full = match (c.full_s, c.full) {
        (Some(t), Some(band)) => format!("{} ({} to {})", time(t), time(band.low), time(band.high)),
        (Some(t), None) => time(t),
        (None, _) => "not in this run".to_owned(),
    };
    let at =
        |bar: f64, band: Band| format!("{} {unit}", figures.give_or_take(bar, band.low, band.high));
    End {
        id: c.id.clone(),
        cells: vec![
            format!("{} {unit}", figures.read(c.start_bar)),
            format!("{} {unit}", figures.set(c.stop_bar)),
            full,
            at(c.settled_bar_15c, c.settled_15c),
            at(c.settled_bar_21c, c.settled_21c),
            figures.temperature(c.gas_c_max),
            figures.temperature(c.wall_c_max),
            format!("{} {unit}/min", figures.read(c.fastest_bar_min)),
            format!("{:.2} kg", c.air_added_kg),
        ],
    }
}

fn ended(forecast: &Forecast) -> String {
    let b = &forecast.balance;
    let failed = match forecast.members_failed.len() {
        0 => String::new(),
        n => format!(" {n} of them could not be finished and are left out."),
    };
    format!(
        "{} {:.2} kg of air delivered for {:.2} kWh of work on it. {} runs within the station's \
         tolerances stand behind the bands: 90 % of them lie inside.{failed}",
        sentence(&forecast.stopped_because),
        b.delivered_kg,
        b.work_kwh,
        forecast.members
    )
}
