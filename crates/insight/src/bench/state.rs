//! What anybody at the bench can see now: gauges, valves, water, log. Nothing that is hidden.

use super::Bench;
use super::log::{Note, NoteKind};
use super::sump::WaterNow;
use station::Reads;

/// The bench at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Bench seconds.
    pub t_s: u64,
    /// Whether the motor runs.
    pub running: bool,
    /// The gauges of the station file; of tower and line where it names none.
    pub gauges: Vec<GaugeNow>,
    /// Each hose with its cylinder.
    pub hoses: Vec<HoseNow>,
    /// Whether the drain stands open.
    pub drain_open: bool,
    /// Whether the vent stands open; none: none is fitted.
    pub vent_open: Option<bool>,
    /// Whether the final relief valve stands open: everybody hears it.
    pub relieving: bool,
    /// Whether the burst disc has gone.
    pub burst: bool,
    /// Temperature of the air in the tower, °C.
    pub tower_c: f64,
    /// The water.
    pub water: Option<WaterNow>,
    /// Why there is none to tell of.
    pub dry_because: Option<String>,
    /// What is wrong, as far as everybody may know; nothing while it is hidden.
    pub wrong: Vec<&'static super::wrong::Entry>,
    /// Something is kept from the class.
    pub hidden: bool,
    /// When it was put in, where everybody may know.
    pub put_in_s: Option<u64>,
    /// Why the bench is over.
    pub over: Option<String>,
    /// Who said what was wrong, and whether it was; not told in a drill before its end.
    pub named: Vec<Said>,
}

/// Somebody said what is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// When, bench seconds.
    pub t_s: u64,
    /// Who.
    pub who: Option<String>,
    /// What.
    pub label: &'static str,
    /// Whether it was right.
    pub right: bool,
}

/// One gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeNow {
    /// What it is called.
    pub name: String,
    /// What it reads.
    pub reads: Reads,
    /// What it shows, bar.
    pub bar: f64,
    /// Full scale, bar.
    pub span_bar: f64,
}

/// One hose.
#[derive(Debug, Clone, PartialEq)]
pub struct HoseNow {
    /// Gauge pressure in it, bar: told by its bleed only.
    pub bar: f64,
    /// Whether a cylinder is on it.
    pub connected: bool,
    /// Its valves.
    pub fill_open: bool,
    /// On the cylinder.
    pub cylinder_open: bool,
    /// The bleed.
    pub bleed_open: bool,
    /// The cylinder's name.
    pub id: String,
    /// What it holds, gauge bar.
    pub cylinder_bar: f64,
    /// Gas in it, °C.
    pub cylinder_c: f64,
    /// Where filling stops, bar.
    pub stop_bar: f64,
}

/// Full scale of a gauge that no file names, as a share of working pressure (common practice, no source).
const SPAN: f64 = 1.6;

impl Bench {
    /// What can be seen now.
    pub fn state(&self) -> State {
        let now = self.sim.snapshot();
        let known = !self.kept();
        let open = |valve: Option<usize>| valve.and_then(|v| self.sim.opening(v)).map(|o| o > 0.0);
        State {
            t_s: self.t_s,
            running: self.sim.running(),
            gauges: self.gauges(),
            hoses: (0..self.hoses()).map(|i| self.hose(i)).collect(),
            drain_open: open(self.places.drain).unwrap_or(false),
            vent_open: open(self.places.vent),
            relieving: self.sim.lifted(self.places.relief),
            burst: self.sim.burst(),
            tower_c: now.vessels[self.places.tower].t_k - 273.15,
            water: self.sump.as_ref().map(|sump| sump.now()),
            dry_because: self.dry_because.clone(),
            wrong: match known {
                true => self.wrong.iter().map(|w| w.entry).collect(),
                false => Vec::new(),
            },
            hidden: self.kept(),
            put_in_s: self.put_in_s.filter(|_| known),
            over: self.over.clone(),
            named: self.said(),
        }
    }

    /// Whether something is kept from the class: hidden by a trainer, or by a drill going on.
    pub fn kept(&self) -> bool {
        self.hidden || self.course.as_ref().is_some_and(|course| !course.ended())
    }

    /// The log, oldest first.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }

    /// Lines of the log that say what hurt.
    pub fn dangers(&self) -> impl Iterator<Item = &Note> {
        self.notes.iter().filter(|n| n.kind == NoteKind::Danger)
    }

    /// The last ten minutes, one a second; the sound machine's line only where the fault is known.
    pub fn trace(&self) -> Vec<super::engine::Trace> {
        let known = !self.kept();
        let one = |point: &super::engine::Trace| super::engine::Trace {
            sound_bar: point.sound_bar.filter(|_| known),
            ..*point
        };
        self.trace.iter().map(one).collect()
    }

    /// How it is set.
    pub fn setting(&self) -> &super::Setting {
        &self.setting
    }

    /// How it began.
    pub fn begun(&self) -> super::Begin {
        self.begin
    }

    /// Whether no second has passed yet.
    pub fn begun_now(&self) -> bool {
        self.t_s == 0
    }

    /// The station as it is set here.
    pub fn station(&self) -> &station::Station {
        &self.station
    }

    /// The station as its file says.
    pub fn original(&self) -> &std::sync::Arc<station::Station> {
        &self.original
    }

    /// The drill going on or done.
    pub fn course(&self) -> Option<&super::drill::Course> {
        self.course.as_ref()
    }

    fn said(&self) -> Vec<Said> {
        if self.course.as_ref().is_some_and(|course| !course.ended()) {
            return Vec::new();
        }
        let one = |(t_s, who, key, right): &(u64, Option<String>, &'static str, bool)| Said {
            t_s: *t_s,
            who: who.clone(),
            label: super::wrong::entry(key).map_or(*key, |entry| entry.label),
            right: *right,
        };
        self.named.iter().map(one).collect()
    }

    fn gauges(&self) -> Vec<GaugeNow> {
        let station = &self.station;
        let mut all: Vec<(String, Reads, f64)> = station
            .gauges
            .iter()
            .map(|g| (g.name.clone(), g.reads, g.span.as_bar()))
            .collect();
        let span = (station.compressor.working_pressure.as_bar() * SPAN / 50.0).ceil() * 50.0;
        for (reads, name) in [(Reads::Tower, "tower"), (Reads::Line, "line")] {
            if !all.iter().any(|(_, there, _)| *there == reads) {
                all.push((name.to_owned(), reads, span));
            }
        }
        let order = |reads: &Reads| match reads {
            Reads::Stage(n) => *n,
            Reads::Tower => 100,
            Reads::Line => 101,
        };
        all.sort_by_key(|(_, reads, _)| order(reads));
        let shown = |(name, reads, span_bar): (String, Reads, f64)| GaugeNow {
            bar: self.reading(reads).clamp(0.0, span_bar),
            name,
            reads,
            span_bar,
        };
        all.into_iter().map(shown).collect()
    }

    /// What a gauge there shows, its own error included, bar.
    pub fn reading(&self, reads: Reads) -> f64 {
        let now = self.sim.snapshot();
        match reads {
            Reads::Tower => self.bar(&now, self.places.tower) + self.offset(true),
            Reads::Line => self.bar(&now, self.places.line) + self.offset(false),
            Reads::Stage(n) => self.interstage_bar(n, now.vessels[self.places.first].p_pa),
        }
    }

    /// After a stage: nothing while the machine stands, what the last one works against after it.
    fn interstage_bar(&self, stage: usize, first_pa: f64) -> f64 {
        let plant = self.sim.plant();
        if !self.sim.running() {
            return 0.0;
        }
        let stages = self.station.compressor.stage_count;
        let delivery = plant.compressor.as_ref().map(|c| &c.delivery);
        let between = delivery.map_or_else(Vec::new, |d| d.interstage_pa(first_pa));
        let p_pa = match stage.checked_sub(1).and_then(|i| between.get(i)) {
            Some(p_pa) => *p_pa,
            None if stage >= stages => first_pa,
            None => f64::NAN,
        };
        (p_pa - plant.atmosphere_pa) / 1e5
    }

    fn hose(&self, i: usize) -> HoseNow {
        let now = self.sim.snapshot();
        let (hose, vessel) = (self.places.hoses[i], self.places.cylinders[i]);
        let open = |valve: usize| self.sim.opening(valve).is_some_and(|o| o > 0.0);
        let (id, stop_bar) = self.cylinders[i].clone();
        HoseNow {
            bar: self.bar(&now, hose.vessel),
            connected: self.connected[i],
            fill_open: open(hose.fill),
            cylinder_open: open(hose.valve),
            bleed_open: open(hose.bleed),
            id,
            cylinder_bar: self.bar(&now, vessel),
            cylinder_c: now.vessels[vessel].t_k - 273.15,
            stop_bar,
        }
    }
}
