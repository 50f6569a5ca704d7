//! What is asked before a station file is begun, as data.
//!
//! Not here: how it is asked, and what becomes of the answers ([`super::draft`]).

/// One question.
pub struct Question {
    /// The name of its option.
    pub field: &'static str,
    /// What is asked.
    pub ask: &'static str,
    /// An answer as somebody could type it.
    pub example: &'static str,
    /// When it is put at all.
    pub when: When,
}

/// When a question is put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Always, and it must be answered.
    Needed,
    /// Always; it may be skipped.
    Optional,
    /// Only when this one was answered.
    After(&'static str),
    /// Only when this one was answered and this other one was not; then it must be answered.
    Instead(&'static str, &'static str),
}

/// Every question, in the order in which it is put.
pub const QUESTIONS: [Question; 14] = [
    question(
        "name",
        "What do people call the station?",
        "Boathouse",
        When::Needed,
    ),
    question(
        "working-pressure",
        "Highest pressure the compressor is run to, from its plate?",
        "232 bar, or 4500 psi",
        When::Needed,
    ),
    question(
        "charging-rate",
        "Charging rate: 2000 L divided by the minutes a 10 L cylinder takes from 0 to 200 bar?",
        "100 L/min, or 13 cfm",
        When::Optional,
    ),
    question(
        "free-air-delivery",
        "Then the free air delivered, from the plate or the manual?",
        "120 L/min",
        When::Instead("working-pressure", "charging-rate"),
    ),
    question("stages", "Number of stages?", "3", When::Optional),
    question(
        "altitude",
        "Height above the sea?",
        "250 m, or 820 ft",
        When::Optional,
    ),
    question(
        "pmv-opens",
        "Pressure maintaining valve: at which pressure does it open, from its tag?",
        "100 bar",
        When::Optional,
    ),
    question(
        "pmv-closes",
        "And at which does it close?",
        "70 bar",
        When::After("pmv-opens"),
    ),
    question(
        "relief-lifts",
        "Final relief valve: at which pressure does it lift, from its tag?",
        "255 bar",
        When::Optional,
    ),
    question(
        "disc-bursts",
        "Burst disc: pressure stamped on it?",
        "300 bar",
        When::Optional,
    ),
    question(
        "tower-rating",
        "Tower: pressure on its plate?",
        "350 bar",
        When::Optional,
    ),
    question(
        "cylinder",
        "A kind of cylinder filled here: what do you call it?",
        "steel 12",
        When::Optional,
    ),
    question(
        "water-volume",
        "Its water volume, as stamped?",
        "12 L, or 730 cu in",
        When::After("cylinder"),
    ),
    question(
        "cylinder-pressure",
        "Working (service) pressure stamped on it?",
        "232 bar",
        When::After("cylinder"),
    ),
];

const fn question(
    field: &'static str,
    ask: &'static str,
    example: &'static str,
    when: When,
) -> Question {
    Question {
        field,
        ask,
        example,
        when,
    }
}
