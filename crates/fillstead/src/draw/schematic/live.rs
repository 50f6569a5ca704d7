//! The air path with what a running bench shows beside its parts, instead of their settings.

use station::Station;

use super::super::Drawing;
use super::parts::{self, Figure, PathPart};
use super::wide;

/// What stands beside the parts now.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Live {
    /// What each gauge shows, by its name.
    pub gauges: Vec<(String, String)>,
    /// The sump and its drain, one a line.
    pub sump: Vec<String>,
    /// What reaches the purifier.
    pub reaching: Vec<String>,
    /// The fill valve: whether it is shut.
    pub fill_shut: bool,
    /// The hose and its bleed.
    pub hose: Vec<String>,
    /// The cylinder and its valve.
    pub cylinder: Vec<String>,
    /// The vent: open or shut.
    pub vent: Option<String>,
    /// Whether the relief valve lifts.
    pub relieving: bool,
    /// Whether the disc has gone.
    pub burst: bool,
}

/// The air path of a bench, from left to right.
pub fn live(station: &Station, live: &Live, available: f64) -> Drawing {
    let shown: Vec<PathPart> = parts::of(station)
        .into_iter()
        .filter(|part| part.figure != Figure::Bank)
        .map(|part| beside(part, live))
        .collect();
    wide::draw_parts(station, shown, &[], available)
}

fn beside(mut part: PathPart, live: &Live) -> PathPart {
    let shut = |shut: bool| vec![if shut { "shut" } else { "open" }.to_owned()];
    match part.figure {
        Figure::Gauge => {
            let found = live.gauges.iter().find(|(name, _)| *name == part.name);
            let found = found.or_else(|| {
                live.gauges
                    .iter()
                    .find(|(name, _)| part.name.starts_with(name.as_str()))
            });
            part.values = found.map(|(_, shows)| shows.clone()).into_iter().collect();
        }
        Figure::Separator => part.values.clone_from(&live.sump),
        Figure::Purifier => {
            part.notes.clear();
            part.values.clone_from(&live.reaching);
        }
        Figure::FillValve => {
            part.shut = live.fill_shut;
            part.values = shut(live.fill_shut);
        }
        Figure::Hose => {
            part.name = "hose".to_owned();
            part.values.clone_from(&live.hose);
        }
        Figure::Cylinder => part.values.clone_from(&live.cylinder),
        Figure::Vent => part.values = live.vent.iter().cloned().collect(),
        Figure::Relief if live.relieving => part.values.push("LIFTS".to_owned()),
        Figure::Disc if live.burst => part.values.push("HAS GONE".to_owned()),
        _ => {}
    }
    part
}
