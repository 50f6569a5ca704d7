//! Rule: no stage runs hotter than its oil is meant for.

use super::kit::{AuditInput, Finding, Look, Part, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// The computed discharge temperature of the hottest stage at working pressure, in
    /// today's air.
    /// ## Why it matters
    /// Hot oil cokes on the valves, and coke that glows makes carbon monoxide inside the
    /// machine.
    /// ## When it stays silent
    /// Where the machine cannot be computed. It assumes the file's exponent of compression
    /// and coolers as stated: leaking valves and dirty coolers make it hotter.
    /// ## Source
    /// EN 1012-1:2010, limits between about 160 and 220 °C by pressure, for oil-lubricated
    /// pistons.
    /// ## Certainty
    /// The text was not seen; the figures are from memory and uncertain. The computed
    /// temperature is an estimate; the maker's limit comes first.
    "discharge-temperature", "Does a stage run too hot?"
}

/// Where the range of limits begins and ends, °C.
const LIMITS_C: [f64; 2] = [160.0, 220.0];

fn check(input: &AuditInput) -> Look {
    let machine = match input.machine() {
        Ok(machine) => machine,
        Err(why) => return Look::silent(why),
    };
    let p_pa = machine.absolute(input.station.compressor.working_pressure);
    let stages = machine.discharge_c(p_pa);
    let hottest = (1..).zip(&stages).max_by(|a, b| a.1.total_cmp(b.1));
    let Some((number, &hot)) = hottest else {
        return Look::silent("the stages of this machine are not known");
    };
    let air = input.station.intake.temperature.as_celsius();
    let (at, of) = (input.degrees(hot), input.degrees(air));
    let numbers = format!("stage {number} leaves its air at about {at} in air of {of}");
    let [low, high] = LIMITS_C;
    let (severity, limit) = match () {
        () if above(hot, high) => (Severity::LookInto, high),
        () if above(hot, low) => (Severity::Note, low),
        () => return Look::fine(numbers),
    };
    let claim = format!(
        "At working pressure {numbers}, above {}.",
        input.degrees(limit)
    );
    let finding = Finding::new(severity, source::HEAT, claim)
        .why("Oil cokes on hot valves, and glowing coke makes carbon monoxide.")
        .remedy(
            "Measure the stage's discharge pipe and compare it with the maker's limit; keep \
             coolers clean and air moving. Stop above the maker's limit.",
        )
        .on([&Part::stage(number, stages.len())])
        .with(input.celsius("discharge", hot))
        .with(input.bar("working pressure", input.working_bar()))
        .margin(input.warmer("room", limit - hot));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, look, metric, station, with};
    use super::*;

    /// Four equal pressure ratios from 1 atm to 301.013 bar abs, n 1.3, 20 °C before each
    /// stage: 134.0 °C. Three to 226.013 bar: 171.2 °C. (Closed form, ideal gas; here the
    /// last stages' real gas and clearance move the pressures a little.)
    #[test]
    fn hottest_stage_of_the_closed_form() {
        for (working, stages, source) in [(300.0, 4, 134.0), (225.0, 3, 171.2)] {
            let text = with(
                metric(),
                "232 bar\" # machine",
                &format!("{working} bar\" # machine"),
            );
            let count = format!("stage_count = {stages}\ncooler_approach = \"0 K\"");
            let text = with(&text, "stage_count = 3", &count);
            let station = station(&text);
            let input = AuditInput::new(&station);
            let machine = input.machine().unwrap();
            let p_pa = machine.absolute(station.compressor.working_pressure);
            let all = machine.discharge_c(p_pa);
            let mean = all.iter().sum::<f64>() / all.len() as f64;
            assert!((mean - source).abs() < 8.0, "{all:?}, source {source} °C");
        }
    }

    #[test]
    fn fires_for_too_few_stages() {
        let text = with(metric(), "stage_count = 3", "stage_count = 2");
        let found = look("discharge-temperature", &text).findings;
        assert_eq!(
            found[0].severity,
            Severity::LookInto,
            "{:?}",
            found[0].claim
        );
    }

    #[test]
    fn silent_for_four_stages() {
        let text = with(metric(), "stage_count = 3", "stage_count = 4");
        assert_eq!(claims("discharge-temperature", &text), [""; 0]);
    }
}
