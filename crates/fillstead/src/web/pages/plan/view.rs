//! A plan as a page shows it: every figure a text in the units of the station.

use crate::usecase::plan::Plan;

use super::form::{Form, form, refused};
use super::result::{Outcome, outcome};
use crate::web::page::in_sentences;

/// The page.
pub struct View {
    /// The question.
    pub form: Form,
    /// Its answer; none where there is none.
    pub outcome: Option<Outcome>,
    /// What is wrong that belongs to no input.
    pub wrong: Vec<String>,
    /// Why nothing may be filled now, with the way forward.
    pub locks: Vec<(String, String)>,
    /// Why this run must not be made.
    pub refused: Option<String>,
    /// Cylinders that must not be filled: name, why, way forward.
    pub left_out: Vec<(String, String, String)>,
    /// Remarks on the day.
    pub remarks: Vec<String>,
    /// Where the run card is.
    pub card: String,
    /// The fields a start sends on.
    pub start: Vec<(&'static str, String)>,
    /// Why a run is not started by it; empty where one may be.
    pub no_start: String,
}

impl View {
    /// The view of a plan.
    pub fn of(plan: &Plan) -> View {
        let form = form(plan);
        let placed = |field: &str| {
            let mut names = form.fields.iter().chain(&form.more_fields);
            field == "fault" || names.any(|f| f.name == field)
        };
        let loose = plan
            .troubles
            .iter()
            .filter(|t| !t.field.is_some_and(placed));
        let left_out = plan.left_out().flat_map(|row| {
            let one = |refusal| {
                let (what, way) = refused(refusal);
                (row.id.clone(), what, way)
            };
            row.refusals().iter().map(one)
        });
        View {
            wrong: loose.map(in_sentences).collect(),
            locks: plan.locks.iter().map(refused).collect(),
            refused: plan.refused.as_ref().map(in_sentences),
            left_out: left_out.collect(),
            remarks: plan
                .remarks
                .iter()
                .map(|r| crate::web::page::sentence(r))
                .collect(),
            card: format!("/plan/card?{}", plan.query.address()),
            start: plan.query.fields(),
            no_start: no_start(plan),
            outcome: outcome(plan),
            form,
        }
    }
}

/// Why a run is not started by this plan.
fn no_start(plan: &Plan) -> String {
    if plan.may_start() {
        return String::new();
    }
    let why = if !plan.locks.is_empty() {
        "Filling is locked: see above."
    } else if !plan.query.faults.is_empty() {
        "A plan with faults is a lesson: take them out to start a run."
    } else if plan.left_out().next().is_some() {
        "Take out the cylinders that must not be filled to start a run."
    } else if plan
        .rows
        .iter()
        .any(|row| row.verdict.is_none() && row.trouble.is_none())
    {
        "A kind is no cylinder: name the cylinders to start a run."
    } else {
        "Mend what is marked to start a run."
    };
    why.to_owned()
}
