//! How a drill went, as data.

/// How a drill went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Score {
    /// Every step in time and nothing wrong done.
    pub passed: bool,
    /// Steps done in time.
    pub in_time: usize,
    /// The steps.
    pub rows: Vec<Row>,
    /// What was done or happened that must not.
    pub slips: Vec<Slip>,
    /// When it ended, bench seconds; none: it goes on.
    pub ended_s: Option<u64>,
    /// How often the bench was held meanwhile.
    pub holds: u32,
}

/// A step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The act, by its name.
    pub act: String,
    /// Why it is right.
    pub why: String,
    /// From when it was due; none: it never was.
    pub due_s: Option<u64>,
    /// Until when.
    pub last_s: Option<u64>,
    /// When it was done.
    pub done_s: Option<u64>,
    /// By whom.
    pub who: Option<String>,
    /// How that counts.
    pub mark: Mark,
}

/// How a step counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Done in time.
    InTime,
    /// Done after its time.
    Late,
    /// Done before it was due, and not again.
    Early,
    /// Not done.
    Missing,
}

impl Mark {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Mark::InTime => "in time",
            Mark::Late => "too late",
            Mark::Early => "out of order",
            Mark::Missing => "not done",
        }
    }
}

/// Something that must not be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// The act by its name, or what happened in words.
    pub what: String,
    /// When.
    pub t_s: u64,
    /// Who did it.
    pub who: Option<String>,
    /// Why not.
    pub why: String,
}
