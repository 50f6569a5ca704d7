//! Runs of one suspect, kept while only readings differ.
//!
//! Not here: making a run ([`super::course`]).

use super::course::Trace;
use super::settings::Settings;
use super::space::Space;
use super::suspects::Suspect;
use physics::fit::Predicted;
use std::rc::Rc;

/// The same run asked again and again while only readings differ: runs are kept.
pub(super) struct Runs<'a> {
    pub space: &'a Space<'a>,
    pub suspect: &'a Suspect,
    kept: Vec<(Settings, Option<Rc<Trace>>)>,
    pub made: usize,
}

/// So many runs are kept.
const KEPT: usize = 16;

impl<'a> Runs<'a> {
    pub fn new(space: &'a Space<'a>, suspect: &'a Suspect) -> Runs<'a> {
        Runs {
            space,
            suspect,
            kept: Vec::new(),
            made: 0,
        }
    }

    pub fn trace(&mut self, settings: &Settings) -> Option<Rc<Trace>> {
        let of = settings.of_machine();
        if let Some(i) = self.kept.iter().position(|(known, _)| *known == of) {
            // the latest used is the last to go
            let found = self.kept.remove(i);
            let trace = found.1.clone();
            self.kept.push(found);
            return trace;
        }
        let trace = self.space.trace(settings).map(Rc::new);
        self.made += 1;
        if self.kept.len() == KEPT {
            self.kept.remove(0);
        }
        self.kept.push((of, trace.clone()));
        trace
    }

    pub fn predict(&mut self, z: &[f64]) -> Option<Predicted> {
        let settings = self.space.settings(self.suspect, z);
        let trace = self.trace(&settings)?;
        self.space.readings(&trace, &settings, z)
    }
}
