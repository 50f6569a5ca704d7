//! What a run reports and what it can be told.

use super::rosenbrock::Effort;

/// Something that happened, with the whole station's readings at that moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// What happened.
    pub kind: EventKind,
    /// Readings at that moment, after the switch.
    pub snapshot: Snapshot,
}

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// The compressor was started.
    CompressorStarted,
    /// The compressor was stopped.
    CompressorStopped,
    /// A valve opened: index into the plant's valves.
    ValveOpened(usize),
    /// A valve closed.
    ValveClosed(usize),
    /// A snap valve began to flutter too fast to see and is taken as holding.
    ValveHolding(usize),
    /// A disc burst.
    DiscBurst(usize),
    /// A hand valve was moved.
    HandMoved(usize),
}

/// One vessel at one moment. Pressure absolute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VesselReading {
    /// Pressure, Pa.
    pub p_pa: f64,
    /// Gas temperature, K.
    pub t_k: f64,
    /// Wall temperature, K (the gas's where no wall is modelled).
    pub wall_k: f64,
    /// Gas held, kg.
    pub mass_kg: f64,
}

/// The whole station at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapshot {
    /// Time since the start, s.
    pub t_s: f64,
    /// One reading a vessel, in the plant's order.
    pub vessels: Vec<VesselReading>,
}

/// Something an operator does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Control {
    /// Start (true) or stop the compressor.
    Compressor(bool),
    /// Set a hand valve's opening, 0..1.
    Hand {
        /// Which hand valve.
        valve: usize,
        /// How far open, 0 shut to 1 open.
        opening: f64,
    },
}

/// A pressure at which [`super::Sim::advance`] returns to its caller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watch {
    /// Which vessel.
    pub vessel: usize,
    /// Absolute pressure, Pa.
    pub threshold_pa: f64,
    /// On rising (else on falling) through it.
    pub rising: bool,
}

/// Why a run cannot go on.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StopReason {
    /// Gas in a vessel left the range of the gas model (as a rule: it would liquefy).
    #[error(
        "the gas in {vessel} left the range of the gas model near {:.1} bar absolute and {:.0} °C",
        p_pa / 1e5,
        t_k - 273.15
    )]
    GasOutOfRange {
        /// Name of the vessel.
        vessel: String,
        /// Last good pressure, Pa absolute.
        p_pa: f64,
        /// Last good temperature, K.
        t_k: f64,
    },
    /// The equations became too stiff to follow.
    #[error("the time step became too small at {t_s:.3} s")]
    StepTooSmall {
        /// When, s.
        t_s: f64,
    },
    /// Valves kept switching at one moment.
    #[error("the valves found no rest at {t_s:.3} s")]
    Unsettled {
        /// When, s.
        t_s: f64,
    },
    /// More steps than any run should need.
    #[error("the run was given up after {} steps", .effort.steps)]
    TooMuchWork {
        /// Work done.
        effort: Effort,
    },
}

/// What came in, went out and remained; residuals are what does not add up.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Delivered by the compressor, kg.
    pub mass_in_kg: f64,
    /// Let out through each link (zero for links between vessels), kg.
    pub mass_out_kg: Vec<f64>,
    /// Gain of all vessels − in + out, kg.
    pub mass_residual_kg: f64,
    /// The same as a share of the largest mass concerned.
    pub mass_residual: f64,
    /// Gain of gas and walls − enthalpy in + enthalpy out − heat, J.
    pub energy_residual_j: f64,
    /// The same as a share of the largest energy concerned.
    pub energy_residual: f64,
    /// Heat taken from the surroundings, J.
    pub heat_j: f64,
    /// Shaft work of the compressor, J.
    pub work_j: f64,
}
