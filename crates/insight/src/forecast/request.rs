//! What a forecast is asked: which cylinders, from where, in what air, until when.

use crate::fault::Fault;
use physics::purifier::Adsorbent;
use quantity::{Fraction, GaugePressure, Temperature, TimeSpan};
use thiserror::Error;

/// What to forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Cylinders in the order they are filled; empty: the station's first.
    pub cylinders: Vec<CylinderStart>,
    /// Air at the intake today; else the station file's.
    pub intake_temperature: Option<Temperature>,
    /// Relative humidity today; else the station file's.
    pub humidity: Option<Fraction>,
    /// Tower gauge before the start; else the station file's, else the pressure the PMV keeps.
    pub tower: Option<GaugePressure>,
    /// When the compressor is stopped.
    pub until: Until,
    /// Stop filling at this gauge pressure instead of the cylinder's rating.
    pub stop_at: Option<GaugePressure>,
    /// Time between cylinders on one whip, with the machine stopped.
    pub change_over: TimeSpan,
    /// Cylinders stand in still water instead of air.
    pub water_bath: bool,
    /// When the sump is drained.
    pub drain: DrainPlan,
    /// Running time of the cartridge before this run; else the station file's hours, else fresh.
    pub cartridge_age: Option<TimeSpan>,
    /// Adsorbents the owner has data for, beside those known here.
    pub adsorbents: Vec<Adsorbent>,
    /// How long the machine has stood since the last run: matters where the tower
    /// has leaked down or stood open.
    pub stored: Option<TimeSpan>,
    /// PMV opening pressures to compare, beside the run itself.
    pub compare_pmv: Vec<GaugePressure>,
    /// What is wrong with the station.
    pub faults: Vec<Fault>,
    /// Members of the ensemble behind the bands.
    pub members: usize,
    /// Seed of the ensemble: the same seed gives the same bands.
    pub seed: u64,
    /// Time between samples.
    pub sample_every: TimeSpan,
}

/// A cylinder and its pressure before filling.
#[derive(Debug, Clone, PartialEq)]
pub struct CylinderStart {
    /// Name of a cylinder, or of a cylinder kind.
    pub id: String,
    /// Gauge pressure; else the station file's, else 50 bar.
    pub start: Option<GaugePressure>,
}

/// When the compressor is stopped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Until {
    /// When the last cylinder is full.
    Full,
    /// After this time, full or not: what happens when nobody stops it.
    For(TimeSpan),
}

/// When the sump is drained.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DrainPlan {
    /// At the computed interval, and when the machine stops.
    WhenDue,
    /// At this interval, and when the machine stops.
    Every(TimeSpan),
    /// Never: what a forgotten drain does.
    Never,
}

impl Default for Request {
    fn default() -> Request {
        Request {
            cylinders: Vec::new(),
            intake_temperature: None,
            humidity: None,
            tower: None,
            until: Until::Full,
            stop_at: None,
            change_over: TimeSpan::minute(4.0),
            water_bath: false,
            drain: DrainPlan::WhenDue,
            cartridge_age: None,
            adsorbents: Vec::new(),
            stored: None,
            compare_pmv: Vec::new(),
            faults: Vec::new(),
            members: 200,
            seed: 1,
            sample_every: TimeSpan::minute(1.0),
        }
    }
}

/// Why there is no forecast.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ForecastError {
    /// Something that must not be done is not forecast either.
    #[error("refused: {why}. {way_forward}")]
    Refused {
        /// The reason.
        why: String,
        /// What can be done instead.
        way_forward: String,
    },
    /// The request does not fit the station file.
    #[error("{what}. {remedy}")]
    Unfit {
        /// What does not fit.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// The machine described cannot be computed.
    #[error(
        "the machine as described cannot be computed: {0}. Check [compressor] in the station file"
    )]
    Machine(#[from] physics::machine::MachineError),
    /// The plant described cannot be run.
    #[error("the station as described cannot be run: {0}. Check the station file")]
    Plant(#[from] physics::sim::PlantError),
    /// The moisture model has no answer for this air.
    #[error("the water of this run cannot be followed: {0}")]
    Moist(#[from] physics::moist::MoistError),
    /// The water ledger cannot go on.
    #[error("the water of this run cannot be followed: {0}")]
    Water(#[from] physics::water::WaterError),
    /// The purifier described cannot be computed.
    #[error(
        "the purifier as described cannot be computed: {0}. Check [purifier] in the station file"
    )]
    Purifier(#[from] physics::purifier::PurifierError),
    /// The gas model refused a state of this station.
    #[error("the gas model has no answer for this station: {0}")]
    Gas(#[from] physics::gas::GasError),
}

impl From<physics::heat::FilmError> for ForecastError {
    fn from(error: physics::heat::FilmError) -> ForecastError {
        match error {
            physics::heat::FilmError::Gas(gas) => gas.into(),
            physics::heat::FilmError::Curve(curve) => ForecastError::Machine(curve.into()),
        }
    }
}

impl From<physics::curve::CurveError> for ForecastError {
    fn from(error: physics::curve::CurveError) -> ForecastError {
        ForecastError::Machine(error.into())
    }
}
