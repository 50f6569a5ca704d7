//! Cubic Hermite interpolation on an even grid: the arithmetic both tables
//! share. Not here: what is interpolated.

/// Weights of a cubic at one place in a cell, for the values and (scaled by
/// the cell width) slopes at its two ends: value, slope left; value, slope
/// right.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weights {
    /// Weights that give the value.
    pub(super) value: [f64; 4],
    /// Weights that give the slope per cell width.
    pub(super) slope: [f64; 4],
}

impl Weights {
    /// Weights at `x` in 0..=1.
    #[inline]
    pub(super) fn at(x: f64) -> Self {
        let left = 1.0 - x;
        let product = x * left;
        let bend = 6.0 * product;
        let end = x * x * (3.0 - 2.0 * x);
        Self {
            value: [1.0 - end, product * left, end, -product * x],
            slope: [-bend, left * (1.0 - 3.0 * x), bend, x * (3.0 * x - 2.0)],
        }
    }
}

/// The weighted sum of end data.
#[inline]
pub(super) fn blend(weights: &[f64; 4], left: [f64; 2], right: [f64; 2]) -> f64 {
    weights[0] * left[0] + weights[1] * left[1] + weights[2] * right[0] + weights[3] * right[1]
}

/// Cell number and place within the cell for a position counted in cells, if
/// it lies within `0..=cells`. NaN lies nowhere.
#[inline]
pub(super) fn locate(position: f64, cells: usize) -> Option<(usize, f64)> {
    if !(position >= 0.0 && position <= cells as f64) {
        return None;
    }
    let cell = (position as usize).min(cells - 1);
    Some((cell, position - cell as f64))
}
