//! What a person noticed, understood: signs of causes, things done, dangers.
//!
//! Not here: which signs there are (`causes.txt`).

use super::causes::{Knowledge, Sign};
use super::request::Reading;

/// A note understood.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Note {
    /// Index into the readings.
    pub reading: usize,
    pub line: usize,
    pub t_s: Option<f64>,
    pub text: String,
    pub meaning: Vec<Meaning>,
}

/// What a note means.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Meaning {
    /// A sign was met, or was looked for and not met.
    Sign { which: usize, met: bool },
    /// Air reached the line: the PMV opened.
    PmvOpened,
    /// The machine was stopped.
    Stopped,
    /// The hose was bled.
    Bled,
    /// The machine was left running past full.
    RanOn,
    /// Something that stops the work at once.
    Danger(&'static str),
    /// Kept with the readings, and nothing computed from it.
    Kept(&'static str),
}

/// Words that turn a sign round.
const NOT: [&str; 8] = [
    "no ", "not ", "none", "never", "without", "nothing", "quiet", "n't",
];

/// Words for what is done and seen in every run: any of the words, and what they mean.
const DONE: [(&[&str], Meaning); 5] = [
    (
        &[
            "air at the fill valve",
            "air at fill valve",
            "delivery begins",
            "delivery starts",
            "delivery began",
            "line begins",
            "line gauge moves",
            "line gauge begins",
            "pmv opens",
            "pmv opened",
            "pmv open",
        ],
        Meaning::PmvOpened,
    ),
    (
        &[
            "ran on",
            "runs on",
            "over-run",
            "overrun",
            "not stopped",
            "left running",
            "forgot to stop",
        ],
        Meaning::RanOn,
    ),
    (
        &[
            "stopped",
            "switched off",
            "compressor off",
            "machine off",
            "shut down",
            "stop the machine",
        ],
        Meaning::Stopped,
    ),
    (
        &["bled", "bleed open", "bleeding the hose", "hose vented"],
        Meaning::Bled,
    ),
    (
        &["drained", "drain"],
        Meaning::Kept("a drain: kept with the readings, nothing is computed from it yet"),
    ),
];

const DANGERS: [(&[&str], &str); 4] = [
    (
        &["headache", "dizzy", "sick", "nausea", "unwell"],
        "somebody felt unwell: stop filling, keep the gas, get oxygen and a doctor, and trace the batch. \
         Only a measurement speaks of air",
    ),
    (
        &["smell", "smoke", "exhaust", "burning", "burnt", "taste"],
        "a smell or smoke: stop filling, set aside what was filled, and have the air measured before anybody \
         breathes it",
    ),
    (
        &["knock", "bang", "clatter", "grinding"],
        "knocking: stop at once; the machine is looked at by a technician before it runs again",
    ),
    (
        &["disc burst", "burst disc blew", "disc blew", "disc gone"],
        "the disc burst: stop; find out why before a new one is fitted by trained hands, and never one of a \
         higher rating",
    ),
];

/// The sign of a hiss whose place nobody gave, where no sign names the place.
pub(super) const SOMEWHERE: Sign = Sign {
    id: "hiss somewhere",
    words: Vec::new(),
    ask: None,
    trouble: 1.0,
    caution: "",
    seen: Vec::new(),
    otherwise: 0.1,
};
/// How often a hiss is heard under a leak of any kind.
const HISS: [&str; 4] = [
    "relief_weeps",
    "tower_leak",
    "whip_leak",
    "relief_lifts_early",
];

/// Which sign a note's index means: those of the knowledge, and one past the end [`SOMEWHERE`].
pub(super) fn share(known: &Knowledge, which: usize, ids: &[&str]) -> f64 {
    match known.signs.get(which) {
        Some(sign) => sign.share(ids),
        None if ids.iter().any(|id| HISS.contains(id)) => 0.6,
        None => SOMEWHERE.otherwise,
    }
}

/// Whether a sign is what a lifting relief valve gives.
pub(super) fn of_relief(known: &Knowledge, which: usize) -> bool {
    known
        .signs
        .get(which)
        .is_none_or(|sign| sign.id == "relief outlet blowing")
}

/// Understands what was noticed.
pub(super) fn notes(known: &Knowledge, readings: &[Reading]) -> Vec<Note> {
    let written = readings
        .iter()
        .enumerate()
        .filter(|(_, r)| !r.observed.is_empty());
    let note = |(i, reading): (usize, &Reading)| Note {
        reading: i,
        line: reading.line,
        t_s: reading.t_s,
        text: reading.observed.clone(),
        meaning: meaning(known, &reading.observed),
    };
    written.map(note).collect()
}

fn meaning(known: &Knowledge, text: &str) -> Vec<Meaning> {
    let text = text.to_lowercase();
    let any = |words: &[&str]| words.iter().any(|w| text.contains(w));
    let mut found: Vec<Meaning> = Vec::new();
    let denied = any(&NOT);
    for (words, danger) in DANGERS {
        if any(words) && !denied {
            found.push(Meaning::Danger(danger));
        }
    }
    for (which, sign) in known.signs.iter().enumerate() {
        if sign.words.iter().all(|group| any(group)) {
            // a sign of something missing says "no" itself
            let says_no = |word: &&str| NOT.iter().any(|no| word.contains(no));
            let own = sign
                .words
                .iter()
                .flatten()
                .any(|w| says_no(w) && text.contains(w));
            let met = !denied || own;
            found.push(Meaning::Sign { which, met });
        }
    }
    let placed = found.iter().any(|m| matches!(m, Meaning::Sign { .. }));
    if !placed && any(&["hiss", "blowing"]) {
        found.push(Meaning::Sign {
            which: known.signs.len(),
            met: !denied,
        });
    }
    if found.is_empty() {
        let done = DONE
            .iter()
            .find(|(words, _)| any(words))
            .map(|(_, m)| m.clone());
        // what was not done is no deed; a machine not stopped is one left running
        found.extend(done.filter(|m| !denied || *m == Meaning::RanOn));
    }
    found
}

/// What was made of a note, in words.
pub(super) fn understood(known: &Knowledge, note: &Note) -> String {
    let one = |meaning: &Meaning| match meaning {
        Meaning::Sign { which, met } => {
            let name = known.signs.get(*which).map_or(SOMEWHERE.id, |sign| sign.id);
            if *met {
                format!("sign: {name}")
            } else {
                format!("looked for and not met: {name}")
            }
        }
        Meaning::PmvOpened => "air reaches the line: the PMV opens".into(),
        Meaning::Stopped => "the machine is stopped".into(),
        Meaning::Bled => "the hose is bled".into(),
        Meaning::RanOn => "the machine is left running".into(),
        Meaning::Danger(_) => "a reason to stop: see the warnings".into(),
        Meaning::Kept(what) => (*what).to_owned(),
    };
    if note.meaning.is_empty() {
        return "not understood: kept with the readings, and not used".into();
    }
    note.meaning.iter().map(one).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::causes::KNOWLEDGE;

    fn signs(text: &str) -> Vec<(&'static str, bool)> {
        let sign = |m: Meaning| match m {
            Meaning::Sign { which, met } => Some((
                KNOWLEDGE.signs.get(which).map_or(SOMEWHERE.id, |s| s.id),
                met,
            )),
            _ => None,
        };
        meaning(&KNOWLEDGE, text)
            .into_iter()
            .filter_map(sign)
            .collect()
    }

    #[test]
    fn what_people_write_is_understood() {
        assert_eq!(signs("relief hissing"), [("relief outlet blowing", true)]);
        assert_eq!(
            signs("Safety valve lifts"),
            [("relief outlet blowing", true)]
        );
        assert_eq!(
            signs("no bubbles at the whip"),
            [("hiss at the hose", false)]
        );
        assert_eq!(signs("bubbles at the drain"), [("hiss at the tower", true)]);
        assert_eq!(signs("hissing at minute 31"), [("hiss somewhere", true)]);
        assert_eq!(signs("sunny"), []);
        let of = |text| meaning(&KNOWLEDGE, text);
        assert_eq!(of("air at the fill valve"), [Meaning::PmvOpened]);
        assert_eq!(of("stopped"), [Meaning::Stopped]);
        assert_eq!(of("not stopped"), [Meaning::RanOn]);
        assert!(matches!(of("drained 40 mL")[..], [Meaning::Kept(_)]));
        assert!(matches!(
            of("a diver had a headache")[..],
            [Meaning::Danger(_)]
        ));
        assert!(of("sunny").is_empty());
        assert!(of("no air at the fill valve yet").is_empty());
        assert_eq!(signs("no water drained"), [("little water drained", true)]);
        assert!(of("no smell").is_empty());
    }

    #[test]
    fn a_sign_speaks_for_its_causes() {
        let relief = KNOWLEDGE
            .signs
            .iter()
            .position(|s| s.id == "relief outlet blowing");
        let relief = relief.unwrap();
        assert!(share(&KNOWLEDGE, relief, &["relief_weeps"]) > 0.8);
        assert!(share(&KNOWLEDGE, relief, &["healthy"]) < 0.1);
        assert!(share(&KNOWLEDGE, relief, &["healthy", "relief_weeps"]) > 0.8);
        assert!(share(&KNOWLEDGE, KNOWLEDGE.signs.len(), &["whip_leak"]) > 0.5);
    }
}
