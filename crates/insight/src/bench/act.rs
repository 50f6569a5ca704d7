//! What a hand can do at the bench.

use super::wrong;

/// Something done. Hoses are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// The motor, on or off.
    Motor(bool),
    /// The drain of the sump, open or shut.
    Drain(bool),
    /// The tower's vent.
    Vent(bool),
    /// A fill valve on the panel.
    Fill(usize, bool),
    /// A cylinder's own valve.
    Cylinder(usize, bool),
    /// A hose's bleed.
    Bleed(usize, bool),
    /// Takes a hose off its cylinder.
    Undo(usize),
    /// Puts the next cylinder on.
    Connect(usize),
    /// Tags the machine out of use and tells who looks after it.
    TagOut,
    /// Sets aside what was filled, with the report of who felt unwell.
    SetAside,
    /// Says what is wrong, by the catalogue.
    Name(&'static str),
}

/// Acts that are there once, by name.
const SINGLE: [(&str, Act); 8] = [
    ("motor-on", Act::Motor(true)),
    ("motor-off", Act::Motor(false)),
    ("drain-open", Act::Drain(true)),
    ("drain-shut", Act::Drain(false)),
    ("vent-open", Act::Vent(true)),
    ("vent-shut", Act::Vent(false)),
    ("tag-out", Act::TagOut),
    ("set-aside", Act::SetAside),
];

impl Act {
    /// Reads the name that [`Act::key`] gives, at a hose.
    pub fn named(key: &str, hose: usize) -> Option<Act> {
        if let Some((_, act)) = SINGLE.iter().find(|(name, _)| *name == key) {
            return Some(*act);
        }
        if let Some(fault) = key.strip_prefix("name:") {
            return wrong::entry(fault).map(|entry| Act::Name(entry.key));
        }
        Some(match key {
            "fill-open" => Act::Fill(hose, true),
            "fill-shut" => Act::Fill(hose, false),
            "cylinder-open" => Act::Cylinder(hose, true),
            "cylinder-shut" => Act::Cylinder(hose, false),
            "bleed-open" => Act::Bleed(hose, true),
            "bleed-shut" => Act::Bleed(hose, false),
            "undo" => Act::Undo(hose),
            "connect" => Act::Connect(hose),
            _ => return None,
        })
    }

    /// Its name in addresses and drill files.
    pub fn key(self) -> String {
        if let Some((name, _)) = SINGLE.iter().find(|(_, act)| *act == self) {
            return (*name).to_owned();
        }
        let moved =
            |what: &str, open: bool| format!("{what}-{}", if open { "open" } else { "shut" });
        match self {
            Act::Fill(_, open) => moved("fill", open),
            Act::Cylinder(_, open) => moved("cylinder", open),
            Act::Bleed(_, open) => moved("bleed", open),
            Act::Undo(_) => "undo".to_owned(),
            Act::Connect(_) => "connect".to_owned(),
            Act::Name(fault) => format!("name:{fault}"),
            _ => String::new(),
        }
    }

    /// The hose it is done at.
    pub fn hose(self) -> Option<usize> {
        match self {
            Act::Fill(hose, _)
            | Act::Cylinder(hose, _)
            | Act::Bleed(hose, _)
            | Act::Undo(hose)
            | Act::Connect(hose) => Some(hose),
            _ => None,
        }
    }

    /// What was done, as the log tells it.
    pub fn words(self) -> String {
        let at = |hose: usize, text: &str| match hose {
            0 => text.to_owned(),
            n => format!("{text}, hose {}", n + 1),
        };
        let moved =
            |what: &str, open: bool| format!("{what} {}", if open { "opened" } else { "shut" });
        match self {
            Act::Motor(true) => "motor switched on".to_owned(),
            Act::Motor(false) => "motor switched off".to_owned(),
            Act::Drain(open) => moved("drain", open),
            Act::Vent(open) => moved("tower vent", open),
            Act::Fill(hose, open) => at(hose, &moved("fill valve", open)),
            Act::Cylinder(hose, open) => at(hose, &moved("cylinder valve", open)),
            Act::Bleed(hose, open) => at(hose, &moved("bleed", open)),
            Act::Undo(hose) => at(hose, "hose undone"),
            Act::Connect(hose) => at(hose, "next cylinder put on"),
            Act::TagOut => "machine tagged out of use, keeper told".to_owned(),
            Act::SetAside => "fills set aside, report written down, help called".to_owned(),
            Act::Name(fault) => {
                let label = wrong::entry(fault).map_or(fault, |entry| entry.label);
                format!("said what is wrong: {label}")
            }
        }
    }
}
