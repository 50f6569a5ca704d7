//! What a forecast says: plain data, ready for a screen, a page or JSON.
//!
//! Names of fields are a contract with programs that read the JSON. Pressures
//! are gauge, in bar; temperatures in °C; times in seconds from the start.

use crate::water::answer::{PmvSetting, PurifierAnswer, WaterAnswer};
use serde::Serialize;

/// A whole forecast.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forecast {
    /// What the station calls itself.
    pub station: String,
    /// True where the station file is marked as invented.
    pub invented: bool,
    /// The run as specified, then in the ensemble.
    pub events: Vec<ForecastEvent>,
    /// Readings through time.
    pub samples: Vec<Sample>,
    /// Each cylinder's end.
    pub cylinders: Vec<CylinderEnd>,
    /// What would differ if no pressure maintaining valve were fitted.
    pub without_pmv: Option<WithoutPmv>,
    /// Where the water goes; none where the moisture model has no answer.
    pub water: Option<WaterAnswer>,
    /// Why there is no water section.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_missing: Option<String>,
    /// The drying bed; none where the station file describes none.
    pub purifier: Option<PurifierAnswer>,
    /// Other settings of the PMV, where asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pmv_settings: Vec<PmvSetting>,
    /// What came, went and remained; residuals as shares.
    pub balance: BalanceAnswer,
    /// Why the run ended.
    pub stopped_because: String,
    /// Members of the ensemble behind the bands.
    pub members: usize,
    /// Members that could not be run to their end, with why (as a rule none).
    pub members_failed: Vec<String>,
    /// What was taken for granted, beyond the station file's own defaults.
    pub assumed: Vec<Assumption>,
    /// Work of the run as specified, for benches and the curious.
    pub effort: EffortAnswer,
}

/// A value with the band that holds 90 % of runs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Five in a hundred lie below.
    pub low: f64,
    /// Half lie below.
    pub median: f64,
    /// Five in a hundred lie above.
    pub high: f64,
}

/// Something that happens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ForecastEvent {
    /// When, in the run as specified, s.
    pub t_s: f64,
    /// What: `compressor_started`, `pmv_opened`, `pmv_closed`, `pmv_holding`, `full`,
    /// `compressor_stopped`, `relief_lifted`, `relief_reseated`, `relief_holding`,
    /// `disc_burst`, `bleed_opened`, `bleed_closed`, `drain_due`, `cooled`.
    pub kind: &'static str,
    /// Which cylinder, where it concerns one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<String>,
    /// Tower gauge pressure then.
    pub tower_bar: f64,
    /// Pressure in the line to the cylinders then.
    pub line_bar: f64,
    /// When it happens in the ensemble, s; none where too few members have it.
    pub when: Option<Band>,
    /// Share of members in which it happens at all.
    pub share: f64,
}

/// The readings at one moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sample {
    /// Time, s.
    pub t_s: f64,
    /// Tower gauge, run as specified.
    pub tower_bar: f64,
    /// Gas in the tower.
    pub tower_c: f64,
    /// Line to the cylinders.
    pub line_bar: f64,
    /// Pressures after each stage but the last, as their gauges would read; empty when stopped
    /// or not known.
    pub stages_bar: Vec<f64>,
    /// Whether the compressor runs.
    pub running: bool,
    /// Tower gauge in the ensemble.
    pub tower: Band,
    /// Each cylinder.
    pub cylinders: Vec<CylinderSample>,
}

/// One cylinder at one moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CylinderSample {
    /// Its name.
    pub id: String,
    /// Pressure, run as specified.
    pub bar: f64,
    /// Gas temperature.
    pub gas_c: f64,
    /// Wall temperature.
    pub wall_c: f64,
    /// Pressure in the ensemble.
    pub band: Band,
}

/// How one cylinder ends up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CylinderEnd {
    /// Its name.
    pub id: String,
    /// Its kind in the station file.
    pub kind: String,
    /// Water volume, litres.
    pub water_litres: f64,
    /// Working (service) pressure stamped on it, as typed in the station file.
    pub rated: String,
    /// The same in bar.
    pub rated_bar: f64,
    /// Pressure at the start.
    pub start_bar: f64,
    /// Gauge pressure at which filling stops.
    pub stop_bar: f64,
    /// When it is full, s, run as specified; none where it does not get there.
    pub full_s: Option<f64>,
    /// When it is full in the ensemble.
    pub full: Option<Band>,
    /// Settled at 15 °C, run as specified.
    pub settled_bar_15c: f64,
    /// Settled at 21.1 °C (70 °F), run as specified.
    pub settled_bar_21c: f64,
    /// Settled at 15 °C in the ensemble.
    pub settled_15c: Band,
    /// Settled at 21.1 °C in the ensemble.
    pub settled_21c: Band,
    /// What the gauge would have to show when filling stops for it to settle to its
    /// rating at its reference temperature.
    pub stop_for_rating_bar: f64,
    /// That reference temperature: 15 °C, or 21.1 °C for a service pressure stamped in psi.
    pub reference_c: f64,
    /// Hottest gas.
    pub gas_c_max: f64,
    /// Hottest wall.
    pub wall_c_max: f64,
    /// Fastest rise of pressure over one minute, bar/min.
    pub fastest_bar_min: f64,
    /// Air held at the end, kg.
    pub air_kg: f64,
    /// Air put in, kg.
    pub air_added_kg: f64,
    /// Air held, as litres of free air at 15 °C and 1 atm.
    pub free_litres: f64,
}

/// What would differ without a pressure maintaining valve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WithoutPmv {
    /// First air into the line, s, with and without.
    pub first_air_s: (Option<f64>, Option<f64>),
    /// All full, s, with and without.
    pub full_s: (Option<f64>, Option<f64>),
    /// Lowest tower pressure while air passes to the line, bar, with and without.
    /// None where no air passes.
    pub lowest_tower_bar: (Option<f64>, Option<f64>),
    /// Share of the delivered air that passed the purifier below the valve's opening pressure,
    /// with and without.
    pub share_below_opening: (f64, f64),
    /// Water to the purifier, g, with and without; none where it is not known.
    pub to_purifier_g: Option<(f64, f64)>,
}

/// What came, went and remained.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BalanceAnswer {
    /// Mass that does not add up, as a share.
    pub mass: f64,
    /// Energy that does not add up, as a share.
    pub energy: f64,
    /// Delivered by the compressor, kg.
    pub delivered_kg: f64,
    /// Let out to the air: by name, kg.
    pub let_out_kg: Vec<(String, f64)>,
    /// Work given to the air by the compressor, kWh.
    pub work_kwh: f64,
}

/// Something taken for granted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Assumption {
    /// What.
    pub what: String,
    /// Why that value.
    pub why: String,
}

/// Work done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct EffortAnswer {
    /// Steps accepted.
    pub steps: u64,
    /// Steps rejected.
    pub rejected: u64,
    /// Evaluations of the equations.
    pub evaluations: u64,
}
