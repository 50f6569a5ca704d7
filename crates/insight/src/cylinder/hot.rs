//! The pressure a full cylinder develops when it gets hot.
//!
//! Not here: the limit, which the rule gives.

use physics::gas::{Gas, GasError};
use quantity::{AbsolutePressure, GaugePressure};

/// 70 °F, at which US service pressures hold, K.
pub(super) const SEVENTY_F: f64 = (70.0 + 459.67) / 1.8;

/// Gauge pressure at `to_k` of air that shows `settled` at `from_k`, at constant
/// density, real gas, against an atmosphere of 1013.25 mbar.
pub(super) fn developed(
    settled: GaugePressure,
    from_k: f64,
    to_k: f64,
) -> Result<GaugePressure, GasError> {
    let atmosphere = AbsolutePressure::pascal(101_325.0);
    let gas = Gas::air();
    let cold = gas.state_p_t(settled.above(atmosphere).as_pascal(), from_k)?;
    let hot = gas.state_rho_t(cold.rho, to_k)?;
    Ok(AbsolutePressure::pascal(hot.p_pa).gauge(atmosphere))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 49 CFR 173.301a(d) asks for at most 5/4 at 131 °F. With air of the open
    /// property library CoolProp 8.0, 3000 psig at 70 °F become 3498.9 psig.
    #[test]
    fn three_thousand_psi_at_131_fahrenheit() {
        let to = (131.0 + 459.67) / 1.8;
        let hot = developed(GaugePressure::psi(3000.0), SEVENTY_F, to).unwrap();
        assert!((hot.as_psi() - 3498.9).abs() < 1.0, "{} psi", hot.as_psi());
        assert!(hot.as_psi() < 3750.0);
        // the ideal gas: 3347.2 psig
        let ideal = (3000.0 + 14.696) * to / SEVENTY_F - 14.696;
        assert!((ideal - 3347.2).abs() < 0.1, "{ideal}");
    }

    /// Nothing changes where the temperature does not.
    #[test]
    fn unchanged_at_one_temperature() {
        for bar in [1.0, 50.0, 232.0, 310.0] {
            let same = developed(GaugePressure::bar(bar), 288.15, 288.15).unwrap();
            assert!((same.as_bar() / bar - 1.0).abs() < 1e-9);
        }
    }
}
