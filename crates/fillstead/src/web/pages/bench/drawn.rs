//! The drawings of each bench as last made: a class that looks at one bench has them drawn once.
//!
//! Not here: what they show ([`super::view`]).

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use quantity::UnitSystem;

use crate::usecase::bench::Look;

/// Benches whose drawings are kept, at most; then all are made anew.
const MOST: usize = 256;

/// The drawings of one moment, as SVG.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Drawn {
    /// The air path.
    pub path: String,
    /// The dials: drawing and name.
    pub gauges: Vec<(String, String)>,
    /// The trace.
    pub trace: String,
}

/// A moment of a bench, in units.
type Key = ((u64, u64), UnitSystem);

/// The drawings of each bench by its place in addresses.
#[derive(Default)]
pub struct Kept(Mutex<HashMap<String, (Key, Arc<Drawn>)>>);

impl Kept {
    /// The drawings of this look, made where they are not the last ones.
    pub fn get(&self, look: &Look, make: impl FnOnce() -> Drawn) -> Arc<Drawn> {
        let key = (look.mark.moment(), look.station.units);
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, drawn)) = kept().get(&look.id).filter(|(of, _)| *of == key) {
            return drawn.clone();
        }
        let drawn = Arc::new(make());
        let mut all = kept();
        if all.len() >= MOST {
            all.clear();
        }
        all.insert(look.id.clone(), (key, drawn.clone()));
        drawn
    }
}
