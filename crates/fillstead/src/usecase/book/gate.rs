//! The fill gate: may this cylinder be filled now, on this line, to what pressure? And the fill
//! written down, or the refusal.
//!
//! The rule of cylinders decides about the cylinder ([`insight::cylinder::may_fill`]); here the
//! record, the air and the line are added. A refusal may be overridden only where it says so, with a
//! name and a reason in the book.

use std::path::Path;

use book::answer::DayBegins;
use book::answer::locks;
use book::answer::register;
use book::answer::station::{rules_in_force, station_text};
use book::body::{Fill, FillRefused, Gate, Overridden};
use book::{Body, Book, Moment, Pen};
use insight::cylinder::answer::Refusal;
use insight::cylinder::{FillAnswer, FillLine, may_fill, rule_named};
use quantity::GaugePressure;
use serde_json::{Value, json};
use station::{Date, Station};

use super::add::{self, Added, both};
use super::against::{NO_SOURCE, OWN};
pub use super::against::{locked, of_record};
use super::desk::{self, Signed, Who, signed};
use super::facts;
use super::form::{FILL_LINE, Form, Given};
use super::line::{Line, line};
use crate::usecase::clock::Zone;
use crate::usecase::{Trouble, units};

/// What the gate is asked.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The cylinder.
    pub cylinder: String,
    /// The pressure wanted, or reached.
    pub to: Option<GaugePressure>,
    /// What else hangs on the line, by name.
    pub with: Vec<String>,
    /// Where a relief valve or regulator of this line alone holds it.
    pub protected_at: Option<GaugePressure>,
    /// The moment asked about; none: now, by everything in the book.
    pub at: Option<Moment>,
}

/// What came of a fill.
pub struct Filled {
    /// The entry: the fill, or the refusal.
    pub added: Added,
    /// What the gate said.
    pub verdict: FillAnswer,
    /// Refusals that somebody answered for.
    pub overridden: Vec<Overridden>,
    /// Whether the fill is in the book; else the refusal is.
    pub written: bool,
}

impl Filled {
    /// As programs read it.
    pub fn as_json(&self) -> Value {
        json!({
            "written": self.written,
            "entry": self.added.seq,
            "seal": self.added.seal,
            "remarks": self.added.remarks,
            "overridden": self.overridden,
            "gate": self.verdict,
        })
    }
}

/// A fill as typed: what goes into the book, and what stands beside it.
struct Typed {
    fill: Fill,
    line: Line,
}

/// Asks the gate about a fill and writes down the fill, or the refusal.
pub fn fill(path: &Path, given: &Given, who: &Who<'_>) -> Result<Filled, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let typed = Typed::of(given);
    let mut pen = desk::write(path, "fillstead book add").map_err(one)?;
    let zone = desk::zone(pen.book()).map_err(one)?;
    let (typed, signed) = both(typed, signed(who, zone))?;
    typed.enter(&mut pen, &signed, asked_at(&signed))
}

/// The same with a pen at hand, signed already.
pub fn fill_signed(pen: &mut Pen, signed: &Signed, given: &Given) -> Result<Filled, Vec<Trouble>> {
    Typed::of(given)?.enter(pen, signed, asked_at(signed))
}

/// The moment the gate is asked about: none, so everything in the book counts, for a fill of now.
fn asked_at(signed: &Signed) -> Option<Moment> {
    (signed.happened != signed.recorded).then_some(signed.happened)
}

/// The same for a story told afterwards: asked about the moment at which it happened.
pub fn fill_with(pen: &mut Pen, signed: &Signed, given: &Given) -> Result<Filled, Vec<Trouble>> {
    Typed::of(given)?.enter(pen, signed, Some(signed.happened))
}

impl Typed {
    fn of(given: &Given) -> Result<Typed, Vec<Trouble>> {
        let form = Form::of(book::Kind::Fill).ok_or_else(|| vec![no_form()])?;
        let (of_line, of_fill): (Given, Given) = given
            .iter()
            .cloned()
            .partition(|(name, _)| FILL_LINE.iter().any(|f| f.name == name));
        match both(form.body(&of_fill), line(&of_line))? {
            (Body::Fill(fill), line) => Ok(Typed { fill, line }),
            _ => Err(vec![no_form()]),
        }
    }

    fn enter(
        self,
        pen: &mut Pen,
        signed: &Signed,
        at: Option<Moment>,
    ) -> Result<Filled, Vec<Trouble>> {
        let Typed { fill, line } = self;
        let to = fill.settled.as_ref().or(fill.to.as_ref());
        let asked = Asked {
            cylinder: fill.cylinder.clone(),
            to: to.map(|p| p.value()),
            with: line.with.clone(),
            protected_at: line.protected_at.as_ref().map(|p| p.value()),
            at,
        };
        let verdict = ask(pen.book(), &signed.zone, &asked).map_err(|trouble| vec![trouble])?;
        enter(pen, signed, fill, verdict, &line)
    }
}

fn no_form() -> Trouble {
    Trouble::new("a fill has no form", "use a whole copy of the program")
}

/// Writes the fill or the refusal, by what the gate said and what somebody answers for.
fn enter(
    pen: &mut Pen,
    signed: &Signed,
    fill: Fill,
    verdict: FillAnswer,
    line: &Line,
) -> Result<Filled, Vec<Trouble>> {
    let overridden = overridden(&verdict, line, signed)?;
    let stands: Vec<&Refusal> = verdict
        .refusals
        .iter()
        .filter(|refusal| overridden.iter().all(|over| over.refusal != refusal.id))
        .collect();
    let against: Vec<book::body::Refusal> = stands.into_iter().map(stored).collect();
    let written = against.is_empty() || line.already_filled;
    let body: Body = if written {
        Fill {
            gate: Some(Gate {
                rule: verdict.rule.clone(),
                at_most: verdict.to.as_ref().map(|to| to.stamped.clone()),
                with: line.with.clone(),
                protected_at: line.protected_at.clone(),
                verdict: verdict.verdict.clone(),
                overridden: overridden.clone(),
                against,
            }),
            ..fill
        }
        .into()
    } else {
        FillRefused {
            cylinder: fill.cylinder,
            person: fill.person,
            asked: fill.to,
            rule: Some(verdict.rule.clone()),
            refusals: against,
        }
        .into()
    };
    let added = add::write(pen, signed, body)?;
    Ok(Filled {
        added,
        verdict,
        overridden,
        written,
    })
}

fn stored(refusal: &Refusal) -> book::body::Refusal {
    book::body::Refusal {
        id: refusal.id.to_owned(),
        what: refusal.what.clone(),
        way_forward: refusal.way_forward.clone(),
    }
}

/// What somebody answers for: refusals that may be overridden, with name and reason.
fn overridden(
    verdict: &FillAnswer,
    line: &Line,
    signed: &Signed,
) -> Result<Vec<Overridden>, Vec<Trouble>> {
    let Some(reason) = &line.overridden else {
        return Ok(Vec::new());
    };
    let may: Vec<&Refusal> = verdict
        .refusals
        .iter()
        .filter(|r| r.may_be_overridden)
        .collect();
    if may.is_empty() {
        let what = match verdict.refusals.is_empty() {
            true => "nothing stands against this fill",
            false => "nothing that stands against this fill may be overridden",
        };
        let trouble = Trouble::new(what, "leave --override out");
        return Err(vec![trouble.about("override")]);
    }
    let over = |refusal: &Refusal| Overridden {
        refusal: refusal.id.to_owned(),
        by: signed.author.clone(),
        reason: reason.clone(),
    };
    Ok(may.into_iter().map(over).collect())
}

/// What the gate says of a cylinder.
pub fn ask(book: &Book, zone: &Zone, asked: &Asked) -> Result<FillAnswer, Trouble> {
    let moment = asked.at.unwrap_or_else(crate::usecase::clock::now);
    let today = zone.today_at(moment)?;
    let begins = |text: &str| zone.begins(text);
    let record = register::in_book(book, &asked.cylinder, asked.at, &begins)?;
    let locks = locks::in_book(book, asked.at, &begins)?;
    let mut more: Vec<Refusal> = locks.standing().map(|lock| locked(lock, zone)).collect();
    more.extend(of_record(&record));
    let station = station_in_force(book, asked.at)?;
    let line = fill_line(book, station.as_ref(), asked, &begins)?;
    let facts = facts::of(&record, today);
    let chosen = rules_in_force(book, asked.at)?.cylinder_rule;
    let answer = match chosen.as_ref().and_then(|chosen| rule_named(&chosen.name)) {
        Some(rule) => may_fill(&facts, rule, today, &line),
        None => without_rule(&asked.cylinder, today),
    };
    Ok(answer.with_refusals(more))
}

/// Where no rule is chosen there is nothing to examine a cylinder by.
pub fn without_rule(cylinder: &str, today: Date) -> FillAnswer {
    let refusal = Refusal {
        id: "no-rule",
        what: "no requalification rule is chosen for this station".into(),
        way_forward: "Choose the one that governs it: `book add BOOK rules --cylinder-rule uk`; \
                      `cylinder --list-rules` lists them"
            .into(),
        source: OWN.into(),
        certainty: NO_SOURCE.into(),
        may_be_overridden: false,
    };
    FillAnswer {
        cylinder: cylinder.to_owned(),
        rule: "none".into(),
        rule_title: "no rule chosen".into(),
        today: today.to_string(),
        may: false,
        verdict: String::new(),
        to: None,
        settled_at_c: 15.0,
        until: None,
        refusals: Vec::new(),
        notes: Vec::new(),
        checks: Vec::new(),
        hot: None,
    }
    .with_refusals(vec![refusal])
}

/// The line: what can come down it, what protects it, what else hangs on it.
fn fill_line(
    book: &Book,
    station: Option<&Station>,
    asked: &Asked,
    begins: DayBegins<'_>,
) -> Result<FillLine, Trouble> {
    let mut others = Vec::new();
    for name in asked.with.iter().filter(|name| **name != asked.cylinder) {
        add::on_register(book, name).map_err(|trouble| trouble.about("with"))?;
        let other = register::in_book(book, name, asked.at, begins)?;
        let rated = other
            .registered
            .and_then(|told| told.body.working_pressure?.with_unit());
        let rated = rated.ok_or_else(|| {
            let remedy = "register its working pressure first";
            Trouble::new(format!("the rating of {name} is not known"), remedy).about("with")
        })?;
        others.push((name.clone(), rated));
    }
    Ok(FillLine {
        supply: station.map(|station| station.compressor.working_pressure),
        protected_at: asked.protected_at,
        asked: asked.to,
        others,
    })
}

/// The station in force at a moment, in the units of whoever asks; none where the book has no
/// station file that can be used.
pub fn station_in_force(book: &Book, at: Option<Moment>) -> Result<Option<Station>, Trouble> {
    Ok(station_as_written(book, at)?.map(units::seen))
}

/// The same in its own units.
pub fn station_as_written(book: &Book, at: Option<Moment>) -> Result<Option<Station>, Trouble> {
    let text = station_text(book, at)?;
    Ok(text
        .text()
        .and_then(|text| station::read(text).usable().cloned()))
}
