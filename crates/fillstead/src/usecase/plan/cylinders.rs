//! The cylinders of a plan: what each is, and what the fill gate says of it.

use book::Book;
use book::answer::register;
use insight::cylinder::FillAnswer;
use insight::cylinder::answer::Refusal;
use quantity::GaugePressure;
use station::{Capacity, Material, Station, Vessel};

use super::query::Query;
use crate::draw::figures::short;
use crate::usecase::Trouble;
use crate::usecase::book::gate::{self, Asked};
use crate::usecase::clock::Zone;
use crate::usecase::near::meant;
use crate::usecase::units::both;
use crate::usecase::wishes::Wishes;

/// So many cylinders of the register are asked for, to begin a plan with one that may be filled.
const LOOKED_AT: usize = 20;

/// One row of the plan.
#[derive(Clone, Debug)]
pub struct Row {
    /// The cylinder, or the kind.
    pub id: String,
    /// Its pressure before filling, as typed; empty where not given.
    pub start: String,
    /// Size, material, rating.
    pub about: String,
    /// What is wrong with what was typed.
    pub trouble: Option<Trouble>,
    /// What the gate says; none for a kind, and where the name is not known.
    pub verdict: Option<FillAnswer>,
    /// The last fill, in words.
    pub last: Option<String>,
}

impl Row {
    /// Whether it is counted in.
    pub fn counts(&self) -> bool {
        self.trouble.is_none() && self.refusals().is_empty()
    }

    /// Why it must not be filled.
    pub fn refusals(&self) -> &[Refusal] {
        self.verdict.as_ref().map_or(&[], |v| &v.refusals)
    }

    /// As a wish has it.
    pub fn wish(&self) -> String {
        match self.start.is_empty() {
            true => self.id.clone(),
            false => format!("{}@{}", self.id, self.start),
        }
    }
}

/// Something that can be put into a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// Its name.
    pub id: String,
    /// Size, material, rating.
    pub about: String,
    /// A kind of cylinder, and no single one.
    pub kind: bool,
}

/// What the cylinders of a plan are looked up in.
pub struct Shelf<'a> {
    /// The station with its register.
    pub station: &'a Station,
    /// The book.
    pub book: &'a Book,
    /// Its zone.
    pub zone: &'a Zone,
}

impl Shelf<'_> {
    /// Everything that can be put into a plan: cylinders, then kinds that are not only one
    /// cylinder's own.
    pub fn choices(&self) -> Vec<Choice> {
        let station = self.station;
        let single = station.cylinders.iter().map(|c| (c.id.clone(), false));
        let kinds = station.cylinder_kinds.iter();
        let kinds = kinds.filter(|k| station.cylinders.iter().all(|c| c.id != k.id));
        let all = single.chain(kinds.map(|k| (k.id.clone(), true)));
        let choice = |(id, kind): (String, bool)| Choice {
            about: self.vessel(&id).map(about).unwrap_or_default(),
            id,
            kind,
        };
        all.map(choice).collect()
    }

    /// The rows asked for.
    pub fn rows(&self, query: &Query, to: Option<GaugePressure>) -> Result<Vec<Row>, Trouble> {
        let together = self.station.whip.count.max(1);
        let mut rows: Vec<Row> = Vec::new();
        for (i, (id, start)) in query.cylinders.iter().enumerate() {
            let group = query.cylinders.chunks(together).nth(i / together);
            let with = group.into_iter().flatten().map(|(id, _)| id.clone());
            let with: Vec<String> = with.filter(|id| self.is_registered(id)).collect();
            let mut row = self.row(id, start, with, to)?;
            if rows.iter().any(|other| other.id == *id) && self.is_single(id) {
                let what = format!("{id} is in the plan already");
                row.trouble = Some(Trouble::new(what, "take one of the two out"));
            }
            rows.push(row);
        }
        Ok(rows)
    }

    fn row(
        &self,
        id: &str,
        start: &str,
        with: Vec<String>,
        to: Option<GaugePressure>,
    ) -> Result<Row, Trouble> {
        let vessel = self.vessel(id);
        let mut row = Row {
            id: id.to_owned(),
            start: start.to_owned(),
            about: vessel.map(about).unwrap_or_default(),
            trouble: None,
            verdict: None,
            last: None,
        };
        row.trouble = match vessel {
            Some(_) => wrong(&row, self.station),
            None => Some(self.unknown(id)),
        };
        if self.is_single(id) {
            let asked = Asked {
                cylinder: id.to_owned(),
                to,
                with,
                ..Asked::default()
            };
            row.verdict = Some(gate::ask(self.book, self.zone, &asked)?);
            row.last = self.last(id)?;
        }
        Ok(row)
    }

    /// The cylinders a plan begins with: as many as there are hoses, of those that may be filled;
    /// else the first kind.
    pub fn first(&self) -> Result<Vec<(String, String)>, Trouble> {
        let hoses = self.station.whip.count.max(1);
        let mut first: Vec<&str> = Vec::new();
        for cylinder in self.station.cylinders.iter().take(LOOKED_AT) {
            let same = first.first().is_none_or(|other| {
                self.rating(other)
                    .zip(self.rating(&cylinder.id))
                    .is_some_and(|(a, b)| a == b)
            });
            if first.len() >= hoses || !same {
                continue;
            }
            let row = self.row(&cylinder.id, "", Vec::new(), None)?;
            if row.counts() {
                first.push(&cylinder.id);
            }
        }
        let kinds = self.choices();
        if first.is_empty() {
            first.extend(kinds.iter().find(|c| c.kind).map(|c| c.id.as_str()));
        }
        Ok(first
            .into_iter()
            .map(|id| (id.to_owned(), String::new()))
            .collect())
    }

    fn rating(&self, id: &str) -> Option<f64> {
        self.vessel(id).map(|v| v.working_pressure.value.as_bar())
    }

    fn vessel(&self, id: &str) -> Option<&Vessel> {
        let station = self.station;
        let single = station.cylinders.iter().find(|c| c.id == id);
        let kind = single.map_or(id, |c| c.kind.as_str());
        let kinds = station.cylinder_kinds.iter();
        kinds.into_iter().find(|k| k.id == kind).map(|k| &k.vessel)
    }

    fn is_single(&self, id: &str) -> bool {
        self.station.cylinders.iter().any(|c| c.id == id)
    }

    fn is_registered(&self, id: &str) -> bool {
        self.record(id)
            .is_ok_and(|record| record.registered.is_some())
    }

    fn record(&self, id: &str) -> Result<register::Record, Trouble> {
        let begins = |text: &str| self.zone.begins(text);
        Ok(register::in_book(self.book, id, None, &begins)?)
    }

    /// `last filled to 232 bar on 2026-05-20`.
    fn last(&self, id: &str) -> Result<Option<String>, Trouble> {
        let record = self.record(id)?;
        Ok(record.last_fill.and_then(|told| {
            let to = told.body.settled.as_ref().or(told.body.to.as_ref())?;
            let day = self.zone.day_text(told.happened);
            Some(format!("left here with {} on {day}", both(to)))
        }))
    }

    fn unknown(&self, id: &str) -> Trouble {
        let choices = self.choices();
        let names: Vec<&str> = choices.iter().map(|c| c.id.as_str()).collect();
        let what = format!("no cylinder and no kind is called {id} here");
        let remedy = match names.len() {
            0..=12 => meant(id, &names),
            _ => meant_of_many(id, &names),
        };
        Trouble::new(what, remedy).about("cylinder")
    }
}

fn meant_of_many(id: &str, names: &[&str]) -> String {
    let near = crate::usecase::near::nearest(id, names.iter().copied());
    near.map_or_else(
        || "choose one of the list, or register it in the book".to_owned(),
        |near| format!("did you mean {near}?"),
    )
}

/// What is wrong with a start pressure.
fn wrong(row: &Row, station: &Station) -> Option<Trouble> {
    let wishes = Wishes {
        cylinders: vec![row.wish()],
        ..Wishes::default()
    };
    wishes.request(station.units).err()
}

/// `12 L steel, 232 bar`.
fn about(vessel: &Vessel) -> String {
    let size = match &vessel.capacity {
        Capacity::Water(volume) => format!("{} L", short(volume.as_litre(), 1)),
        Capacity::FreeAir(free) => quantity::show(
            *free,
            quantity::UnitSystem::Us.preferred::<quantity::FreeVolume>(),
            0,
        ),
    };
    let material = match vessel.material {
        Material::Steel => "steel",
        Material::Aluminium => "aluminium",
        Material::Composite => "composite",
    };
    format!("{size} {material}, {}", vessel.working_pressure)
}
