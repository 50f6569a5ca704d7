//! The settings of one run: what a machine is like once everything that may differ is said.
//!
//! Not here: where they come from ([`super::space`]).

use super::course;
use super::suspects::Effect;
use crate::assemble::{Assembly, Prepared, Variation};
use physics::heat::GasFilm;
use physics::sim::Thermal;
use station::{Reads, Station};

/// The settings of one run.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Settings {
    pub variation: Variation,
    pub pmv_closes_bar: f64,
    pub relief_reseats_bar: f64,
    pub effects: Vec<(Effect, f64)>,
    pub clock_s: f64,
    /// By what share the tower stands higher than computed after it was let down.
    pub warming: f64,
    /// Factor on the film between the tower's gas and its walls.
    pub tower_heat: f64,
    /// What tower and line gauge are off within their class, bar.
    pub gauges: [f64; 2],
}

impl Settings {
    /// What decides the run itself: two settings alike in this have the same trace.
    pub fn of_machine(&self) -> Settings {
        let reads = |effect: &Effect| matches!(effect, Effect::ReadsHigh(_) | Effect::ReadsLow(_));
        let mut same = self.clone();
        (same.clock_s, same.warming, same.gauges) = (0.0, 0.0, [0.0; 2]);
        same.effects.retain(|(effect, _)| !reads(effect));
        same
    }

    /// The machine with what is wrong in it; none where nothing is that changes the plant.
    pub fn ailing<'s>(&self, prepared: &Prepared<'s>) -> Option<Option<Prepared<'s>>> {
        let faults: Vec<_> = self
            .effects
            .iter()
            .filter_map(|(e, size)| e.fault(*size))
            .collect();
        if faults.is_empty() {
            return Some(None);
        }
        prepared.ailing(faults).ok().map(Some)
    }

    /// Settings that the assembly does not know of.
    pub fn adjust(&self, assembly: &mut Assembly) {
        let atmosphere = assembly.plant.atmosphere_pa;
        let slow: f64 = self
            .effects
            .iter()
            .map(|(e, size)| e.delivers(*size))
            .product();
        if let Some(compressor) = assembly.plant.compressor.as_mut()
            && slow < 1.0
        {
            compressor.delivery = compressor.delivery.scaled(slow);
        }
        let opens: f64 = self
            .effects
            .iter()
            .map(|(e, size)| e.pmv_opens_only(*size))
            .sum();
        let closes: f64 = self
            .effects
            .iter()
            .map(|(e, size)| e.pmv_closes_only(*size))
            .sum();
        let of = |assembly: &mut Assembly, valve: Option<usize>, moved: (f64, f64)| {
            let Some(valve) = valve.and_then(|i| assembly.plant.valves.get_mut(i)) else {
                return;
            };
            let travel = valve.fully_open_pa - valve.opens_pa;
            valve.opens_pa = (valve.opens_pa + 1e5 * moved.0).max(atmosphere + 2e5);
            valve.fully_open_pa = valve.opens_pa + travel;
            let highest = valve.opens_pa - 1e5;
            valve.closes_pa = (valve.closes_pa + 1e5 * moved.1).clamp(atmosphere + 0.5e5, highest);
        };
        let (pmv, relief) = (assembly.places.pmv, assembly.places.relief);
        of(assembly, pmv, (opens, closes + self.pmv_closes_bar));
        of(assembly, relief, (0.0, self.relief_reseats_bar));
        course::hold(assembly);
        let places = &assembly.places;
        let mut towers = vec![
            places.first,
            places.separator,
            places.purifier,
            places.tower,
        ];
        towers.sort_unstable();
        towers.dedup();
        for tower in towers.into_iter().filter(|t| *t != assembly.places.line) {
            if let Some(vessel) = assembly.plant.vessels.get_mut(tower) {
                follow_less(&mut vessel.thermal, self.tower_heat);
            }
        }
    }

    /// How much this gauge reads high, bar.
    pub fn reads_high(&self, reads: Reads) -> f64 {
        let of = |(effect, size): &(Effect, f64)| match effect {
            Effect::ReadsHigh(gauge) if *gauge == reads => *size,
            Effect::ReadsLow(gauge) if *gauge == reads => -*size,
            _ => 0.0,
        };
        let own = match reads {
            Reads::Tower => self.gauges[0],
            Reads::Line => self.gauges[1],
            Reads::Stage(_) => 0.0,
        };
        own + self.effects.iter().map(of).sum::<f64>()
    }

    pub fn pmv_opens_bar(&self, station: &Station) -> Option<f64> {
        let pmv = station.pmv.as_ref()?;
        let shift: f64 = self
            .effects
            .iter()
            .map(|(e, size)| e.pmv_opens(*size))
            .sum();
        Some((pmv.opens.as_bar() * self.variation.pmv + shift).max(2.0))
    }

    pub fn pmv_closes_bar(&self, station: &Station) -> Option<f64> {
        let pmv = station.pmv.as_ref()?;
        let shift: f64 = self
            .effects
            .iter()
            .map(|(e, size)| e.pmv_closes(*size))
            .sum();
        let closes = pmv.closes.as_bar() * self.variation.pmv + shift + self.pmv_closes_bar;
        Some(closes.clamp(0.5, self.pmv_opens_bar(station)? - 1.0))
    }

    pub fn relief_lifts_bar(&self, station: &Station) -> Option<f64> {
        let relief = station.relief.as_ref()?;
        let shift: f64 = self.effects.iter().map(|(e, size)| e.relief(*size)).sum();
        Some(relief.lifts.as_bar() * self.variation.relief + shift)
    }
}

/// Changes the film between gas and wall.
fn follow_less(thermal: &mut Thermal, factor: f64) {
    if let Thermal::Walled { inside, .. } = thermal {
        *inside = match inside {
            GasFilm::Constant(film) => GasFilm::Constant(*film * factor),
            GasFilm::Filling(film) => GasFilm::Filling(film.scaled(factor)),
        };
    }
}
