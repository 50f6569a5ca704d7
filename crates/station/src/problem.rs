//! What is wrong with a station file, as data: the place, the cause, the remedy.
//!
//! Not here: drawing carets and colours; the program does that.

use std::fmt;
use std::ops::Range;

use crate::model::Station;

/// What came of reading a station file. Reading never stops at the first problem.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The station; none only when something required is missing or unusable. A gauge, bank or
    /// cylinder that cannot be used is left out; any other value that cannot is replaced by its
    /// default. Either is an error among the problems, so ask [`Reading::usable`] before use.
    pub station: Option<Station>,
    /// Everything wrong or doubtful, in file order.
    pub problems: Vec<Problem>,
    /// Every default taken, in the order of the tables.
    pub assumed: Vec<Assumed>,
}

impl Reading {
    /// The station, if nothing in the file is wrong; warnings do not count.
    pub fn usable(&self) -> Option<&Station> {
        let wrong = self.problems.iter().any(|p| p.severity == Severity::Error);
        self.station.as_ref().filter(|_| !wrong)
    }
}

/// One thing wrong or doubtful in a station file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Which kind of problem.
    pub id: ProblemId,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// Where: the first is the place itself, a contradiction has two.
    pub labels: Vec<Label>,
    /// What to do about it.
    pub remedy: String,
}

/// A place in the file and what to say about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Bytes in the text given to [`read`](crate::read()); always on character boundaries.
    pub span: Range<usize>,
    /// What this place is or says.
    pub text: String,
}

/// How bad a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth a look; the station can be used.
    Warning,
    /// The file must be changed first.
    Error,
}

/// A default that was taken because the file does not say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumed {
    /// Table and key, such as `intake.temperature`.
    pub key: String,
    /// What was taken, such as `20 °C`.
    pub value: String,
    /// Why this value.
    pub reason: String,
}

/// Declares the kinds of problem: variant, slug, severity, and what it means.
macro_rules! problem_ids {
    ($($(#[doc = $doc:literal])+ $variant:ident = $slug:literal, $severity:ident;)+) => {
        /// The kinds of problem a station file can have.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum ProblemId { $($(#[doc = $doc])+ $variant,)+ }

        impl ProblemId {
            /// Every kind, in the order of declaration.
            pub const ALL: &'static [ProblemId] = &[$(ProblemId::$variant,)+];

            /// Its lasting name, such as `unit-missing`.
            pub fn slug(self) -> &'static str {
                match self { $(ProblemId::$variant => $slug,)+ }
            }

            /// How bad a problem of this kind is.
            pub fn severity(self) -> Severity {
                match self { $(ProblemId::$variant => Severity::$severity,)+ }
            }

            /// One sentence on what it means.
            pub fn explanation(self) -> &'static str {
                match self { $(ProblemId::$variant => concat!($($doc),+).trim_ascii(),)+ }
            }
        }
    };
}

problem_ids! {
    /// The file holds no tables at all.
    EmptyFile = "empty-file", Error;
    /// The text is not TOML from this place on.
    NotToml = "not-toml", Error;
    /// A table that station files do not have.
    UnknownTable = "unknown-table", Error;
    /// A key that this table does not have.
    UnknownKey = "unknown-key", Error;
    /// A required key or table is not there.
    Missing = "missing", Error;
    /// The value is of the wrong sort: a bare number, a list, a table.
    WrongType = "wrong-type", Error;
    /// A number without a unit.
    UnitMissing = "unit-missing", Error;
    /// A quantity that cannot be read.
    QuantityUnreadable = "quantity-unreadable", Error;
    /// A value no real station has.
    OutOfRange = "out-of-range", Error;
    /// A word that is not one of those understood here.
    UnknownWord = "unknown-word", Error;
    /// A date that is not in the calendar or not written 2024-03-01.
    NotADate = "not-a-date", Error;
    /// The same thing is said in two ways of which only one may be used.
    SaidTwice = "said-twice", Error;
    /// Two entries carry the same name.
    DuplicateId = "duplicate-id", Error;
    /// A name that no entry carries.
    UnknownId = "unknown-id", Error;
    /// A filling that is not known for this use.
    AdsorbentUnknown = "adsorbent-unknown", Warning;
    /// The pressure maintaining valve would shut at or above the pressure at which it opens.
    PmvClosesAboveOpens = "pmv-closes-above-opens", Error;
    /// The pressure maintaining valve would open at or above working pressure.
    PmvAboveWorking = "pmv-above-working", Error;
    /// The relief valve would shut at or above the pressure at which it lifts.
    ReliefReseatsAboveLifts = "relief-reseats-above-lifts", Error;
    /// The relief valve would lift at or below working pressure.
    ReliefBelowWorking = "relief-below-working", Error;
    /// The disc could burst before the relief valve lifts.
    DiscBelowRelief = "disc-below-relief", Error;
    /// No final relief valve is described.
    ReliefMissing = "relief-missing", Warning;
    /// The relief valve lifts above the rating of the tower.
    ReliefAboveTower = "relief-above-tower", Warning;
    /// The disc could hold beyond the rating of the tower.
    DiscAboveTower = "disc-above-tower", Warning;
    /// A hose or panel is rated below working pressure.
    WhipBelowWorking = "whip-below-working", Warning;
    /// A vessel is rated above what the compressor reaches.
    VesselAboveWorking = "vessel-above-working", Warning;
    /// A vessel's test pressure is below its working pressure.
    TestBelowWorking = "test-below-working", Error;
    /// A gauge ends below a pressure it has to show.
    GaugeSpanShort = "gauge-span-short", Warning;
    /// A gauge reads a stage the compressor does not have.
    GaugeStageUnknown = "gauge-stage-unknown", Error;
    /// The number of stages disagrees with the stages listed.
    StageCountContradicts = "stage-count-contradicts", Error;
    /// A stage sweeps no less than the stage before it.
    StagesNotFalling = "stages-not-falling", Warning;
    /// A stage's own relief valve lifts above the rating of that stage.
    StageReliefAboveRating = "stage-relief-above-rating", Warning;
    /// Measured delivery: fewer than two rows, or the pressure does not rise.
    DeliveryNotRising = "delivery-not-rising", Error;
    /// Measured delivery grows with pressure.
    DeliveryGrows = "delivery-grows", Warning;
    /// The air path names something that the file does not describe.
    ElementWithoutTable = "element-without-table", Error;
    /// The file describes something that the air path does not name.
    TableWithoutElement = "table-without-element", Error;
    /// The air path names something twice.
    ElementTwice = "element-twice", Error;
    /// The pressure maintaining valve stands before the separator.
    PmvBeforeSeparator = "pmv-before-separator", Error;
    /// The relief valve stands behind the pressure maintaining valve.
    ReliefAfterPmv = "relief-after-pmv", Warning;
    /// No kind of cylinder is described.
    NoCylinderKind = "no-cylinder-kind", Warning;
}

impl Problem {
    /// A problem with its place; the severity follows from the kind.
    pub(crate) fn new(id: ProblemId, message: String, place: Label, remedy: String) -> Self {
        Self {
            id,
            severity: id.severity(),
            message,
            labels: vec![place],
            remedy,
        }
    }

    /// The same with a second place.
    pub(crate) fn and(mut self, other: Label) -> Self {
        self.labels.push(other);
        self
    }
}

impl Label {
    /// A place and what to say about it.
    pub(crate) fn new(span: Range<usize>, text: impl Into<String>) -> Self {
        Self {
            span,
            text: text.into(),
        }
    }
}

impl fmt::Display for ProblemId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.slug())
    }
}
