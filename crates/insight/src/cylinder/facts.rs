//! What is known of one cylinder before it is filled.
//!
//! Start at [`CylinderFacts::of`]: from the station file and the stamps written
//! there; what the book knows besides is filled in by the caller. Not here:
//! what follows from it ([`super::fill`]).

use super::pressure::both;
use super::stamp::{StampReading, differ, read_stamp};
use super::when::When;
use quantity::{GaugePressure, Typed};
use station::{Cylinder, Date, Material, Station, Vessel};

/// What a cylinder is used for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Use {
    /// Breathing under water.
    #[default]
    Diving,
    /// Breathing in smoke or gas.
    Rescue,
    /// Kept at the station to fill from.
    Storage,
    /// Aircraft.
    Aircraft,
}

impl Use {
    /// Its name in rules.
    pub fn name(self) -> &'static str {
        match self {
            Use::Diving => "diving",
            Use::Rescue => "rescue",
            Use::Storage => "storage",
            Use::Aircraft => "aircraft",
        }
    }

    /// The use of this name.
    pub fn named(name: &str) -> Option<Use> {
        let all = [Use::Diving, Use::Rescue, Use::Storage, Use::Aircraft];
        all.into_iter().find(|u| u.name() == name.trim())
    }
}

/// What is known of one cylinder. What is not known is `None`, never guessed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CylinderFacts {
    /// What it is called.
    pub id: String,
    /// Service (working) pressure.
    pub rated: Option<Typed<GaugePressure>>,
    /// What it is made of.
    pub material: Option<Material>,
    /// Specification, such as `3AA`.
    pub specification: Option<String>,
    /// Number of a special permit.
    pub permit: Option<String>,
    /// Made to no US specification.
    pub foreign: bool,
    /// Alloy, such as `6351`.
    pub alloy: Option<String>,
    /// When it was made.
    pub made: Option<When>,
    /// When it was put into service.
    pub commissioned: Option<When>,
    /// Last pressure test.
    pub tested: Option<When>,
    /// Last inspection inside and out.
    pub visual: Option<When>,
    /// Last eddy-current examination of the neck.
    pub eddy_current: Option<When>,
    /// Yearly inspections on record.
    pub inspections: Vec<When>,
    /// Whether a risk assessment allows longer between inspections.
    pub risk_assessed: bool,
    /// End of life as stamped or extended.
    pub life_ends: Option<When>,
    /// Whether the plus mark follows the date of the *latest* test.
    pub plus: Option<bool>,
    /// The plus mark's other conditions.
    pub plus_conditions: PlusConditions,
    /// Whether a star follows the date of the latest test.
    pub star: bool,
    /// Whether someone confirmed what the star asks for: dry gas only, never under water,
    /// hammer-tested and apart from others at each fill.
    pub star_holds: Option<bool>,
    /// Why it is condemned, where it is.
    pub condemned: Option<String>,
    /// What it is used for.
    pub used_for: Use,
    /// What in the stamps or the records cannot be.
    pub implausible: Vec<String>,
    /// What was taken to read the stamps.
    pub notes: Vec<String>,
}

/// What must hold besides the plus mark itself. A plus mark after the latest test
/// date is the tester's word for the first three; the disc is the filler's to know.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PlusConditions {
    /// Elastic expansion was measured at the last test.
    pub expansion_measured: Option<bool>,
    /// Wall stress is within the limit.
    pub wall_stress_fits: Option<bool>,
    /// Its inspection was clean.
    pub visual_clean: Option<bool>,
    /// A burst disc without fusible backing, rated not above the minimum test pressure, is fitted.
    pub disc_fits: Option<bool>,
}

impl CylinderFacts {
    /// A cylinder of which nothing but its name is known.
    pub fn unknown(id: &str) -> CylinderFacts {
        CylinderFacts {
            id: id.to_owned(),
            ..CylinderFacts::default()
        }
    }

    /// A cylinder of the station file; unknown where the file has none of that name.
    pub fn of(station: &Station, id: &str, used_for: Use, today: Date) -> CylinderFacts {
        let Some(cylinder) = station.cylinders.iter().find(|c| c.id == id) else {
            return CylinderFacts::unknown(id);
        };
        let kinds = &station.cylinder_kinds;
        let vessel = kinds
            .iter()
            .find(|k| k.id == cylinder.kind)
            .map(|k| &k.vessel);
        let stamp = cylinder
            .stamp
            .as_deref()
            .map(|text| read_stamp(text, today));
        let mut facts = from_file(cylinder, vessel, used_for);
        if let Some(stamp) = stamp {
            facts.add_stamp(&stamp);
        }
        let us_unit = facts.rated.is_some_and(|p| p.unit.symbol == "psi");
        facts.foreign = facts.specification.is_none() && facts.permit.is_none() && !us_unit;
        facts
    }

    /// Adds what the stamps say; what contradicts the file is noted, not decided.
    pub fn add_stamp(&mut self, stamp: &StampReading) {
        self.implausible.extend(stamp.implausible.iter().cloned());
        self.notes.extend(stamp.notes.iter().cloned());
        if let Some(stamped) = &stamp.service {
            let stamped = &stamped.pressure;
            match &self.rated {
                Some(rated) if differ(rated, stamped) => self.implausible.push(format!(
                    "the file rates it {}, its stamp {}",
                    both(rated),
                    both(stamped)
                )),
                _ => self.rated = Some(*stamped),
            }
        }
        match (self.material, stamp.material) {
            (Some(file), Some(stamped)) if file != stamped && stamp.permit.is_none() => {
                self.implausible.push(format!(
                    "the file says {}, its stamp {}",
                    material(file),
                    material(stamped)
                ));
            }
            (file, stamped) => self.material = file.or(stamped),
        }
        self.specification = self
            .specification
            .take()
            .or_else(|| stamp.specification.clone());
        self.permit = self.permit.take().or_else(|| stamp.permit.clone());
        self.alloy = self.alloy.take().or_else(|| stamp.alloy.clone());
        if stamp.condemned {
            self.condemned = Some("it is stamped as condemned".into());
        }
        self.add_dates(stamp);
    }

    fn add_dates(&mut self, stamp: &StampReading) {
        let (Some(latest), Some(earliest)) = (stamp.latest(), stamp.earliest()) else {
            return;
        };
        self.made = self
            .made
            .or((stamp.dates.len() > 1).then_some(earliest.when));
        let stamped = latest.when;
        match self.tested {
            Some(tested) if stamped.first_day() > tested.last_day() => self.notes.push(format!(
                "its stamp shows a test of {stamped}, later than the {tested} on record: the \
                 record counts"
            )),
            Some(tested) if tested.first_day() > stamped.last_day() => {
                // marks after an older date say nothing about the latest test
            }
            _ => {
                self.tested = self.tested.or(Some(stamped));
                self.plus = self.plus.or(Some(latest.plus));
                self.star |= latest.star;
            }
        }
    }
}

fn from_file(cylinder: &Cylinder, vessel: Option<&Vessel>, used_for: Use) -> CylinderFacts {
    CylinderFacts {
        id: cylinder.id.clone(),
        rated: vessel.map(|v| v.working_pressure),
        material: vessel.map(|v| v.material),
        made: cylinder.made.map(When::on),
        tested: cylinder.tested.map(When::on),
        visual: cylinder.visual.map(When::on),
        plus: cylinder.plus,
        used_for,
        ..CylinderFacts::default()
    }
}

fn material(material: Material) -> &'static str {
    match material {
        Material::Steel => "steel",
        Material::Aluminium => "aluminium",
        Material::Composite => "composite",
    }
}
