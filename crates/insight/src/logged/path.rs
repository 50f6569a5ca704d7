//! A run rebuilt from its record: pressures, masses and times, piece by piece.
//!
//! The tower rises to where the PMV opens, holds that while the cylinders are lower, and then
//! goes with them; masses are those of the real gas at both ends, and the minutes written down
//! say how fast. This is the run of a forecast without its valves' dynamics, at a thousandth of
//! its cost. Not here: the water ([`super::carry`]).

use super::{LoggedFill, LoggedRun};
use crate::assemble::Prepared;
use crate::forecast::request::ForecastError;
use crate::water::Step;
use physics::gas::Gas;
use quantity::{GaugePressure, Quantity as _};

/// Gas above the surroundings at the stop, K per bar filled: the heat of filling, 100 J a litre
/// and bar, into a steel wall of 1.2 kg and 470 J/(kg·K) a litre would be 0.177; a little is lost
/// on the way, a little more stays in the gas.
const WARMER_K_PER_BAR: f64 = 0.15;
/// Purifier above the surroundings, as a share of the cooler approach (common practice, no
/// source): the bed is between the arriving air and the housing.
const BED_WARMTH: f64 = 0.5;
/// Length of a piece, s, and how many a stretch may have.
const PIECE_S: f64 = 30.0;
const PIECES: (f64, f64) = (4.0, 400.0);
/// The whip is bled, and the tower with it down to the PMV's closing pressure, in so many pieces
/// of so many seconds.
const BLEEDS: u32 = 4;
const BLEED_S: f64 = 10.0;
/// Doubt in the air mass (standard, relative): volumes and temperatures of cylinders written
/// down; a run of which only the time is known.
const DOUBT_FILLS: f64 = 0.04;
const DOUBT_TIME_ONLY: f64 = 0.2;
/// Measured and expected time may differ by this factor before a note says so.
const STRANGE_RATE: f64 = 1.5;

/// A run piece by piece.
#[derive(Debug, Clone)]
pub(super) struct Rebuilt {
    pub steps: Vec<Step>,
    /// The separator at the start: Pa absolute, kg.
    pub start: (f64, f64),
    pub running: Vec<(f64, f64)>,
    pub ran_s: f64,
    pub expected_s: Option<f64>,
    pub air_kg: f64,
    /// Standard uncertainty of the air mass, relative.
    pub doubt: f64,
    pub notes: Vec<String>,
}

/// A stretch with the machine running, or a bleed.
struct Piece {
    seconds: f64,
    air_kg: f64,
    from_pa: f64,
    to_pa: f64,
}

/// Rebuilds a run; none where neither its time nor a fill was written down.
pub(super) fn rebuild(
    prepared: &Prepared,
    run: &LoggedRun,
) -> Result<Option<Rebuilt>, ForecastError> {
    let mut walk = Walk::new(prepared);
    let minutes = run.ran.map(|t| t.as_second()).filter(|s| *s > 0.0);
    let fills: Vec<&LoggedFill> = run
        .fills
        .iter()
        .filter(|f| f.to.as_bar() > f.from.as_bar())
        .collect();
    if fills.len() < run.fills.len() {
        walk.notes
            .push("a fill that ends no higher than it began is left out".into());
    }
    let (expected_s, doubt) = match (fills.is_empty(), minutes) {
        (true, None) => return Ok(None),
        (true, Some(seconds)) => {
            walk.time_only(seconds)?;
            (None, DOUBT_TIME_ONLY)
        }
        (false, _) => {
            for group in fills.chunks(prepared.station().whip.count.max(1)) {
                walk.group(group)?;
            }
            (Some(walk.ran_s()), DOUBT_FILLS)
        }
    };
    let factor = match (minutes, expected_s) {
        (Some(measured), Some(expected)) => measured / expected,
        _ => 1.0,
    };
    walk.rate_notes(minutes, expected_s, factor);
    let mut rebuilt = walk.finish(factor);
    (rebuilt.expected_s, rebuilt.doubt) = (expected_s, doubt);
    Ok(Some(rebuilt))
}

struct Walk<'a> {
    prepared: &'a Prepared<'a>,
    gas: &'a Gas,
    tower_pa: f64,
    start_pa: f64,
    pieces: Vec<(bool, Piece)>,
    notes: Vec<String>,
    separator_m3: f64,
    tower_m3: f64,
    opens_pa: f64,
    closes_pa: f64,
    cooled_k: f64,
}

impl<'a> Walk<'a> {
    fn new(prepared: &'a Prepared<'a>) -> Walk<'a> {
        let station = prepared.station();
        let nothing = GaugePressure::bar(0.0);
        let (opens, closes) = station
            .pmv
            .as_ref()
            .map_or((nothing, nothing), |pmv| (pmv.opens, pmv.closes));
        let start_pa = prepared.absolute(prepared.tower_start);
        let separator_m3 = station.separator.volume.si();
        Walk {
            gas: &prepared.gas,
            tower_pa: start_pa,
            start_pa,
            pieces: Vec::new(),
            notes: Vec::new(),
            separator_m3,
            tower_m3: separator_m3 + station.purifier.volume.si(),
            opens_pa: prepared.absolute(opens),
            closes_pa: prepared.absolute(closes),
            cooled_k: prepared.ambient_k + station.compressor.cooler_approach.as_kelvin(),
            prepared,
        }
    }

    fn rho(&self, p_pa: f64, t_k: f64) -> Result<f64, ForecastError> {
        Ok(self.gas.state_p_t(p_pa, t_k)?.rho)
    }

    /// Air that brings the tower from one pressure to another, kg.
    fn tower_kg(&self, from_pa: f64, to_pa: f64) -> Result<f64, ForecastError> {
        let t_k = self.prepared.ambient_k;
        Ok(self.tower_m3 * (self.rho(to_pa, t_k)? - self.rho(from_pa, t_k)?))
    }

    /// The machine runs: so much air while its tower goes from here to there.
    fn run(&mut self, air_kg: f64, to_pa: f64) {
        let from_pa = self.tower_pa;
        let flow = self.prepared.flow(0.5 * (from_pa + to_pa)).max(1e-6);
        let seconds = air_kg / flow;
        let piece = Piece {
            seconds,
            air_kg,
            from_pa,
            to_pa,
        };
        self.pieces.push((true, piece));
        self.tower_pa = to_pa;
    }

    /// The tower alone up to a pressure, for no longer than `most_s`; gives the seconds taken.
    fn rise(&mut self, to_pa: f64, most_s: f64) -> Result<f64, ForecastError> {
        let from_pa = self.tower_pa;
        let count = ((to_pa - from_pa) / 10e5).ceil().max(0.0);
        let mut taken = 0.0;
        for i in 1..=count as usize {
            let next = from_pa + (to_pa - from_pa) * i as f64 / count;
            let air_kg = self.tower_kg(self.tower_pa, next)?.max(0.0);
            self.run(air_kg, next);
            taken += self.pieces.last().map_or(0.0, |(_, piece)| piece.seconds);
            if taken >= most_s {
                break;
            }
        }
        Ok(taken)
    }

    /// Cylinders filled together.
    fn group(&mut self, fills: &[&LoggedFill]) -> Result<(), ForecastError> {
        let volume: f64 = fills.iter().map(|f| f.water_volume.si()).sum();
        let mean = |p: fn(&LoggedFill) -> GaugePressure| -> f64 {
            let sum = |f: &&LoggedFill| f.water_volume.si() * self.prepared.absolute(p(f));
            fills.iter().map(sum).sum::<f64>() / volume
        };
        let (from_pa, to_pa) = (mean(|f| f.from), mean(|f| f.to));
        let mut air_kg = 0.0;
        for fill in fills {
            air_kg += self.filled_kg(fill)?;
        }
        let air_kg = air_kg.max(0.0);
        self.rise(self.opens_pa.max(from_pa), f64::INFINITY)?;
        let flow = self.prepared.flow(0.5 * (from_pa + to_pa)).max(1e-6);
        let count = (air_kg / flow / PIECE_S).ceil().clamp(PIECES.0, PIECES.1);
        for i in 1..=count as usize {
            let cylinder_pa = from_pa + (to_pa - from_pa) * i as f64 / count;
            let next = cylinder_pa.max(self.opens_pa).max(self.tower_pa);
            let into_tower = self.tower_kg(self.tower_pa, next)?.max(0.0);
            self.run(air_kg / count + into_tower, next);
        }
        self.bleed();
        Ok(())
    }

    /// Air put into a cylinder, kg: real gas, from the settled pressure where it was read, else
    /// from the gauge at the stop with the gas [`WARMER_K_PER_BAR`] warmer.
    fn filled_kg(&self, fill: &LoggedFill) -> Result<f64, ForecastError> {
        let (ambient_k, warmer) = (
            self.prepared.ambient_k,
            WARMER_K_PER_BAR * (fill.to.as_bar() - fill.from.as_bar()),
        );
        let begun = self.rho(self.prepared.absolute(fill.from), ambient_k)?;
        let ended = match fill.settled {
            Some((p, t)) => self.rho(self.prepared.absolute(p), t.as_kelvin())?,
            None => self.rho(self.prepared.absolute(fill.to), ambient_k + warmer)?,
        };
        Ok(fill.water_volume.si() * (ended - begun))
    }

    /// The whip is bled, and the tower down to where the PMV closes.
    fn bleed(&mut self) {
        let (from_pa, to_pa) = (self.tower_pa, self.closes_pa.min(self.tower_pa));
        for i in 1..=BLEEDS {
            let next = from_pa + (to_pa - from_pa) * f64::from(i) / f64::from(BLEEDS);
            let piece = Piece {
                seconds: BLEED_S,
                air_kg: 0.0,
                from_pa: self.tower_pa,
                to_pa: next,
            };
            self.pieces.push((false, piece));
            self.tower_pa = next;
        }
    }

    /// A run of which only the time is known.
    fn time_only(&mut self, seconds: f64) -> Result<(), ForecastError> {
        self.notes.push(
            "no fill was written down: the air is taken to have passed at the PMV's opening \
             pressure, where most water passes"
                .into(),
        );
        let hold_pa = self.opens_pa.max(self.tower_pa);
        let left = seconds - self.rise(hold_pa, seconds)?;
        let count = (left / PIECE_S).ceil().clamp(0.0, PIECES.1);
        for _ in 0..count as usize {
            let air_kg = self.prepared.flow(hold_pa) * left / count;
            self.run(air_kg, self.tower_pa);
        }
        self.bleed();
        Ok(())
    }

    fn ran_s(&self) -> f64 {
        let ran = self.pieces.iter().filter(|(running, _)| *running);
        ran.map(|(_, piece)| piece.seconds).sum()
    }

    fn rate_notes(&mut self, measured: Option<f64>, expected: Option<f64>, factor: f64) {
        match (measured, expected) {
            (None, Some(_)) => self
                .notes
                .push("its time was not written down: taken from the station's rate".into()),
            (Some(measured), Some(expected))
                if !(1.0 / STRANGE_RATE..=STRANGE_RATE).contains(&factor) =>
            {
                self.notes.push(format!(
                    "{:.0} min were written down where the station's rate gives {:.0}: a fill or \
                     the time may be missing",
                    measured / 60.0,
                    expected / 60.0
                ));
            }
            _ => {}
        }
    }

    /// The pieces as the ledger takes them, the machine's times stretched by `factor`.
    fn finish(self, factor: f64) -> Rebuilt {
        let held = |p_pa: f64| {
            let rho = self.rho(p_pa, self.cooled_k).unwrap_or(0.0);
            self.separator_m3 * rho
        };
        let bed_k =
            self.prepared.ambient_k + BED_WARMTH * (self.cooled_k - self.prepared.ambient_k);
        let (mut t_s, mut running, mut steps) = (0.0, Vec::<(f64, f64)>::new(), Vec::new());
        let (mut air_kg, mut ran_s) = (0.0, 0.0);
        let start = (self.start_pa, held(self.start_pa));
        let mut held_kg = start.1;
        for (runs, piece) in &self.pieces {
            let seconds = piece.seconds * if *runs { factor } else { 1.0 };
            let from_s = t_s;
            t_s += seconds;
            if *runs {
                air_kg += piece.air_kg;
                ran_s += seconds;
                match running.last_mut() {
                    Some((_, end)) if *end == from_s => *end = t_s,
                    _ => running.push((from_s, t_s)),
                }
            }
            let before_kg = held_kg;
            held_kg = held(piece.to_pa);
            steps.push(Step {
                t_s,
                seconds,
                running: *runs,
                air_in_kg: piece.air_kg,
                first_pa: 0.5 * (piece.from_pa + piece.to_pa),
                p_pa: piece.to_pa,
                held_kg: (before_kg, held_kg),
                purifier_k: bed_k,
            });
        }
        Rebuilt {
            steps,
            start,
            running,
            ran_s,
            expected_s: None,
            air_kg,
            doubt: 0.0,
            notes: self.notes,
        }
    }
}
