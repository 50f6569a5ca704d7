//! A bench in words and drawings, for its page and its stream.

use insight::bench::NoteKind;
use station::Reads;
use std::sync::Arc;

use super::drawn::{Drawn, Kept};

use super::outcome::{DrillView, QuestionView, drill, named, question};
use crate::draw::Table;
use crate::draw::dial::{self, Dial};
use crate::draw::figures::{Figures, grams, short, time};
use crate::draw::running::{self, Running};
use crate::draw::schematic::{Live, live};
use crate::usecase::bench::{Look, Speed};

/// Room for the air path in one row, px.
const WIDE: f64 = 1320.0;
/// What hurts is said for this long, bench seconds, whatever comes after it.
const HEARD_S: u64 = 60;
/// Lines of the log shown.
const LINES: usize = 40;

/// What the page shows.
pub struct View {
    /// What the bench is called.
    pub name: String,
    /// Where to send to.
    pub at: String,
    /// Bench time.
    pub clock: String,
    /// Whether it passes.
    pub running: bool,
    /// Each speed, and whether it is the one.
    pub speeds: Vec<(u8, bool)>,
    /// Why the bench is over.
    pub over: Option<String>,
    /// Whether nothing moves any more.
    pub still: bool,
    /// Air path, dials and trace.
    pub drawn: Arc<Drawn>,
    /// Figures beside it: name and value.
    pub facts: Vec<(String, String)>,
    /// What hands can turn.
    pub hands: Vec<Hand>,
    /// The trace as rows.
    pub rows: Table,
    /// The log, newest first.
    pub log: Vec<Line>,
    /// What was said last and must be heard.
    pub said: Option<Line>,
    /// What is wrong, where everybody may know: name, how it shows, how to tell.
    pub wrong: Vec<[&'static str; 3]>,
    /// Something is kept from the class.
    pub hidden: bool,
    /// Who said what was wrong: words, and whether it was right.
    pub named: Vec<(String, bool)>,
    /// The drill.
    pub drill: Option<DrillView>,
    /// The question.
    pub question: Option<QuestionView>,
    /// Who is here.
    pub people: String,
}

/// Something that a hand turns.
pub struct Hand {
    /// Its name in the page.
    pub id: String,
    /// What it is.
    pub name: String,
    /// How it stands.
    pub state: &'static str,
    /// Its symbol.
    pub symbol: &'static str,
    /// What the button does: words and act.
    pub does: (&'static str, &'static str),
    /// At which hose.
    pub hose: usize,
    /// Whether it stands open or runs.
    pub open: bool,
}

impl Hand {
    /// What it is, within a sentence.
    pub fn part(&self) -> String {
        self.name.to_lowercase()
    }
}

/// A line of the log.
pub struct Line {
    /// When.
    pub time: String,
    /// Who.
    pub who: String,
    /// What.
    pub words: String,
    /// Whether it hurts.
    pub danger: bool,
    /// Whether it was said to the class.
    pub told: bool,
}

impl View {
    /// This bench.
    pub fn of(look: &Look, kept: &Kept) -> View {
        let figures = Figures {
            units: look.station.units,
        };
        let rungs: Vec<(&str, f64)> = look.rungs.iter().map(|r| (r.name, r.bar)).collect();
        let running = Running {
            trace: &look.trace,
            rungs: &rungs,
            put_in_s: look.state.put_in_s,
            units: look.station.units,
        };
        let lately = |n: &&insight::bench::Note| {
            n.kind == NoteKind::Danger && n.t_s + HEARD_S >= look.state.t_s
        };
        let heard = look.notes.iter().find(lately);
        let heard = heard.or_else(|| look.notes.iter().find(|n| n.kind != NoteKind::Done));
        View {
            name: look.name.clone(),
            at: format!("/bench/{}", look.id),
            clock: time(look.state.t_s as f64),
            running: look.running && !look.over,
            speeds: Speed::ALL.map(|s| (s.times(), s == look.speed)).to_vec(),
            over: look.state.over.clone(),
            still: look.over,
            drawn: kept.get(look, || Drawn {
                path: live(&look.station, &beside(look, figures), WIDE).svg(),
                gauges: gauges(look),
                trace: running::draw(&running).svg(),
            }),
            facts: facts(look, figures),
            hands: hands(look),
            rows: running::table(&running),
            log: look.notes.iter().take(LINES).map(line).collect(),
            said: heard.map(line),
            wrong: look
                .state
                .wrong
                .iter()
                .map(|e| [e.label, e.shows, e.check])
                .collect(),
            hidden: look.state.hidden,
            named: named(look),
            drill: drill(look),
            question: question(look),
            people: match look.people.is_empty() {
                true => "nobody has given a name".to_owned(),
                false => look.people.join(", "),
            },
        }
    }
}

/// What stands beside the parts of the air path.
fn beside(look: &Look, figures: Figures) -> Live {
    let state = &look.state;
    let word = |open: bool| if open { "open" } else { "shut" };
    let shows = |bar: f64| format!("{} {}", figures.read(bar), figures.unit());
    let hose = state.hoses.first();
    let water = state
        .water
        .map(|w| vec![format!("{:.0} of {:.0} mL", w.sump_ml, w.capacity_ml)]);
    let mut sump = water.unwrap_or_default();
    sump.push(format!("drain {}", word(state.drain_open)));
    let reaching = state.water.and_then(|w| w.reaching_g_m3);
    Live {
        gauges: (state.gauges.iter())
            .map(|g| (g.name.clone(), shows(g.bar)))
            .collect(),
        sump,
        reaching: reaching
            .map(|g| format!("{} g/m³", short(g, 2)))
            .into_iter()
            .collect(),
        fill_shut: hose.is_some_and(|h| !h.fill_open),
        hose: hose
            .map(|h| format!("bleed {}", word(h.bleed_open)))
            .into_iter()
            .collect(),
        cylinder: hose.map_or_else(Vec::new, |h| match h.connected {
            true => vec![
                shows(h.cylinder_bar),
                format!("valve {}", word(h.cylinder_open)),
            ],
            false => vec!["taken off".to_owned()],
        }),
        vent: state.vent_open.map(|open| word(open).to_owned()),
        relieving: state.relieving,
        burst: state.burst,
    }
}

fn facts(look: &Look, figures: Figures) -> Vec<(String, String)> {
    let state = &look.state;
    let shows = |bar: f64| format!("{} {}", figures.read(bar), figures.unit());
    let gauge = |g: &insight::bench::state::GaugeNow| {
        let name = crate::web::page::sentence(&g.name);
        (name.trim_end_matches('.').to_owned(), shows(g.bar))
    };
    let mut all: Vec<(String, String)> = state.gauges.iter().map(gauge).collect();
    let mut tell = |name: &str, value: String| all.push((name.to_owned(), value));
    if let Some(water) = state.water {
        let sump = format!("{:.0} mL of {:.0}", water.sump_ml, water.capacity_ml);
        tell("Sump", sump);
        let reaching = water.reaching_g_m3.map_or("no air passes".to_owned(), |g| {
            format!("{} g in a m³ of free air", short(g, 2))
        });
        tell("Water reaching the purifier", reaching);
        let liquid = match water.liquid_g {
            l if l > 0.05 => format!(", {} g of it liquid", grams(l)),
            _ => String::new(),
        };
        let so_far = format!("{} g{liquid}", grams(water.to_purifier_g));
        tell("Reached it so far", so_far);
    } else if let Some(why) = &state.dry_because {
        tell("Water", format!("not followed: {why}"));
    }
    tell("Air in the tower", figures.temperature(state.tower_c));
    for (i, hose) in state.hoses.iter().enumerate() {
        let name = match i {
            0 => "Cylinder".to_owned(),
            n => format!("Cylinder {}", n + 1),
        };
        let held = match hose.connected {
            true => format!(
                "{}: {}, {}, stop at {}",
                hose.id,
                shows(hose.cylinder_bar),
                figures.temperature(hose.cylinder_c),
                shows(hose.stop_bar)
            ),
            false => "taken off".to_owned(),
        };
        tell(&name, held);
    }
    all
}

fn valve(name: &str, key: &'static str, open: bool, hose: usize) -> Hand {
    let (opens, shuts) = match key {
        "drain" => ("drain-open", "drain-shut"),
        "vent" => ("vent-open", "vent-shut"),
        "fill" => ("fill-open", "fill-shut"),
        "cylinder" => ("cylinder-open", "cylinder-shut"),
        _ => ("bleed-open", "bleed-shut"),
    };
    Hand {
        id: format!("{key}-{hose}"),
        name: name.to_owned(),
        state: if open { "open" } else { "shut" },
        symbol: if open {
            "s-shutoff"
        } else {
            "s-shutoff-closed"
        },
        does: if open {
            ("Shut", shuts)
        } else {
            ("Open", opens)
        },
        hose,
        open,
    }
}

/// What hands can turn, in the order of the air.
fn hands(look: &Look) -> Vec<Hand> {
    let state = &look.state;
    let mut all = vec![Hand {
        id: "motor-0".to_owned(),
        name: "Motor".to_owned(),
        state: if state.running { "running" } else { "off" },
        symbol: "s-motor",
        does: match state.running {
            true => ("Switch off", "motor-off"),
            false => ("Switch on", "motor-on"),
        },
        hose: 0,
        open: state.running,
    }];
    all.push(valve("Drain", "drain", state.drain_open, 0));
    all.extend(
        state
            .vent_open
            .map(|open| valve("Tower vent", "vent", open, 0)),
    );
    let many = state.hoses.len() > 1;
    for (i, hose) in state.hoses.iter().enumerate() {
        let name = |what: &str| match many {
            true => format!("{what} {}", i + 1),
            false => what.to_owned(),
        };
        all.push(valve(&name("Fill valve"), "fill", hose.fill_open, i));
        all.push(valve(&name("Bleed"), "bleed", hose.bleed_open, i));
        if hose.connected {
            all.push(valve(
                &name("Cylinder valve"),
                "cylinder",
                hose.cylinder_open,
                i,
            ));
        }
        all.push(Hand {
            id: format!("hose-{i}"),
            name: name("Hose"),
            state: if hose.connected {
                "on the cylinder"
            } else {
                "off"
            },
            symbol: "s-hose",
            does: match hose.connected {
                true => ("Undo", "undo"),
                false => ("Next cylinder on", "connect"),
            },
            hose: i,
            open: hose.connected,
        });
    }
    all
}

fn gauges(look: &Look) -> Vec<(String, String)> {
    let working = look.station.compressor.working_pressure.as_bar();
    let lifts = look.station.relief.as_ref().map(|r| r.lifts.as_bar());
    let one = |gauge: &insight::bench::state::GaugeNow| {
        let high = !matches!(gauge.reads, Reads::Stage(_));
        let dial = Dial {
            name: &gauge.name,
            bar: gauge.bar,
            span_bar: gauge.span_bar,
            arc: lifts.filter(|_| high).map(|lifts| (working, lifts)),
        };
        let place = match gauge.reads {
            Reads::Stage(n) => format!("{}, after stage {n}", gauge.name),
            Reads::Tower => format!("{}, before the PMV", gauge.name),
            Reads::Line => format!("{}, the line", gauge.name),
        };
        (dial::draw(&dial, look.station.units).svg(), place)
    };
    look.state.gauges.iter().map(one).collect()
}

fn line(note: &insight::bench::Note) -> Line {
    Line {
        time: time(note.t_s as f64),
        who: note.who.clone().unwrap_or_default(),
        words: note.words.clone(),
        danger: note.kind == NoteKind::Danger,
        told: note.kind == NoteKind::Told,
    }
}
