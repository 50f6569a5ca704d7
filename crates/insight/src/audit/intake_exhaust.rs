//! Rule: an engine's exhaust stays away from the intake.

use super::kit::{AuditInput, Finding, Look, Part, Severity, rule, source};
use station::{Drive, Place};

rule! {
    /// ## What it looks at
    /// What turns the compressor, and where its intake stands.
    /// ## Why it matters
    /// Carbon monoxide from an exhaust goes through every filter but a dry catalyst, cannot
    /// be smelt, and has killed divers. An engine in a room or shed is the worst case.
    /// ## When it stays silent
    /// For electric machines: a vehicle or boiler nearby is not in the file. Where `drive`
    /// is not written down.
    /// ## Source
    /// 29 CFR 1910.430(b)(2): intakes away from exhaust. Accident reports of engine-driven
    /// units indoors (2008, 2016, 2022).
    /// ## Certainty
    /// Government text; how far is far enough depends on wind and place. Only a
    /// measurement speaks of air.
    "intake-exhaust", "Does the intake stand away from exhaust?"
}

fn check(input: &AuditInput) -> Look {
    let engine = match input.station.compressor.drive {
        Some(Drive::Petrol) => "petrol engine",
        Some(Drive::Diesel) => "diesel engine",
        Some(Drive::Electric) => return Look::fine("an electric motor turns the compressor"),
        None => {
            return Look::silent(
                "what turns the compressor is not known: write `drive` in [compressor]",
            );
        }
    };
    let (severity, claim, remedy) = match input.station.intake.place {
        Some(Place::Indoors) => (
            Severity::Stop,
            format!("A {engine} turns the compressor, and its intake stands indoors."),
            "Move machine and intake into the open before starting the engine; do not breathe what \
             was filled there before it is tested.",
        ),
        None => (
            Severity::FixBeforeNextRun,
            format!(
                "A {engine} turns the compressor, and where its intake stands is not written down."
            ),
            "Set the machine in the open with the intake upwind and well away from the exhaust, \
             then write `place = \"outdoors\"` in [intake].",
        ),
        Some(Place::Outdoors) => (
            Severity::Note,
            format!("A {engine} turns the compressor; its intake stands outdoors."),
            "Keep the intake upwind and well away from the exhaust on every run, look again when \
             the wind turns, and test the air for carbon monoxide.",
        ),
    };
    let finding = Finding::new(severity, source::INTAKE, claim)
        .why("Carbon monoxide cannot be smelt and passes everything but a dry catalyst.")
        .remedy(remedy)
        .on([&Part::intake()]);
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::Severity;
    use super::super::testing::{claims, found, metric, with};

    fn station(drive: &str, place: &str) -> String {
        let text = with(metric(), "[compressor]", &format!("[compressor]\n{drive}"));
        with(
            &text,
            "temperature = \"20 °C\"",
            &format!("temperature = \"20 °C\"\n{place}"),
        )
    }

    #[test]
    fn fires_for_engines() {
        let severity = |place: &str| {
            found("intake-exhaust", &station("drive = \"petrol\"", place))[0].severity
        };
        assert_eq!(severity("place = \"indoors\""), Severity::Stop);
        assert_eq!(severity(""), Severity::FixBeforeNextRun);
        assert_eq!(severity("place = \"outdoors\""), Severity::Note);
        let diesel = claims("intake-exhaust", &station("drive = \"diesel\"", ""));
        assert!(diesel[0].contains("diesel"));
    }

    #[test]
    fn silent_for_motors_and_the_unknown() {
        assert_eq!(
            claims(
                "intake-exhaust",
                &station("drive = \"electric\"", "place = \"indoors\"")
            ),
            [""; 0]
        );
        assert_eq!(claims("intake-exhaust", metric()), [""; 0]);
    }
}
