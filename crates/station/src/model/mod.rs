//! What a station is: plain data, every measure a quantity with its own type.
//!
//! Start at [`Station`]. Fields that are `Option` are either not fitted or not known; every
//! other field holds what the file says or the default named in its documentation, and each
//! default taken is listed in [`Reading::assumed`](crate::Reading::assumed).
//! Not here: how the values are read ([`crate::read`]) and whether they agree with each other.

mod air_path;
mod cylinders;

use quantity::{
    AbsolutePressure, Concentration, FlowRate, Fraction, GaugePressure, Length, Mass, Power,
    PressureDifference, Speed, Temperature, TemperatureDifference, TimeSpan, UnitSystem, Volume,
};

use crate::date::Date;

pub use air_path::{AirPath, Element};
pub use cylinders::{Bank, Capacity, Cylinder, CylinderKind, Vessel};

/// A machine with everything bolted to it, as one file describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// What people call it.
    pub name: String,
    /// Whose it is.
    pub owner: Option<String>,
    /// Pressure of the surrounding air: given, or from the altitude, or 1013.25 mbar.
    pub ambient_pressure: AbsolutePressure,
    /// Height of the site above sea level, where the file gives that instead of the pressure.
    pub altitude: Option<Length>,
    /// Units for showing results.
    pub units: UnitSystem,
    /// True for demonstration data: no such station exists.
    pub invented: bool,
    /// The air drawn in.
    pub intake: Intake,
    /// The machine itself.
    pub compressor: Compressor,
    /// Where water is thrown out after the last cooler.
    pub separator: Separator,
    /// Where the remaining water and oil are held back.
    pub purifier: Purifier,
    /// The pressurised housing of separator and purifier.
    pub tower: Tower,
    /// What the air meets after the last stage, in order.
    pub air_path: AirPath,
    /// Pressure maintaining valve; none fitted without `[pmv]`.
    pub pmv: Option<Pmv>,
    /// Final relief valve; none fitted without `[relief]`.
    pub relief: Option<Relief>,
    /// Burst disc; none fitted without `[burst_disc]`.
    pub burst_disc: Option<BurstDisc>,
    /// Tower vent; none fitted without `[vent]`.
    pub vent: Option<Vent>,
    /// Fill hoses and the panel behind the last element of the air path.
    pub whip: Whip,
    /// Gauges, in file order.
    pub gauges: Vec<Gauge>,
    /// Storage cylinders piped to the station, in file order.
    pub banks: Vec<Bank>,
    /// Kinds of cylinder that are filled here, in file order.
    pub cylinder_kinds: Vec<CylinderKind>,
    /// Cylinders known one by one, in file order.
    pub cylinders: Vec<Cylinder>,
    /// How far the real machine may lie from the figures.
    pub tolerances: Tolerances,
    /// What is known of this moment.
    pub now: Now,
}

/// The air drawn in.
#[derive(Clone, Debug, PartialEq)]
pub struct Intake {
    /// Its temperature; 20 °C when not given.
    pub temperature: Temperature,
    /// Its relative humidity; 60 % when not given.
    pub humidity: Fraction,
    /// Mean temperature of the coldest month where the machine stands.
    pub coldest_month: Option<Temperature>,
    /// Mean temperature of the warmest month there.
    pub warmest_month: Option<Temperature>,
    /// Where the intake stands.
    pub place: Option<Place>,
}

/// Where the compressor draws its air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// In the open.
    Outdoors,
    /// In a room.
    Indoors,
}

/// The compressor.
#[derive(Clone, Debug, PartialEq)]
pub struct Compressor {
    /// Highest pressure it is run to.
    pub working_pressure: GaugePressure,
    /// How much air it moves, in the form the owner knows it.
    pub output: Output,
    /// Number of stages: as given, as listed, or 3 up to 250 bar and 4 above.
    pub stage_count: usize,
    /// Turning speed; always present with [`Output::Stages`].
    pub speed: Option<Speed>,
    /// What turns it.
    pub drive: Option<Drive>,
    /// Shaft power of the motor or engine.
    pub power: Option<Power>,
    /// How far above the surrounding air each cooler leaves the gas; 10 K when not given.
    pub cooler_approach: TemperatureDifference,
    /// Exponent of compression; 1.3 when not given.
    pub polytropic_exponent: f64,
    /// Dead space as part of the swept volume; 5 % when not given.
    pub clearance: Fraction,
    /// Oil in the air leaving the last stage.
    pub oil_carry_over: Option<Concentration>,
}

/// How much air the compressor moves: exactly one way of saying it.
#[derive(Clone, Debug, PartialEq)]
pub enum Output {
    /// Free air a minute, timed by filling 10 L from 0 to 200 bar.
    ChargingRate(FlowRate),
    /// Free air a minute at the intake.
    FreeAirDelivery(FlowRate),
    /// The cylinders themselves, first stage first.
    Stages(Vec<Stage>),
    /// Measured: at least two rows, pressure rising.
    Delivery(Vec<DeliveryPoint>),
}

/// One stage of the compressor.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// Volume swept in one turn.
    pub swept_volume: Volume,
    /// Dead space as part of the swept volume; the compressor's when not given.
    pub clearance: Fraction,
    /// Highest pressure its parts are made for.
    pub rated_pressure: Option<GaugePressure>,
    /// Pressure at which its own relief valve lifts.
    pub relief: Option<GaugePressure>,
    /// Exponent of compression; the compressor's when not given.
    pub polytropic_exponent: f64,
    /// Cooler approach after it; the compressor's when not given.
    pub cooler_approach: TemperatureDifference,
}

/// One row of the measured delivery.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeliveryPoint {
    /// Pressure against which it was measured.
    pub at: GaugePressure,
    /// Free air moved.
    pub free_air: FlowRate,
}

/// What turns the compressor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drive {
    /// Electric motor.
    Electric,
    /// Petrol engine: carbon monoxide near the intake.
    Petrol,
    /// Diesel engine: carbon monoxide near the intake.
    Diesel,
}

/// Where water is thrown out after the last cooler.
#[derive(Clone, Debug, PartialEq)]
pub struct Separator {
    /// Gas space; 0.5 L when not given.
    pub volume: Volume,
    /// What the sump holds before water is carried over; 90 mL when not given.
    pub sump_volume: Volume,
    /// Part of the liquid it catches; 98 % when not given.
    pub efficiency: Fraction,
    /// How often it is drained; 15 min when not given.
    pub drain_interval: TimeSpan,
    /// Bore of the drain; 2 mm when not given.
    pub drain_bore: Length,
}

/// Where the remaining water and oil are held back.
#[derive(Clone, Debug, PartialEq)]
pub struct Purifier {
    /// Gas space; 1.5 L when not given.
    pub volume: Volume,
    /// Day the cartridge was changed.
    pub changed: Option<Date>,
    /// Running hours of the compressor at that change.
    pub changed_at_hours: Option<TimeSpan>,
    /// Cartridge life the maker states.
    pub rated_hours: Option<TimeSpan>,
    /// Narrowest passage; none means no restriction worth counting.
    pub flow_bore: Option<Length>,
    /// Beds in the order the air meets them.
    pub beds: Vec<Bed>,
}

/// One bed of the purifier.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// What it is for.
    pub kind: BedKind,
    /// What it is filled with, as typed.
    pub adsorbent: Option<String>,
    /// Mass of the filling.
    pub mass: Mass,
    /// Inside diameter.
    pub diameter: Option<Length>,
    /// Length in the direction of flow.
    pub length: Option<Length>,
}

/// What a bed is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BedKind {
    /// Holds water.
    Drying,
    /// Holds oil vapour and smell.
    Carbon,
    /// Turns carbon monoxide into carbon dioxide, while it is dry.
    Catalyst,
}

/// The pressurised housing of separator and purifier.
#[derive(Clone, Debug, PartialEq)]
pub struct Tower {
    /// Highest pressure it is made for, from its plate.
    pub rated_pressure: Option<GaugePressure>,
    /// Mass of metal that warms and cools with the gas; 10 kg when not given.
    pub wall_mass: Mass,
    /// What it is made of; aluminium when not given.
    pub material: Material,
    /// Free air lost at working pressure.
    pub leak: Option<FlowRate>,
}

/// What a pressure vessel is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Steel.
    Steel,
    /// Aluminium alloy.
    Aluminium,
    /// A liner wrapped in fibre.
    Composite,
}

/// How a valve moves between shut and open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// Jumps from one to the other.
    Snap,
    /// Opens further as the pressure rises.
    Proportional,
}

/// Pressure maintaining valve.
#[derive(Clone, Debug, PartialEq)]
pub struct Pmv {
    /// Pressure before it at which it opens.
    pub opens: GaugePressure,
    /// Pressure before it at which it shuts again.
    pub closes: GaugePressure,
    /// How it moves; proportional when not given.
    pub action: Action,
    /// Its passage when fully open; 3 mm when not given.
    pub bore: Length,
    /// How far above `opens` it is fully open; 10 % of `opens` when not given.
    pub full_open_above: PressureDifference,
}

/// Final relief valve.
#[derive(Clone, Debug, PartialEq)]
pub struct Relief {
    /// Pressure at which it lifts.
    pub lifts: GaugePressure,
    /// Set pressure stamped on it or on its tag.
    pub stamped: Option<GaugePressure>,
    /// Pressure at which it shuts again; 90 % of `lifts` when not given.
    pub reseats: GaugePressure,
    /// How it moves; proportional when not given.
    pub action: Action,
    /// Its passage when fully lifted; 3 mm when not given.
    pub bore: Length,
    /// How far above `lifts` it is fully lifted; 10 % of `lifts` when not given.
    pub full_lift_above: PressureDifference,
}

/// Burst disc.
#[derive(Clone, Debug, PartialEq)]
pub struct BurstDisc {
    /// Pressure it is stamped for.
    pub bursts: GaugePressure,
    /// How far either side of that it may burst; 5 % when not given.
    pub tolerance: Fraction,
    /// Its passage once burst; 6 mm when not given.
    pub bore: Length,
}

/// Tower vent.
#[derive(Clone, Debug, PartialEq)]
pub struct Vent {
    /// Its passage; 2 mm when not given.
    pub bore: Length,
}

/// Fill hoses and the panel behind the last element of the air path.
#[derive(Clone, Debug, PartialEq)]
pub struct Whip {
    /// Gas space of all hoses and the panel together; 0.05 L when not given.
    pub volume: Volume,
    /// Fill hoses that can be used at once; 1 when not given.
    pub count: usize,
    /// Bore of the bleed; 1 mm when not given.
    pub bleed_bore: Length,
    /// Passage of the fill valve; 1.5 mm when not given.
    pub fill_bore: Length,
    /// Highest pressure the weakest hose is made for.
    pub rated_pressure: Option<GaugePressure>,
}

/// A pressure gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// What it is called.
    pub name: String,
    /// What it reads.
    pub reads: Reads,
    /// Full scale.
    pub span: GaugePressure,
    /// Accuracy class: greatest error in percent of the span; 1.6 when not given.
    pub class: f64,
    /// Smallest step that can be read off.
    pub resolution: Option<PressureDifference>,
}

impl Gauge {
    /// The most it may be off: its class in percent of its span (EN 837-1).
    pub fn greatest_error(&self) -> PressureDifference {
        PressureDifference::pascal(self.span.as_pascal() * self.class / 100.0)
    }
}

/// What a gauge reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// The tower, before the pressure maintaining valve.
    Tower,
    /// The line to the cylinders, after it.
    Line,
    /// After this stage, counted from 1.
    Stage(usize),
}

/// How far the real machine may lie from the figures, each as plus or minus.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerances {
    /// Of the air delivered; 5 % when not given.
    pub delivery: Fraction,
    /// Of the settings of the pressure maintaining valve; 5 % when not given.
    pub pmv: Fraction,
    /// Of the settings of the relief valve; 3 % when not given.
    pub relief: Fraction,
    /// Of the burst pressure; the disc's own when not given. None without a disc.
    pub burst_disc: Option<Fraction>,
    /// Of volumes; 3 % when not given.
    pub volume: Fraction,
    /// Of heat transfer; 30 % when not given.
    pub heat_transfer: Fraction,
    /// Of the intake temperature; 2 K when not given.
    pub intake_temperature: TemperatureDifference,
    /// Of the pressures at the start; from the gauges' classes when not given.
    pub start_pressure: Option<PressureDifference>,
}

/// What is known of this moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Now {
    /// Pressure in the tower.
    pub tower: Option<GaugePressure>,
    /// Pressure in the line to the cylinders.
    pub line: Option<GaugePressure>,
    /// Running hours of the compressor.
    pub hours: Option<TimeSpan>,
    /// Pressures in banks, by id.
    pub banks: Vec<(String, GaugePressure)>,
    /// Pressures in cylinders, by id.
    pub cylinders: Vec<(String, GaugePressure)>,
}
