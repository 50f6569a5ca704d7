//! What in the records cannot be so, or not be known, as a sentence with its remedy.
//!
//! Not here: how it is found ([`book::answer::Doubt`]).

use book::answer::Doubt;

use super::{hours, minutes};

/// The sentence.
pub fn sentence(doubt: &Doubt) -> String {
    match *doubt {
        Doubt::NeverStopped {
            start, counted_h, ..
        } => format!(
            "The run of entry {start} was never stopped; {} are counted. Add its stop with its time.",
            minutes(60.0 * counted_h)
        ),
        Doubt::StopWithoutStart { stop } => {
            format!("Entry {stop} stops a run whose start is not recorded: add the start.")
        }
        Doubt::Overlap { starts, stops } => format!(
            "Entries {}, {}, {} and {} are two runs at once; counted as one.",
            starts[0], starts[1], stops[0], stops[1]
        ),
        Doubt::LongRun {
            start, hours: h, ..
        } => format!(
            "The run of entry {start} lasted {} by the clock: was a stop forgotten?",
            hours(h)
        ),
        Doubt::MeterBack { .. } | Doubt::MeterAhead { .. } | Doubt::Disagree { .. } => meter(doubt),
        Doubt::OutOfOrder { entry, after } => format!(
            "Entry {entry} is dated before entry {after}, which was written earlier: was the clock put \
             back?"
        ),
        Doubt::Ahead { entry } => {
            format!("Entry {entry} is dated after it was written: check its time.")
        }
        Doubt::FillOutsideRun { fill } => {
            format!("Entry {fill} is a fill at a time when no run is recorded.")
        }
    }
}

/// Of the hour meter; empty for any other.
fn meter(doubt: &Doubt) -> String {
    match *doubt {
        Doubt::MeterBack {
            before,
            after,
            from_h,
            to_h,
        } => format!(
            "The hour meter went back from {} (entry {before}) to {} (entry {after}): replaced, reset or \
             misread.",
            hours(from_h),
            hours(to_h)
        ),
        Doubt::MeterAhead {
            before,
            after,
            meter_h,
            passed_h,
        } => format!(
            "Between entries {before} and {after} the hour meter went {} in {} of time: misread or \
             replaced.",
            hours(meter_h),
            hours(passed_h)
        ),
        Doubt::Disagree {
            before,
            after,
            meter_h,
            clock_h,
        } => format!(
            "Between entries {before} and {after} the hour meter went {}, the recorded runs {}: a run \
             or a stop is missing.",
            hours(meter_h),
            hours(clock_h)
        ),
        _ => String::new(),
    }
}
