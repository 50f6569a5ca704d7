//! Rows of the book as facts that the computations can look at: the station with its register, runs
//! as they were written down.

use book::answer::hours::Hours;
use book::answer::runs::{Run, Runs};
use book::answer::{hours, parts, register, runs};
use book::body::{CylinderRegistered, Fill, Part};
use book::{Book, Moment};
use insight::logged::{LoggedDrain, LoggedFill, LoggedRun};
use quantity::{TimeSpan, Typed, Volume};
use station::{Capacity, Cylinder, CylinderKind, Date, Material, Station, Vessel};

use super::gate::station_in_force;
use crate::usecase::Trouble;
use crate::usecase::clock::Zone;

/// Everything an answer about the machine begins with.
pub struct Records {
    /// The station in force, with every cylinder of the register.
    pub station: Station,
    /// The runs, oldest first.
    pub runs: Runs,
    /// Running hours.
    pub hours: Hours,
    /// What was done to each part.
    pub parts: parts::Parts,
    /// Every cylinder's water volume by name, where it is known.
    volumes: Vec<(String, Volume)>,
}

impl Records {
    /// Reads them, as of a moment.
    pub fn of(book: &Book, zone: &Zone, now: Moment) -> Result<Records, Trouble> {
        let station = station_in_force(book, None)?.ok_or_else(no_station)?;
        let station = with_register(station, book, zone)?;
        let volumes = station.cylinder_kinds.iter().filter_map(|kind| {
            let volume = insight::assemble::volume_of(&kind.vessel).ok()?;
            Some((kind.id.clone(), volume))
        });
        Ok(Records {
            volumes: volumes.collect(),
            station,
            runs: runs::in_book(book, None, now)?,
            hours: hours::in_book(book, now)?,
            parts: parts::in_book(book, None)?,
        })
    }

    /// The runs from a moment on, as the water ledger and the charging rate take them.
    pub fn logged(&self, from: Option<Moment>) -> Vec<LoggedRun> {
        let after = |run: &&Run| from.is_none_or(|from| run.started.happened >= from);
        let mut before = from;
        let changes = self.cartridge_changes();
        let runs = self.runs.runs.iter().filter(after);
        let logged = runs.map(|run| {
            let start = run.started.happened;
            let fresh = changes
                .iter()
                .any(|change| *change <= start && before.is_none_or(|before| *change > before));
            before = Some(start);
            self.one(run, fresh)
        });
        let logged: Vec<LoggedRun> = logged.collect();
        self.unlogged(from).into_iter().chain(logged).collect()
    }

    /// What the hour meter ran between the change of the cartridge and the first run on record: it
    /// passed the cartridge too, as one run of which nothing else is known.
    fn unlogged(&self, from: Option<Moment>) -> Option<LoggedRun> {
        let change = self.parts.part(Part::Cartridge)?.replaced.as_ref()?;
        let then = change.body.hours.as_ref()?.value().as_hour();
        let first = self.runs.runs.first()?;
        let now = first.started.body.hours.as_ref()?.value().as_hour();
        let before = from == Some(change.happened) && change.happened < first.started.happened;
        (before && now - then > 0.1).then(|| LoggedRun {
            name: format!("before entry {}", first.started.seq),
            start_day: day(change.happened),
            ran: Some(TimeSpan::hour(now - then)),
            intake_temperature: None,
            humidity: None,
            tower_start: None,
            fills: Vec::new(),
            drains: None,
            stood_days: None,
            stood_tower: None,
            fresh_cartridge: false,
        })
    }

    /// When a new cartridge went in, as far as the record of the part tells.
    fn cartridge_changes(&self) -> Vec<Moment> {
        let part = self.parts.part(Part::Cartridge);
        let last = part.and_then(|part| part.replaced.as_ref());
        last.map(|told| told.happened).into_iter().collect()
    }

    fn one(&self, run: &Run, fresh_cartridge: bool) -> LoggedRun {
        let started = &run.started.body;
        let minutes = run.meter_minutes.or(run.minutes);
        let drains = &run.entered.drains;
        LoggedRun {
            name: format!("entry {}", run.started.seq),
            start_day: day(run.started.happened),
            ran: minutes.map(TimeSpan::minute),
            intake_temperature: started.intake_temperature.as_ref().map(|m| m.value()),
            humidity: started.humidity.as_ref().map(|m| m.value()),
            tower_start: started.tower.as_ref().map(|m| m.value()),
            fills: run
                .entered
                .fills
                .iter()
                .filter_map(|told| self.fill(&told.body))
                .collect(),
            drains: (!drains.is_empty()).then(|| {
                let one = |told: &book::answer::Told<book::body::Drained>| LoggedDrain {
                    after: Some(TimeSpan::second(
                        told.happened.seconds_since(run.started.happened).max(0.0),
                    )),
                    volume: told.body.volume.as_ref().map(|m| m.value()),
                };
                drains.iter().map(one).collect()
            }),
            stood_days: None,
            stood_tower: None,
            fresh_cartridge,
        }
    }

    /// A fill with both its pressures and a cylinder whose size is known.
    fn fill(&self, fill: &Fill) -> Option<LoggedFill> {
        let volume = self.volumes.iter().find(|(id, _)| *id == fill.cylinder);
        let settled = fill.settled.as_ref().zip(fill.settled_at.as_ref());
        Some(LoggedFill {
            id: fill.cylinder.clone(),
            water_volume: volume?.1,
            from: fill.from.as_ref()?.value(),
            to: fill.to.as_ref()?.value(),
            settled: settled.map(|(p, t)| (p.value(), t.value())),
        })
    }
}

fn no_station() -> Trouble {
    Trouble::new(
        "the book has no station file that can be used, and this answer needs the machine",
        "enter it: `book add BOOK station FILE`",
    )
}

/// Days since 1970-01-01 UTC.
pub fn day(moment: Moment) -> f64 {
    moment.0 as f64 / 86_400e6
}

/// The moment of such a day.
pub fn moment(day: f64) -> Moment {
    Moment((day * 86_400e6) as i64)
}

/// The station with every cylinder of the register as a kind and a cylinder of its own; the
/// register counts where both know one.
pub fn with_register(mut station: Station, book: &Book, zone: &Zone) -> Result<Station, Trouble> {
    let begins = |text: &str| zone.begins(text);
    for record in register::all_in_book(book, None, &begins)? {
        let Some(told) = record.registered.filter(|_| record.left.is_none()) else {
            continue;
        };
        let Some(vessel) = vessel(&told.body) else {
            continue;
        };
        let id = told.body.cylinder.clone();
        station.cylinders.retain(|cylinder| cylinder.id != id);
        station.cylinder_kinds.retain(|kind| kind.id != id);
        station.cylinders.push(cylinder(&told.body));
        station.cylinder_kinds.push(CylinderKind { id, vessel });
    }
    Ok(station)
}

fn cylinder(registered: &CylinderRegistered) -> Cylinder {
    let day = |text: &Option<String>| text.as_deref().and_then(Date::parse);
    Cylinder {
        id: registered.cylinder.clone(),
        kind: registered.cylinder.clone(),
        owner: registered.owner.clone(),
        serial: registered.serial.clone(),
        made: day(&registered.made),
        tested: day(&registered.tested),
        visual: day(&registered.visual),
        plus: registered.plus,
        stamp: registered.stamp.clone(),
    }
}

/// The vessel of a registration; none where its size or its rating is not known.
fn vessel(registered: &CylinderRegistered) -> Option<Vessel> {
    let water = registered
        .water_volume
        .as_ref()
        .map(|m| Capacity::Water(m.value()));
    let free = registered
        .free_air
        .as_ref()
        .map(|m| Capacity::FreeAir(m.value()));
    let rated: Typed<quantity::GaugePressure> =
        registered.working_pressure.as_ref()?.with_unit()?;
    Some(Vessel {
        capacity: water.or(free)?,
        working_pressure: rated,
        test_pressure: registered
            .test_pressure
            .as_ref()
            .and_then(|m| m.with_unit()),
        material: match registered.material {
            Some(book::body::Material::Aluminium) => Material::Aluminium,
            Some(book::body::Material::Composite) => Material::Composite,
            Some(book::body::Material::Steel) | None => Material::Steel,
        },
        mass: registered.mass.as_ref().map(|m| m.value()),
    })
}
