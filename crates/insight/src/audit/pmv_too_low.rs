//! Rule: the PMV holds enough pressure to keep water out of the purifier.

use super::kit::{AuditInput, Finding, Look, Part, RungKind, Severity, rule, source};
use crate::water::Wet;

rule! {
    /// ## What it looks at
    /// How much water a kilogram of air takes into the purifier when it leaves the
    /// separator at the PMV's opening pressure, against the same at working pressure. Both
    /// by the moisture model for real air, at the temperature behind the last cooler.
    /// ## Why it matters
    /// What the separator cannot drop the cartridge must hold. Air at a third of the
    /// pressure carries more than twice the water.
    /// ## When it stays silent
    /// Where the moisture model has no answer. Without a PMV it compares a cylinder of
    /// 50 bar, in which the tower then begins.
    /// ## Source
    /// Water by IAPWS G8-10 and G11-15. That a PMV stands well over half of working
    /// pressure is common practice, no source.
    /// ## Certainty
    /// The water is known to some 5 % at these pressures (extrapolated above 50 bar). The
    /// limit, twice the water, is ours; the maker's setting comes first.
    "pmv-too-low", "Does the PMV hold enough pressure for dry air?"
}

/// So many times the water is worth looking into.
const TIMES: f64 = 2.0;
/// Pressure in a cylinder that comes to be filled, bar (common practice, no source).
const USUAL_START_BAR: f64 = 50.0;

fn check(input: &AuditInput) -> Look {
    let wet = match input.wet() {
        Ok(wet) => wet,
        Err(why) => return Look::silent(why),
    };
    let pmv = input.rung(RungKind::PmvOpens);
    let at = pmv.map_or(USUAL_START_BAR, |rung| rung.bar);
    let (held, full) = (
        ratio(input, wet, at),
        ratio(input, wet, input.working_bar()),
    );
    let (Some(held), Some(full)) = (held, full) else {
        return Look::silent("the moisture model has no answer at these pressures");
    };
    let times = held / full;
    let numbers = format!(
        "{:.2} g of water per kg of air at {}, {:.2} g at the working pressure, {}",
        held * 1e3,
        input.say(at),
        full * 1e3,
        input.say(input.working_bar())
    );
    let claim = match pmv {
        _ if at >= input.working_bar() => return Look::default(),
        Some(_) if times < TIMES => {
            return Look::fine(format!("the PMV opens at {}: {numbers}", input.say(at)));
        }
        Some(_) => format!(
            "The PMV opens at {}: the purifier then takes {times:.1} times the water ({numbers}).",
            input.say(at)
        ),
        None => format!(
            "No PMV holds the tower's pressure: from a cylinder of {} the purifier takes {times:.1} times the water ({numbers}).",
            input.say(at)
        ),
    };
    let finding = Finding::new(Severity::LookInto, source::WATER, claim)
        .why("Early in each fill the cartridge takes up water that the separator should drop.")
        .remedy(
            "See what opening pressure the maker's manual names, and whether this one is as set. \
             `forecast` shows what it costs the cartridge. Until then count its hours short.",
        )
        .on([&Part::pmv(), &Part::cartridge()])
        .with(input.bar(
            if pmv.is_some() {
                "PMV opens"
            } else {
                "cylinder at the start"
            },
            at,
        ))
        .with(input.bar("working pressure", input.working_bar()))
        .with(input.figure("water there", held * 1e3, "g/kg", 2))
        .with(input.figure("water at working pressure", full * 1e3, "g/kg", 2))
        .margin(input.figure("times the water, less than 2 wanted", TIMES - times, "1", 2));
    Look::found(finding)
}

/// kg of water per kg of dry air leaving the separator.
fn ratio(input: &AuditInput, wet: &Wet, bar: f64) -> Option<f64> {
    let machine = input.machine().ok()?;
    let p_pa = machine.absolute(quantity::GaugePressure::bar(bar));
    let t_k = machine.ambient_k + input.station.compressor.cooler_approach.as_kelvin();
    let y = wet.saturated(p_pa, t_k)?;
    Some(wet.moist().kg_per_kg_dry(y))
}

#[cfg(test)]
mod tests {
    use super::super::testing::{TRADE, claims, metric, station, with};
    use super::*;

    /// Saturated air at 40 °C holds 726.2 ppm of water at 150 bar absolute and 507.0 ppm at
    /// 330 bar: an independent evaluation in Python of IAPWS G8-10, G11-15 and IAPWS-95 on
    /// CoolProp's densities.
    #[test]
    fn the_ratio_follows_an_independent_evaluation() {
        let text = with(
            metric(),
            "temperature = \"20 °C\"",
            "temperature = \"30 °C\"",
        );
        let station = station(&text);
        let input = AuditInput::new(&station);
        let wet = input.wet().unwrap();
        let at = |absolute: f64| ratio(&input, wet, absolute - 1.01325).unwrap();
        let (ours, source) = (at(150.0) / at(330.0), 726.197 / 506.990);
        assert!(
            (ours / source - 1.0).abs() < 0.003,
            "{ours}, source {source}"
        );
    }

    #[test]
    fn fires_for_the_trades_low_setting() {
        let [one] = &claims("pmv-too-low", TRADE)[..] else {
            panic!()
        };
        assert!(one.contains("800 psi") && one.contains("3000 psi"), "{one}");
    }

    #[test]
    fn fires_without_a_pmv() {
        let text = with(
            metric(),
            "[pmv]\nopens = \"100 bar\"\ncloses = \"70 bar\"\n",
            "",
        );
        assert!(claims("pmv-too-low", &text)[0].starts_with("No PMV"));
    }

    #[test]
    fn silent_for_a_higher_one() {
        let text = with(metric(), "opens = \"100 bar\"", "opens = \"150 bar\"");
        assert_eq!(claims("pmv-too-low", &text), [""; 0]);
    }
}
