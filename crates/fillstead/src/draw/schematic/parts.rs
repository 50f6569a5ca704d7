//! The parts of a station as the air meets them, with their numbers, symbols and settings.

use insight::ladder::Part;
use quantity::Quantity as _;
use station::{Bed, BedKind, Drive, Element, Output, Reads, Station};

use super::super::figures::{Figures, short};

/// How a part stands to the pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stand {
    /// The air passes through it.
    Through,
    /// On a branch that goes up.
    Up,
    /// On a branch that goes down.
    Down,
    /// At the end of the pipe.
    End,
}

/// What a part is drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Figure {
    Intake,
    Stage,
    Cooler,
    Check,
    Separator,
    Purifier,
    Gauge,
    Relief,
    Disc,
    Vent,
    Pmv,
    Bank,
    FillValve,
    Hose,
    Cylinder,
}

/// One part in the air path.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PathPart {
    pub figure: Figure,
    pub balloon: Option<u8>,
    pub name: String,
    /// What belongs to its name: what a purifier is filled with.
    pub notes: Vec<String>,
    /// Settings and sizes, one a line.
    pub values: Vec<String>,
    pub stand: Stand,
    /// Pen of the pipe that leaves it, 1 to 4: heavier with pressure.
    pub pen: u8,
    /// Where it stands in the file's order of the air path.
    pub element: Option<usize>,
    /// A valve that is shut now.
    pub shut: bool,
}

impl PathPart {
    fn new(figure: Figure, part: Option<Part>, name: &str, values: Vec<String>) -> PathPart {
        use Figure::{Bank, Cylinder, Disc, Gauge, Relief, Vent};
        let stand = match figure {
            Gauge | Relief | Disc => Stand::Up,
            Vent | Bank => Stand::Down,
            Cylinder => Stand::End,
            _ => Stand::Through,
        };
        PathPart {
            figure,
            balloon: part.and_then(|p| p.balloon),
            name: name.to_owned(),
            notes: Vec::new(),
            values,
            stand,
            pen: 4,
            element: None,
            shut: false,
        }
    }

    /// Its name, with its notes after it.
    pub fn full_name(&self) -> String {
        match self.notes.is_empty() {
            true => self.name.clone(),
            false => format!("{}: {}", self.name, self.notes.join(", ")),
        }
    }

    fn pen(self, pen: u8) -> PathPart {
        PathPart { pen, ..self }
    }
}

/// The number of the fill valve: between the burst disc's and the fill hose's.
const FILL_VALVE: u8 = 10;

/// Every part, as the air meets them.
pub(super) fn of(station: &Station) -> Vec<PathPart> {
    let figures = Figures {
        units: station.units,
    };
    let mut parts = vec![intake(station, figures)];
    parts.extend(stages(station, figures));
    let order = station.air_path.order.iter().enumerate();
    parts.extend(order.flat_map(|(place, element)| {
        let here = element_parts(station, *element, figures).into_iter();
        here.map(move |part| PathPart {
            element: Some(place),
            ..part
        })
    }));
    parts.extend(gauges(station, Reads::Line, figures));
    parts.extend(banks(station));
    let valve = PathPart::new(Figure::FillValve, None, "fill valve", Vec::new());
    parts.push(PathPart {
        balloon: Some(FILL_VALVE),
        ..valve
    });
    parts.push(hose(station, figures));
    parts.push(cylinders(station));
    parts
}

fn intake(station: &Station, figures: Figures) -> PathPart {
    let air = &station.intake;
    let values = vec![
        figures.temperature(air.temperature.as_celsius()),
        format!("{} % RH", short(air.humidity.as_percent(), 0)),
    ];
    PathPart::new(Figure::Intake, Some(Part::intake()), "intake", values).pen(1)
}

/// Stages, each with its gauges and its cooler.
fn stages(station: &Station, figures: Figures) -> Vec<PathPart> {
    let of = station.compressor.stage_count;
    let list = match &station.compressor.output {
        Output::Stages(list) => list.as_slice(),
        _ => &[],
    };
    let mut parts = Vec::new();
    for number in 1..=of {
        let part = Part::stage(number, of);
        let stage = list.get(number - 1);
        let relief = stage.and_then(|s| s.relief);
        let values = relief.map(|p| format!("relief {}", figures.set(p.as_bar())));
        let name = match of {
            1 => "stage".to_owned(),
            _ => format!("stage {number}"),
        };
        let pen = if number == of { 4 } else { number.min(3) as u8 };
        let values = values.into_iter().collect();
        parts.push(PathPart::new(Figure::Stage, Some(part), &name, values).pen(pen));
        parts.push(PathPart::new(Figure::Cooler, None, "cooler", Vec::new()).pen(pen));
        let gauges = gauges(station, Reads::Stage(number), figures);
        parts.extend(gauges.into_iter().map(|g| g.pen(pen)));
    }
    parts
}

/// The gauges of one place.
fn gauges(station: &Station, reads: Reads, figures: Figures) -> Vec<PathPart> {
    let here = station.gauges.iter().filter(|g| g.reads == reads);
    let one = |gauge: &station::Gauge| {
        let span = format!("to {}", figures.set(gauge.span.as_bar()));
        let part = Part::gauge(&gauge.name);
        PathPart::new(Figure::Gauge, Some(part), &gauge.name, vec![span])
    };
    here.map(one).collect()
}

/// One part as a rule; as many as are fitted for gauges.
fn element_parts(station: &Station, element: Element, figures: Figures) -> Vec<PathPart> {
    if element == Element::Gauge {
        let gauges = gauges(station, Reads::Tower, figures);
        let bare = PathPart::new(Figure::Gauge, None, "tower gauge", Vec::new());
        return if gauges.is_empty() {
            vec![bare]
        } else {
            gauges
        };
    }
    element_part(station, element, figures)
        .into_iter()
        .collect()
}

fn element_part(station: &Station, element: Element, figures: Figures) -> Option<PathPart> {
    let two = |a: f64, b: f64| format!("{} / {}", figures.set(a), figures.set(b));
    let part = match element {
        Element::Check => PathPart::new(Figure::Check, None, "check valve", Vec::new()),
        Element::Separator => {
            let sump = volume(station.separator.sump_volume, figures);
            let part = Some(Part::separator());
            PathPart::new(Figure::Separator, part, "separator, sump", vec![sump])
        }
        Element::Purifier => purifier(station, figures),
        Element::Gauge => return None,
        Element::Relief => {
            let relief = station.relief.as_ref()?;
            let set = two(relief.lifts.as_bar(), relief.reseats.as_bar());
            let part = Some(Part::relief());
            PathPart::new(Figure::Relief, part, "relief lifts / reseats", vec![set])
        }
        Element::BurstDisc => {
            let disc = station.burst_disc.as_ref()?;
            let percent = short(disc.tolerance.as_percent(), 1);
            let set = format!("{} ± {percent} %", figures.set(disc.bursts.as_bar()));
            PathPart::new(Figure::Disc, Some(Part::disc()), "burst disc", vec![set])
        }
        Element::Vent => {
            station.vent.as_ref()?;
            PathPart::new(Figure::Vent, None, "tower vent", Vec::new())
        }
        Element::Pmv => {
            let pmv = station.pmv.as_ref()?;
            let set = two(pmv.opens.as_bar(), pmv.closes.as_bar());
            let part = Some(Part::pmv());
            PathPart::new(Figure::Pmv, part, "PMV opens / closes", vec![set])
        }
    };
    Some(part)
}

fn purifier(station: &Station, figures: Figures) -> PathPart {
    let rated = station.tower.rated_pressure;
    let rated = rated.map(|p| format!("rated {}", figures.set(p.as_bar())));
    let bed = |bed: &Bed| {
        let filling = bed.adsorbent.clone();
        filling.unwrap_or_else(|| kind(bed.kind).to_owned())
    };
    let notes = station.purifier.beds.iter().map(bed).collect();
    let values = rated.into_iter().collect();
    let part = PathPart::new(Figure::Purifier, Some(Part::tower()), "purifier", values);
    PathPart { notes, ..part }
}

fn kind(kind: BedKind) -> &'static str {
    match kind {
        BedKind::Drying => "drying bed",
        BedKind::Carbon => "carbon",
        BedKind::Catalyst => "catalyst",
    }
}

/// Banks; those stamped alike share a symbol.
fn banks(station: &Station) -> Option<PathPart> {
    let mut by_stamp: Vec<(String, Vec<&str>)> = Vec::new();
    for bank in &station.banks {
        let stamp = bank.vessel.working_pressure.to_string();
        match by_stamp.iter_mut().find(|(there, _)| *there == stamp) {
            Some((_, ids)) => ids.push(&bank.id),
            None => by_stamp.push((stamp, vec![&bank.id])),
        }
    }
    let one = |(stamp, ids): &(String, Vec<&str>)| format!("{}: {stamp}", ids.join(", "));
    let values: Vec<String> = by_stamp.iter().map(one).collect();
    let name = match station.banks.len() {
        1 => "bank",
        _ => "banks",
    };
    (!values.is_empty()).then(|| PathPart::new(Figure::Bank, None, name, values))
}

fn hose(station: &Station, figures: Figures) -> PathPart {
    let name = match station.whip.count {
        1 => "fill hose, bleed".to_owned(),
        n => format!("{n} fill hoses, bleed"),
    };
    let rated = station.whip.rated_pressure;
    let rated = rated.map(|p| format!("rated {}", figures.set(p.as_bar())));
    let values = rated.into_iter().collect();
    PathPart::new(Figure::Hose, Some(Part::whip()), &name, values)
}

/// The kinds of cylinder filled, by what is stamped on them.
fn cylinders(station: &Station) -> PathPart {
    let mut stamps: Vec<String> = Vec::new();
    for kind in &station.cylinder_kinds {
        let stamp = kind.vessel.working_pressure.to_string();
        if !stamps.contains(&stamp) {
            stamps.push(stamp);
        }
    }
    let part = Some(Part::cylinder(""));
    PathPart::new(Figure::Cylinder, part, "cylinder", stamps)
}

/// The motor or engine, in words.
pub(super) fn drive(station: &Station, figures: Figures) -> String {
    let drive = station.compressor.drive.map(|drive| match drive {
        Drive::Electric => "electric motor",
        Drive::Petrol => "petrol engine",
        Drive::Diesel => "diesel engine",
    });
    let power = station.compressor.power.map(|power| {
        let unit = figures.units.preferred::<quantity::Power>();
        quantity::display_as(power, unit.symbol).unwrap_or_default()
    });
    let words: Vec<String> = power.into_iter().chain(drive.map(str::to_owned)).collect();
    words.join(", ")
}

fn volume(volume: quantity::Volume, figures: Figures) -> String {
    match figures.units {
        quantity::UnitSystem::Metric => format!("{} mL", short(volume.si() * 1e6, 0)),
        quantity::UnitSystem::Us => format!("{} cu in", short(volume.as_cubic_inch(), 1)),
    }
}
