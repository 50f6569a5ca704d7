//! What happened on the bench and who did what.

/// One line of the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// When, bench seconds.
    pub t_s: u64,
    /// Who did it; none: it happened.
    pub who: Option<String>,
    /// What.
    pub words: String,
    /// How it reads.
    pub kind: NoteKind,
}

/// How a line of the log reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoteKind {
    /// Somebody did something.
    Done,
    /// Something happened by itself.
    Happened,
    /// Something happened that hurts people or machines.
    Danger,
    /// Something said to the class.
    Told,
}

/// What can happen by itself and matters to a drill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Happening {
    /// The PMV opened.
    PmvOpened,
    /// The PMV shut.
    PmvClosed,
    /// The final relief valve lifted.
    ReliefLifted,
    /// It shut again.
    ReliefReseated,
    /// The burst disc went.
    DiscBurst,
    /// A cylinder went past its stop.
    OverFilled,
    /// The sump ran over into the purifier.
    SumpOver,
    /// A hose was undone under pressure.
    HoseWhip,
}

impl Happening {
    /// All of them, by the names that drill files use.
    pub const ALL: [(&'static str, Happening); 8] = [
        ("pmv-opened", Happening::PmvOpened),
        ("pmv-closed", Happening::PmvClosed),
        ("relief-lifted", Happening::ReliefLifted),
        ("relief-reseated", Happening::ReliefReseated),
        ("disc-burst", Happening::DiscBurst),
        ("over-filled", Happening::OverFilled),
        ("sump-over", Happening::SumpOver),
        ("hose-whip", Happening::HoseWhip),
    ];

    /// The one of this name.
    pub fn named(name: &str) -> Option<Happening> {
        let found = Happening::ALL.iter().find(|(key, _)| *key == name);
        found.map(|(_, happening)| *happening)
    }

    /// In words, as what everybody can see or hear: a lesson gives nothing hidden away.
    pub fn words(self) -> &'static str {
        match self {
            Happening::PmvOpened => "air passes the PMV",
            Happening::PmvClosed => "the PMV has shut",
            Happening::ReliefLifted => "the final relief valve lifts, with a roar",
            Happening::ReliefReseated => "the final relief valve has shut",
            Happening::DiscBurst => "the burst disc goes, with a bang",
            Happening::OverFilled => "a cylinder is filled past its stop",
            Happening::SumpOver => "the sump runs over: water goes into the purifier",
            Happening::HoseWhip => "the hose is undone under pressure and lashes out",
        }
    }

    /// Whether it hurts.
    pub fn danger(self) -> bool {
        matches!(
            self,
            Happening::ReliefLifted
                | Happening::DiscBurst
                | Happening::OverFilled
                | Happening::SumpOver
                | Happening::HoseWhip
        )
    }
}
