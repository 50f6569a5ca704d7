//! Tags for cylinders: the last fill, or that the cylinder must not be used.
//!
//! Start at [`sheet`]. The fill gate is asked about each cylinder with what is in it now; any refusal
//! turns the tag into a warning. Not here: how it looks ([`crate::print::tag`]).

use book::answer::Told;
use book::answer::register::{self, Record};
use book::body::{CylinderRegistered, Fill, Material};
use insight::cylinder::FillAnswer;

use super::{Room, joined};
use crate::print::tag::{Filled, Says, Tag, TagSheet};
use crate::print::{Shown, qr};
use crate::usecase::Trouble;
use crate::usecase::book::add::on_register;
use crate::usecase::book::gate::{self, Asked};
use crate::usecase::plan::query::encoded;
use crate::words::capital;

/// The tag of one cylinder is printed no more often than this.
const MOST: usize = 40;
/// Letters of reasons that a tag has room for, and letters in one of its lines.
const ROOM: usize = 230;
const LINE: usize = 58;

/// Tags of these cylinders, each so many times.
pub fn sheet(room: &Room<'_>, cylinders: &[String], copies: usize) -> Result<TagSheet, Trouble> {
    if !(1..=MOST).contains(&copies) {
        let what = format!("{copies} copies of a tag are not printed at once");
        return Err(Trouble::new(what, format!("give 1 to {MOST}")).about("copies"));
    }
    let mut tags = Vec::new();
    for id in cylinders {
        on_register(room.book, id)?;
        let tag = tag(room, id)?;
        tags.extend(std::iter::repeat_n(tag, copies));
    }
    Ok(TagSheet {
        head: room.head()?,
        day: room.today()?.to_string(),
        tags,
    })
}

fn tag(room: &Room<'_>, id: &str) -> Result<Tag, Trouble> {
    let begins = |text: &str| room.begins(text);
    let record = register::in_book(room.book, id, room.at, &begins)?;
    let fill = record.last_fill.as_ref();
    let holds = fill.and_then(|f| f.body.settled.as_ref().or(f.body.to.as_ref()));
    let asked = Asked {
        cylinder: id.to_owned(),
        to: holds.map(|pressure| pressure.value()),
        at: room.at,
        ..Asked::default()
    };
    let verdict = gate::ask(room.book, &room.zone, &asked)?;
    let registered = record.registered.as_ref().map(|told| &told.body);
    let working = registered.and_then(|body| body.working_pressure.as_ref());
    Ok(Tag {
        cylinder: id.to_owned(),
        about: registered.map(about).unwrap_or_default(),
        working: working.map(Shown::of),
        owner: super::text(registered.and_then(|body| body.owner.as_ref())),
        says: says(room, &record, &verdict),
        code: code(id, None),
        beside: beside(&verdict, fill),
    })
}

/// What a phone reads off the tag: the cylinder's page where other machines reach it, else its name.
pub fn code(id: &str, served: Option<&str>) -> Option<String> {
    let text = match served {
        Some(base) => format!("{base}/book/cylinder/{}", encoded(id)),
        None => format!("fillstead:cylinder/{}", encoded(id)),
    };
    qr::svg(&text, &format!("Code that names the cylinder {id}"))
}

/// `12 L steel`.
fn about(body: &CylinderRegistered) -> String {
    let material = body.material.map(|material| match material {
        Material::Steel => "steel",
        Material::Aluminium => "aluminium",
        Material::Composite => "composite",
    });
    let water = body.water_volume.as_ref().map(ToString::to_string);
    let free = || body.free_air.as_ref().map(|air| format!("{air} free air"));
    joined([water.or_else(free), material.map(str::to_owned)], " ")
}

fn says(room: &Room<'_>, record: &Record, verdict: &FillAnswer) -> Says {
    let mut reasons: Vec<String> = verdict.refusals.iter().map(|r| capital(&r.what)).collect();
    if let Some(fill) = &record.last_fill {
        reasons.extend(filled_although(fill));
    }
    if !reasons.is_empty() {
        let reasons = short(&reasons);
        let held = !record.held.is_empty();
        return Says::Not {
            word: if held { "SET ASIDE" } else { "DO NOT USE" },
            reasons,
            then: match held {
                true => "Do not breathe from it, do not fill it, do not vent it yet.",
                false => "Do not breathe from it, do not fill it.",
            },
        };
    }
    let until = verdict
        .until
        .map_or_else(|| "not known".to_owned(), |until| until.to_string());
    match &record.last_fill {
        Some(fill) => Says::Filled(Box::new(filled(room, fill, until))),
        None => Says::NoFill { until },
    }
}

/// What of the reasons there is room for on a tag, the rest counted.
fn short(reasons: &[String]) -> Vec<String> {
    let mut room = ROOM;
    let mut shown = Vec::new();
    for reason in reasons {
        let letters = reason.chars().count();
        if letters <= room {
            shown.push(reason.clone());
        } else if shown.is_empty() {
            let begin: String = reason.chars().take(room).collect();
            shown.push(format!("{begin} ..."));
        } else {
            shown.push(format!("and {} more, beside", reasons.len() - shown.len()));
            break;
        }
        room = room.saturating_sub(letters.max(LINE));
    }
    shown
}

/// What stood against the last fill when it was made.
fn filled_although(fill: &Told<Fill>) -> Vec<String> {
    let against = fill.body.gate.iter().flat_map(|gate| &gate.against);
    against
        .map(|refusal| format!("Filled although {} (entry {})", refusal.what, fill.seq))
        .collect()
}

fn filled(room: &Room<'_>, told: &Told<Fill>, until: String) -> Filled {
    let fill = &told.body;
    let (pressure, pressure_is) = match (&fill.settled, &fill.settled_at, &fill.to) {
        (Some(settled), Some(at), _) => (Some(settled), format!("Settled, at {at}")),
        (Some(settled), None, _) => (Some(settled), "Settled".to_owned()),
        (None, _, Some(to)) => (Some(to), "At the stop, still warm".to_owned()),
        (None, _, None) => (None, "Settled".to_owned()),
    };
    Filled {
        no: told.seq,
        on: room.zone.day_text(told.happened),
        by: told.author.clone(),
        settled: pressure.map(Shown::of),
        pressure_is,
        until,
    }
}

/// What stands beside the tag.
fn beside(verdict: &FillAnswer, fill: Option<&Told<Fill>>) -> Vec<String> {
    let mut beside = Vec::new();
    let all: Vec<String> = verdict.refusals.iter().map(|r| capital(&r.what)).collect();
    if short(&all) != all {
        beside.extend(all.iter().map(|reason| format!("{reason}.")));
    }
    // What is to be typed is of no use on paper.
    let done_by_hand = verdict
        .refusals
        .iter()
        .filter(|r| !r.way_forward.contains('`'));
    beside.extend(done_by_hand.map(|r| format!("{}.", capital(&r.way_forward))));
    if verdict.refusals.iter().any(|r| r.id == "set-aside") {
        beside.push("It stands on the list of cylinders set aside: follow that.".to_owned());
    }
    if verdict.refusals.is_empty() {
        let limit = verdict.to.as_ref().map(|to| {
            let other = if to.stamped.ends_with("psi") {
                format!("{:.0} bar", to.bar)
            } else {
                format!("{:.0} psi", to.psi)
            };
            format!(
                "Fill to {} ({other}) at most, settled at {:.0} °C.",
                to.stamped, verdict.settled_at_c
            )
        });
        beside.extend(limit);
    }
    beside.push(format!("Rule: {}.", verdict.rule_title));
    let gate = fill.and_then(|fill| fill.body.gate.as_ref());
    for over in gate.into_iter().flat_map(|gate| &gate.overridden) {
        beside.push(format!(
            "{} was overridden by {}: {}.",
            capital(&over.refusal),
            over.by,
            over.reason
        ));
    }
    beside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reasons_that_do_not_fit_are_counted() {
        let reasons = |lengths: &[usize]| -> Vec<String> {
            lengths.iter().map(|length| "x".repeat(*length)).collect()
        };
        assert_eq!(short(&reasons(&[50, 100])), reasons(&[50, 100]));
        let shown = short(&reasons(&[100, 100, 100, 20]));
        assert_eq!(shown.len(), 3);
        assert_eq!(shown[2], "and 2 more, beside");
        let shown = short(&reasons(&[4000]));
        assert_eq!(shown[0].chars().count(), ROOM + 4);
    }
}
