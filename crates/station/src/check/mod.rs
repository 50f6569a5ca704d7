//! Contradictions: values that are fine alone and do not fit together.
//!
//! Start at [`CHECKS`]; each is a plain function from what the file says to problems, with every
//! place labelled and the numbers as the file has them. They look at what is written, not at
//! defaults. Not here: rules and standards, and whether a setting is wise.

mod cylinders;
mod machine;
mod path;
mod pressures;

use crate::facts::Facts;
use crate::problem::Problem;

/// One check.
type Check = fn(&Facts<'_>, &mut Vec<Problem>);

const CHECKS: &[Check] = &[
    pressures::pmv_closes_above_opens,
    pressures::pmv_above_working,
    pressures::relief_reseats_above_lifts,
    pressures::relief_below_working,
    pressures::relief_missing,
    pressures::relief_above_tower,
    pressures::disc_below_relief,
    pressures::disc_above_tower,
    pressures::whip_below_working,
    machine::altitude_and_pressure,
    machine::stage_count,
    machine::stages_not_falling,
    machine::stage_relief,
    machine::too_few_rows,
    machine::delivery_rows,
    machine::gauge_stages,
    machine::gauge_spans,
    path::named_twice,
    path::named_without_table,
    path::table_without_name,
    path::pmv_before_separator,
    path::relief_after_pmv,
    cylinders::no_kind,
    cylinders::duplicate_ids,
    cylinders::unknown_kinds,
    cylinders::vessel_above_working,
    cylinders::test_below_working,
];

/// Every contradiction in what the file says.
pub(crate) fn all(facts: &Facts<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    for check in CHECKS {
        check(facts, &mut problems);
    }
    problems
}
