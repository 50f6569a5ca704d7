//! What a cause does to the machine, and how large it usually is.
//!
//! A size is log-normal: median·exp(σ·z), z a standard number. Medians and spreads are estimates
//! without a source; they matter where readings say little. Not here: how often a cause is met
//! (`causes.txt`).

use super::causes::Knowledge;
use super::space::{Datum, Told};
use crate::assemble::Prepared;
use crate::fault::Fault;
use quantity::{FlowRate, Fraction, Length, PressureDifference};
use station::Reads;

/// What is wrong with a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Effect {
    /// Less is delivered: a share.
    Slow,
    /// Opens and closes lower, bar.
    PmvLow,
    /// Opens lower, closes as specified, bar.
    PmvOpensLow,
    /// Opens and closes higher, bar.
    PmvHigh,
    /// Opens higher, closes as specified, bar.
    PmvOpensHigh,
    /// Closes lower, bar.
    PmvClosesLow,
    /// Passes back, free air at working pressure, L/min.
    PmvLeaks,
    PmvStuckOpen,
    PmvStuckShut,
    /// Lifts and reseats lower, bar.
    ReliefLow,
    /// Lifts and reseats higher, bar.
    ReliefHigh,
    /// Free air lost at working pressure, L/min.
    ReliefWeeps,
    TowerLeak,
    WhipLeak,
    /// By so many bar.
    ReadsHigh(Reads),
    ReadsLow(Reads),
    /// Down to a passage of this bore, mm.
    Blocked,
    /// The valves of a stage, from 1, let back this share.
    StageLeaks(usize),
}

impl Effect {
    /// The fault of the catalogue that it is, where it is one.
    pub fn fault(self, size: f64) -> Option<Fault> {
        let flow = FlowRate::litre_per_minute(size);
        let pressure = PressureDifference::bar(size);
        Some(match self {
            Effect::PmvLow => Fault::PmvLow(pressure),
            Effect::PmvHigh => Fault::PmvHigh(pressure),
            Effect::PmvLeaks => Fault::PmvLeaksBack(flow),
            Effect::PmvStuckOpen => Fault::PmvStuckOpen,
            Effect::PmvStuckShut => Fault::PmvStuckShut,
            Effect::ReliefLow => Fault::ReliefLow(pressure),
            Effect::ReliefHigh => Fault::ReliefHigh(pressure),
            Effect::ReliefWeeps => Fault::ReliefWeeps(flow),
            Effect::TowerLeak => Fault::TowerLeak(flow),
            Effect::WhipLeak => Fault::WhipLeak(flow),
            Effect::Blocked => Fault::PurifierBlocked(Length::millimetre(size)),
            Effect::StageLeaks(stage) => {
                Fault::StageValveLeak(stage, Fraction::percent(100.0 * size))
            }
            Effect::Slow
            | Effect::PmvOpensLow
            | Effect::PmvOpensHigh
            | Effect::PmvClosesLow
            | Effect::ReadsHigh(_)
            | Effect::ReadsLow(_) => return None,
        })
    }

    /// Factor on what is delivered.
    pub fn delivers(self, size: f64) -> f64 {
        if self == Effect::Slow {
            1.0 - size
        } else {
            1.0
        }
    }

    /// Where only the opening pressure moves, by how many bar.
    pub fn pmv_opens_only(self, size: f64) -> f64 {
        match self {
            Effect::PmvOpensLow => -size,
            Effect::PmvOpensHigh => size,
            _ => 0.0,
        }
    }

    /// Where only the closing pressure moves, by how many bar.
    pub fn pmv_closes_only(self, size: f64) -> f64 {
        if self == Effect::PmvClosesLow {
            -size
        } else {
            0.0
        }
    }

    /// By how many bar the opening pressure moves.
    pub fn pmv_opens(self, size: f64) -> f64 {
        match self {
            Effect::PmvLow => -size,
            Effect::PmvHigh => size,
            _ => self.pmv_opens_only(size),
        }
    }

    /// By how many bar the closing pressure moves.
    pub fn pmv_closes(self, size: f64) -> f64 {
        match self {
            Effect::PmvLow => -size,
            Effect::PmvHigh => size,
            _ => self.pmv_closes_only(size),
        }
    }

    /// By how many bar the relief valve's settings move.
    pub fn relief(self, size: f64) -> f64 {
        match self {
            Effect::ReliefLow => -size,
            Effect::ReliefHigh => size,
            _ => 0.0,
        }
    }
}

/// Something wrong, and its usual size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Part {
    pub effect: Effect,
    median: f64,
    spread: f64,
    most: f64,
}

impl Part {
    const fn of(effect: Effect, median: f64, spread: f64) -> Part {
        Part {
            effect,
            median,
            spread,
            most: f64::INFINITY,
        }
    }

    const fn at_most(self, most: f64) -> Part {
        Part { most, ..self }
    }

    /// Whether it has a size at all.
    pub fn sized(&self) -> bool {
        self.spread > 0.0
    }

    /// The size that a standard number stands for.
    pub fn size(&self, z: f64) -> f64 {
        let size = self.median * (self.spread * z).exp();
        // bends towards the most, so that slopes never vanish at once
        if self.most.is_finite() {
            self.most * (1.0 - (-size / self.most).exp())
        } else {
            size
        }
    }
}

/// How often two things are wrong at once, against chance (an estimate).
const BOTH: f64 = 0.3;

/// Something that may be wrong, definite enough to be run.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Suspect {
    /// Causes in it; none: a sound machine.
    pub ids: Vec<&'static str>,
    /// What is wrong.
    pub parts: Vec<Part>,
    /// How often it is met, a weight.
    pub prior: f64,
}

impl Suspect {
    /// A machine with nothing wrong.
    pub fn sound(prior: f64) -> Suspect {
        Suspect {
            ids: Vec::new(),
            parts: Vec::new(),
            prior,
        }
    }

    pub fn sizes(&self) -> usize {
        self.parts.iter().filter(|p| p.sized()).count()
    }

    /// Both together: rarer than two independent things, since people mend the first they meet.
    pub fn with(&self, other: &Suspect, healthy: f64) -> Suspect {
        Suspect {
            ids: [self.ids.clone(), other.ids.clone()].concat(),
            parts: [self.parts.clone(), other.parts.clone()].concat(),
            prior: BOTH * self.prior * other.prior / healthy,
        }
    }
}

/// All that may be wrong with this station and that its readings could show, each by itself.
pub(super) fn all(prepared: &Prepared, known: &Knowledge, data: &[Datum]) -> Vec<Suspect> {
    let mut all = Vec::new();
    for cause in &known.causes {
        let ways = ways(prepared, cause.id, data);
        let shares = cause.prior / ways.len().max(1) as f64;
        all.extend(ways.into_iter().map(|parts| Suspect {
            ids: vec![cause.id],
            parts,
            prior: shares,
        }));
    }
    all
}

/// The ways in which a cause can come about; none where the station lacks the part, or nothing
/// was read that could show it.
fn ways(prepared: &Prepared, id: &str, data: &[Datum]) -> Vec<Vec<Part>> {
    let station = prepared.station();
    let flow = litres_per_minute(prepared);
    let leak = |effect| vec![vec![Part::of(effect, 0.08 * flow, 0.9).at_most(3.0 * flow)]];
    let read = |reads| data.iter().any(|d| d.what == Told::Gauge(reads));
    let off = |reads, effect| {
        let error = super::space::error_of(station, reads);
        let usual = Part::of(effect, 2.2 * error, 0.5);
        if read(reads) {
            vec![vec![usual]]
        } else {
            Vec::new()
        }
    };
    let (tower, line) = (Reads::Tower, Reads::Line);
    let relief = station.relief.as_ref().map(|r| r.lifts.as_bar());
    let with_relief = |ways: &dyn Fn(f64) -> Vec<Vec<Part>>| relief.map_or(Vec::new(), ways);
    match id {
        "healthy" => vec![Vec::new()],
        "slow_delivery" => vec![vec![Part::of(Effect::Slow, 0.18, 0.6).at_most(0.9)]],
        _ if id.starts_with("pmv") => {
            let pmv = station.pmv.as_ref();
            pmv.map_or(Vec::new(), |p| {
                of_pmv(id, p.opens.as_bar(), p.closes.as_bar(), flow)
            })
        }
        "relief_lifts_early" => {
            with_relief(&|lifts| vec![vec![Part::of(Effect::ReliefLow, 0.1 * lifts, 0.6)]])
        }
        "relief_lifts_late" => {
            with_relief(&|lifts| vec![vec![Part::of(Effect::ReliefHigh, 0.08 * lifts, 0.6)]])
        }
        "relief_weeps" if relief.is_some() => leak(Effect::ReliefWeeps),
        "tower_leak" => leak(Effect::TowerLeak),
        "whip_leak" => leak(Effect::WhipLeak),
        "tower_gauge_reads_high" => off(tower, Effect::ReadsHigh(tower)),
        "tower_gauge_reads_low" => off(tower, Effect::ReadsLow(tower)),
        "line_gauge_reads_high" => off(line, Effect::ReadsHigh(line)),
        "line_gauge_reads_low" => off(line, Effect::ReadsLow(line)),
        "blocked_purifier" => {
            // the bore that costs some tens of bar at this flow: in proportion to its square root
            let bore = 0.33 * (flow / 100.0).sqrt();
            vec![vec![Part::of(Effect::Blocked, bore, 0.2)]]
        }
        "leaking_stage_valve" => {
            let stages = station.compressor.stage_count;
            let any = (1..stages).any(|n| read(Reads::Stage(n)));
            let one = |n| vec![Part::of(Effect::StageLeaks(n), 0.2, 0.6).at_most(0.85)];
            (1..=stages).filter(|_| any).map(one).collect()
        }
        _ => Vec::new(),
    }
}

/// The ways of the pressure maintaining valve.
fn of_pmv(id: &str, opens: f64, closes: f64, flow: f64) -> Vec<Vec<Part>> {
    match id {
        "pmv_opens_early" => {
            let both = Part::of(Effect::PmvLow, 0.22 * opens, 0.55).at_most(closes - 1.0);
            let one = Part::of(Effect::PmvOpensLow, 0.18 * opens, 0.55).at_most(opens - 3.0);
            vec![vec![both], vec![one]]
        }
        "pmv_opens_late" => {
            let both = Part::of(Effect::PmvHigh, 0.22 * opens, 0.55);
            let one = Part::of(Effect::PmvOpensHigh, 0.22 * opens, 0.55);
            vec![vec![both], vec![one]]
        }
        "pmv_does_not_hold" => {
            let leaks = Part::of(Effect::PmvLeaks, 0.08 * flow, 1.0).at_most(3.0 * flow);
            let low = Part::of(Effect::PmvClosesLow, 0.4 * closes, 0.5).at_most(closes - 1.0);
            let open = Part::of(Effect::PmvStuckOpen, 1.0, 0.0);
            vec![vec![leaks], vec![low], vec![open]]
        }
        "pmv_stuck_shut" => vec![vec![Part::of(Effect::PmvStuckShut, 1.0, 0.0)]],
        _ => Vec::new(),
    }
}

/// Free air delivered at working pressure, L/min.
pub(super) fn litres_per_minute(prepared: &Prepared) -> f64 {
    let working = prepared.absolute(prepared.station().compressor.working_pressure);
    let outside = prepared
        .gas
        .state_p_t(prepared.atmosphere_pa, prepared.ambient_k);
    let density = outside.map_or(1.2, |state| state.rho);
    prepared.flow(working) / density * 60_000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_grow_with_their_number_and_stay_below_their_most() {
        let share = Part::of(Effect::Slow, 0.18, 0.6).at_most(0.9);
        let mut last = 0.0;
        for i in -40..=40 {
            let size = share.size(f64::from(i) * 0.2);
            assert!(size > last && size <= 0.9, "{size}");
            last = size;
        }
        // small sizes are the log-normal's own
        let small = share.size(-4.0);
        assert!((small / (0.18 * (-2.4_f64).exp()) - 1.0).abs() < 0.02);
    }

    #[test]
    fn two_at_once_are_rarer_than_either() {
        let one = Suspect {
            ids: vec!["a"],
            parts: vec![Part::of(Effect::Slow, 0.1, 0.5)],
            prior: 5.0,
        };
        let both = one.with(&one, 50.0);
        assert_eq!(both.ids, ["a", "a"]);
        assert_eq!(both.sizes(), 2);
        assert!((both.prior - 0.5 * BOTH).abs() < 1e-12);
    }
}
