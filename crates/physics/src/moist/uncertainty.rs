//! How far a saturated water content may be off. Judgement, not statistics.

/// Relative uncertainty at pressures (Pa absolute), joined by straight lines.
const BY_PRESSURE: [(f64, f64); 6] = [
    (20e5, 0.003),
    (50e5, 0.005),
    (100e5, 0.015),
    (232e5, 0.05),
    (350e5, 0.08),
    (450e5, 0.11),
];

/// Relative uncertainty of a saturated mole fraction at absolute pressure
/// `p_pa` and temperature `t_k`.
///
/// 0.3 % to 20 bar, 0.5 % at 50, 1.5 % at 100, 5 % at 232, 8 % at 350 and 11 %
/// at 450 bar, straight lines between. Below 0 °C what exceeds 0.3 % grows by
/// 1/60 per kelvin: cold air departs further from ideal, and a published value
/// at 153 bar and -30 °C lies 4 to 10 % below the model.
///
/// **Holds** in the range of [`super::Moist::saturated`]; outside, the value at
/// its edge. **Source** judgement: to 50 bar the method is IAPWS G11-15, above
/// it is extrapolated and nothing measured was at hand.
pub fn relative_uncertainty(p_pa: f64, t_k: f64) -> f64 {
    let (lowest_p, floor) = BY_PRESSURE[0];
    let (_, mut u) = BY_PRESSURE[BY_PRESSURE.len() - 1];
    if p_pa <= lowest_p {
        u = floor;
    }
    for pair in BY_PRESSURE.windows(2) {
        if let [(p0, u0), (p1, u1)] = *pair
            && (p0..p1).contains(&p_pa)
        {
            u = u0 + (u1 - u0) * (p_pa - p0) / (p1 - p0);
        }
    }
    let cold = ((273.15 - t_k) / 60.0).max(0.0);
    floor + (u - floor) * (1.0 + cold)
}
