//! A station file in the making: answers come in one by one, in any order.
//!
//! Start at [`Draft::set`]. Not here: how the questions are put.

use quantity::{FlowRate, FreeVolume, GaugePressure, Length, Quantity, Typed, UnitSystem, Volume};
use station::{AnsweredDelivery, AnsweredKind, AnsweredPmv, AnsweredSize, Answers};

use crate::usecase::trouble::typed;
use crate::usecase::{Trouble, station::begin};

/// Answers as they come in.
#[derive(Clone, Debug, Default)]
pub struct Draft {
    name: Option<String>,
    units: Option<UnitSystem>,
    altitude: Option<Typed<Length>>,
    working: Option<Typed<GaugePressure>>,
    charging: Option<Typed<FlowRate>>,
    free_air_delivery: Option<Typed<FlowRate>>,
    stages: Option<usize>,
    pmv_opens: Option<Typed<GaugePressure>>,
    pmv_closes: Option<Typed<GaugePressure>>,
    relief: Option<Typed<GaugePressure>>,
    disc: Option<Typed<GaugePressure>>,
    tower: Option<Typed<GaugePressure>>,
    kind: Option<String>,
    water: Option<Typed<Volume>>,
    free_air: Option<Typed<FreeVolume>>,
    kind_pressure: Option<Typed<GaugePressure>>,
}

impl Draft {
    /// Takes one answer, by the name of its option.
    pub fn set(&mut self, field: &'static str, text: &str) -> Result<(), Trouble> {
        match field {
            "name" => self.name = Some(words(field, text)?),
            "units" => self.units = Some(units(field, text)?),
            "altitude" => self.altitude = Some(typed(field, text)?),
            "working-pressure" => self.working = Some(typed(field, text)?),
            "charging-rate" => self.charging = Some(typed(field, text)?),
            "free-air-delivery" => self.free_air_delivery = Some(typed(field, text)?),
            "stages" => self.stages = Some(stages(field, text)?),
            "pmv-opens" => self.pmv_opens = Some(typed(field, text)?),
            "pmv-closes" => self.pmv_closes = Some(typed(field, text)?),
            "relief-lifts" => self.relief = Some(typed(field, text)?),
            "disc-bursts" => self.disc = Some(typed(field, text)?),
            "tower-rating" => self.tower = Some(typed(field, text)?),
            "cylinder" => self.kind = Some(words(field, text)?),
            "water-volume" => self.water = Some(typed(field, text)?),
            "free-air" => self.free_air = Some(typed(field, text)?),
            "cylinder-pressure" => self.kind_pressure = Some(typed(field, text)?),
            _ => {
                return Err(Trouble::new(
                    "nothing of this name is asked",
                    "leave it out",
                ));
            }
        }
        Ok(())
    }

    /// Whether this was answered.
    pub fn has(&self, field: &str) -> bool {
        match field {
            "name" => self.name.is_some(),
            "altitude" => self.altitude.is_some(),
            "working-pressure" => self.working.is_some(),
            "charging-rate" => self.charging.is_some() || self.free_air_delivery.is_some(),
            "free-air-delivery" => self.free_air_delivery.is_some(),
            "stages" => self.stages.is_some(),
            "pmv-opens" => self.pmv_opens.is_some(),
            "pmv-closes" => self.pmv_closes.is_some(),
            "relief-lifts" => self.relief.is_some(),
            "disc-bursts" => self.disc.is_some(),
            "tower-rating" => self.tower.is_some(),
            "cylinder" => self.kind.is_some(),
            "water-volume" => self.water.is_some() || self.free_air.is_some(),
            "cylinder-pressure" => self.kind_pressure.is_some(),
            _ => false,
        }
    }

    /// What must still be answered before a file can be written.
    pub fn missing(&self) -> Vec<&'static str> {
        let mut missing = Vec::new();
        let pmv = self.pmv_opens.is_some() || self.pmv_closes.is_some();
        let kind = ["cylinder", "water-volume", "cylinder-pressure"];
        let some_of_kind = kind.iter().any(|field| self.has(field));
        let needed = [
            ("name", true),
            ("working-pressure", true),
            ("charging-rate", true),
            ("pmv-opens", pmv),
            ("pmv-closes", pmv),
            ("cylinder", some_of_kind),
            ("water-volume", some_of_kind),
            ("cylinder-pressure", some_of_kind),
        ];
        missing.extend(
            needed
                .iter()
                .filter(|(f, need)| *need && !self.has(f))
                .map(|(f, _)| *f),
        );
        missing
    }

    /// What is wrong already, as far as it can be told from the answers so far.
    pub fn wrong(&self) -> Option<Trouble> {
        let working = self.working?;
        let mut whole = self.clone();
        whole.name.get_or_insert_with(|| "station".to_owned());
        if let Some(opens) = whole.pmv_opens {
            // So that `opens` is judged as soon as it is known.
            let half = GaugePressure::from_si(opens.value.si() / 2.0);
            whole.pmv_closes.get_or_insert(Typed::new(half, opens.unit));
        }
        if !whole.has("charging-rate") {
            // Any rate will do: only the other answers are judged, and none depends on it.
            whole.charging = Some(Typed::new(
                FlowRate::litre_per_minute(100.0),
                FlowRate::METRIC,
            ));
        }
        whole
            .answers(working)
            .ok()
            .and_then(|answers| begin(&answers).err())?
            .into_iter()
            .next()
    }

    /// The text of the file.
    pub fn text(&self) -> Result<String, Vec<Trouble>> {
        match self.working {
            Some(working) => begin(&self.answers(working).map_err(|t| vec![t])?),
            None => Err(vec![needed("working-pressure")]),
        }
    }

    /// Forgets a cylinder kind or a valve of which only a part is known; says what it forgot.
    pub fn drop_halves(&mut self) -> Vec<&'static str> {
        let mut dropped = Vec::new();
        if self.pmv_opens.is_some() != self.pmv_closes.is_some() {
            (self.pmv_opens, self.pmv_closes) = (None, None);
            dropped.push("the pressure maintaining valve");
        }
        if self.kind.is_some() && self.missing().iter().any(|field| *field != "name") {
            (self.kind, self.water, self.free_air, self.kind_pressure) = (None, None, None, None);
            dropped.push("the cylinder");
        }
        dropped
    }

    fn answers(&self, working: Typed<GaugePressure>) -> Result<Answers, Trouble> {
        let name = self.name.clone().ok_or_else(|| needed("name"))?;
        let delivery = match (self.charging, self.free_air_delivery) {
            (Some(rate), _) => AnsweredDelivery::ChargingRate(rate),
            (None, Some(rate)) => AnsweredDelivery::FreeAirDelivery(rate),
            (None, None) => return Err(needed("charging-rate")),
        };
        let like_pressure = if working.unit.symbol == "psi" {
            UnitSystem::Us
        } else {
            UnitSystem::Metric
        };
        Ok(Answers {
            name,
            units: self.units.unwrap_or(like_pressure),
            altitude: self.altitude,
            working_pressure: working,
            delivery,
            stage_count: self.stages,
            pmv: self
                .pmv_opens
                .zip(self.pmv_closes)
                .map(|(o, c)| AnsweredPmv {
                    opens: o,
                    closes: c,
                }),
            relief_lifts: self.relief,
            disc_bursts: self.disc,
            tower_rating: self.tower,
            cylinder_kind: self.cylinder(),
        })
    }

    fn cylinder(&self) -> Option<AnsweredKind> {
        let water = self.water.map(AnsweredSize::Water);
        Some(AnsweredKind {
            id: self.kind.clone()?,
            size: water.or(self.free_air.map(AnsweredSize::FreeAir))?,
            working_pressure: self.kind_pressure?,
        })
    }
}

fn words(field: &'static str, text: &str) -> Result<String, Trouble> {
    match text.trim() {
        "" => Err(Trouble::new("nothing is written here", "write a name").about(field)),
        words => Ok(words.to_owned()),
    }
}

fn units(field: &'static str, text: &str) -> Result<UnitSystem, Trouble> {
    match text.trim().to_lowercase().as_str() {
        "metric" => Ok(UnitSystem::Metric),
        "us" => Ok(UnitSystem::Us),
        other => {
            let what = format!("\"{other}\" is not a set of units known here");
            Err(Trouble::new(what, "write metric or us").about(field))
        }
    }
}

fn stages(field: &'static str, text: &str) -> Result<usize, Trouble> {
    let count = text
        .trim()
        .parse::<usize>()
        .ok()
        .filter(|n| (1..=6).contains(n));
    count.ok_or_else(|| {
        let what = format!("\"{}\" is not a number of stages", text.trim());
        Trouble::new(what, "write a whole number from 1 to 6").about(field)
    })
}

fn needed(field: &'static str) -> Trouble {
    Trouble::new("this must be known before a file can be written", "give it").about(field)
}
