//! A fill at the fill line, with one thumb: the cylinder as a button, two pressures as steps.
//!
//! Without script the steps are lists to choose from; assets/fill.js adds buttons to them.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use insight::cylinder::FillAnswer;
use quantity::UnitSystem;

use crate::usecase::book::form::{Form, Given};
use crate::usecase::book::{choices, cylinder};
use crate::usecase::{Trouble, units};
use crate::web::App;
use crate::web::address;
use crate::web::page::{PageError, Place, Sheet, show, work};
use crate::web::pages::book::Against;
use crate::web::person::Person;
use crate::web::typed::Typed;

/// The quick form.
#[derive(Template)]
#[template(path = "web/enter/fill.html")]
struct FillView {
    sheet: Sheet,
    /// Addresses and names of cylinders at hand.
    buttons: Vec<(String, String)>,
    chosen: Option<Chosen>,
    by: String,
    persons: Vec<String>,
    caution: &'static str,
}

/// The cylinder chosen.
struct Chosen {
    id: String,
    gate: FillAnswer,
    against: Vec<Against>,
    from: Vec<String>,
    to: Vec<String>,
}

/// `GET /book/fill`.
pub async fn quick(
    State(app): State<Arc<App>>,
    person: Person,
    Query(given): Query<Given>,
) -> Result<Response, PageError> {
    let by = person.name.unwrap_or_default();
    let cylinder = Typed(given).own("cylinder");
    show(&work(&app, move |app| view(app, cylinder, by)).await??)
}

fn view(app: &App, cylinder: Option<String>, by: String) -> Result<FillView, Trouble> {
    let form = Form::named("fill")?;
    let chosen = cylinder.map(|id| chosen(app, id)).transpose()?;
    let buttons = choices::at_hand(&app.book)?.into_iter();
    let button = |id: String| (address::with("/book/fill", &[("cylinder", &id)]), id);
    Ok(FillView {
        sheet: Sheet::of(app, Place::Book, "Fill a cylinder"),
        buttons: buttons.map(button).collect(),
        persons: choices::choices(&app.book, form)?.persons,
        chosen,
        by,
        caution: form.caution,
    })
}

fn chosen(app: &App, id: String) -> Result<Chosen, Trouble> {
    let page = cylinder::one(&app.book, &id, &cylinder::Asked::default())?;
    let (from, to) = steps(&page.gate, units::asked());
    Ok(Chosen {
        against: page.gate.refusals.iter().map(Against::from).collect(),
        gate: page.gate,
        from,
        to,
        id,
    })
}

/// Pressures to choose from in the reader's units, else in the unit of the stamp: before from
/// nothing up, at the stop from the most this cylinder may have, as it is stamped, down.
fn steps(gate: &FillAnswer, reads: Option<UnitSystem>) -> (Vec<String>, Vec<String>) {
    let stamped = gate.to.as_ref().map(|to| to.stamped.as_str());
    let of_stamp = match stamped.is_some_and(|stamped| stamped.ends_with("psi")) {
        true => UnitSystem::Us,
        false => UnitSystem::Metric,
    };
    let psi = reads.unwrap_or(of_stamp) == UnitSystem::Us;
    let (step, unit, usual) = if psi {
        (50, "psi", 4500)
    } else {
        (5, "bar", 300)
    };
    let most = match (&gate.to, psi) {
        (Some(to), true) => to.psi as u32,
        (Some(to), false) => to.bar as u32,
        (None, _) => usual,
    };
    let write = |number: u32| format!("{number} {unit}");
    let below = (0..most).step_by(step).map(write);
    let mut to: Vec<String> = stamped.map(str::to_owned).into_iter().collect();
    to.extend(below.clone().rev());
    (below.collect(), to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::usecase::book::gate::without_rule;
    use insight::cylinder::BothUnits;

    #[test]
    fn steps_end_at_the_stamp() {
        let mut gate = without_rule("A1", station::Date::new(2026, 5, 20).unwrap());
        assert_eq!(steps(&gate, None).1[0], "295 bar");
        gate.to = Some(BothUnits {
            stamped: "2216 psi".into(),
            bar: 152.8,
            psi: 2216.0,
        });
        let (from, to) = steps(&gate, None);
        assert_eq!((from[0].as_str(), from[1].as_str()), ("0 psi", "50 psi"));
        assert_eq!((to[0].as_str(), to[1].as_str()), ("2216 psi", "2200 psi"));
        // Who reads bar reads bar, and the stamp as it is stamped.
        let (from, to) = steps(&gate, Some(UnitSystem::Metric));
        assert_eq!((from[0].as_str(), from[1].as_str()), ("0 bar", "5 bar"));
        assert_eq!((to[0].as_str(), to[1].as_str()), ("2216 psi", "150 bar"));
    }
}
