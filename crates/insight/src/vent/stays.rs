//! What stays under pressure when one space has been let out, why, and how to let it out.
//!
//! Not here: the simulation whose last reading this looks at ([`super::run`]).

use super::answer::Stays;
use super::reach::{Held, held};
use super::run::{Followed, Opening, ZERO_BAR};
use physics::sim::{End, Gate, Plant, Start};

/// A space counts as under pressure above this, bar.
const PRESSED_BAR: f64 = 5.0 * ZERO_BAR;

/// Every space still under pressure. `skip` are vessels not spoken of (cylinders).
pub(super) fn stays(opening: &Opening, followed: &Followed, skip: &[usize]) -> Vec<Stays> {
    let plant = opening.plant;
    let mut found = Vec::new();
    for (i, (vessel, reading)) in plant.vessels.iter().zip(&followed.last.vessels).enumerate() {
        let bar = (reading.p_pa - plant.atmosphere_pa) / 1e5;
        if i == opening.vessel || skip.contains(&i) || bar < PRESSED_BAR {
            continue;
        }
        let Some(held) = followed.held.get(i) else {
            continue;
        };
        found.push(Stays {
            space: vessel.name.clone(),
            bar,
            why: why(plant, held, i),
            release: release(plant, opening.starts, i),
        });
    }
    found
}

fn why(plant: &Plant, held: &Held, vessel: usize) -> String {
    match held {
        Held::Not => "its air had not all passed yet: leave the valve open".into(),
        Held::Until { .. } => {
            "the pressure maintaining valve has shut there and keeps what stands before it".into()
        }
        Held::Whole { link } => match link.and_then(|link| plant.links.get(link)) {
            Some(link) if link.name == "pmv" && link.from == vessel => {
                "the pressure maintaining valve is shut: the pressure before it is below its \
                 opening pressure"
                    .into()
            }
            Some(link) if link.name == "pmv" => {
                "the pressure maintaining valve lets no air back".into()
            }
            Some(link) if link.name == "check" => "the non-return valve lets no air back".into(),
            Some(link) => format!("the {} is shut", link.name),
            None => "nothing connects the two".into(),
        },
    }
}

/// The hand valves that let this space out to the end.
fn release(plant: &Plant, starts: &[Start], vessel: usize) -> String {
    let mut names = Vec::new();
    for link in &plant.links {
        let (Gate::Hand(_), End::Atmosphere) = (link.gate, link.to) else {
            continue;
        };
        if held(plant, starts, link.from).get(vessel) == Some(&Held::Not) {
            names.push(format!("the {}", link.name));
        }
    }
    if names.is_empty() {
        "the file names no valve that lets it out: use the maker's manual".into()
    } else {
        format!("open {}, slowly", names.join(" or "))
    }
}
