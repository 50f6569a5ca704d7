//! Which limit of a standard holds for this sample.
//!
//! Not here: comparing with it.

use super::judge::{Context, Point};
use super::measurand::Measurand;
use super::standard::{Limit, Standard};

/// Limits of one quantity that hold for a sample.
pub(super) enum Choice<'a> {
    /// The standard does not limit it at all.
    NotLimited,
    /// One, or several of which the context does not say which.
    Of(Vec<&'a Limit>),
    /// There are limits, but none for this sample.
    NoneHere {
        /// Why.
        why: String,
        /// What to do.
        settle: String,
    },
}

/// The limits of `what` for a sample taken so.
pub(super) fn choose<'a>(standard: &'a Standard, what: Measurand, context: &Context) -> Choice<'a> {
    let all: Vec<&Limit> = standard.limits.iter().filter(|l| l.what == what).collect();
    if all.is_empty() {
        return Choice::NotLimited;
    }
    let here: Vec<&Limit> = all
        .iter()
        .copied()
        .filter(|l| holds_at(l, context.point))
        .collect();
    if here.is_empty() {
        return elsewhere_only(&all, what);
    }
    by_pressure(here, what, context)
}

fn holds_at(limit: &Limit, point: Option<Point>) -> bool {
    match (limit.point, point) {
        (Some(asked), Some(taken)) => asked == taken,
        _ => true,
    }
}

fn elsewhere_only<'a>(all: &[&Limit], what: Measurand) -> Choice<'a> {
    let place = all
        .iter()
        .find_map(|l| l.point)
        .map_or("elsewhere", Point::in_words);
    Choice::NoneHere {
        why: format!("this standard limits {} {place} only", what.name()),
        settle: format!("take a sample {place}"),
    }
}

/// Narrows down to the cylinder's pressure, where limits differ by it.
fn by_pressure<'a>(here: Vec<&'a Limit>, what: Measurand, context: &Context) -> Choice<'a> {
    let Some(typed) = context.cylinder_pressure else {
        return Choice::Of(here);
    };
    let span = |l: &&&Limit| l.cylinder.is_some();
    let fits = |l: &&Limit| l.cylinder.as_ref().is_none_or(|c| c.holds(typed.value));
    let fitting: Vec<&Limit> = here.iter().copied().filter(fits).collect();
    if !fitting.is_empty() {
        return Choice::Of(fitting);
    }
    let above = |l: &&Limit| l.cylinder.as_ref().is_some_and(|c| c.is_above(typed.value));
    let spans: Vec<&Limit> = here.iter().filter(span).copied().collect();
    let higher = spans.iter().filter(|l| above(l)).count();
    if higher > 0 && higher < spans.len() {
        // Between two classes: either may be meant.
        return Choice::Of(spans);
    }
    Choice::NoneHere {
        why: format!(
            "this standard, as held here, has no limit of {} for a cylinder of {typed}",
            what.name()
        ),
        settle: "look it up in the standard itself".into(),
    }
}
