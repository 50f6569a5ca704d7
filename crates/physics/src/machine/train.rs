//! Stages in series: interstage pressures from continuity.
//!
//! Every stage passes the same mass in the same time (what condenses between
//! them, some per cent at most, is left to the water ledger):
//!
//! ṁ = ρᵢ·V̇ᵢ·λᵢ·(1 − cᵢ·((pᵢ₊₁/pᵢ)^(1/nᵢ) − 1))
//!
//! Start at [`Train::operating_point`]. Not here: the run (see [`crate::sim`]).

use super::stage::{discharge_temperature, equal_ratio, polytropic_work, volumetric_efficiency};
use crate::gas::{Gas, GasError, Isotherm};
use std::sync::Arc;
use thiserror::Error;

/// Clearance below which a stage counts as having this much.
const LEAST_CLEARANCE: f64 = 1e-3;
/// Where the gas model's isotherms end, Pa.
const HIGHEST_PA: f64 = 500e5;
/// Stands for a discharge beyond that.
const FAR_BEYOND: f64 = 3.0;

/// Why the machine cannot be computed.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MachineError {
    /// No stages at all.
    #[error("a compressor needs at least one stage")]
    NoStages,
    /// The pressure cannot be reached: some stage's clearance lets no air through.
    #[error("with {stages} stages the machine cannot reach {:.0} bar absolute", p_pa / 1e5)]
    CannotReach {
        /// Number of stages.
        stages: usize,
        /// Discharge pressure, Pa absolute.
        p_pa: f64,
    },
    /// The gas model refused a state.
    #[error(transparent)]
    Gas(#[from] GasError),
    /// A curve over pressure could not be made.
    #[error(transparent)]
    Curve(#[from] crate::curve::CurveError),
}

/// One stage of a compressor.
#[derive(Debug, Clone)]
pub struct Stage {
    /// Swept volume times speed, m³/s.
    pub displacement: f64,
    /// Clearance as a share of the swept volume, 1.
    pub clearance: f64,
    /// Polytropic exponent of compression and re-expansion, 1.
    pub n: f64,
    /// λ: share of the geometric intake left by valve losses, heating, leakage
    /// past rings and back through valves, 1.
    pub intake_factor: f64,
    /// Gas along the suction temperature of this stage.
    pub suction: Arc<Isotherm>,
}

/// A compressor with its stages in the order of the air.
#[derive(Debug, Clone)]
pub struct Train {
    /// From the intake to the last stage.
    pub stages: Vec<Stage>,
    /// Specific gas constant, J/(kg·K).
    pub r_specific: f64,
}

/// One steady state of a compressor.
#[derive(Debug, Clone, PartialEq)]
pub struct OperatingPoint {
    /// Mass flow, kg/s.
    pub mass: f64,
    /// Suction pressure of each stage, Pa absolute; the first is the intake.
    pub suction_pa: Vec<f64>,
    /// Gas temperature at the discharge of each stage, K.
    pub discharge_k: Vec<f64>,
    /// Power given to the gas, W (indicated; the motor must also turn the machine).
    pub power_w: f64,
}

impl Train {
    /// The steady state between intake and discharge pressure.
    ///
    /// Where a discharge lies below what the stage before it would build up,
    /// the valves of the stages behind simply blow open: their suction is taken
    /// as the discharge.
    ///
    /// **Errors** [`MachineError::CannotReach`] where no positive flow remains.
    pub fn operating_point(
        &self,
        intake_pa: f64,
        p_pa: f64,
    ) -> Result<OperatingPoint, MachineError> {
        let first = self.stages.first().ok_or(MachineError::NoStages)?;
        let most = density(&first.suction, intake_pa) * first.displacement * first.intake_factor;
        let mut suction_pa = Vec::with_capacity(self.stages.len());
        // the discharge reached falls as the flow rises
        let mut beyond = |mass: f64| {
            let reached = self.pushed_to(mass, intake_pa, &mut suction_pa);
            if reached.is_finite() {
                (reached / p_pa).ln()
            } else {
                FAR_BEYOND
            }
        };
        let (mut low, mut high) = (most * 1e-4, most);
        let (mut f_low, mut f_high) = (beyond(low), beyond(high));
        if f_low < 0.0 {
            return Err(MachineError::CannotReach {
                stages: self.stages.len(),
                p_pa,
            });
        }
        while high - low > 1e-12 * most && f_high < 0.0 {
            let share = (f_low / (f_low - f_high)).clamp(0.01, 0.99);
            let middle = low + share * (high - low);
            let f = beyond(middle);
            if f > 0.0 {
                (low, f_low) = (middle, f);
                f_high *= 0.5;
            } else {
                (high, f_high) = (middle, f);
                f_low *= 0.5;
            }
        }
        beyond(high);
        Ok(self.point(high, suction_pa, p_pa))
    }

    /// The discharge to which `mass` is pushed from the intake, and the suction
    /// pressures on the way: continuity solved for p₂ stage by stage,
    ///
    /// p₂ = p₁·max(1, 1 + (1 − ṁ/(ρ₁·V̇·λ))/c)^n
    fn pushed_to(&self, mass: f64, intake_pa: f64, suction_pa: &mut Vec<f64>) -> f64 {
        suction_pa.clear();
        let mut p = intake_pa;
        for stage in &self.stages {
            suction_pa.push(p);
            let swallowed = density(&stage.suction, p) * stage.displacement * stage.intake_factor;
            let clearance = stage.clearance.max(LEAST_CLEARANCE);
            p *= (1.0 + (1.0 - mass / swallowed) / clearance)
                .max(1.0)
                .powf(stage.n);
            if p.is_nan() || p > HIGHEST_PA {
                return f64::INFINITY;
            }
        }
        p
    }

    fn point(&self, mass: f64, suction_pa: Vec<f64>, p_pa: f64) -> OperatingPoint {
        let (mut discharge_k, mut power_w) = (Vec::new(), 0.0);
        for (i, stage) in self.stages.iter().enumerate() {
            let p1 = suction_pa[i];
            let p2 = suction_pa.get(i + 1).copied().unwrap_or(p_pa);
            let ratio = (p2 / p1).max(1.0);
            let t1 = stage.suction.t_k();
            let z = p1 / (density(&stage.suction, p1) * self.r_specific * t1);
            discharge_k.push(discharge_temperature(t1, ratio, stage.n));
            power_w += mass * z * polytropic_work(t1, ratio, stage.n, self.r_specific);
        }
        OperatingPoint {
            mass,
            suction_pa,
            discharge_k,
            power_w,
        }
    }
}

fn density(isotherm: &Isotherm, p_pa: f64) -> f64 {
    isotherm.at(p_pa).map_or(f64::NAN, |point| point.rho)
}

/// What a machine is sized by when its cylinders are not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizing {
    /// Number of stages.
    pub stages: u32,
    /// Mass flow wanted at the working pressure, kg/s.
    pub mass: f64,
    /// Intake pressure, Pa absolute.
    pub intake_pa: f64,
    /// Working pressure, Pa absolute.
    pub working_pa: f64,
    /// Temperature at the intake, K.
    pub intake_k: f64,
    /// Temperature of the air after each cooler, K.
    pub cooled_k: f64,
    /// Clearance, 1.
    pub clearance: f64,
    /// Polytropic exponent, 1.
    pub n: f64,
}

/// A compressor with equal pressure ratios at its working pressure that
/// delivers the flow wanted there: the swept volumes follow.
///
/// Equal ratios need the least work; real machines come close (common
/// practice, no source).
pub fn sized_for(gas: &Gas, sizing: Sizing) -> Result<Train, MachineError> {
    let ratio = equal_ratio(sizing.intake_pa, sizing.working_pa, sizing.stages);
    let intake = Arc::new(gas.isotherm(sizing.intake_k)?);
    let cooled = Arc::new(gas.isotherm(sizing.cooled_k)?);
    let efficiency = volumetric_efficiency(sizing.clearance, ratio, sizing.n);
    let stages = (0..sizing.stages).map(|i| {
        let suction = if i == 0 {
            intake.clone()
        } else {
            cooled.clone()
        };
        let p = sizing.intake_pa * ratio.powi(i as i32);
        let displacement = sizing.mass / (density(&suction, p) * efficiency);
        let (clearance, n) = (sizing.clearance, sizing.n);
        Stage {
            displacement,
            clearance,
            n,
            intake_factor: 1.0,
            suction,
        }
    });
    let train = Train {
        stages: stages.collect(),
        r_specific: gas.composition().specific_gas_constant(),
    };
    if train.stages.is_empty() {
        return Err(MachineError::NoStages);
    }
    Ok(train)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gas::Composition;

    fn reference(stages: u32, working_pa: f64) -> (Train, Sizing) {
        let gas = Gas::new(Composition::dry_air());
        let sizing = Sizing {
            stages,
            mass: 0.002,
            intake_pa: 1.01325e5,
            working_pa,
            intake_k: 293.15,
            cooled_k: 293.15,
            clearance: 0.05,
            n: 1.3,
        };
        (sized_for(&gas, sizing).unwrap(), sizing)
    }

    /// At the pressure it was sized for, continuity gives back the equal ratios
    /// of the design (identity), with the interstage pressures, temperature and
    /// work of the textbook case of four equal stages to 300 bar gauge.
    #[test]
    fn sizing_and_continuity_agree() {
        let (train, sizing) = reference(4, 301.01325e5);
        let point = train
            .operating_point(sizing.intake_pa, sizing.working_pa)
            .unwrap();
        assert!(
            (point.mass / sizing.mass - 1.0).abs() < 1e-9,
            "flow {}",
            point.mass
        );
        for (got, want) in point.suction_pa[1..].iter().zip([4.207, 17.464, 72.505]) {
            assert!(
                (got / 1e5 / want - 1.0).abs() < 2e-4,
                "{got} Pa, expected {want} bar"
            );
        }
        for t in &point.discharge_k {
            assert!((t - 273.15 - 134.00).abs() < 0.02, "{t} K");
        }
        // 682.994 kJ per m³ of free air as an ideal gas; real air within 2 %
        let per_m3 = point.power_w / (point.mass / 1.2041) / 1e3;
        assert!((per_m3 / 682.994 - 1.0).abs() < 0.02, "{per_m3} kJ/m³");
    }

    /// Continuity itself: every stage passes the same mass, at every pressure.
    #[test]
    fn every_stage_passes_the_same_mass() {
        let (train, sizing) = reference(3, 226.01325e5);
        let mut before = f64::INFINITY;
        for bar in (40..=300).step_by(5) {
            let p = f64::from(bar) * 1e5;
            let point = train.operating_point(sizing.intake_pa, p).unwrap();
            for (i, stage) in train.stages.iter().enumerate() {
                let p1 = point.suction_pa[i];
                let p2 = point.suction_pa.get(i + 1).copied().unwrap_or(p);
                let blown_open = i > 0 && p1 >= p2 * (1.0 - 1e-9);
                let eta = volumetric_efficiency(stage.clearance, p2 / p1, stage.n);
                let mass = density(&stage.suction, p1) * stage.displacement * eta;
                assert!(
                    blown_open || (mass / point.mass - 1.0).abs() < 1e-6,
                    "{bar} bar stage {i}"
                );
            }
            assert!(point.mass < before, "flow falls with pressure: {bar} bar");
            before = point.mass;
        }
    }

    /// A leaking valve in stage k + 1 raises the pressure before it and leaves
    /// the flow nearly unchanged (fault table of the trade: "interstage high:
    /// the next stage's valves").
    #[test]
    fn a_leaking_stage_raises_the_pressure_before_it() {
        let (sound, sizing) = reference(3, 226.01325e5);
        let mut leaking = sound.clone();
        leaking.stages[2].intake_factor = 0.7;
        let a = sound
            .operating_point(sizing.intake_pa, sizing.working_pa)
            .unwrap();
        let b = leaking
            .operating_point(sizing.intake_pa, sizing.working_pa)
            .unwrap();
        assert!(
            b.suction_pa[2] > 1.2 * a.suction_pa[2],
            "{:?} {:?}",
            b.suction_pa,
            a.suction_pa
        );
        assert!(b.mass < a.mass && b.mass > 0.9 * a.mass);
    }

    #[test]
    fn unreachable_pressure_is_an_error() {
        let (train, sizing) = reference(1, 7e5);
        let result = train.operating_point(sizing.intake_pa, 300e5);
        assert!(
            matches!(result, Err(MachineError::CannotReach { stages: 1, .. })),
            "{result:?}"
        );
    }
}
