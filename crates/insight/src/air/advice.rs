//! What to do after a verdict: set aside, look for the cause, test again.
//!
//! Not here: which cylinders those are; the book knows that.

use super::amount::Reading;
use super::answer::{Advice, DueState, Judged, Outcome, Overall, Verdict};
use super::judge::Context;
use super::measurand::Measurand;

/// Where to look when a quantity fails.
struct Cause {
    what: Measurand,
    /// It fails because there is too little.
    too_little: bool,
    step: &'static str,
    why: &'static str,
}

const PRACTICE: &str = "common practice, no source";
const NAVY: &str = "US Navy Diving Manual rev 5/6, 4-4.1 (copy of its text on a secondary page): a \
                    machine that failed is not used until the cause is fixed and a good sample taken";

const CAUSES: [Cause; 10] = [
    Cause {
        what: Measurand::CarbonMonoxide,
        too_little: false,
        step: "look at the intake (engine exhaust, smoke), then for overheated oil, smouldering \
               carbon, a wet catalyst; measure the air at the intake and at the outlet",
        why: "the same at both is drawn in; more at the outlet is made inside",
    },
    Cause {
        what: Measurand::CarbonDioxide,
        too_little: false,
        step: "measure the air of the room; look for people, engines and heaters near the intake, \
               then at the drying bed",
        why: "a closed room raises it, and a spent bed no longer holds it back",
    },
    Cause {
        what: Measurand::Oil,
        too_little: false,
        step: "drain, look at oil level and carbon bed, and at how clean hose and sampler were",
        why: "a full sump or a spent carbon bed lets oil through; a dirty hose shows as oil too",
    },
    Cause {
        what: Measurand::Hydrocarbons,
        too_little: false,
        step: "look at the intake for fuel and solvents, then at the carbon bed",
        why: "vapour is drawn in, or carbon no longer holds it",
    },
    Cause {
        what: Measurand::VolatileOrganics,
        too_little: false,
        step: "look at the intake for fuel, paint and solvents, then at the carbon bed",
        why: "vapour is drawn in, or carbon no longer holds it",
    },
    Cause {
        what: Measurand::Water,
        too_little: false,
        step: "look at the temperature of the separator, the pressure maintaining valve, the \
               drains and the tower's leaks before a new cartridge goes in",
        why: "each of these wets a new cartridge as fast as the old one",
    },
    Cause {
        what: Measurand::LiquidWater,
        too_little: false,
        step: "set the cylinder aside, have it emptied, looked into and dried by a competent \
               person; look at the drains and the drying bed",
        why: "water eats the cylinder from inside and freezes in the valve",
    },
    Cause {
        what: Measurand::Oxygen,
        too_little: false,
        step: "check the analyser in fresh air, then look for enriched gas in bank or cylinder; \
               keep it out of this machine",
        why: "a compressor does not make oxygen; enriched gas and oil burn",
    },
    Cause {
        what: Measurand::Oxygen,
        too_little: true,
        step: "check the analyser in fresh air, then for long storage, rust and other gases; \
               nobody breathes from that cylinder",
        why: "rusting steel takes oxygen out of stored air until it no longer keeps anyone alive",
    },
    Cause {
        what: Measurand::Odour,
        too_little: false,
        step: "stop smelling at it; measure carbon monoxide and oil, look at intake, oil and \
               carbon bed",
        why: "carbon monoxide itself does not smell, what comes with it does",
    },
];

/// Steps in the order they are to be done.
pub(super) fn advice(verdict: &Verdict, context: &Context) -> Vec<Advice> {
    let mut steps = Vec::new();
    if verdict.overall == Overall::Fails {
        steps.extend(quarantine(context));
        steps.extend(verdict.quantities.iter().filter_map(cause));
        steps.push(Advice {
            step: "put the cause right first, then sample again at the same point; fill again \
                   when that sample keeps every limit"
                .into(),
            why: "one clean sample without a cause found clears nothing".into(),
            source: NAVY.into(),
        });
    }
    let open = |row: &&Judged| !row.outcome.is_decided();
    if verdict.overall != Overall::Passes && verdict.quantities.iter().any(|row| open(&row)) {
        steps.push(Advice {
            step: "settle what cannot be told before this counts as a pass".into(),
            why: "what was not measured, or lies inside the uncertainty, may be beyond the limit"
                .into(),
            source: PRACTICE.into(),
        });
    }
    steps.extend(sampling(verdict));
    steps
}

fn quarantine(context: &Context) -> [Advice; 2] {
    let since = match context.last_passed {
        Some(day) => format!("the sample of {day} that passed"),
        None => "the last sample that passed".into(),
    };
    [
        Advice {
            step: "stop filling".into(),
            why: "a limit is broken".into(),
            source: NAVY.into(),
        },
        Advice {
            step: format!(
                "set aside and mark every cylinder filled since {since}, and tell whoever has one"
            ),
            why: "nobody knows since when the air has been like this; fills differ, so one clean \
                  cylinder does not clear the others"
                .into(),
            source: PRACTICE.into(),
        },
    ]
}

fn cause(row: &Judged) -> Option<Advice> {
    if row.outcome != Outcome::Fails {
        return None;
    }
    let too_little = match (&row.reading, row.what) {
        (Some(Reading::Counted(amount)), Measurand::Oxygen) => amount.value < FRESH_OXYGEN,
        _ => false,
    };
    let fits = |c: &&Cause| c.what == row.what && c.too_little == too_little;
    CAUSES.iter().find(fits).map(|cause| Advice {
        step: format!("{}: {}", row.what.name(), cause.step),
        why: cause.why.into(),
        source: PRACTICE.into(),
    })
}

/// Oxygen in fresh air, %. **Source** dry air of the US Standard Atmosphere
/// 1976, table 3: 20.9476 %.
const FRESH_OXYGEN: f64 = 20.9476;

fn sampling(verdict: &Verdict) -> Option<Advice> {
    let due = verdict.due.as_ref()?;
    let latest = due.latest_on.clone().unwrap_or_default();
    let step = match due.state {
        DueState::Overdue => format!("take a sample now: it was due by {latest}"),
        DueState::InWindow => format!("take a sample soon: by {latest} at the latest"),
        DueState::Current => format!("take the next sample by {latest}"),
        DueState::Unknown if due.sampled.is_some() => format!("take the next sample by {latest}"),
        DueState::Unknown => {
            format!(
                "write down the day of the sample: the next is due {} months later",
                due.every_months
            )
        }
    };
    let months = match due.every_months == due.latest_months {
        true => format!("every {} months", due.every_months),
        false => format!(
            "every {} months, {} at the latest",
            due.every_months, due.latest_months
        ),
    };
    let unverified = if due.unverified { " (unverified)" } else { "" };
    Some(Advice {
        step,
        why: format!(
            "{} ({}) asks for one {months}{unverified}; after repair, a change of place or any \
             doubt at once",
            verdict.standard, verdict.edition
        ),
        source: due.source.clone(),
    })
}
