//! Rule: gauges reach far enough and read well enough for what is read from them.

use super::kit::{AuditInput, Finding, Look, Part, RungKind, Severity, above, rule, source};
use quantity::Quantity as _;
use station::{Gauge, Reads};

rule! {
    /// ## What it looks at
    /// For each gauge: whether its dial ends above what it can meet, whether steady
    /// readings stay within three quarters of it, and whether its class tells apart what
    /// it must: working pressure from the relief valve on the tower, the stop of the
    /// weakest cylinder on the line.
    /// ## Why it matters
    /// A dial at its end shows nothing and is damaged; an error as large as the room to
    /// the relief valve makes the last minutes of a fill guesswork.
    /// ## When it stays silent
    /// For gauges of stages whose pressure cannot be computed; without gauges. It does not
    /// know when a gauge was last compared with a good one.
    /// ## Source
    /// EN 837-1:1996 table 11: the error is up to the class in percent of the span (a
    /// gauge of 400 bar, class 1.6, may be 6.4 bar off); steady loads up to 75 % of it.
    /// ## Certainty
    /// Class seen in a copy of the standard, 75 % from memory, unverified. How much error
    /// is too much is ours.
    "gauge-unfit", "Are the gauges fit for what is read from them?"
}

/// Of the span at a steady load.
const STEADY: f64 = 0.75;
/// Error that is too much, as part of the weakest cylinder's rating.
const COARSE: f64 = 0.05;

fn check(input: &AuditInput) -> Look {
    let gauges = &input.station.gauges;
    if gauges.is_empty() {
        return Look::silent("the file describes no gauge");
    }
    gauges.iter().map(|gauge| one(input, gauge)).collect()
}

fn one(input: &AuditInput, gauge: &Gauge) -> Look {
    let (steady, highest) = match met(input, gauge) {
        Ok(met) => met,
        Err(why) => return Look::silent(format!("gauge {}: {why}", gauge.name)),
    };
    let span = gauge.span.as_bar();
    let told = match () {
        () if above(steady, span) => Some((
            Severity::FixBeforeNextRun,
            format!(
                "ends at {}, below the {} it reads in ordinary service",
                input.say(span),
                input.say(steady)
            ),
            span - steady,
        )),
        () if above(highest, span) => Some((
            Severity::LookInto,
            format!(
                "ends at {}, and what it reads can reach {}",
                input.say(span),
                input.say(highest)
            ),
            span - highest,
        )),
        () if above(steady, span * STEADY) => Some((
            Severity::Note,
            format!(
                "ends at {} and reads {} in ordinary service, above 75 % of it",
                input.say(span),
                input.say(steady)
            ),
            span * STEADY - steady,
        )),
        () => None,
    };
    let reach = told.map(|(severity, what, margin)| {
        let finding = finding(input, gauge, severity, &what, margin);
        Look::found(
            finding
                .with(input.bar("ordinary reading", steady))
                .with(input.bar("highest", highest)),
        )
    });
    let class = class(input, gauge);
    match (reach, class) {
        (None, None) => Look::fine(format!(
            "gauge {} reads to {}, to within {}",
            gauge.name,
            input.say(span),
            input.say(error_bar(gauge))
        )),
        (reach, class) => reach.into_iter().chain(class).collect(),
    }
}

/// What a gauge reads in ordinary service, and the highest it can meet.
fn met(input: &AuditInput, gauge: &Gauge) -> Result<(f64, f64), String> {
    let working = input.working_bar();
    let relief = input
        .rung(RungKind::ReliefLifts)
        .map_or(working, |r| r.high_bar);
    let stages = input.station.compressor.stage_count;
    match gauge.reads {
        Reads::Tower | Reads::Line => Ok((working, relief.max(working))),
        Reads::Stage(number) if number >= stages => Ok((working, relief.max(working))),
        Reads::Stage(number) => {
            let machine = input.machine()?;
            let p_pa = machine.absolute(input.station.compressor.working_pressure);
            let between = machine.interstage_bar(p_pa);
            let bar = number.checked_sub(1).and_then(|i| between.get(i).copied());
            let bar = bar.ok_or("the pressure between the stages is not known")?;
            Ok((bar, bar))
        }
    }
}

/// Error by EN 837-1, bar.
fn error_bar(gauge: &Gauge) -> f64 {
    gauge.greatest_error().as_bar()
}

/// Whether the class is too coarse for what the gauge must tell apart.
fn class(input: &AuditInput, gauge: &Gauge) -> Option<Look> {
    let error = error_bar(gauge);
    let working = input.working_bar();
    let (severity, room, what) = match gauge.reads {
        Reads::Tower => {
            let room = input.rung(RungKind::ReliefLifts)?.bar - working;
            (
                Severity::LookInto,
                room,
                "the room between working pressure and the relief valve",
            )
        }
        Reads::Line => {
            let ratings = input.station.cylinder_kinds.iter();
            let weakest = ratings
                .map(|k| k.vessel.working_pressure.value.si())
                .fold(f64::INFINITY, f64::min);
            let room = weakest / 1e5 * COARSE;
            (Severity::Note, room, "5 % of the weakest cylinder's rating")
        }
        Reads::Stage(_) => return None,
    };
    if room <= 0.0 || !room.is_finite() || !above(error, room) {
        return None;
    }
    let claim = format!(
        "of class {} and {} span may be {} off, more than {what}, {}",
        gauge.class,
        input.say(gauge.span.as_bar()),
        input.say(error),
        input.say(room)
    );
    let finding = finding(input, gauge, severity, &claim, room - error);
    Some(Look::found(
        finding
            .with(input.bar("greatest error", error))
            .with(input.bar(what, room)),
    ))
}

fn finding(
    input: &AuditInput,
    gauge: &Gauge,
    severity: Severity,
    what: &str,
    margin: f64,
) -> Finding {
    let claim = format!("The gauge {} {what}.", gauge.name);
    Finding::new(severity, source::GAUGES, claim)
        .why("What cannot be read cannot be stopped at.")
        .remedy(
            "Check the figures on its dial. Fit a gauge whose dial ends about a third above what \
             it reads, of class 1.6 or better, and compare it with a good one every year.",
        )
        .on([&Part::gauge(&gauge.name)])
        .with(input.bar("span", gauge.span.as_bar()))
        .margin(input.bar("room", margin))
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, found, metric, station, with};
    use super::*;

    fn gauge(lines: &str) -> String {
        with(metric(), "reads = \"tower\"\nspan = \"400 bar\"", lines)
    }

    /// EN 837-1: 400 bar, class 1.6: 6.4 bar; 315 bar, class 1.0: 3.15 bar.
    #[test]
    fn errors_of_the_standard() {
        for (span, class, error) in [(400.0, 1.6, 6.4), (315.0, 1.0, 3.15)] {
            let text = gauge(&format!(
                "reads = \"tower\"\nspan = \"{span} bar\"\nclass = {class}"
            ));
            assert!((error_bar(&station(&text).gauges[0]) - error).abs() < 1e-9);
        }
    }

    #[test]
    fn fires_for_short_dials() {
        let severity = |span: &str| {
            let text = gauge(&format!("reads = \"tower\"\nspan = \"{span}\""));
            found("gauge-unfit", &text).first().map(|f| f.severity)
        };
        assert_eq!(severity("230 bar"), Some(Severity::FixBeforeNextRun));
        assert_eq!(
            severity("250 bar"),
            Some(Severity::LookInto),
            "the relief valve may lift at 262.7 bar"
        );
        assert_eq!(
            severity("300 bar"),
            Some(Severity::Note),
            "232 bar is 77 % of it"
        );
        assert_eq!(severity("315 bar"), None);
    }

    /// 1000 bar, class 2.5: 25 bar, and the relief valve is 23 bar above working pressure.
    #[test]
    fn fires_for_a_coarse_class() {
        let text = gauge("reads = \"tower\"\nspan = \"1000 bar\"\nclass = 2.5");
        let [one] = &claims("gauge-unfit", &text)[..] else {
            panic!()
        };
        assert!(
            one.contains("25 bar off") && one.contains("23 bar"),
            "{one}"
        );
        let line = gauge("reads = \"line\"\nspan = \"1000 bar\"\nclass = 1.6");
        assert_eq!(found("gauge-unfit", &line)[0].severity, Severity::Note);
    }

    #[test]
    fn stages_are_computed() {
        let text = gauge("reads = \"stage 2\"\nspan = \"16 bar\"");
        assert_eq!(
            found("gauge-unfit", &text)[0].severity,
            Severity::FixBeforeNextRun
        );
        let fit = gauge("reads = \"stage 2\"\nspan = \"100 bar\"");
        assert_eq!(claims("gauge-unfit", &fit), [""; 0]);
    }

    #[test]
    fn silent_for_the_usual_gauge() {
        assert_eq!(claims("gauge-unfit", metric()), [""; 0]);
    }
}
