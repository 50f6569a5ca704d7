//! Events flagged on the top edge of a trace.
//!
//! Each flag is a mark on a line through the plot, its words right of it. Where words would run
//! into the next flag the flag is raised, so that no line goes through words.

use insight::forecast::answer::{Forecast, ForecastEvent};

use super::super::figures::time;
use super::super::place::Rect;
use super::super::sheet::{Anchor, Sheet};
use super::super::text::{Pen, Words};
use super::frame::Frame;

/// Height of a lane of flags.
const LANE: f64 = 18.0;
/// Most lanes; flags that would need more stand without words.
const MOST: usize = 6;
/// From the mark to its words, and half the mark.
const WORDS: f64 = 10.0;
const HALF: f64 = 7.0;

/// What sort of event it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sort {
    /// Something happens by itself.
    Note,
    /// Something is to be done.
    Action,
    /// Something went wrong.
    Danger,
}

/// Events at one moment.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Flag {
    pub t_s: f64,
    pub words: String,
    pub sort: Sort,
}

/// The flags of a run, in order of time.
pub(super) fn of(forecast: &Forecast) -> Vec<Flag> {
    let stops = |t: f64| {
        let mut events = forecast.events.iter();
        events.any(|e| e.kind == "compressor_stopped" && (e.t_s - t).abs() < TOGETHER_S)
    };
    let mut flags: Vec<Flag> = Vec::new();
    let mut pmv_seen = false;
    for event in &forecast.events {
        let first_pmv = event.kind == "pmv_opened" && !std::mem::replace(&mut pmv_seen, true);
        let Some((words, sort)) = words(event, first_pmv, stops(event.t_s)) else {
            continue;
        };
        match flags.last_mut() {
            Some(last) if event.t_s - last.t_s < TOGETHER_S => last.add(&words, sort),
            _ => flags.push(Flag {
                t_s: event.t_s,
                words,
                sort,
            }),
        }
    }
    flags
}

/// Events no further apart are one flag, s.
const TOGETHER_S: f64 = 5.0;

impl Flag {
    fn add(&mut self, words: &str, sort: Sort) {
        if self.words.split(", ").any(|there| there == words) {
            return;
        }
        self.words = format!("{}, {words}", self.words);
        self.sort = self.sort.max(sort);
    }

    fn label(&self, length: Length) -> Words {
        let time = time(self.t_s);
        let words = match length {
            Length::Full => self.words.as_str(),
            Length::First => self.words.split(", ").next().unwrap_or_default(),
            Length::Time => return Words::new(Pen::Value, time),
        };
        Words::new(Pen::Note, words).then(Pen::Value, time)
    }
}

/// How much is written at a flag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Length {
    /// All its words and the time.
    Full,
    /// Its first words and the time.
    First,
    /// The time alone.
    Time,
}

/// The words of an event; none for what is not flagged.
fn words(event: &ForecastEvent, first_pmv: bool, stops: bool) -> Option<(String, Sort)> {
    let (words, sort) = match event.kind {
        "compressor_started" if event.t_s <= 0.0 => return None,
        "compressor_started" => ("restart", Sort::Action),
        "compressor_stopped" => ("stop", Sort::Action),
        "drain_due" => ("drain", Sort::Action),
        "pmv_opened" if first_pmv => ("PMV opens", Sort::Note),
        "full" if !stops => {
            let id = event.cylinder.as_deref().unwrap_or("cylinder");
            return Some((format!("{id} full"), Sort::Action));
        }
        "relief_lifted" | "relief_holding" => ("relief lifts", Sort::Danger),
        "relief_reseated" => ("relief reseats", Sort::Note),
        "disc_burst" => ("disc bursts", Sort::Danger),
        _ => return None,
    };
    Some((words.to_owned(), sort))
}

/// What is written at each flag and in which lane, the lowest being 0; no lane where a flag has to do
/// without words.
fn lanes(frame: &Frame, flags: &[Flag]) -> (Length, Vec<Option<usize>>) {
    let ways = [
        (Sort::Note, Length::Full),
        (Sort::Action, Length::Full),
        (Sort::Action, Length::First),
    ];
    for (least, length) in ways {
        let lanes = stacked(frame, flags, least, length);
        if lanes.iter().flatten().all(|lane| *lane < MOST) {
            return (length, lanes);
        }
    }
    let lanes = stacked(frame, flags, Sort::Action, Length::Time);
    let within = lanes.into_iter().map(|l| l.filter(|l| *l < MOST));
    (Length::Time, within.collect())
}

/// From the right: a flag stands above every later flag its words would reach.
fn stacked(frame: &Frame, flags: &[Flag], least: Sort, length: Length) -> Vec<Option<usize>> {
    let mut lanes: Vec<Option<usize>> = vec![None; flags.len()];
    for i in (0..flags.len()).rev() {
        let Some(flag) = flags.get(i).filter(|flag| flag.sort >= least) else {
            continue;
        };
        let reach = frame.x(flag.t_s) + WORDS + flag.label(length).width() + HALF + 3.0;
        let later = flags.iter().zip(&lanes).skip(i + 1);
        let under = later.filter(|(later, _)| frame.x(later.t_s) < reach);
        let lane = under.filter_map(|(_, lane)| lane.map(|l| l + 1)).max();
        if let Some(slot) = lanes.get_mut(i) {
            *slot = Some(lane.unwrap_or(0));
        }
    }
    lanes
}

/// Room they need above the plot.
pub(super) fn height(frame: &Frame, flags: &[Flag]) -> f64 {
    let most = lanes(frame, flags).1.into_iter().flatten().max();
    LANE * (most.unwrap_or(0) as f64 + 1.0) + 6.0
}

/// Draws them.
pub(super) fn draw(sheet: &mut Sheet, frame: &Frame, flags: &[Flag]) {
    let (length, lanes) = lanes(frame, flags);
    for (flag, lane) in flags.iter().zip(lanes) {
        let x = frame.x(flag.t_s);
        let y = frame.top - 12.0 - LANE * lane.unwrap_or(0) as f64;
        sheet.straight("lead", (x, y), (x, frame.bottom));
        let mark = Rect::new(x - HALF, y - HALF, 2.0 * HALF, 2.0 * HALF);
        match (flag.sort, lane) {
            (_, None) => sheet.circle("solid", (x, frame.top - 6.0), 2.0),
            (Sort::Danger, _) => sheet.symbol("m-danger", mark),
            (Sort::Action, _) => sheet.symbol("m-action", mark),
            (Sort::Note, _) => {
                sheet.circle("ground", (x, y), 4.0);
                sheet.circle("ln", (x, y), 3.5);
            }
        }
        if lane.is_some() {
            sheet.write(&flag.label(length), (x + WORDS, y + 4.3), Anchor::Start);
        }
    }
}
