//! Energy held in each space by several formulas, with their names and sources.
//!
//! Information only. Not here: the formulas ([`insight::vent`]).

use insight::vent::answer::{StoredEnergy, VentAnswer};
use quantity::UnitSystem;

use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::render::units::Say;

const FOOT_M: f64 = 0.3048;

/// The section.
pub(super) fn text(say: Say, vent: &VentAnswer) -> String {
    let lead = "For information only: the formulas were made for pressure tests and for bursts, \
                they differ, and none says where it is all right to stand.";
    let mut text = format!("Energy held\n{}", paragraph(2, lead));
    text += &energies(say, vent);
    text += &paragraph(2, "TNT of the PCC-2 energy, and distances by PCC-2:");
    text += &distances(say, vent);
    let hazardous: Vec<&str> = vent
        .stored
        .iter()
        .filter(|s| s.highly_hazardous)
        .map(|s| s.what.as_str())
        .collect();
    if !hazardous.is_empty() {
        let rule = "highly hazardous by the Berkeley rule of thumb (above 100 kJ)";
        text += &paragraph(2, &format!("{rule}: {}.", hazardous.join(", ")));
    }
    text += "  Formulas\n";
    for s in &vent.sources {
        text += &item(&format!("{}: {} ({}).", s.what, s.source, s.certainty));
    }
    text
}

fn energies(say: Say, vent: &VentAnswer) -> String {
    let mut table = Table::new(2).right([1, 2, 3, 4, 5]);
    table.row(["", "holds", "at", "PCC-2", "constant volume", "isothermal"].map(str::to_owned));
    for s in &vent.stored {
        let kj = |kj: f64| format!("{kj:.0} kJ");
        table.row([
            s.what.clone(),
            super::litres(say, s.litres),
            say.exact(s.bar),
            kj(s.pcc2_kj),
            kj(s.brode_kj),
            kj(s.isothermal_kj),
        ]);
    }
    table.text()
}

fn distances(say: Say, vent: &VentAnswer) -> String {
    let mut table = Table::new(2).right([1, 2, 3, 4, 5]);
    table.row(
        [
            "",
            "at 4.27 MJ/kg",
            "at 4.62 MJ/kg",
            "20·TNT^(1/3)",
            "20·(2·TNT)^(1/3)",
            "at least",
        ]
        .map(str::to_owned),
    );
    for s in &vent.stored {
        table.row(distance(say, s));
    }
    table.text()
}

fn distance(say: Say, s: &StoredEnergy) -> [String; 6] {
    let metres = |m: f64| match say.units {
        UnitSystem::Metric => format!("{m:.0} m"),
        UnitSystem::Us => format!("{:.0} ft", m / FOOT_M),
    };
    let grams = |kg: f64| format!("{:.0} g", kg * 1e3);
    [
        s.what.clone(),
        grams(s.tnt_pcc2_kg),
        grams(s.tnt_berkeley_kg),
        metres(s.distance_m),
        metres(s.distance_twice_m),
        s.least_distance_m.map_or("not given".to_owned(), metres),
    ]
}
