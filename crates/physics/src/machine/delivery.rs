//! What a compressor delivers against each tower pressure, prepared for the run.
//!
//! Not here: how the operating points come about (see [`super::Train`]).

use super::train::{MachineError, Train};
use crate::curve::Curve;
use crate::gas::Isotherm;
use std::sync::Arc;

/// Nodes over discharge pressure: denser at low pressure, where flow bends most.
const NODES: usize = 41;

/// Flow, enthalpy, power and interstage readings over discharge pressure.
#[derive(Debug, Clone)]
pub struct Delivery {
    flow: Curve,
    power: Curve,
    arriving: Arriving,
    interstage: Vec<Curve>,
    discharge_k: Vec<Curve>,
}

/// The enthalpy of the air as it arrives, over pressure.
///
/// One isotherm, or two with the temperature between (or a little outside)
/// them: enthalpy is so nearly linear in temperature that over 10 K the error
/// stays below 20 J/kg.
#[derive(Debug, Clone)]
pub struct Arriving {
    low: Arc<Isotherm>,
    /// The second isotherm and the share of the way to it.
    high: Option<(Arc<Isotherm>, f64)>,
}

impl Arriving {
    /// Along one temperature.
    pub fn at_one(isotherm: Arc<Isotherm>) -> Arriving {
        Arriving {
            low: isotherm,
            high: None,
        }
    }

    /// At `t_k`, from two isotherms near it.
    pub fn between(low: Arc<Isotherm>, high: Arc<Isotherm>, t_k: f64) -> Arriving {
        let gap = high.t_k() - low.t_k();
        let share = if gap.abs() > 1e-9 {
            (t_k - low.t_k()) / gap
        } else {
            0.0
        };
        Arriving {
            low,
            high: Some((high, share)),
        }
    }

    /// Enthalpy (J/kg) and its slope with pressure; nothing above 500 bar.
    fn enthalpy(&self, p_pa: f64) -> Option<(f64, f64)> {
        let low = self.low.at(p_pa)?;
        let Some((isotherm, share)) = &self.high else {
            return Some((low.h, low.dh_dp));
        };
        let high = isotherm.at(p_pa)?;
        let mix = |a: f64, b: f64| a + share * (b - a);
        Some((mix(low.h, high.h), mix(low.dh_dp, high.dh_dp)))
    }
}

/// What arrives in the tower at one pressure, with slopes over that pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delivered {
    /// Mass flow, kg/s.
    pub mass: f64,
    /// Its slope, kg/(s·Pa).
    pub mass_by_p: f64,
    /// Enthalpy of the air as it arrives, J/kg.
    pub h: f64,
    /// Its slope, J/(kg·Pa).
    pub h_by_p: f64,
    /// Power given to the gas, W.
    pub power: f64,
    /// Its slope, W/Pa.
    pub power_by_p: f64,
}

impl Delivery {
    /// The machine between the intake and up to `highest_pa`; air arrives
    /// as `arriving` says, cooled after the last stage.
    ///
    /// Where the machine can go no further the flow is zero from there on.
    pub fn of_train(
        train: &Train,
        intake_pa: f64,
        highest_pa: f64,
        arriving: Arriving,
    ) -> Result<Delivery, MachineError> {
        let stages = train.stages.len();
        let (mut flow, mut power) = (Vec::new(), Vec::new());
        let mut interstage = vec![Vec::new(); stages.saturating_sub(1)];
        let mut discharge_k = vec![Vec::new(); stages];
        for i in 0..NODES {
            let share = i as f64 / (NODES - 1) as f64;
            let p = intake_pa + (highest_pa - intake_pa) * share * share.sqrt();
            match train.operating_point(intake_pa, p) {
                Ok(point) => {
                    flow.push((p, point.mass));
                    power.push((p, point.power_w));
                    for (k, list) in interstage.iter_mut().enumerate() {
                        list.push((p, point.suction_pa[k + 1]));
                    }
                    for (list, t) in discharge_k.iter_mut().zip(&point.discharge_k) {
                        list.push((p, *t));
                    }
                }
                Err(MachineError::CannotReach { .. }) if flow.len() > 1 => {
                    flow.push((p, 0.0));
                    power.push((p, 0.0));
                    break;
                }
                Err(error) => return Err(error),
            }
        }
        let curves = |lists: Vec<Vec<(f64, f64)>>| {
            lists
                .iter()
                .map(|list| Curve::monotone(list))
                .collect::<Result<Vec<_>, _>>()
        };
        Ok(Delivery {
            flow: Curve::monotone(&flow)?,
            power: Curve::monotone(&power)?,
            arriving,
            interstage: curves(interstage)?,
            discharge_k: curves(discharge_k)?,
        })
    }

    /// A measured or assumed delivery: mass flow (kg/s) over absolute pressure
    /// (Pa) as a curve. Nothing is known of stages; power is not given.
    pub fn of_curve(flow: Curve, arriving: Arriving) -> Delivery {
        let power = Curve::constant(0.0);
        Delivery {
            flow,
            power,
            arriving,
            interstage: Vec::new(),
            discharge_k: Vec::new(),
        }
    }

    /// The flow of one description with the stages and power of another.
    #[must_use]
    pub fn with_stages_of(self, other: &Delivery) -> Delivery {
        Delivery {
            flow: self.flow,
            ..other.clone()
        }
    }

    /// The same machine with air arriving otherwise.
    #[must_use]
    pub fn with_arriving(&self, arriving: Arriving) -> Delivery {
        Delivery {
            arriving,
            ..self.clone()
        }
    }

    /// The same machine delivering `factor` times as much for the same work per kg.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Delivery {
        Delivery {
            flow: self.flow.scaled(factor),
            power: self.power.scaled(factor),
            ..self.clone()
        }
    }

    /// The same machine losing air past worn rings of its last stage: a share that
    /// grows with the discharge pressure and reaches `share` at `at_pa`. What is
    /// lost leaves through the crankcase; the work is done all the same.
    #[must_use]
    pub fn losing(&self, share: f64, at_pa: f64) -> Delivery {
        Delivery {
            flow: self.flow.tilted(-share / at_pa),
            ..self.clone()
        }
    }

    /// What arrives against `p_pa`; nothing where the gas model ends (500 bar).
    pub fn at(&self, p_pa: f64) -> Option<Delivered> {
        let (mass, mass_by_p) = self.flow.at(p_pa);
        let (power, power_by_p) = self.power.at(p_pa);
        let (h, h_by_p) = self.arriving.enthalpy(p_pa)?;
        Some(Delivered {
            mass,
            mass_by_p,
            h,
            h_by_p,
            power,
            power_by_p,
        })
    }

    /// Pressure before each stage after the first (Pa absolute) at this discharge pressure.
    pub fn interstage_pa(&self, p_pa: f64) -> Vec<f64> {
        self.interstage
            .iter()
            .map(|curve| curve.value(p_pa))
            .collect()
    }

    /// Temperature at each stage's discharge (K) at this discharge pressure.
    pub fn discharge_k(&self, p_pa: f64) -> Vec<f64> {
        self.discharge_k
            .iter()
            .map(|curve| curve.value(p_pa))
            .collect()
    }
}
