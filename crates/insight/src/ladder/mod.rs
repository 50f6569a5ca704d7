//! The pressure ladder: every set pressure and rating of a station on one scale.
//!
//! Start at [`Ladder::of`]; [`text`] and [`svg()`] draw it. Entries stand from low
//! to high, each with the band in which the real thing may lie. Not here: what
//! is wrong with it ([`crate::audit`]), only which bands overlap.
//! Invariant: the scale is linear and starts at zero.

mod label;
mod part;
mod say;
mod spread;
mod svg;
#[cfg(test)]
mod tests;
mod text;

pub use part::Part;
pub(crate) use say::{Say, above};
pub use svg::{inline, svg};
pub use text::text;

use quantity::GaugePressure;
use serde::Serialize;
use station::{Output, Station, Vessel};

/// All set pressures and ratings of a station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ladder {
    /// The station's name.
    pub station: String,
    /// From low to high.
    pub rungs: Vec<Rung>,
    /// Where bands that should stand apart overlap, from low to high.
    pub overlaps: Vec<Overlap>,
    /// Room between neighbours, from low to high.
    pub margins: Vec<Margin>,
    /// What the tower gauge shows now, bar gauge.
    pub now_bar: Option<f64>,
    /// End of the scale, bar gauge.
    pub top_bar: f64,
}

/// One pressure on the ladder.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rung {
    /// What happens there, or what is rated for it.
    pub name: String,
    /// What sort of pressure it is.
    pub kind: RungKind,
    /// The part it belongs to.
    pub part: Part,
    /// As specified, bar gauge.
    pub bar: f64,
    /// Lowest it may really be, bar gauge.
    pub low_bar: f64,
    /// Highest it may really be, bar gauge.
    pub high_bar: f64,
    /// As stamped, where it is a stamp.
    pub stamp: Option<String>,
}

/// What sort of pressure a rung is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RungKind {
    /// The PMV shuts.
    PmvCloses,
    /// The PMV opens.
    PmvOpens,
    /// A kind of cylinder is full here, if the machine goes so far.
    FillStop,
    /// A bank's working pressure.
    BankRating,
    /// The compressor's working pressure.
    Working,
    /// The relief valve shuts again.
    ReliefReseats,
    /// The relief valve begins to open.
    ReliefLifts,
    /// The relief valve is fully open.
    ReliefFull,
    /// The disc bursts.
    DiscBursts,
    /// A part is made for no more than this.
    Rating,
    /// The same, and no rated part is weaker.
    WeakestRating,
}

/// Two bands that should stand apart and do not.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overlap {
    /// From, bar gauge.
    pub low_bar: f64,
    /// To, bar gauge.
    pub high_bar: f64,
    /// What should stay below.
    pub lower: String,
    /// What should stay above.
    pub upper: String,
}

/// Room between two pressures, nominal to nominal or to the edge of a band.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Margin {
    /// From, bar gauge.
    pub from_bar: f64,
    /// To, bar gauge.
    pub to_bar: f64,
    /// What it is for.
    pub what: &'static str,
}

/// Part of the highest pressure that the scale goes on above it.
const HEADROOM: f64 = 0.06;

impl Ladder {
    /// The ladder of a station.
    pub fn of(station: &Station) -> Ladder {
        let mut rungs = settings(station);
        rungs.extend(vessels(station));
        rungs.extend(ratings(station));
        rungs.sort_by(|a, b| {
            let by_bar = a.bar.total_cmp(&b.bar).then(a.kind.cmp(&b.kind));
            by_bar.then_with(|| a.name.cmp(&b.name))
        });
        let now_bar = station.now.tower.map(|p| p.as_bar());
        let highest = rungs.iter().map(|r| r.high_bar).fold(1.0, f64::max);
        let highest = highest.max(now_bar.unwrap_or(0.0));
        let mut ladder = Ladder {
            station: station.name.clone(),
            rungs,
            overlaps: Vec::new(),
            margins: Vec::new(),
            now_bar,
            top_bar: highest * (1.0 + HEADROOM),
        };
        ladder.overlaps = ladder.find_overlaps();
        ladder.margins = ladder.find_margins();
        ladder
    }

    /// The rung of a kind that a station has at most one of.
    pub fn rung(&self, kind: RungKind) -> Option<&Rung> {
        self.rungs.iter().find(|r| r.kind == kind)
    }

    /// Ratings of parts, from low to high.
    pub fn ratings(&self) -> impl Iterator<Item = &Rung> {
        let rated = |r: &&Rung| matches!(r.kind, RungKind::Rating | RungKind::WeakestRating);
        self.rungs.iter().filter(rated)
    }

    fn find_overlaps(&self) -> Vec<Overlap> {
        use RungKind::{DiscBursts, PmvCloses, PmvOpens, ReliefLifts, WeakestRating, Working};
        let apart = [
            (PmvCloses, PmvOpens),
            (PmvOpens, Working),
            (Working, ReliefLifts),
            (ReliefLifts, DiscBursts),
            (ReliefLifts, WeakestRating),
            (DiscBursts, WeakestRating),
        ];
        let overlap = |(lower, upper): (RungKind, RungKind)| {
            let (lower, upper) = (self.rung(lower)?, self.rung(upper)?);
            (lower.high_bar > upper.low_bar).then(|| Overlap {
                low_bar: upper.low_bar,
                high_bar: lower.high_bar,
                lower: lower.name.clone(),
                upper: upper.name.clone(),
            })
        };
        let mut found: Vec<Overlap> = apart.into_iter().filter_map(overlap).collect();
        found.sort_by(|a, b| a.low_bar.total_cmp(&b.low_bar));
        found
    }

    fn find_margins(&self) -> Vec<Margin> {
        use RungKind::{DiscBursts, PmvCloses, PmvOpens, ReliefLifts, WeakestRating, Working};
        let at = |kind| self.rung(kind).map(|r| r.bar);
        let pairs = [
            (at(PmvCloses), at(PmvOpens), "shut to open"),
            (at(PmvOpens), at(Working), "to fill with"),
            (at(Working), at(ReliefLifts), "to lift"),
            (
                at(ReliefLifts),
                self.rung(DiscBursts).map(|r| r.low_bar),
                "to burst",
            ),
            (
                self.rung(DiscBursts).map(|r| r.high_bar),
                at(WeakestRating),
                "to the weakest part",
            ),
        ];
        let margin = |(from, to, what): (Option<f64>, Option<f64>, &'static str)| {
            let (from_bar, to_bar) = (from?, to?);
            (to_bar > from_bar).then_some(Margin {
                from_bar,
                to_bar,
                what,
            })
        };
        pairs.into_iter().filter_map(margin).collect()
    }
}

/// A setting that may lie this part of itself off.
fn rung(name: &str, kind: RungKind, part: Part, bar: f64, part_off: f64) -> Rung {
    Rung {
        name: name.to_owned(),
        kind,
        part,
        bar,
        low_bar: bar * (1.0 - part_off),
        high_bar: bar * (1.0 + part_off),
        stamp: None,
    }
}

fn settings(station: &Station) -> Vec<Rung> {
    use RungKind::{
        DiscBursts, PmvCloses, PmvOpens, ReliefFull, ReliefLifts, ReliefReseats, Working,
    };
    let tolerances = &station.tolerances;
    let working = station.compressor.working_pressure.as_bar();
    let stages = station.compressor.stage_count;
    let last = Part::stage(stages, stages);
    let mut rungs = vec![rung("working pressure", Working, last, working, 0.0)];
    if let Some(pmv) = &station.pmv {
        let off = tolerances.pmv.as_ratio();
        let one = |name, kind, p: GaugePressure| rung(name, kind, Part::pmv(), p.as_bar(), off);
        rungs.push(one("PMV closes", PmvCloses, pmv.closes));
        rungs.push(one("PMV opens", PmvOpens, pmv.opens));
    }
    if let Some(relief) = &station.relief {
        let off = tolerances.relief.as_ratio();
        let one = |name, kind, bar| rung(name, kind, Part::relief(), bar, off);
        let lifts = one("relief lifts", ReliefLifts, relief.lifts.as_bar());
        let above = relief.full_lift_above.as_bar();
        rungs.push(Rung {
            name: "relief fully open".into(),
            kind: ReliefFull,
            bar: lifts.bar + above,
            low_bar: lifts.low_bar + above,
            high_bar: lifts.high_bar + above,
            ..lifts.clone()
        });
        rungs.push(lifts);
        rungs.push(one(
            "relief reseats",
            ReliefReseats,
            relief.reseats.as_bar(),
        ));
    }
    if let Some(disc) = &station.burst_disc {
        let off = tolerances.burst_disc.unwrap_or(disc.tolerance).as_ratio();
        let (part, bar) = (Part::disc(), disc.bursts.as_bar());
        rungs.push(rung("disc bursts", DiscBursts, part, bar, off));
    }
    rungs
}

/// Cylinder kinds and banks; those of one rating share a rung.
fn vessels(station: &Station) -> Vec<Rung> {
    let kinds = station.cylinder_kinds.iter();
    let kinds = kinds.map(|k| (k.id.as_str(), &k.vessel));
    let banks = station.banks.iter().map(|b| (b.id.as_str(), &b.vessel));
    let working = station.compressor.working_pressure.as_bar();
    let mut rungs = grouped(kinds.collect(), RungKind::FillStop);
    rungs.extend(grouped(banks.collect(), RungKind::BankRating));
    for rung in rungs.iter_mut().filter(|r| r.kind == RungKind::FillStop) {
        // the machine ends before a stronger cylinder is full
        let word = if above(rung.bar, working) {
            "rated"
        } else {
            "fill stop"
        };
        rung.name = format!("{word}: {}", rung.name);
    }
    rungs
}

fn grouped(mut vessels: Vec<(&str, &Vessel)>, kind: RungKind) -> Vec<Rung> {
    let bar = |vessel: &Vessel| vessel.working_pressure.value.as_bar();
    vessels.sort_by(|(a, x), (b, y)| bar(x).total_cmp(&bar(y)).then(a.cmp(b)));
    let same = |a: &(&str, &Vessel), b: &(&str, &Vessel)| {
        let (a, b) = (bar(a.1), bar(b.1));
        (a / b - 1.0).abs() < 1e-6
    };
    let one = |group: &[(&str, &Vessel)]| {
        let (_, first) = group.first()?;
        let names: Vec<&str> = group.iter().map(|(id, _)| *id).collect();
        let names = names.join(", ");
        let (name, part) = match kind {
            RungKind::BankRating => (format!("rated: {names}"), Part::bank(&names)),
            _ => (names.clone(), Part::cylinder(&names)),
        };
        let stamp = Some(first.working_pressure.to_string());
        Some(Rung {
            stamp,
            ..rung(&name, kind, part, bar(first), 0.0)
        })
    };
    vessels.chunk_by(same).filter_map(one).collect()
}

/// Rated pressures of the tower, the last stage and the hoses.
fn ratings(station: &Station) -> Vec<Rung> {
    let stages = station.compressor.stage_count;
    let last = match &station.compressor.output {
        Output::Stages(list) => list.last().and_then(|s| s.rated_pressure),
        _ => None,
    };
    let rated = [
        (Part::tower(), "tower", station.tower.rated_pressure),
        (Part::whip(), "fill hose", station.whip.rated_pressure),
        (Part::stage(stages, stages), "last stage", last),
    ];
    let one = |(part, name, pressure): (Part, &str, Option<GaugePressure>)| {
        let bar = pressure?.as_bar();
        Some(rung(
            &format!("rated: {name}"),
            RungKind::Rating,
            part,
            bar,
            0.0,
        ))
    };
    let mut rungs: Vec<Rung> = rated.into_iter().filter_map(one).collect();
    let weakest = rungs.iter_mut().min_by(|a, b| a.bar.total_cmp(&b.bar));
    if let Some(weakest) = weakest {
        weakest.kind = RungKind::WeakestRating;
        weakest.name = weakest.name.replace("rated", "weakest rated part");
    }
    rungs
}
