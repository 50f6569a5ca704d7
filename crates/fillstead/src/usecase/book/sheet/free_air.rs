//! Free air filled in a day, as an ideal gas: for a count of work done, not for physics.
//!
//! Not here: the real gas (`physics`).

use book::answer::Told;
use book::body::{CylinderRegistered, Fill};

use crate::print::day::FreeAir;

/// How it is computed, with its error: at 20 °C the compressibility factor of air is 1.026 at 200 bar
/// and 1.104 at 300 bar (equation of Lemmon et al., J. Phys. Chem. Ref. Data 29 (2000) 331, as CoolProp
/// 8.0.0 evaluates it).
const HOW: &str = "water volume times the rise in bar, or the rated free air times the rise over the \
    working pressure; settled pressure where it was read, else the stop; ideal gas, so about 3 % too \
    much at 200 bar and 10 % at 300 bar";

/// One cubic foot in litres (0.3048 m cubed).
const CUBIC_FOOT_L: f64 = 28.316_846_592;

/// Free air of these fills, each with what is registered of its cylinder; none where nothing can be
/// told.
pub fn of<'a>(
    fills: impl Iterator<Item = (&'a Told<Fill>, Option<&'a CylinderRegistered>)>,
) -> Option<FreeAir> {
    let (mut all, mut told, mut litres) = (0, 0, 0.0);
    for (fill, registered) in fills {
        all += 1;
        if let Some(of_fill) = registered.and_then(|registered| one(&fill.body, registered)) {
            told += 1;
            litres += of_fill;
        }
    }
    (told > 0).then(|| FreeAir {
        amount: format!("{litres:.0} L"),
        from: format!("{:.0} cu ft, {told} of {all} fills", litres / CUBIC_FOOT_L),
        how: HOW,
    })
}

/// Litres of one fill.
fn one(fill: &Fill, registered: &CylinderRegistered) -> Option<f64> {
    let from = fill.from.as_ref()?.value().as_bar();
    let to = fill.settled.as_ref().or(fill.to.as_ref())?.value().as_bar();
    let rise = (to - from).max(0.0);
    if let Some(water) = &registered.water_volume {
        return Some(water.value().as_litre() * rise);
    }
    let working = registered.working_pressure.as_ref()?.value().as_bar();
    let rated = registered.free_air.as_ref()?.value().as_litre();
    (working > 0.0).then(|| rated * rise / working)
}

#[cfg(test)]
mod tests {
    use super::*;
    use book::Measure;

    /// By hand: 12 L from 50 to 232 bar are 12 x 182 = 2184 L. Half the rise of an 80 cu ft
    /// cylinder is 40 cu ft, 1132.67 L (1 cu ft = 28.316 846 592 L, NIST SP 811 (2008), B.9).
    #[test]
    fn volume_times_rise() {
        let fill = |from: &str, to: &str| Fill {
            from: Measure::parse(from).ok(),
            to: Measure::parse(to).ok(),
            ..Fill::default()
        };
        let twelve = CylinderRegistered {
            water_volume: Measure::parse("12 L").ok(),
            ..CylinderRegistered::default()
        };
        let litres = one(&fill("50 bar", "232 bar"), &twelve).unwrap();
        assert!((litres - 2184.0).abs() < 1e-9, "{litres}");
        let eighty = CylinderRegistered {
            free_air: Measure::parse("80 cu ft").ok(),
            working_pressure: Measure::parse("3000 psi").ok(),
            ..CylinderRegistered::default()
        };
        let litres = one(&fill("1500 psi", "3000 psi"), &eighty).unwrap();
        assert!((litres - 1132.67).abs() < 0.01, "{litres}");
        assert_eq!(
            one(&fill("50 bar", "232 bar"), &CylinderRegistered::default()),
            None
        );
    }
}
