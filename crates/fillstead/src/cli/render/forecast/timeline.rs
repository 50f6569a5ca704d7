//! What happens, one line each; a valve that goes on and on gets one line for all of it.

mod fold;

use insight::forecast::answer::{Forecast, ForecastEvent};

use crate::cli::render::page::Table;
use crate::cli::render::units::{Say, percent, time};
use fold::{Told, fold};

/// Lines before the middle is left out, and after it.
const FIRST: usize = 40;
const LAST: usize = 10;

type Line = [String; 5];

/// Every event with its clock, gauges and band.
pub fn text(say: Say, forecast: &Forecast) -> String {
    let unit = say.pressure_unit();
    let head = ["clock", "what happens", "tower", "whip", "90 % of runs"];
    let mut table = Table::new(2).right([0, 2, 3]);
    table.row(head.map(str::to_owned));
    let lines = lines(say, forecast);
    let left_out = lines.len().saturating_sub(FIRST + LAST);
    for (n, line) in lines.into_iter().enumerate() {
        if n == FIRST && left_out > 0 {
            table.row(remark(
                String::new(),
                format!("... {left_out} more lines: see --json ..."),
            ));
        }
        if n < FIRST || n >= FIRST + left_out {
            table.row(line);
        }
    }
    format!(
        "What happens ({unit} on the gauge, clock in minutes:seconds)\n{}",
        table.text()
    )
}

fn lines(say: Say, forecast: &Forecast) -> Vec<Line> {
    let events = &forecast.events;
    let mut lines = Vec::new();
    for (n, (event, told)) in events.iter().zip(fold(events)).enumerate() {
        match told {
            Told::Already => {}
            Told::Folded(text) => lines.push(remark(time(event.t_s), text)),
            Told::Alone if is_said(events, n) => {}
            Told::Alone => {
                let (tower_bar, line_bar) = gauges(events, event);
                lines.push([
                    time(event.t_s),
                    words(forecast, n, event),
                    say.number(tower_bar),
                    say.number(line_bar),
                    doubt(event),
                ]);
            }
        }
    }
    lines
}

/// What the gauges read; a drain knows only the nearest reading, another event its own moment.
fn gauges(events: &[ForecastEvent], event: &ForecastEvent) -> (f64, f64) {
    let at_once = |e: &&ForecastEvent| (e.t_s - event.t_s).abs() < 1.0 && e.kind != "drain_due";
    let exact = match event.kind {
        "drain_due" => events.iter().find(at_once).unwrap_or(event),
        _ => event,
    };
    (exact.tower_bar, exact.line_bar)
}

fn remark(clock: String, text: String) -> Line {
    [clock, text, String::new(), String::new(), String::new()]
}

/// Whether the line of a full cylinder has told the stop already.
fn is_said(events: &[ForecastEvent], n: usize) -> bool {
    let mut before = events.iter().take(n).rev();
    let stop = events.get(n).filter(|e| e.kind == "compressor_stopped");
    stop.is_some_and(|stop| {
        before
            .find(|e| e.kind != "drain_due")
            .is_some_and(|e| e.kind == "full" && stop.t_s <= e.t_s + 1.0)
    })
}

/// When in the ensemble, and in how many runs at all.
fn doubt(event: &ForecastEvent) -> String {
    if event.kind == "cooled" {
        // Only the run as specified is followed that far.
        return String::new();
    }
    let when = event
        .when
        .and_then(|band| match (time(band.low), time(band.high)) {
            (low, high) if low == high => None,
            (low, high) => Some(format!("{low} to {high}")),
        });
    let share = (event.share < 1.0).then(|| format!("in {}", percent(event.share)));
    match (when, share) {
        (Some(when), Some(share)) => format!("{when}, {share}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => String::new(),
    }
}

/// The event in plain words. What a person has to do then stands in it.
fn words(forecast: &Forecast, n: usize, event: &ForecastEvent) -> String {
    let again = forecast.events.iter().take(n).any(|e| e.kind == event.kind);
    let text = match (event.kind, again) {
        ("compressor_started", false) => "compressor starts",
        ("compressor_started", true) => "compressor starts again",
        ("compressor_stopped", _) => "compressor stops",
        ("pmv_opened", false) => "PMV opens: air reaches the whip",
        ("pmv_opened", true) => "PMV opens again",
        ("pmv_closed", _) => "PMV closes and keeps the tower up",
        ("pmv_holding", _) => "PMV holds, open just as far as needed",
        ("full", _) => return full(forecast, n, event),
        ("relief_lifted", false) if event.share < 0.5 => {
            "relief valve may lift: then stop, stand clear"
        }
        ("relief_lifted", false) => "RELIEF VALVE LIFTS: stop, stand clear",
        ("relief_lifted", true) => "relief valve lifts again",
        ("relief_reseated", _) => "relief valve shuts again",
        ("relief_holding", _) => "relief valve stays lifted and blows off",
        ("disc_burst", _) if event.share < 0.5 => "burst disc may go: then the tower blows off",
        ("disc_burst", _) => "BURST DISC GOES: the tower blows off",
        ("bleed_opened", _) => "bleed the whip",
        ("bleed_closed", _) if event.line_bar > 0.5 => "bleed is shut, YET THE WHIP SHOWS PRESSURE",
        ("bleed_closed", _) if fills_again(forecast, n, event) => {
            "WHIP FILLS AGAIN once the bleed is shut"
        }
        ("bleed_closed", _) => "whip is empty: undo it, then shut the bleed",
        ("drain_due", _) => return drain(forecast, event),
        ("cooled", _) => "cylinders have cooled to the air around",
        (other, _) => return other.replace('_', " "),
    };
    text.to_owned()
}

/// Whether the whip comes under pressure again though the machine stands.
fn fills_again(forecast: &Forecast, n: usize, shut: &ForecastEvent) -> bool {
    let after = forecast.events.iter().skip(n + 1);
    let mut idle = after.take_while(|e| !matches!(e.kind, "compressor_started" | "bleed_opened"));
    idle.any(|e| e.line_bar > shut.line_bar + 1.0)
}

/// How much to expect, where it is known.
fn drain(forecast: &Forecast, event: &ForecastEvent) -> String {
    let mut drains = forecast.water.iter().flat_map(|water| &water.drains);
    match drains.find(|drain| (drain.t_s - event.t_s).abs() < 0.5) {
        Some(drain) if drain.ml >= 0.5 => format!("drain the sump: about {:.0} mL", drain.ml),
        Some(_) => "drain the sump: next to nothing comes".to_owned(),
        None => "drain the sump".to_owned(),
    }
}

fn full(forecast: &Forecast, n: usize, event: &ForecastEvent) -> String {
    let id = event.cylinder.as_deref().unwrap_or("cylinder");
    let mut after = forecast
        .events
        .iter()
        .skip(n + 1)
        .filter(|e| e.t_s <= event.t_s + 1.0);
    let next = after.find(|e| matches!(e.kind, "full" | "compressor_stopped"));
    if next.is_some_and(|e| e.kind == "compressor_stopped") {
        format!("{id} is full: shut its valve and stop")
    } else {
        format!("{id} is full: shut its valve")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::UnitSystem;

    const SAY: Say = Say {
        units: UnitSystem::Metric,
    };

    fn event(t_s: f64, kind: &'static str) -> ForecastEvent {
        let (tower_bar, line_bar) = (250.0, 0.0);
        ForecastEvent {
            t_s,
            kind,
            cylinder: None,
            tower_bar,
            line_bar,
            when: None,
            share: 1.0,
        }
    }

    fn told(events: Vec<ForecastEvent>) -> Vec<String> {
        let forecast = Forecast {
            events,
            ..super::super::example::forecast()
        };
        lines(SAY, &forecast)
            .into_iter()
            .map(|[clock, text, ..]| format!("{clock} {text}"))
            .collect()
    }

    #[test]
    fn a_valve_that_goes_on_and_on_is_told_once() {
        let mut events = vec![event(0.0, "compressor_started")];
        for round in 0..7 {
            events.push(event(60.0 + 10.0 * f64::from(round), "relief_lifted"));
            events.push(event(61.0 + 10.0 * f64::from(round), "relief_reseated"));
        }
        events.push(event(200.0, "compressor_stopped"));
        assert_eq!(
            told(events),
            [
                "0:00 compressor starts",
                "1:00 RELIEF VALVE LIFTS: stop, stand clear",
                "1:01 relief valve shuts again",
                "1:10 lifts 6 more times, about every 10 s, to 2:01",
                "3:20 compressor stops",
            ]
        );
    }

    /// Ten valves' worth of a bad day still fits a screen.
    #[test]
    fn four_hundred_events_fit_a_screen() {
        let mut events = Vec::new();
        for n in 0..400 {
            let kind = ["full", "drain_due", "compressor_started"][n % 3];
            events.push(event(n as f64, kind));
        }
        let forecast = Forecast {
            events,
            ..super::super::example::forecast()
        };
        let page = text(SAY, &forecast);
        assert!(page.lines().count() <= FIRST + LAST + 3, "{page}");
        assert!(
            page.contains("... 350 more lines: see --json ..."),
            "{page}"
        );
    }

    #[test]
    fn the_words_say_what_to_do() {
        let low = ForecastEvent {
            share: 0.03,
            ..event(5.0, "relief_lifted")
        };
        assert_eq!(
            told(vec![low]),
            ["0:05 relief valve may lift: then stop, stand clear"]
        );
        let held = ForecastEvent {
            line_bar: 7.0,
            ..event(5.0, "bleed_closed")
        };
        assert_eq!(
            told(vec![held]),
            ["0:05 bleed is shut, YET THE WHIP SHOWS PRESSURE"]
        );
        let refilled = ForecastEvent {
            line_bar: 62.0,
            ..event(900.0, "cooled")
        };
        assert_eq!(
            told(vec![event(5.0, "bleed_closed"), refilled])[0],
            "0:05 WHIP FILLS AGAIN once the bleed is shut"
        );
        let full = |id: &str| ForecastEvent {
            cylinder: Some(id.into()),
            ..event(5.0, "full")
        };
        assert_eq!(
            told(vec![
                full("A1"),
                full("A2"),
                event(5.0, "compressor_stopped")
            ]),
            [
                "0:05 A1 is full: shut its valve",
                "0:05 A2 is full: shut its valve and stop",
            ]
        );
    }
}
