//! What the water section of a forecast says: plain data.
//!
//! Names are a contract with programs that read the JSON. Grams, millilitres,
//! minutes, °C.

use serde::Serialize;

/// Where each gram of water goes in one run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaterAnswer {
    /// Drawn in as vapour.
    pub intake_g: f64,
    /// Condensed in each cooler, from the first stage on.
    pub condensed_g: Vec<f64>,
    /// Liquid caught: drained, and in the sump at the end.
    pub separator_g: f64,
    /// Most in the sump at once, oil included.
    pub sump_ml: f64,
    /// What the sump holds.
    pub sump_capacity_ml: f64,
    /// Reaching the purifier: vapour, drops and overflow.
    pub to_purifier_g: f64,
    /// Of that, as drops the separator missed.
    pub carried_g: f64,
    /// Of that, overflow of an undrained sump.
    pub overflow_g: f64,
    /// Of that, while the tower stood below the PMV's opening pressure.
    pub below_pmv_g: f64,
    /// What an ideal gas would carry to the purifier: shown beside the real value only.
    pub to_purifier_ideal_g: f64,
    /// Leaving the drying bed for the cylinders; none where no bed is described.
    pub to_cylinder_g: Option<f64>,
    /// Minutes between drains, today's air; none where nothing condenses.
    pub drain_interval_min: Option<f64>,
    /// The same as a range: saturated air and much foam, to little foam.
    pub drain_interval: Option<Range>,
    /// How the interval comes about.
    pub drain_rule: String,
    /// Drains in this run and what to expect at each.
    pub drains: Vec<Drain>,
    /// Relative uncertainty of the vapour to the purifier.
    pub uncertainty: f64,
    /// What does not add up, as a share of what was drawn in.
    pub residual: f64,
}

/// A low, a middle and a high value.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Range {
    /// Pessimistic.
    pub low: f64,
    /// Most likely.
    pub mid: f64,
    /// Optimistic.
    pub high: f64,
}

/// One drain.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Drain {
    /// When, s.
    pub t_s: f64,
    /// Liquid to expect, mL.
    pub ml: f64,
}

/// The drying bed after the run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PurifierAnswer {
    /// Water held at the start of the run.
    pub held_before_g: f64,
    /// Water held after it.
    pub held_g: f64,
    /// Water that crept in while the machine stood without pressure, g: an estimate.
    pub crept_in_g: Option<Range>,
    /// Running hours left at the conditions of this run.
    pub remaining_h: Range,
    /// Most likely hours left in rooms of other temperatures, all else as in this run.
    pub rooms: Vec<RoomHours>,
    /// Hours left over a year between the coldest and warmest month of the station file.
    pub over_a_year_h: Option<Range>,
    /// What makes the range as wide as it is.
    pub mostly: &'static str,
    /// Frost point of the air leaving the bed, at 1 atm, °C.
    pub outlet_frost_point_c: f64,
    /// True where it is that or lower: drier than the formulas reach.
    pub outlet_frost_point_or_below: bool,
    /// Water in the air leaving the bed, mg per m³ at 20 °C and 1 atm.
    pub outlet_mg_m3: f64,
    /// The dryness up to which hours are counted.
    pub limit: String,
    /// Notes on the beds' order and condition.
    pub notes: Vec<String>,
}

impl PurifierAnswer {
    /// Hours counted while air passes, told in hours of the machine: so many of these to one.
    pub(crate) fn in_hours_of(mut self, meter: f64) -> PurifierAnswer {
        self.remaining_h = self.remaining_h.times(meter);
        self.over_a_year_h = self.over_a_year_h.map(|year| year.times(meter));
        for room in &mut self.rooms {
            room.hours *= meter;
        }
        self
    }
}

impl Range {
    /// All three, times a number that is not negative.
    pub(crate) fn times(self, factor: f64) -> Range {
        Range {
            low: self.low * factor,
            mid: self.mid * factor,
            high: self.high * factor,
        }
    }
}

/// Hours left in a room of one temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RoomHours {
    /// Air temperature at the machine, °C.
    pub air_c: f64,
    /// Most likely hours left.
    pub hours: f64,
    /// The same as a share of that at 20 °C.
    pub relative_to_20c: f64,
}

/// What one PMV setting means for the water.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PmvSetting {
    /// Opening pressure, bar gauge.
    pub opens_bar: f64,
    /// Closing pressure, bar gauge.
    pub closes_bar: f64,
    /// Water to the purifier in the first fill, g.
    pub to_purifier_g: f64,
    /// Of that, while the tower stood below this setting.
    pub below_pmv_g: f64,
    /// Minutes between drains; none where nothing condenses.
    pub drain_interval_min: Option<f64>,
    /// Hours of a fresh cartridge at this rate; none where no drying bed is described.
    pub cartridge_h: Option<Range>,
    /// All full after, s.
    pub full_s: Option<f64>,
}
