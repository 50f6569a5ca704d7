//! Beginning a book: its first page, the station as it stands, the rules, the cylinders it knows.

use std::path::Path;

use book::body::{
    BookBegun, CylinderRegistered, Material, Part, PartReplaced, Reading, RulesChosen,
    StationRevised,
};
use book::{Amount, Body, Draft, Measure, Moment, Pen};
use insight::cylinder::rule_named;
use quantity::{Quantity, TimeSpan, Typed};
use station::{Capacity, Station, Vessel};

use super::desk::{Signed, Who, holder, signed};
use crate::usecase::Trouble;
use crate::usecase::clock::Zone;
use crate::usecase::near::meant;
use crate::usecase::station::StationFile;

/// What is asked, as typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked<'a> {
    /// The station file.
    pub station: Option<&'a Path>,
    /// The text of a station file, where it is in no file.
    pub text: Option<&'a str>,
    /// What people call the station, where there is no file.
    pub name: Option<&'a str>,
    /// Short name of the requalification rule.
    pub rule: Option<&'a str>,
    /// Name of the air standard.
    pub standard: Option<&'a str>,
    /// What stands on the first page.
    pub remark: Option<&'a str>,
}

/// A book just begun.
pub struct Begun {
    /// What people call the station.
    pub station: String,
    /// The zone its times are told in.
    pub zone: String,
    /// How many cylinders came on the register from the station file.
    pub cylinders: usize,
    /// Its last entry and seal.
    pub seal: (u64, String),
    /// What to think of.
    pub remarks: Vec<String>,
}

/// Why no book was begun.
pub enum NotBegun {
    /// The input does not do; every reason.
    Troubles(Vec<Trouble>),
    /// The station file has errors.
    Unusable(Box<StationFile>),
}

impl From<Trouble> for NotBegun {
    fn from(trouble: Trouble) -> NotBegun {
        NotBegun::Troubles(vec![trouble])
    }
}

/// Begins a book.
pub fn begin(path: &Path, asked: &Asked<'_>, who: &Who<'_>) -> Result<Begun, NotBegun> {
    let signed = signed(who, Zone::of_this_machine()).map_err(NotBegun::Troubles)?;
    let rules = rules(asked)?;
    let file = match asked.text {
        Some(text) => Some(StationFile::of_text("what was typed", text)),
        None => asked.station.map(StationFile::open).transpose()?,
    };
    if let Some(file) = file.as_ref().filter(|file| file.station().is_none()) {
        let again = StationFile::of_text(file.name.as_str(), file.text.as_str());
        return Err(NotBegun::Unusable(Box::new(again)));
    }
    let station = file.as_ref().and_then(StationFile::station);
    let name = station.map(|s| s.name.as_str()).or(asked.name);
    let name = name.filter(|name| !name.trim().is_empty()).ok_or_else(|| {
        let remedy = "name its file, like --station shed.toml, or give --name";
        Trouble::new("the book does not know whose it is", remedy)
    })?;
    let first = BookBegun {
        station: name.trim().to_owned(),
        invented: station.is_some_and(|s| s.invented),
        remark: asked.remark.map(str::to_owned),
    };
    let mut pen = Pen::begin(path, &holder("fillstead book begin"), &signed.draft(first))
        .map_err(Trouble::from)?;
    let mut bodies: Vec<Draft> = Vec::new();
    if let (Some(file), Some(station)) = (&file, station) {
        bodies.extend(of_station(&file.text, station, &signed));
    }
    bodies.extend(rules.map(|rules| signed.draft(rules)));
    pen.append_all(&bodies).map_err(Trouble::from)?;
    let (seq, hash) = pen
        .book()
        .head()
        .map_err(Trouble::from)?
        .ok_or_else(|| Trouble::new("the book is empty", "begin it again"))?;
    Ok(Begun {
        station: name.trim().to_owned(),
        zone: signed.zone.name.clone(),
        cylinders: station.map_or(0, |s| s.cylinders.len()),
        seal: (seq, hash.short()),
        remarks: remarks(asked),
    })
}

fn remarks(asked: &Asked<'_>) -> Vec<String> {
    let missing = [
        (
            asked.rule.is_none(),
            "no requalification rule is chosen: until one is, no cylinder passes the fill gate \
             (`book add BOOK rules --cylinder-rule uk`)",
        ),
        (
            asked.standard.is_none(),
            "no air standard is chosen: name one before the first air test \
             (`book add BOOK rules --air-standard \"EN 12021\"`)",
        ),
    ];
    let told = missing.iter().filter(|(missing, _)| *missing);
    told.map(|(_, text)| (*text).to_owned()).collect()
}

fn rules(asked: &Asked<'_>) -> Result<Option<RulesChosen>, Trouble> {
    if asked.rule.is_none() && asked.standard.is_none() {
        return Ok(None);
    }
    Ok(Some(RulesChosen {
        cylinder_rule: asked.rule.map(known_rule).transpose()?,
        air_standard: asked.standard.map(known_standard).transpose()?,
    }))
}

/// The short name of a requalification rule that the program knows.
pub fn known_rule(name: &str) -> Result<String, Trouble> {
    if let Some(rule) = rule_named(name) {
        return Ok(rule.id.clone());
    }
    let ids: Vec<&str> = insight::cylinder::known_rules()
        .iter()
        .map(|rule| rule.id.as_str())
        .collect();
    let what = format!("there is no rule called \"{name}\"");
    Err(Trouble::new(what, meant(name, &ids)).about("rule"))
}

/// The name of an air standard that the program knows.
pub fn known_standard(name: &str) -> Result<String, Trouble> {
    match insight::air::find(name, insight::air::standards()) {
        Ok(standard) => Ok(standard.name.clone()),
        Err(mistake) => Err(Trouble::new(mistake.cause, mistake.remedy).about("standard")),
    }
}

/// What the station file knows already: itself, its cylinders, its hours, its last cartridge.
pub(super) fn of_station(text: &str, station: &Station, signed: &Signed) -> Vec<Draft> {
    let revised = StationRevised {
        name: station.name.clone(),
        file: text.to_owned(),
        why: None,
    };
    let mut drafts = vec![signed.draft(revised)];
    let registered = station
        .cylinders
        .iter()
        .filter_map(|c| registered(station, c));
    drafts.extend(registered.map(|body| signed.draft(body)));
    if let Some(changed) = station.purifier.changed
        && let Some((begin, _)) = signed.zone.day_limits(changed)
    {
        let replaced = PartReplaced {
            part: Part::Cartridge,
            hours: station.purifier.changed_at_hours.map(in_hours),
            which: None,
            detail: Some("from the station file".into()),
            by: None,
        };
        let earlier = Moment(begin.0.min(signed.happened.0));
        drafts.push(Draft {
            happened: earlier,
            ..signed.draft(replaced)
        });
    }
    if let Some(hours) = station.now.hours {
        drafts.push(signed.draft(Reading {
            of: "hours".into(),
            value: Some(Amount::Time(in_hours(hours))),
            observed: Some("from the station file".into()),
        }));
    }
    drafts
}

fn in_hours(span: TimeSpan) -> Measure<TimeSpan> {
    let unit = TimeSpan::unit("h").unwrap_or(TimeSpan::METRIC);
    Measure::of(Typed::new(span, unit))
}

/// A cylinder of the station file as a registration.
pub fn registered(station: &Station, cylinder: &station::Cylinder) -> Option<Body> {
    let kinds = &station.cylinder_kinds;
    let vessel = &kinds.iter().find(|kind| kind.id == cylinder.kind)?.vessel;
    let day = |date: Option<station::Date>| date.map(|date| date.to_string());
    Some(
        CylinderRegistered {
            cylinder: cylinder.id.clone(),
            owner: cylinder.owner.clone(),
            serial: cylinder.serial.clone(),
            stamp: cylinder.stamp.clone(),
            made: day(cylinder.made),
            tested: day(cylinder.tested),
            visual: day(cylinder.visual),
            plus: cylinder.plus,
            ..of_vessel(vessel)
        }
        .into(),
    )
}

fn of_vessel(vessel: &Vessel) -> CylinderRegistered {
    let (water_volume, free_air) = match vessel.capacity {
        Capacity::Water(volume) => (Some(shown(volume)), None),
        Capacity::FreeAir(volume) => (None, Some(shown(volume))),
    };
    CylinderRegistered {
        water_volume,
        free_air,
        working_pressure: Some(Measure::of(vessel.working_pressure)),
        test_pressure: vessel.test_pressure.map(Measure::of),
        material: Some(match vessel.material {
            station::Material::Steel => Material::Steel,
            station::Material::Aluminium => Material::Aluminium,
            station::Material::Composite => Material::Composite,
        }),
        mass: vessel.mass.map(shown),
        ..CylinderRegistered::default()
    }
}

/// A quantity in the unit in which it has few digits: the station file's own typing is not kept
/// for these.
fn shown<Q: Quantity>(q: Q) -> Measure<Q> {
    let units = [Q::METRIC].into_iter().chain(Q::UNITS);
    let mut short = units.filter_map(|unit| {
        let text = quantity::display_as(q, unit.symbol)?;
        Measure::<Q>::parse(&text).ok()
    });
    let same = |short: &Measure<Q>| (short.value().si() / q.si() - 1.0).abs() < 1e-12;
    short
        .find(same)
        .unwrap_or_else(|| Measure::of(Typed::new(q, Q::METRIC)))
}
