//! What the run card tells to do: after a stop, when something is wrong, before the start.
//!
//! By the parts and figures of this station; where the maker's manual says otherwise, it counts.

use insight::forecast::answer::Forecast;
use station::{Element, Station};

use crate::draw::figures::{Figures, grams, short};
use crate::print::run_card::Step;

/// Above the stop by so much, bar: the machine is stopped by anybody.
const OVER_BAR: f64 = 8.0;

/// Steps after a stop, by what stands in the air path.
pub fn steps(station: &Station) -> Vec<Step> {
    let plain = |text: &str| Step {
        text: text.to_owned(),
        strong: String::new(),
    };
    let path = &station.air_path;
    let (separator, purifier) = (
        path.position(Element::Separator),
        path.position(Element::Purifier),
    );
    let kept = separator.zip(purifier).is_some_and(|(s, p)| {
        let between = path.order.get(s..p).unwrap_or_default();
        between.contains(&Element::Check)
    });
    let mut steps = vec![
        plain("At the stop pressure on the gauge, switch the machine off."),
        plain("Shut the cylinder valve, then the fill valve."),
        Step {
            text: "Open the bleed of the whip.".to_owned(),
            strong: "Wait until its gauge reads 0.".to_owned(),
        },
        plain("Undo the whip, bleed open. Cap the cylinder, shut the bleed."),
        plain("Drain the sump slowly, standing clear, until it blows dry."),
    ];
    if !kept {
        steps.push(Step {
            text: "Shut the drain again:".to_owned(),
            strong: "left open it empties the purifier, no non-return valve stands between."
                .to_owned(),
        });
    }
    steps.push(match &station.pmv {
        Some(_) => plain("At the end: read the tower gauge at rest and write it down. Leave the purifier under pressure."),
        None => plain("At the end: no PMV keeps the purifier under pressure; follow the manual for standing."),
    });
    steps.push(plain("The maker's manual counts where it says otherwise."));
    steps
}

/// When to stop, by this station's figures.
pub fn stop_if(station: &Station, forecast: &Forecast, figures: Figures) -> Vec<(String, String)> {
    let unit = figures.unit();
    let said = |seen: String, then: &str| (seen, then.to_owned());
    let highest = forecast
        .cylinders
        .iter()
        .map(|c| c.stop_bar)
        .fold(0.0, f64::max);
    let limit = highest + OVER_BAR;
    let limit = station
        .relief
        .as_ref()
        .map_or(limit, |r| limit.min(0.5 * (highest + r.lifts.as_bar())));
    let mut rows = vec![
        said(
            "The gauge is outside “should read” twice running.".to_owned(),
            "Higher: a valve is shut, or a cylinder is smaller. Lower: a leak, or worn valves.",
        ),
        said(
            format!("The gauge passes {} {unit}.", figures.set(limit.floor())),
            "Switch off. Undo nothing under pressure.",
        ),
    ];
    if let Some(relief) = &station.relief {
        rows.push(said(
            format!(
                "The relief valve lifts (set at {} {unit}).",
                figures.set(relief.lifts.as_bar())
            ),
            "Switch off. Fill no more until the cause is known. Never plug or tighten it.",
        ));
    }
    if let Some(pmv) = &station.pmv {
        rows.push(said(
            format!(
                "The tower falls below {} {unit} after a stop.",
                figures.set(0.9 * pmv.closes.as_bar())
            ),
            "The PMV does not hold, or something leaks: note it.",
        ));
    }
    rows.extend(a_drain(forecast));
    rows.push(said(
        "A cylinder is too hot to hold, or you smell oil or fumes.".to_owned(),
        "Switch off, set the cylinders of this run aside.",
    ));
    rows
}

/// A drain that gives what no forecast has.
fn a_drain(forecast: &Forecast) -> Option<(String, String)> {
    let ml = forecast
        .water
        .as_ref()
        .map(|w| w.sump_ml)
        .filter(|ml| *ml > 0.5)?;
    let seen = format!(
        "A drain gives far from {} mL.",
        short((ml / 5.0).ceil() * 5.0, 0)
    );
    let then = "Much less: it is blocked. Much more: drain more often.";
    Some((seen, then.to_owned()))
}

/// What is looked at before the start.
pub fn before(station: &Station, forecast: &Forecast, known: Vec<String>) -> Vec<String> {
    let mut lines = known;
    if let Some(water) = &forecast.water {
        let brings = grams(water.to_purifier_g);
        let held = forecast.purifier.as_ref().map(|bed| {
            let left = bed.remaining_h;
            format!(
                ", which holds {} g; about {} running hours left ({} to {})",
                grams(bed.held_before_g),
                short(left.mid, 0),
                short(left.low, 0),
                short(left.high, 0)
            )
        });
        lines.push(format!(
            "This run brings {brings} g of water to the purifier{}.",
            held.unwrap_or_default()
        ));
    }
    lines.push(match station.compressor.drive {
        Some(station::Drive::Petrol | station::Drive::Diesel) => {
            "Engine: outdoors only, intake upwind of its exhaust and of every other.".to_owned()
        }
        _ => "Intake in clean air, no engine running near it.".to_owned(),
    });
    lines.push("Look over hoses, gauges and the oil; smell the air at the fill valve.".to_owned());
    lines
}
