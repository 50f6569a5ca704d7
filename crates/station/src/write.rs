//! A commented station file to begin with, from a few answers.
//!
//! Start at [`new_file`]. What was not answered stands there as a remark with the value that is
//! assumed; settings of valves are never made up. Not here: asking the questions.

use std::fmt::{Display, Write};

use quantity::{FlowRate, FreeVolume, GaugePressure, Length, Typed, UnitSystem, Volume};

use crate::fields::{Field, Form, Need, fields_of, heading};
use crate::problem::{Problem, Severity};

/// What a person answers before a station file is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// What people call the station.
    pub name: String,
    /// Units for showing results.
    pub units: UnitSystem,
    /// Height of the site above sea level.
    pub altitude: Option<Typed<Length>>,
    /// Highest pressure the compressor is run to.
    pub working_pressure: Typed<GaugePressure>,
    /// How much air it moves.
    pub delivery: AnsweredDelivery,
    /// Number of stages.
    pub stage_count: Option<usize>,
    /// Settings of the pressure maintaining valve, from its tag or the maker's manual.
    pub pmv: Option<AnsweredPmv>,
    /// Pressure at which the final relief valve lifts, from its tag.
    pub relief_lifts: Option<Typed<GaugePressure>>,
    /// Pressure stamped on the burst disc.
    pub disc_bursts: Option<Typed<GaugePressure>>,
    /// Rated pressure on the tower's plate.
    pub tower_rating: Option<Typed<GaugePressure>>,
    /// One kind of cylinder that is filled.
    pub cylinder_kind: Option<AnsweredKind>,
}

/// How much air the compressor moves, in the form the person knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AnsweredDelivery {
    /// Free air a minute, timed by filling 10 L from 0 to 200 bar.
    ChargingRate(Typed<FlowRate>),
    /// Free air a minute at the intake.
    FreeAirDelivery(Typed<FlowRate>),
}

/// Settings of the pressure maintaining valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnsweredPmv {
    /// Pressure at which it opens.
    pub opens: Typed<GaugePressure>,
    /// Pressure at which it shuts again.
    pub closes: Typed<GaugePressure>,
}

/// A kind of cylinder.
#[derive(Clone, Debug, PartialEq)]
pub struct AnsweredKind {
    /// What it is called.
    pub id: String,
    /// How big it is.
    pub size: AnsweredSize,
    /// The working (service) pressure stamped on it.
    pub working_pressure: Typed<GaugePressure>,
}

/// How big a cylinder is, in the form the person knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AnsweredSize {
    /// The space inside.
    Water(Typed<Volume>),
    /// Nominal content of free air at working pressure.
    FreeAir(Typed<FreeVolume>),
}

const INTRO: &str = "\
A station file. Write a quantity in quotes and with its unit: \"232 bar\", \"3300 psi\", \"2.2 L\".
Pressures are what the gauge shows. A line that starts with # is a remark: it shows what is
assumed; take the # away and write your own figure where you know better.
Write down what is on the tags, the plates and in the maker's manual. Valves are set only as that
manual says, by someone trained to do it, and never under pressure.";

/// The text of a new station file.
///
/// # Errors
/// What [`read()`](crate::read()) finds wrong in it: answers that are impossible or contradict
/// each other. Their places are in the text that would have been written.
pub fn new_file(answers: &Answers) -> Result<String, Vec<Problem>> {
    let mut page = Page::default();
    page.remark(INTRO);
    page.site(answers);
    page.machine(answers);
    page.protection(answers);
    page.cylinders(answers);
    let wrong = |p: &Problem| p.severity == Severity::Error;
    let problems: Vec<Problem> = crate::read(&page.text)
        .problems
        .into_iter()
        .filter(wrong)
        .collect();
    if problems.is_empty() {
        Ok(page.text)
    } else {
        Err(problems)
    }
}

/// A line that was answered: key and value as TOML.
type Line = (&'static str, String);

/// The file as it grows.
#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn site(&mut self, answers: &Answers) {
        let units = match answers.units {
            UnitSystem::Metric => "metric",
            UnitSystem::Us => "us",
        };
        let mut lines = vec![("name", quoted(&answers.name)), ("units", quoted(units))];
        lines.extend(answers.altitude.map(|h| ("altitude", quoted(h))));
        self.table("station", "", &lines);
        self.table("intake", "Today's air, measured at the intake.", &[]);
    }

    fn machine(&mut self, answers: &Answers) {
        let delivery = match answers.delivery {
            AnsweredDelivery::ChargingRate(rate) => ("charging_rate", quoted(rate)),
            AnsweredDelivery::FreeAirDelivery(rate) => ("free_air_delivery", quoted(rate)),
        };
        let mut lines = vec![
            ("working_pressure", quoted(answers.working_pressure)),
            delivery,
        ];
        lines.extend(answers.stage_count.map(|n| ("stage_count", n.to_string())));
        let charging = "The charging rate is timed: 2000 litres divided by the minutes a 10 L \
                        cylinder takes\nfrom 0 to 200 bar.";
        self.table("compressor", charging, &lines);
        let drain = "Open the drain slowly and stand clear of it: it blows oil and water at full \
                     pressure.";
        self.table("separator", drain, &[]);
        self.table("purifier", "List its beds below as [[purifier.bed]].", &[]);
        let rating: Vec<Line> = answers
            .tower_rating
            .iter()
            .map(|p| ("rated_pressure", quoted(p)))
            .collect();
        self.table(
            "tower",
            "The housing of separator and purifier; its plate says more.",
            &rating,
        );
    }

    fn protection(&mut self, answers: &Answers) {
        let pmv = answers
            .pmv
            .map(|v| vec![("opens", quoted(v.opens)), ("closes", quoted(v.closes))]);
        self.element("pmv", "The pressure maintaining valve.", pmv);
        let relief = answers.relief_lifts.map(|p| vec![("lifts", quoted(p))]);
        self.element(
            "relief",
            "The final relief valve. Never plug, cap or tighten it.",
            relief,
        );
        let disc = answers.disc_bursts.map(|p| vec![("bursts", quoted(p))]);
        self.element(
            "burst_disc",
            "The burst disc. Nobody stands in front of its outlet.",
            disc,
        );
        self.element("vent", "The vent of the tower.", None);
        self.table(
            "whip",
            "All hoses and the panel together. Bleed before undoing.",
            &[],
        );
    }

    fn cylinders(&mut self, answers: &Answers) {
        let kind = answers.cylinder_kind.as_ref().map(|kind| {
            let size = match kind.size {
                AnsweredSize::Water(volume) => ("water_volume", quoted(volume)),
                AnsweredSize::FreeAir(volume) => ("free_air", quoted(volume)),
            };
            vec![
                ("id", quoted(&kind.id)),
                size,
                ("working_pressure", quoted(kind.working_pressure)),
            ]
        });
        self.element(
            "gauge",
            "A gauge; reads is \"tower\", \"line\" or \"stage 1\".",
            None,
        );
        self.element(
            "cylinder_kind",
            "A kind of cylinder; water_volume or free_air, and working_pressure, as stamped on it.",
            kind,
        );
        self.element("cylinder", "A cylinder you know by name.", None);
        self.table(
            "tolerances",
            "How far the real machine may lie from these figures.",
            &[],
        );
        self.element("now", "What the gauges show before the start.", None);
    }

    /// Lines with a # before each.
    fn remark(&mut self, text: &str) {
        for line in text.lines().filter(|line| !line.is_empty()) {
            self.line(&format!("# {line}"));
        }
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// A table: what was answered, what is assumed instead, and what else it could say.
    fn table(&mut self, table: &'static str, about: &str, given: &[Line]) {
        self.line("");
        self.line(&heading(table));
        self.remark(about);
        for (key, value) in given {
            self.line(&format!("{key} = {value}"));
        }
        let open = |f: &&Field| given.iter().all(|(key, _)| *key != f.key);
        for field in fields_of(table).filter(open) {
            if let Need::Default(value, reason) = field.need {
                self.assumed(field, value, reason);
            }
        }
        self.others(table, given);
    }

    /// The names of what a table can say besides.
    fn others(&mut self, table: &'static str, given: &[Line]) {
        let open = |f: &&Field| given.iter().all(|(key, _)| *key != f.key);
        let optional = |f: &&Field| open(f) && matches!(f.need, Need::Optional);
        let named = |f: &Field| match f.form {
            Form::Table(name) | Form::Tables(name) => heading(name),
            Form::Pressures => format!("[{table}.{}]", f.key),
            _ => f.key.to_owned(),
        };
        let others: Vec<String> = fields_of(table).filter(optional).map(named).collect();
        if !others.is_empty() {
            self.remark(&format!("Also possible: {}.", others.join(", ")));
        }
    }

    /// A default as a remark, so that taking the # away changes nothing.
    fn assumed(&mut self, field: &Field, value: &str, reason: &str) {
        let key = field.key;
        if value.is_empty() {
            return self.remark(&format!("{key}: if not given, {reason}"));
        }
        let value = match field.form {
            Form::Quantity(..) | Form::Words => quoted(value),
            _ => value.to_owned(),
        };
        self.remark(&format!("{key} = {value}  # {reason}"));
    }

    /// Something that is only there if it was answered; otherwise a remark on how to add it.
    fn element(&mut self, table: &'static str, about: &str, given: Option<Vec<Line>>) {
        if let Some(lines) = given {
            return self.table(table, about, &lines);
        }
        self.line("");
        self.remark(about);
        self.remark("Not described yet; to add it:");
        self.remark(&heading(table));
        for field in fields_of(table) {
            match field.need {
                Need::Required(found) => {
                    self.remark(&format!("{} = \"...\"  # {found}", field.key));
                }
                Need::Default(value, reason) => self.assumed(field, value, reason),
                Need::Optional => {}
            }
        }
        self.others(table, &[]);
    }
}

/// A value as a TOML string.
pub(crate) fn quoted(value: impl Display) -> String {
    let mut text = String::from("\"");
    for c in value.to_string().chars() {
        match c {
            '"' | '\\' => text.extend(['\\', c]),
            c if c.is_control() => {
                // Writing to a string cannot fail.
                let _ = write!(text, "\\u{:04X}", u32::from(c));
            }
            c => text.push(c),
        }
    }
    text.push('"');
    text
}
