//! Relative humidity, and the ideal value people expect.

use super::air::Moist;
use super::error::{MoistError, amount, pressure, temperature};
use super::saturation::{
    ICE_T_RANGE_K, Phase, saturation_pressure_ice, saturation_pressure_liquid,
};

/// What an ideal gas would hold: p_sat/p. Shown beside the real value only:
/// at 300 bar and 20 °C it is 2.4 times too small.
///
/// **Errors** as [`Moist::saturated`]; [`MoistError::Supersaturated`] never:
/// p_sat is below the lowest pressure accepted.
/// **Source** Dalton's law.
pub fn ideal_mole_fraction(p_pa: f64, t_k: f64, phase: Phase) -> Result<f64, MoistError> {
    pressure(p_pa)?;
    temperature("moist air at", t_k, phase.t_range_k())?;
    let over_liquid = match phase {
        Phase::Liquid => true,
        Phase::Ice => false,
        Phase::Stable => t_k > ICE_T_RANGE_K.1,
    };
    let p_sat = if over_liquid {
        saturation_pressure_liquid(t_k)?
    } else {
        saturation_pressure_ice(t_k)?
    };
    Ok(p_sat / p_pa)
}

impl Moist {
    /// Relative humidity at absolute pressure `p_pa` and `t_k`: the mole
    /// fraction over that of saturated air, y/y_sat. At weather pressure this
    /// is the meteorologist's ratio of vapour pressures; at high pressure it
    /// differs little from the ratio of fugacities, as φ_w hardly depends on y.
    ///
    /// `phase` says against what: weather services use [`Phase::Liquid`] below
    /// freezing too.
    /// **Errors** as [`saturated`](Self::saturated);
    /// [`MoistError::Supersaturated`] above 1 (rounding to 1e-9 forgiven).
    pub fn relative_humidity(
        &self,
        p_pa: f64,
        t_k: f64,
        mole_fraction: f64,
        phase: Phase,
    ) -> Result<f64, MoistError> {
        let y = amount("mole fraction of water", mole_fraction)?;
        not_above_one(y / self.saturated(p_pa, t_k, phase)?.mole_fraction)
    }

    /// Mole fraction of water at `relative_humidity` (0 to 1), the way back.
    ///
    /// **Errors** as [`relative_humidity`](Self::relative_humidity).
    pub fn mole_fraction(
        &self,
        p_pa: f64,
        t_k: f64,
        relative_humidity: f64,
        phase: Phase,
    ) -> Result<f64, MoistError> {
        let share = not_above_one(amount("relative humidity", relative_humidity)?)?;
        Ok(share * self.saturated(p_pa, t_k, phase)?.mole_fraction)
    }

    /// Mole fraction of water of air at `t_k` whose dew point
    /// ([`Phase::Liquid`]), frost point ([`Phase::Ice`]) or first of the two
    /// ([`Phase::Stable`]) at this pressure is `point_k`.
    ///
    /// **Errors** [`MoistError::PointAboveAir`] if the air would be more than
    /// saturated; as [`saturated`](Self::saturated) at the point.
    pub fn mole_fraction_at_point(
        &self,
        p_pa: f64,
        t_k: f64,
        point_k: f64,
        phase: Phase,
    ) -> Result<f64, MoistError> {
        const ANY_AIR_K: (f64, f64) = (ICE_T_RANGE_K.0, 600.0);
        temperature("air at", t_k, ANY_AIR_K)?;
        if point_k > t_k {
            return Err(MoistError::PointAboveAir {
                what: phase.point_name(),
                point_k,
                t_k,
            });
        }
        Ok(self.saturated(p_pa, point_k, phase)?.mole_fraction)
    }
}

fn not_above_one(relative_humidity: f64) -> Result<f64, MoistError> {
    const ROUNDING: f64 = 1e-9;
    if relative_humidity <= 1.0 + ROUNDING {
        Ok(relative_humidity.min(1.0))
    } else {
        Err(MoistError::Supersaturated { relative_humidity })
    }
}
