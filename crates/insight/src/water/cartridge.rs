//! The purifier's drying beds as the station file describes them, through a run.
//!
//! Not here: carbon and catalyst, of which only the order is checked.

use super::answer::{PurifierAnswer, Range};
use super::climate;
use super::follow::Wet;
use crate::assemble::Prepared;
use crate::forecast::request::ForecastError;
use physics::moist::{Moist, Phase, Trace};
use physics::purifier::{
    AIR_KG_MOL, Adsorbent, Bed, BedKind, Cause, End, Feed, Outcome, Packing, Remaining, Spread,
    Tuning, WATER_KG_MOL, adsorbent_named, check_order, remaining, remaining_range,
};
use quantity::Quantity as _;
use station::Station;

/// Water in a bed as delivered, kg/kg (common practice, no source).
const AS_DELIVERED: f64 = 0.01;
/// Length over diameter of a bed whose size is not given (common practice, no source).
const BED_SLENDERNESS: f64 = 3.0;
/// Pieces of a run are joined to at least this long before they pass the bed, s.
const JOIN_S: f64 = 60.0;
/// Hours looked ahead for the end of the bed's life.
const HORIZON_S: f64 = 2000.0 * 3600.0;
/// Hours are counted until the air leaves the bed with this much water:
/// EN 12021:2014, outlet of a compressor filling cylinders (secondary page).
const LIMIT_MG_M3: f64 = 25.0;
const ONE_ATM_PA: f64 = 101_325.0;
/// Lowest frost point the formulas give, °C.
const DRIEST_C: f64 = -80.0;

/// Water in the station's drying beds as delivered, g.
pub(crate) fn fresh_held_g(station: &Station) -> f64 {
    let beds = station.purifier.beds.iter();
    let drying = beds.filter(|bed| bed.kind == station::BedKind::Drying);
    AS_DELIVERED * drying.map(|bed| bed.mass.si()).sum::<f64>() * 1e3
}

/// What reaches the bed in one piece of a run.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Load {
    pub seconds: f64,
    pub air_kg: f64,
    pub water_kg: f64,
    pub p_pa: f64,
    pub t_k: f64,
}

/// The drying beds in series, and what they have met in this run.
#[derive(Debug, Clone)]
pub(crate) struct Cartridge {
    beds: Vec<Bed>,
    held_before_kg: f64,
    waiting: Load,
    met: Load,
    final_fraction: f64,
    notes: Vec<String>,
}

impl Cartridge {
    /// The station's drying beds, as delivered; none where none is described.
    pub fn fresh(station: &Station, own: &[Adsorbent]) -> Result<Option<Cartridge>, ForecastError> {
        let mut notes = order_notes(station);
        let mut beds = Vec::new();
        for bed in station
            .purifier
            .beds
            .iter()
            .filter(|b| b.kind == station::BedKind::Drying)
        {
            let adsorbent = adsorbent(bed.adsorbent.as_deref(), own, &mut notes);
            let packing = Packing::new(bed.mass.si(), bed_length(bed, &adsorbent));
            let made = Bed::fresh(adsorbent, packing, AS_DELIVERED)?;
            beds.push(made.tuned(Spread::IN_SERVICE.likely)?);
        }
        if beds.is_empty() {
            return Ok(None);
        }
        let held_before_kg = beds.iter().map(Bed::held_kg).sum();
        let (waiting, met) = (Load::default(), Load::default());
        Ok(Some(Cartridge {
            beds,
            held_before_kg,
            waiting,
            met,
            final_fraction: 0.0,
            notes,
        }))
    }

    /// Begins another run with the beds as the last one left them.
    pub fn begin_run(&mut self) {
        self.held_before_kg = self.held_kg();
        (self.waiting, self.met) = (Load::default(), Load::default());
    }

    /// Water held now, kg.
    pub fn held_kg(&self) -> f64 {
        self.beds.iter().map(Bed::held_kg).sum()
    }

    /// Water behind the last bed at the end of what it took, mg/m³ at 20 °C and 1 atm.
    pub fn outlet_mg_m3(&self) -> f64 {
        Trace::Water.mg_per_m3(self.final_fraction * 1e6)
    }

    /// What the beds' order and names left to be assumed.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// Runs the beds for `seconds` at the mean conditions of `like`: what they
    /// went through before this run.
    pub fn aged(
        &mut self,
        moist: &Moist,
        like: &Cartridge,
        seconds: f64,
    ) -> Result<(), ForecastError> {
        if like.met.air_kg <= 0.0 {
            return Ok(());
        }
        let mut feed = like.mean_feed(moist)?;
        for bed in &mut self.beds {
            let passed = bed.pass(&feed, seconds)?;
            feed.water_fraction = passed.outlet_fraction;
        }
        self.held_before_kg = self.held_kg();
        Ok(())
    }

    /// Lets water in at one end while the machine stands; what finds no room in
    /// the first bed stays out.
    pub fn soak(&mut self, end: End, kg: f64, p_kpa: f64, t_k: f64) -> Result<(), ForecastError> {
        if let Some(first) = self.beds.first_mut() {
            first.soak(end, kg, p_kpa, t_k)?;
        }
        self.held_before_kg = self.held_kg();
        Ok(())
    }

    /// Hours this cartridge lasts at the conditions another met.
    pub fn hours_like(self, moist: &Moist, like: &Cartridge) -> Result<Range, ForecastError> {
        Ok(self.remaining_like(moist, like)?.0)
    }

    /// The same, with what makes the range as wide as it is.
    pub fn remaining_like(
        mut self,
        moist: &Moist,
        like: &Cartridge,
    ) -> Result<(Range, &'static str), ForecastError> {
        self.met = like.met;
        self.remaining(moist)
    }

    /// The limit of dryness up to which hours are counted, in words.
    pub fn limit_in_words() -> String {
        format!(
            "{LIMIT_MG_M3:.0} mg/m³ at 20 °C and 1 atm (EN 12021:2014, outlet of a compressor \
             filling cylinders; seen on a secondary page only)"
        )
    }

    /// Takes a piece of a run; returns the water that left the beds, kg.
    pub fn take(&mut self, moist: &Moist, load: &Load) -> Result<f64, ForecastError> {
        let joined = join(&self.waiting, load);
        if joined.seconds < JOIN_S {
            self.waiting = joined;
            return Ok(0.0);
        }
        self.waiting = Load::default();
        self.pass(moist, &joined)
    }

    /// Passes what still waits.
    pub fn flush(&mut self, moist: &Moist) -> Result<f64, ForecastError> {
        let waiting = std::mem::take(&mut self.waiting);
        self.pass(moist, &waiting)
    }

    fn pass(&mut self, moist: &Moist, load: &Load) -> Result<f64, ForecastError> {
        if load.air_kg <= 1e-9 || load.seconds <= 0.0 {
            return Ok(0.0);
        }
        self.met = join(&self.met, load);
        let mut feed = feed(moist, load)?;
        let mut left = 0.0;
        for bed in &mut self.beds {
            let passed = bed.pass(&feed, load.seconds)?;
            feed.water_fraction = passed.outlet_fraction;
            self.final_fraction = passed.final_fraction;
            left = passed.out_mol * WATER_KG_MOL;
        }
        Ok(left)
    }

    /// Mean conditions while air passed in this run.
    fn mean_feed(&self, moist: &Moist) -> Result<Feed, ForecastError> {
        feed(moist, &self.met)
    }

    /// Hours left at the conditions of this run, and the rest of the answer.
    pub fn answer(
        &self,
        prepared: &Prepared,
        wet: &Wet,
    ) -> Result<Option<PurifierAnswer>, ForecastError> {
        let moist = wet.moist();
        let (Some(last), true) = (self.beds.last(), self.met.air_kg > 0.0) else {
            return Ok(None);
        };
        let (range, mostly) = self.remaining(moist)?;
        let (outlet_frost_point_c, or_below) = outlet_point(moist, self.final_fraction);
        let held_kg = self.held_kg();
        let mut notes = self.notes.clone();
        if held_kg > 0.2 * last.packing().mass_kg * self.beds.len() as f64 {
            notes.push("the bed holds about what a bed in service can: change it".into());
        }
        Ok(Some(PurifierAnswer {
            held_before_g: self.held_before_kg * 1e3,
            held_g: held_kg * 1e3,
            crept_in_g: None,
            remaining_h: range,
            rooms: climate::rooms(prepared, wet, self)?,
            over_a_year_h: climate::year(prepared, wet, self, prepared.station())?,
            mostly,
            outlet_frost_point_c,
            outlet_frost_point_or_below: or_below,
            outlet_mg_m3: Trace::Water.mg_per_m3(self.final_fraction * 1e6),
            limit: Cartridge::limit_in_words(),
            notes,
        }))
    }

    /// What this run brought, as a whole.
    pub fn met(&self) -> Load {
        self.met
    }

    /// Hours left for the beds taken as one, at the conditions of this run.
    pub fn remaining(&self, moist: &Moist) -> Result<(Range, &'static str), ForecastError> {
        self.look_ahead(&self.mean_feed(moist)?)
    }

    /// Hours left in other air.
    pub fn hours_in(&self, feed: &Feed) -> Result<Range, ForecastError> {
        Ok(self.look_ahead(feed)?.0)
    }

    /// Most likely hours left in other air.
    pub fn likely_hours(&self, feed: &Feed) -> Result<f64, ForecastError> {
        let bed = self.as_one()?.tuned(Spread::IN_SERVICE.likely)?;
        Ok(hours(&remaining(&bed, feed, limit(), HORIZON_S)?))
    }

    fn look_ahead(&self, feed: &Feed) -> Result<(Range, &'static str), ForecastError> {
        let whole = self.as_one()?;
        let range = remaining_range(&whole, feed, limit(), HORIZON_S, &Spread::IN_SERVICE)?;
        let mostly = match range.mostly {
            Cause::Capacity => "how much of the adsorbent is usable",
            Cause::Transfer => "how quickly water gets into the beads",
        };
        let (low, mid, high) = (hours(&range.low), hours(&range.likely), hours(&range.high));
        Ok((Range { low, mid, high }, mostly))
    }

    /// The drying beds joined end to end (they are of one adsorbent as a rule).
    fn as_one(&self) -> Result<Bed, ForecastError> {
        let first = &self.beds[0];
        if self.beds.len() == 1 {
            return Ok(first.clone());
        }
        let mass_kg = self.beds.iter().map(|b| b.packing().mass_kg).sum();
        let length_m = self.beds.iter().map(|b| b.packing().length_m).sum();
        let loading = self
            .beds
            .iter()
            .flat_map(|b| b.loading().to_vec())
            .collect();
        let packing = Packing::new(mass_kg, length_m);
        Ok(Bed::restore(first.adsorbent().clone(), packing, loading)?.tuned(Tuning::default())?)
    }
}

/// The limit of dryness as a mole fraction.
fn limit() -> f64 {
    Trace::Water.ppm(LIMIT_MG_M3) * 1e-6
}

fn hours(left: &Remaining) -> f64 {
    match left.outcome {
        Outcome::Reached => left.seconds / 3600.0,
        Outcome::NotWithin | Outcome::FeedDrier => HORIZON_S / 3600.0,
    }
}

fn join(a: &Load, b: &Load) -> Load {
    let air_kg = a.air_kg + b.air_kg;
    let mean = |x: f64, y: f64| {
        if air_kg > 0.0 {
            (x * a.air_kg + y * b.air_kg) / air_kg
        } else {
            y
        }
    };
    Load {
        // a time without flow does not count as flow at a lower rate
        seconds: a.seconds * f64::from(u8::from(a.air_kg > 0.0))
            + b.seconds * f64::from(u8::from(b.air_kg > 0.0)),
        air_kg,
        water_kg: a.water_kg + b.water_kg,
        p_pa: mean(a.p_pa, b.p_pa),
        t_k: mean(a.t_k, b.t_k),
    }
}

/// A load as the bed meets it.
pub(super) fn feed(moist: &Moist, load: &Load) -> Result<Feed, ForecastError> {
    let air_mol = load.air_kg / AIR_KG_MOL;
    let water_mol = load.water_kg / WATER_KG_MOL;
    let saturated = moist.saturated(load.p_pa, load.t_k, Phase::Stable)?;
    Ok(Feed {
        air_mol_s: air_mol / load.seconds,
        water_fraction: water_mol / (air_mol + water_mol),
        p_pa: load.p_pa,
        t_k: load.t_k,
        enhancement: saturated.enhancement,
    })
}

/// Frost point at 1 atm of air leaving the bed (dew point where that is above
/// 0 °C), and whether it is only known to be that or lower.
fn outlet_point(moist: &Moist, fraction: f64) -> (f64, bool) {
    let points = [Phase::Ice, Phase::Liquid].map(|phase| moist.point(ONE_ATM_PA, fraction, phase));
    let known = points.into_iter().flatten().next();
    known.map_or((DRIEST_C, true), |point| (point.t_k - 273.15, false))
}

fn adsorbent(name: Option<&str>, own: &[Adsorbent], notes: &mut Vec<String>) -> Adsorbent {
    let [standard, ..] = physics::purifier::ADSORBENTS;
    let Some(name) = name else {
        notes.push("the drying bed's adsorbent is not named: taken as 13X".into());
        return standard;
    };
    let owners = own
        .iter()
        .find(|a| a.name.eq_ignore_ascii_case(name.trim()))
        .cloned();
    owners.or_else(|| adsorbent_named(name)).unwrap_or_else(|| {
        notes.push(format!("no data for the adsorbent {name}: computed as 13X"));
        standard
    })
}

fn bed_length(bed: &station::Bed, adsorbent: &Adsorbent) -> f64 {
    let volume = bed.mass.si() / adsorbent.bulk_kg_m3;
    match (bed.length, bed.diameter) {
        (Some(length), _) => length.si(),
        (None, Some(d)) => volume / (std::f64::consts::FRAC_PI_4 * d.si() * d.si()),
        (None, None) => {
            let diameter = (4.0 * volume / (std::f64::consts::PI * BED_SLENDERNESS)).cbrt();
            BED_SLENDERNESS * diameter
        }
    }
}

fn order_notes(station: &Station) -> Vec<String> {
    let kinds: Vec<BedKind> = station
        .purifier
        .beds
        .iter()
        .map(|bed| match bed.kind {
            station::BedKind::Drying => BedKind::Drying,
            station::BedKind::Carbon => BedKind::Carbon,
            station::BedKind::Catalyst => BedKind::Catalyst,
        })
        .collect();
    check_order(&kinds)
        .into_iter()
        .map(|problem| problem.to_string())
        .collect()
}
