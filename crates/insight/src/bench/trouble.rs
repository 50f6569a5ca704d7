//! What goes wrong on the bench: put in while it runs, hidden, revealed, put right.
//!
//! Not here: the catalogue ([`super::wrong`]), what a fault does to the plant ([`crate::assemble`]).

use super::log::NoteKind;
use super::wrong::{FAN_K, FORGOTTEN, Kind, Wrong};
use super::{Act, Bench, Refused, Setting};
use crate::assemble::{Assembly, Prepared, Variation};
use crate::forecast;
use quantity::TemperatureDifference;
use station::Station;

impl Bench {
    /// The same station with these things wrong, going on from where it is.
    pub(super) fn refit(&mut self, wrong: Vec<Wrong>) -> Result<(), Refused> {
        let assembly = build(&self.station, &self.setting, &wrong)?;
        self.sim = (self.sim.clone()).changed(assembly.plant, &self.gas, &[])?;
        self.places = assembly.places;
        self.wrong = wrong;
        Ok(())
    }

    /// What is wrong by somebody's doing, not by a part.
    pub(super) fn left_by_hands(&mut self, all: &[Wrong]) {
        for wrong in all {
            match wrong.kind {
                Kind::DrainOpen => {
                    if let Some(control) = self.control(Act::Drain(true)) {
                        self.sim.control(control);
                    }
                }
                Kind::SumpFull => {
                    if let Some(sump) = &mut self.sump {
                        sump.left_with(FORGOTTEN);
                    }
                }
                Kind::FanStopped => {
                    let cooled = self.setting.intake.as_kelvin()
                        + self.station.compressor.cooler_approach.as_kelvin()
                        + FAN_K;
                    if let Some(sump) = &mut self.sump {
                        sump.cooled_to(cooled);
                    }
                }
                Kind::Part(_) => {}
            }
        }
    }

    /// Makes something wrong while it runs, beside what is wrong already; `None` puts all parts
    /// right again. Everything in the station keeps its pressure, heat and water.
    ///
    /// **Errors** a station that cannot be run like this.
    pub fn put_in(&mut self, wrong: Option<Wrong>, hidden: bool) -> Result<(), Refused> {
        let all: Vec<Wrong> = match wrong.clone() {
            None => Vec::new(),
            Some(one) => {
                let others = self.wrong.iter().filter(|w| w.entry.key != one.entry.key);
                others.cloned().chain([one.clone()]).collect()
            }
        };
        let before = self.sound.take().unwrap_or_else(|| self.sim.clone());
        self.refit(all)?;
        self.sound = wrong.is_some().then_some(before);
        self.put_in_s = wrong.is_some().then_some(self.t_s);
        self.hidden = hidden && wrong.is_some();
        match &wrong {
            Some(one) => self.left_by_hands(std::slice::from_ref(one)),
            None => self.cool_again(),
        }
        let words = match &wrong {
            None => "everything put right".to_owned(),
            Some(_) if self.hidden => "something may be wrong from here on".to_owned(),
            Some(one) => format!("put in: {}", one.entry.label),
        };
        self.note(None, words, NoteKind::Told);
        Ok(())
    }

    fn cool_again(&mut self) {
        let approach = self.station.compressor.cooler_approach.as_kelvin();
        if let Some(sump) = &mut self.sump {
            sump.cooled_to(self.setting.intake.as_kelvin() + approach);
        }
    }

    /// Tells everybody what is wrong.
    pub fn reveal(&mut self) {
        if !std::mem::take(&mut self.hidden) {
            return;
        }
        let labels: Vec<&str> = self.wrong.iter().map(|w| w.entry.label).collect();
        let words = match labels.is_empty() {
            true => "revealed: nothing is wrong".to_owned(),
            false => format!("revealed: {}", labels.join(", ")),
        };
        self.note(None, words, NoteKind::Told);
    }

    /// Keeps what is wrong, or that nothing is, from everybody.
    pub fn hide(&mut self) {
        self.hidden = true;
    }
}

/// The station prepared with these things wrong.
pub(super) fn prepare<'s>(
    station: &'s Station,
    setting: &Setting,
    wrong: &[Wrong],
) -> Result<Prepared<'s>, Refused> {
    let faults = wrong.iter().filter_map(|w| match w.kind {
        Kind::Part(fault) => Some(fault),
        _ => None,
    });
    let mut request = setting.request();
    request.faults = faults.collect();
    let (prepared, _) = forecast::prepared(station, &request)?;
    Ok(prepared.hands_on())
}

/// The plant with these things wrong. Without its fan the coolers leave the air hotter; the
/// machine's cylinders stay what they are.
fn build(station: &Station, setting: &Setting, wrong: &[Wrong]) -> Result<Assembly, Refused> {
    let prepared = prepare(station, setting, wrong)?;
    if !wrong.iter().any(|w| w.kind == Kind::FanStopped) {
        return Ok(prepared.assembly(&Variation::NONE)?);
    }
    let mut hot = station.clone();
    let approach = station.compressor.cooler_approach.as_kelvin() + FAN_K;
    hot.compressor.cooler_approach = TemperatureDifference::kelvin(approach);
    let hot = prepare(&hot, setting, wrong)?.with_machine_of(&prepared);
    Ok(hot.assembly(&Variation::NONE)?)
}
