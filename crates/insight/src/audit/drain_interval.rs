//! Rule: the sump is drained before it can overflow.

use super::kit::{AuditInput, Finding, Look, Part, Severity, above, rule, source};
use crate::water::answer::Range;
use crate::water::{Followed, follow};

rule! {
    /// ## What it looks at
    /// The drain interval in the file against the one the water ledger gives for today's
    /// air, flow and sump.
    /// ## Why it matters
    /// What the sump cannot hold goes into the purifier as liquid, and one such hour can
    /// cost the cartridge.
    /// ## When it stays silent
    /// Where the water cannot be followed. It counts today's air: on a hot wet day the
    /// interval is shorter.
    /// ## Source
    /// Water by IAPWS G8-10 and G11-15; that a sump must take one missed drain and that
    /// condensate foams to 1.3 to 2 times its volume is common practice, no source.
    /// ## Certainty
    /// The water is known to some per cent, the foam hardly at all: hence the range.
    "drain-interval", "Is the sump drained often enough?"
}

/// The interval for today's air; none where nothing condenses. A run that has not begun
/// is followed: the ledger gives the interval at working pressure before its first piece.
fn due(input: &AuditInput) -> Result<Option<Range>, String> {
    let wet = input.wet()?;
    let nothing = Followed {
        samples: &[],
        running: &[],
        separator: 0,
        purifier: 0,
        first: 0,
    };
    let water = follow(input.machine()?, wet, &nothing, None).map_err(|e| e.to_string())?;
    Ok(water.drain_interval)
}

fn check(input: &AuditInput) -> Look {
    let due = match due(input) {
        Ok(Some(due)) => due,
        Ok(None) => return Look::fine("nothing condenses in today's air"),
        Err(why) => return Look::silent(why),
    };
    let every = input.station.separator.drain_interval.as_minute();
    let range = format!("{:.0} min ({:.0} to {:.0})", due.mid, due.low, due.high);
    // the rule leaves room for one missed drain; without it the sump is full
    let full = 2.0 * due.mid;
    let severity = match () {
        () if above(every, full) => Severity::FixBeforeNextRun,
        () if above(every, due.mid) => Severity::LookInto,
        () => {
            return Look::fine(format!(
                "drained every {every:.0} min; due every {range} in today's air"
            ));
        }
    };
    let claim = format!(
        "The sump is drained every {every:.0} min; in today's air it is due every {range}{}.",
        if severity == Severity::FixBeforeNextRun {
            ", and overflows before that"
        } else {
            ""
        }
    );
    let minutes = |what: &str, value| input.figure(what, value, "min", 0);
    let finding = Finding::new(severity, source::DRAIN, claim)
        .why("What the sump cannot hold goes into the cartridge as water and oil.")
        .remedy(format!(
            "Drain every {:.0} min today, slowly, standing clear of the outlet, and write that \
             into `drain_interval`.",
            due.mid.floor().max(1.0)
        ))
        .on([&Part::separator()])
        .with(minutes("drained every", every))
        .with(minutes("due every", due.mid))
        .with(minutes(
            "due every, in saturated air with most foam",
            due.low,
        ))
        .with(minutes("due every, with least foam", due.high))
        .margin(minutes("room", due.mid - every));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, found, metric, station, with};
    use super::*;

    fn text(every: &str, air: &str) -> String {
        let text = with(
            metric(),
            "[separator]",
            &format!("[separator]\ndrain_interval = \"{every}\""),
        );
        with(&text, "temperature = \"20 °C\"", air)
    }

    /// 100 L/min of air at 25 °C and 60 % draws in 82.93 g/h, of which 80.71 g/h is liquid
    /// at 301 bar abs and 40 °C (worked apart from this program with published
    /// enhancement factors): 90 mL with 5 % oil, one missed drain and foam of 1.6 times is
    /// due every 90/(2·1.6·80.71/0.996·1.05/60) = 19.8 min. Here the 100 L/min are counted as
    /// dry air, which is 2 % more of it, and the separator misses 2 %.
    #[test]
    fn the_interval_of_the_worked_example() {
        let text = text("19 min", "temperature = \"25 °C\"\nhumidity = \"60 %\"");
        let text = with(&text, "232 bar\" # machine", "300 bar\" # machine");
        let text = with(
            &text,
            "charging_rate = \"100 L/min\"",
            "free_air_delivery = \"100 L/min\"\ncooler_approach = \"15 K\"",
        );
        let station = station(&text);
        let mid = due(&AuditInput::new(&station)).unwrap().unwrap().mid;
        assert!((mid / 19.83 - 1.0).abs() < 0.03, "{mid} min, source 19.83");
    }

    #[test]
    fn fires_when_too_seldom() {
        let wet = "temperature = \"30 °C\"\nhumidity = \"90 %\"";
        assert_eq!(
            found("drain-interval", &text("15 min", wet))[0].severity,
            Severity::LookInto
        );
        let [one] = &found("drain-interval", &text("60 min", wet))[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        assert!(one.claim.contains("60 min"), "{}", one.claim);
    }

    #[test]
    fn silent_when_often_enough() {
        assert_eq!(claims("drain-interval", metric()), [""; 0]);
        assert_eq!(
            claims(
                "drain-interval",
                &text("60 min", "temperature = \"0 °C\"\nhumidity = \"5 %\"")
            ),
            [""; 0]
        );
    }
}
