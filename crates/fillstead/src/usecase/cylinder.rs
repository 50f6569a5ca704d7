//! May this cylinder be filled? From a station file or a stamp to the fill gate's answer.
//!
//! Not here: the rules and the gate ([`insight::cylinder`]).

use std::path::Path;

use insight::cylinder::{
    CylinderFacts, FillAnswer, FillLine, Rule, StampReading, Use, known_rules, may_fill,
    read_rules, read_stamp,
};
use quantity::GaugePressure;
use station::{Date, Station};

use crate::usecase::clock::today;
use crate::usecase::forecast::clause;
use crate::usecase::near::{meant, meant_or};
use crate::usecase::station::StationFile;
use crate::usecase::trouble::within;
use crate::usecase::{Trouble, file};

/// What is asked, as typed.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// Short name of the rule.
    pub rule: Option<String>,
    /// The day.
    pub today: Option<String>,
    /// What the cylinder is used for; diving unless given.
    pub used_for: Option<String>,
    /// What a relief valve or regulator of its line alone holds that line at.
    pub protected_at: Option<String>,
}

/// What the gate says, with the station it was asked at.
pub struct Gate {
    /// The station file, usable.
    pub file: StationFile,
    /// What the gate says.
    pub fill: FillAnswer,
}

/// A stamp as read.
pub struct Stamp {
    /// The day it was read.
    pub today: Date,
    /// What it says.
    pub stamp: StampReading,
    /// What follows from it by a rule, where one was named.
    pub fill: Option<FillAnswer>,
}

impl Stamp {
    /// Whether something of it was understood at all.
    pub fn understood(&self) -> bool {
        let s = &self.stamp;
        let named = s.specification.is_some() || s.permit.is_some() || s.alloy.is_some();
        named || s.service.is_some() || s.test.is_some() || !s.dates.is_empty() || s.condemned
    }

    /// Whether nothing stands against filling a cylinder with this stamp, as far as was asked.
    pub fn sound(&self) -> bool {
        let sound = self.stamp.implausible.is_empty() && !self.stamp.condemned;
        sound && self.understood() && self.fill.as_ref().is_none_or(|fill| fill.may)
    }
}

/// Why there is no answer.
pub enum Unanswered {
    /// The input does not do; every reason.
    Troubles(Vec<Trouble>),
    /// The station file has errors.
    Unusable(Box<StationFile>),
}

impl From<Trouble> for Unanswered {
    fn from(trouble: Trouble) -> Unanswered {
        Unanswered::Troubles(vec![trouble])
    }
}

/// Asks the gate about one cylinder of the station in this file.
pub fn at_station(
    path: &Path,
    id: &str,
    asked: &Asked,
    own_rules: Option<&Path>,
) -> Result<Gate, Unanswered> {
    let rules = rules(own_rules).map_err(Unanswered::Troubles)?;
    let rule = chosen(asked.rule.as_deref(), &rules)?;
    let (today, used_for) = (today(asked.today.as_deref())?, used_for(asked)?);
    let file = StationFile::open(path)?;
    let Some(station) = file.station() else {
        return Err(Unanswered::Unusable(Box::new(file)));
    };
    known(station, id)?;
    let facts = CylinderFacts::of(station, id, used_for, today);
    let line = FillLine {
        protected_at: protected_at(asked)?,
        ..FillLine::of(station)
    };
    let fill = may_fill(&facts, rule, today, &line);
    Ok(Gate { file, fill })
}

/// Reads a stamp, and asks the gate about it where a rule is named.
pub fn stamp(text: &str, asked: &Asked, own_rules: Option<&Path>) -> Result<Stamp, Unanswered> {
    if text.trim().is_empty() {
        let what = "there is nothing in the stamp";
        let remedy = "write what stands on the shoulder, such as \"3AA2400+ 06^19+\"";
        return Err(Trouble::new(what, remedy).about("stamp").into());
    }
    if asked.protected_at.is_some() {
        let what = "a stamp alone hangs on no line";
        let remedy = "leave it out, or name a station file and a cylinder of it";
        return Err(Trouble::new(what, remedy).about("protected-at").into());
    }
    let (today, used_for) = (today(asked.today.as_deref())?, used_for(asked)?);
    let stamp = read_stamp(text, today);
    let fill = match (asked.rule.as_deref(), own_rules) {
        (None, None) => None,
        (name, own) => {
            let rules = rules(own).map_err(Unanswered::Troubles)?;
            let facts = facts(&stamp, used_for);
            let rule = chosen(name, &rules)?;
            Some(may_fill(&facts, rule, today, &FillLine::default()))
        }
    };
    Ok(Stamp { today, stamp, fill })
}

/// A cylinder of which nothing but the stamp is known.
fn facts(stamp: &StampReading, used_for: Use) -> CylinderFacts {
    let mut facts = CylinderFacts::unknown("as stamped");
    facts.used_for = used_for;
    facts.add_stamp(stamp);
    let in_psi = facts.rated.is_some_and(|p| p.unit.symbol == "psi");
    facts.foreign = facts.specification.is_none() && facts.permit.is_none() && !in_psi;
    facts
}

/// The owner's own rules, then those that come with the program.
pub fn rules(own: Option<&Path>) -> Result<Vec<Rule>, Vec<Trouble>> {
    let mut rules = match own {
        Some(path) => own_rules(path)?,
        None => Vec::new(),
    };
    rules.extend(known_rules().iter().cloned());
    Ok(rules)
}

fn own_rules(path: &Path) -> Result<Vec<Rule>, Vec<Trouble>> {
    let name = path.display();
    let text = file::read_as(path, "file of rules").map_err(|t| vec![t.about("own-rule")])?;
    let rules = read_rules(&text).map_err(|errors| {
        let one = |error: insight::cylinder::RuleError| {
            let what = format!("line {} of {name}: {}", error.line, error.what);
            Trouble::new(what, clause(&error.remedy)).about("own-rule")
        };
        errors.into_iter().map(one).collect::<Vec<_>>()
    })?;
    if rules.is_empty() {
        let remedy =
            "begin one with `rule:` and a short name; `--list-rules` shows those there are";
        let trouble = Trouble::new(format!("{name} holds no rule"), remedy);
        return Err(vec![trouble.about("own-rule")]);
    }
    Ok(rules)
}

/// The rule of this name. Without one the owner's own is meant, where there is exactly one.
fn chosen<'r>(name: Option<&str>, rules: &'r [Rule]) -> Result<&'r Rule, Trouble> {
    let Some(name) = name else {
        let own = rules.len().saturating_sub(known_rules().len());
        return match rules.first() {
            Some(only) if own == 1 => Ok(only),
            _ => Err(no_rule(rules)),
        };
    };
    let wanted = name.trim();
    let found = rules.iter().find(|r| r.id.eq_ignore_ascii_case(wanted));
    found.ok_or_else(|| {
        let ids: Vec<&str> = rules.iter().map(|rule| rule.id.as_str()).collect();
        let remedy = meant_or(wanted, &ids, "--list-rules explains them");
        Trouble::new(format!("there is no rule called \"{wanted}\""), remedy).about("rule")
    })
}

fn no_rule(rules: &[Rule]) -> Trouble {
    let ids: Vec<&str> = rules.iter().map(|rule| rule.id.as_str()).collect();
    let remedy = format!(
        "name the one that governs it, such as --rule {}; --list-rules explains them",
        ids.first().unwrap_or(&"us")
    );
    Trouble::new(
        "no rule is named, and none is taken for granted: each country has its own",
        remedy,
    )
}

fn used_for(asked: &Asked) -> Result<Use, Trouble> {
    let Some(name) = asked.used_for.as_deref() else {
        return Ok(Use::default());
    };
    Use::named(&name.to_lowercase()).ok_or_else(|| {
        let all = [Use::Diving, Use::Rescue, Use::Storage, Use::Aircraft].map(Use::name);
        Trouble::new(
            format!("\"{name}\" is no use of a cylinder known here"),
            meant(name, &all),
        )
        .about("use")
    })
}

fn protected_at(asked: &Asked) -> Result<Option<GaugePressure>, Trouble> {
    let (least, most) = (GaugePressure::bar(1.0), GaugePressure::bar(1000.0));
    let typed = asked.protected_at.as_deref();
    let typed = typed.map(|text| within("protected-at", text, least, most));
    Ok(typed.transpose()?.map(|typed| typed.value))
}

/// That the station has this cylinder.
fn known(station: &Station, id: &str) -> Result<(), Trouble> {
    if station.cylinders.iter().any(|c| c.id == id) {
        return Ok(());
    }
    let what = format!(
        "{} has no cylinder \"{id}\", and what is not registered is not filled",
        station.name
    );
    let ids: Vec<&str> = station.cylinders.iter().map(|c| c.id.as_str()).collect();
    let remedy = match ids.as_slice() {
        [] => "write it down under [[cylinder]] with what is stamped on it".to_owned(),
        ids => meant(id, ids),
    };
    Err(Trouble::new(what, remedy))
}
