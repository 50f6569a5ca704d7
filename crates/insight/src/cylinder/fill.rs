//! The fill gate: may this cylinder be filled here today, to what, until when.
//!
//! Start at [`may_fill`]. What stands against it is collected whole, each with
//! its way forward. Not here: examinations ([`super::due`]), the plus mark
//! ([`super::plus`]), the gas put in.

use super::answer::{CheckAnswer, FillAnswer, HotAnswer, Note, Refusal};
use super::due;
use super::facts::CylinderFacts;
use super::hot::{SEVENTY_F, developed};
use super::plus::allowed;
use super::pressure::{BothUnits, both};
use super::rule::{Demand, Rule, RuleSource};
use super::tags::Tags;
use super::when::When;
use quantity::{GaugePressure, Typed};
use station::{Date, Station};

/// The line the cylinder hangs on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FillLine {
    /// Highest pressure that can come down it.
    pub supply: Option<GaugePressure>,
    /// Where a relief valve or regulator of this line alone holds it below that.
    pub protected_at: Option<GaugePressure>,
    /// Pressure wanted; none asks for the highest allowed.
    pub asked: Option<GaugePressure>,
    /// What else hangs on it: names and ratings.
    pub others: Vec<(String, Typed<GaugePressure>)>,
}

impl FillLine {
    /// The line of a station: its compressor's working pressure, nothing else on it.
    pub fn of(station: &Station) -> FillLine {
        FillLine {
            supply: Some(station.compressor.working_pressure),
            ..FillLine::default()
        }
    }
}

/// Ratings on one line may differ by this much, bar.
const SAME_RATING_BAR: f64 = 1.0;
/// A line's own relief may stand this far above the rating (custom: 10 %).
const RELIEF_ROOM: f64 = 1.10;

/// One question, and what has been found so far.
pub(super) struct Gate<'a> {
    pub facts: &'a CylinderFacts,
    pub rule: &'a Rule,
    pub today: Date,
    pub tags: Tags,
    pub refusals: Vec<Refusal>,
    pub notes: Vec<Note>,
    pub checks: Vec<CheckAnswer>,
    /// The days on which things come to an end.
    pub ends: Vec<When>,
}

/// What the project itself refuses, whatever the rule.
pub(super) fn own_rule() -> RuleSource {
    RuleSource {
        clause: "the fill gate's own refusal".into(),
        certainty: "common practice, no source".into(),
        seen: "no source".into(),
    }
}

/// Whether nothing was found against filling this cylinder.
pub fn may_fill(facts: &CylinderFacts, rule: &Rule, today: Date, line: &FillLine) -> FillAnswer {
    let mut gate = Gate {
        facts,
        rule,
        today,
        tags: Tags::of(facts, today),
        refusals: Vec::new(),
        notes: Vec::new(),
        checks: Vec::new(),
        ends: Vec::new(),
    };
    if !gate.known() {
        return gate.answer(None, None);
    }
    gate.forbidden();
    due::examine(&mut gate);
    let to = allowed(&mut gate);
    let hot = to.as_ref().and_then(|to| gate.hot(to));
    if let Some(to) = &to {
        gate.line(to, line);
    }
    gate.say();
    gate.answer(to, hot)
}

impl Gate<'_> {
    pub fn refuse(&mut self, id: &'static str, what: String, way: &str, source: &RuleSource) {
        self.refusals.push(Refusal {
            id,
            what,
            way_forward: way.to_owned(),
            source: source.clause.clone(),
            certainty: source.certainty.clone(),
            may_be_overridden: id == "unprotected",
        });
    }

    pub fn note(&mut self, text: impl Into<String>, source: Option<&RuleSource>) {
        self.notes.push(Note {
            text: text.into(),
            source: source.map(|s| s.clause.clone()).unwrap_or_default(),
            certainty: source.map(|s| s.certainty.clone()).unwrap_or_default(),
        });
    }

    /// What must be known of it; false where there is nothing to judge.
    fn known(&mut self) -> bool {
        let facts = self.facts;
        let own = own_rule();
        if facts.rated.is_none() && facts.material.is_none() {
            self.refuse(
                "unknown",
                format!("cylinder {} is not known here", facts.id),
                "Register it with the stamps on its shoulder; until then do not fill it",
                &own,
            );
            return false;
        }
        if facts.rated.is_none() {
            self.refuse(
                "rating-unknown",
                "its service pressure is not known".into(),
                "Read it from the stamp, with its unit; a guess bursts cylinders",
                &own,
            );
        }
        for what in &facts.implausible {
            self.refuse(
                "stamp-implausible",
                what.clone(),
                "Read the stamps again with a second person, and correct the record",
                &own,
            );
        }
        if let Some(why) = &facts.condemned {
            self.refuse(
                "condemned",
                why.clone(),
                "Never fill it again: have it made unusable",
                &own,
            );
        }
        true
    }

    /// What the rule forbids outright.
    fn forbidden(&mut self) {
        let rule = self.rule;
        let tags = self.tags.clone();
        for row in rule.rows(&tags) {
            if let Demand::Never { why } = &row.demand {
                let way =
                    "Do not fill it; ask a cylinder test house what may still be done with it";
                self.refuse("never", why.clone(), way, &row.source);
            }
        }
    }

    /// What it would show when hot.
    fn hot(&mut self, to: &Typed<GaugePressure>) -> Option<HotAnswer> {
        let tags = self.tags.clone();
        let (percent, t_k, source) = self.rule.rows(&tags).find_map(|row| match row.demand {
            Demand::Hot { percent, t_k } => Some((percent, t_k, row.source.clone())),
            _ => None,
        })?;
        let limit = GaugePressure::bar(to.value.as_bar() * percent / 100.0);
        let Ok(hot) = developed(to.value, SEVENTY_F, t_k) else {
            let text = format!("what it shows at {:.0} °C cannot be computed", t_k - 273.15);
            self.note(text, Some(&source));
            return None;
        };
        if hot.as_bar() > limit.as_bar() {
            let what = format!(
                "at {:.0} °C it would show {:.0} bar ({:.0} psi); the limit is {:.0} bar ({:.0} psi)",
                t_k - 273.15,
                hot.as_bar(),
                hot.as_psi(),
                limit.as_bar(),
                limit.as_psi()
            );
            self.refuse("hot", what, "Fill it lower", &source);
        }
        Some(HotAnswer {
            at_c: t_k - 273.15,
            bar: hot.as_bar(),
            psi: hot.as_psi(),
            limit_bar: limit.as_bar(),
            limit_psi: limit.as_psi(),
        })
    }

    /// What can come down the line, and what else hangs on it.
    fn line(&mut self, to: &Typed<GaugePressure>, line: &FillLine) {
        let own = own_rule();
        let most = to.value.as_bar();
        if let Some(asked) = line.asked.filter(|p| p.as_bar() > most + 0.05) {
            let what = format!(
                "{:.0} bar ({:.0} psi) is above what it may hold, {}",
                asked.as_bar(),
                asked.as_psi(),
                both(to)
            );
            let way = "Stop at its own pressure, let it cool, and top up to that and no more";
            self.refuse("above-rating", what, way, &own);
        }
        let Some(rated) = self.facts.rated else {
            return;
        };
        for (name, other) in &line.others {
            if (other.value.as_bar() - rated.value.as_bar()).abs() > SAME_RATING_BAR {
                let what = format!(
                    "it is rated {} and {name} on the same line {}",
                    both(&rated),
                    both(other)
                );
                let way = "Fill them one after the other: the lowest rating governs a line";
                self.refuse("mixed-ratings", what, way, &own);
            }
        }
        self.supply(to, line);
    }

    fn supply(&mut self, to: &Typed<GaugePressure>, line: &FillLine) {
        let most = to.value.as_bar();
        let Some(supply) = line.supply.filter(|p| p.as_bar() > most + SAME_RATING_BAR) else {
            return;
        };
        let guarded = line
            .protected_at
            .is_some_and(|p| p.as_bar() <= RELIEF_ROOM * most);
        if !guarded {
            let what = format!(
                "the line can bring {:.0} bar ({:.0} psi), and nothing on it protects a cylinder \
                 of {}",
                supply.as_bar(),
                supply.as_psi(),
                both(to)
            );
            let way = "Fill it behind a regulator and relief valve set for it; the compressor's \
                       final relief valve does not protect it";
            self.refuse("unprotected", what, way, &own_rule());
        }
    }

    /// What the rule says besides, and how the stamp was read.
    fn say(&mut self) {
        let rule = self.rule;
        let tags = self.tags.clone();
        for row in rule.rows(&tags) {
            if let Demand::Note { text } = &row.demand {
                self.note(text.clone(), Some(&row.source));
            }
        }
        for text in &self.facts.notes {
            self.note(text.clone(), None);
        }
        self.note(
            "look at it before filling: dents, rust, heat, a stiff or bent valve, a date you \
             cannot read are each a reason to stop",
            None,
        );
    }

    fn answer(self, to: Option<Typed<GaugePressure>>, hot: Option<HotAnswer>) -> FillAnswer {
        let may = self.refusals.is_empty();
        let until = self.ends.iter().min_by_key(|end| end.last_day()).copied();
        let settled_at_c = match &to {
            Some(to) if to.unit.symbol == "psi" => SEVENTY_F - 273.15,
            _ => 15.0,
        };
        let verdict = match (&to, until) {
            _ if !may => format!("Do not fill it: {}", reasons(&self.refusals)),
            (Some(to), Some(until)) => format!(
                "No reason found to stop: fill to {}, settled at {settled_at_c:.0} °C; in date \
                 until {until}",
                both(to)
            ),
            _ => "No reason found to stop".into(),
        };
        FillAnswer {
            cylinder: self.facts.id.clone(),
            rule: self.rule.id.clone(),
            rule_title: self.rule.title.clone(),
            today: self.today.to_string(),
            may,
            verdict,
            to: to.as_ref().map(BothUnits::of),
            settled_at_c,
            until,
            refusals: self.refusals,
            notes: self.notes,
            checks: self.checks,
            hot,
        }
    }
}

fn reasons(refusals: &[Refusal]) -> String {
    let all: Vec<&str> = refusals.iter().map(|r| r.what.as_str()).collect();
    all.join("; ")
}
