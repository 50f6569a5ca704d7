//! Rule: the cartridge has not run past its hours.

use super::kit::{AuditInput, Finding, Look, Part, Severity, above, rule, source};

rule! {
    /// ## What it looks at
    /// Hours run since the cartridge was changed against the life its maker states, and
    /// against that life at today's temperature: printed lives hold at 20 °C, and warmer
    /// air brings more water.
    /// ## Why it matters
    /// Past its water the bed lets moisture through, and a catalyst behind it stops taking
    /// carbon monoxide.
    /// ## When it stays silent
    /// Unless the file gives `rated_hours`, `changed_at_hours` and, below [now], `hours`.
    /// It counts hours, not water: `forecast` follows the bed itself.
    /// ## Source
    /// The maker's figure in the file; water by IAPWS G8-10 and G11-15. That printed lives
    /// assume 20 °C is common practice, no source.
    /// ## Certainty
    /// Hours are as good as the meter. The share for temperature leaves out that a warm
    /// bed also holds less. Only a measurement speaks of the air.
    "cartridge-hours", "Has the cartridge run past its water?"
}

/// Share of its life after which a new one should lie ready.
const SOON: f64 = 0.9;
/// Air for which printed lives hold, °C (common practice, no source).
const PRINTED_C: f64 = 20.0;

fn check(input: &AuditInput) -> Look {
    let purifier = &input.station.purifier;
    let hours = (
        purifier.rated_hours,
        purifier.changed_at_hours,
        input.station.now.hours,
    );
    let (Some(rated), Some(changed), Some(now)) = hours else {
        return Look::silent(
            "hours of the cartridge are not known: write `rated_hours` and `changed_at_hours` in \
             [purifier] and `hours` in [now]",
        );
    };
    let (rated, run) = (rated.as_hour(), now.as_hour() - changed.as_hour());
    if run < 0.0 {
        return Look::silent(format!(
            "the hours now, {:.1} h, are fewer than at the change, {:.1} h",
            now.as_hour(),
            changed.as_hour()
        ));
    }
    let share = temperature_share(input).unwrap_or(1.0).min(1.0);
    let today = rated * share;
    let air = input.station.intake.temperature.as_celsius();
    let (severity, claim) = match () {
        () if !above(rated, run) => (
            Severity::FixBeforeNextRun,
            format!("The cartridge has run {run:.1} h of the {rated:.1} h it is made for."),
        ),
        () if !above(today, run) => (
            Severity::LookInto,
            format!(
                "The cartridge has run {run:.1} h; in air of {} its {rated:.1} h count for \
                 about {today:.1} h.",
                input.degrees(air)
            ),
        ),
        () if !above(rated * SOON, run) => (
            Severity::LookInto,
            format!("The cartridge has run {run:.1} h of {rated:.1} h: have the next one ready."),
        ),
        () => return Look::fine(format!("the cartridge has run {run:.1} h of {rated:.1} h")),
    };
    let hours = |what: &str, value| input.figure(what, value, "h", 1);
    let finding = Finding::new(severity, source::CARTRIDGE, claim)
        .why("A bed past its water lets moisture through and spoils what stands behind it.")
        .remedy(
            "Vent the tower to nothing, change the cartridge as the maker's manual says, write day \
             and hours into [purifier], and have the air tested when it is due.",
        )
        .on([&Part::cartridge()])
        .with(hours("run", run))
        .with(hours("made for", rated))
        .with(hours("of that in today's air", today))
        .margin(hours("left", today - run));
    Look::found(finding)
}

/// Water in the air behind the separator at 20 °C over today's.
fn temperature_share(input: &AuditInput) -> Option<f64> {
    let (machine, wet) = (input.machine().ok()?, input.wet().ok()?);
    let compressor = &input.station.compressor;
    let p_pa = machine.absolute(compressor.working_pressure);
    let approach = compressor.cooler_approach.as_kelvin();
    let at = |t_k: f64| wet.saturated(p_pa, t_k + approach);
    Some(at(PRINTED_C + 273.15)? / at(machine.ambient_k)?)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, found, metric, station, with};
    use super::*;

    fn run(now: &str, celsius: f64) -> String {
        let hours = "[purifier]\nchanged_at_hours = \"100 h\"\nrated_hours = \"40 h\"\n";
        let text = with(
            metric(),
            "temperature = \"20 °C\"",
            &format!("temperature = \"{celsius} °C\""),
        );
        format!("{text}{hours}[now]\nhours = \"{now}\"\n")
    }

    #[test]
    fn fires_past_its_hours() {
        let [one] = &found("cartridge-hours", &run("140 h", 20.0))[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        assert!(one.claim.contains("40.0 h"), "{}", one.claim);
        assert_eq!(
            found("cartridge-hours", &run("137 h", 20.0))[0].severity,
            Severity::LookInto
        );
    }

    /// Independent evaluation at 300 bar: lives at 30, 40 and 50 °C are 0.59, 0.36 and 0.23
    /// of that at 20 °C, counting water only.
    #[test]
    fn warm_air_shortens_it() {
        for (celsius, source) in [(30.0, 0.59), (40.0, 0.36), (50.0, 0.23)] {
            let text = with(
                &run("110 h", celsius),
                "232 bar\" # machine",
                "300 bar\" # machine",
            );
            let text = with(
                &text,
                "[compressor]",
                "[compressor]\ncooler_approach = \"0 K\"",
            );
            let station = station(&text);
            let share = temperature_share(&AuditInput::new(&station)).unwrap();
            assert!(
                (share - source).abs() < 0.015,
                "{celsius} °C: {share}, source {source}"
            );
        }
        assert_eq!(
            found("cartridge-hours", &run("125 h", 40.0))[0].severity,
            Severity::LookInto
        );
    }

    #[test]
    fn silent_while_it_lasts_or_is_unknown() {
        assert_eq!(claims("cartridge-hours", &run("110 h", 20.0)), [""; 0]);
        assert_eq!(claims("cartridge-hours", metric()), [""; 0]);
    }
}
