//! What the book itself has against a fill: locks on everybody, and a cylinder's own record.
//!
//! Not here: the rule of cylinders, the line ([`super::gate`]).

use book::answer::locks::{Lock, Reason};
use book::answer::register::Record;
use insight::cylinder::answer::Refusal;

use crate::usecase::clock::Zone;

/// Where a refusal of our own comes from.
pub(super) const OWN: &str = "the fill gate's own refusal";
/// How sure it is.
pub(super) const NO_SOURCE: &str = "common practice, no source";

fn refusal(id: &'static str, what: String, way_forward: String) -> Refusal {
    Refusal {
        id,
        what,
        way_forward,
        source: OWN.into(),
        certainty: NO_SOURCE.into(),
        may_be_overridden: false,
    }
}

/// Filling is locked for everybody.
pub fn locked(lock: &Lock, zone: &Zone) -> Refusal {
    let mark = lock.reason.mark();
    let day = zone.day_text(mark.at);
    match &lock.reason {
        Reason::Symptom(told) => refusal(
            "symptom",
            format!(
                "a symptom was reported on {day} (entry {}: {}), and its cause is not recorded",
                mark.seq, told.body.what
            ),
            format!(
                "Find the cause with a competent person, and write it down: `book add BOOK cause {}`",
                mark.seq
            ),
        ),
        Reason::FailedTest(_) => {
            let cause = match lock.needs_cause() {
                true => format!("write its cause down (`book add BOOK cause {}`)", mark.seq),
                false => "its cause is recorded".to_owned(),
            };
            refusal(
                "air-test-failed",
                format!("the air test entered on {day} failed (entry {})", mark.seq),
                format!(
                    "Take a new sample once the cause is mended; {cause}. Both open the gate again"
                ),
            )
        }
    }
}

/// What the record itself has against a fill.
pub fn of_record(record: &Record) -> Vec<Refusal> {
    let mut against = Vec::new();
    if let Some(left) = &record.left {
        against.push(refusal(
            "left",
            format!(
                "it has gone from the register (entry {}: {})",
                left.seq, left.body.why
            ),
            "Register it again with what is stamped on it now".into(),
        ));
    }
    for failed in &record.failed {
        let check = match failed.body.check {
            book::body::Check::Test => "pressure test",
            book::body::Check::Visual => "visual inspection",
            book::body::Check::EddyCurrent => "eddy-current examination",
        };
        against.push(refusal(
            "inspection-failed",
            format!(
                "its {check} of {} was not passed (entry {})",
                failed.body.on, failed.seq
            ),
            "Let a test house decide: a later pass, or condemn it".into(),
        ));
    }
    if !record.held.is_empty() {
        let numbers: Vec<String> = record.held.iter().map(u64::to_string).collect();
        against.push(refusal(
            "set-aside",
            format!("what is in it is under suspicion (entry {})", numbers.join(", ")),
            "Keep it for analysis, or vent it to nothing; then `book add BOOK release` with the reason"
                .into(),
        ));
    }
    if !record.unread.is_empty() {
        against.push(refusal(
            "unread",
            "the book holds entries this program cannot read, and they may concern it".into(),
            "Use the Fillstead that wrote them, or a later one".into(),
        ));
    }
    against
}
