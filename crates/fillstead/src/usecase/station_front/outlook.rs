//! What takes long to work out: how settings drift, and the cartridge by its water. Worked out once
//! for each state of the book, and kept.

use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use insight::drift::{Crossing, Standing};

use crate::usecase::Trouble;
use crate::usecase::book::drift::{Trend, cartridge_state, drift};
use crate::usecase::book::{desk, list};

/// What is coming.
#[derive(Debug, Default)]
pub struct Outlook {
    /// Settings on their way out of tolerance, or out of it.
    pub warnings: Vec<Warning>,
    /// What is told of the others.
    pub others: Vec<String>,
    /// The cartridge by the water it took up.
    pub cartridge: Option<String>,
    /// What to think of.
    pub remarks: Vec<String>,
}

/// A setting that leaves its tolerance.
#[derive(Debug)]
pub struct Warning {
    /// Whether it is out already.
    pub out: bool,
    /// The day it most likely leaves it.
    pub on: Option<String>,
    /// All of it in a sentence.
    pub sentence: String,
}

/// The outlook of the book as it stood last.
#[derive(Debug, Default)]
pub struct Kept(Mutex<Option<(String, Arc<Outlook>)>>);

impl Kept {
    /// What is known already of this state of the book; none where it is being worked out, or not
    /// yet.
    pub fn ready(&self, path: &Path) -> Option<Arc<Outlook>> {
        let state = state(path).ok()?;
        let kept = self.0.try_lock().ok()?;
        let (of, outlook) = kept.as_ref()?;
        (*of == state).then(|| outlook.clone())
    }

    /// The same, worked out where it is not known. Who asks meanwhile waits.
    pub fn get(&self, path: &Path) -> Result<Arc<Outlook>, Trouble> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let state = state(path)?;
        if let Some((_, outlook)) = kept.as_ref().filter(|(of, _)| *of == state) {
            return Ok(outlook.clone());
        }
        let outlook = Arc::new(outlook(path)?);
        *kept = Some((state, outlook.clone()));
        Ok(outlook)
    }
}

/// The seal of the book and the day.
fn state(path: &Path) -> Result<String, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let (today, _) = list::today(&book, &zone, None)?;
    let seal = book.head()?.map(|(seq, hash)| format!("{seq}:{hash}"));
    Ok(format!("{} {today}", seal.unwrap_or_default()))
}

fn outlook(path: &Path) -> Result<Outlook, Trouble> {
    let page = drift(path, None)?;
    let (warnings, others): (Vec<Trend>, Vec<Trend>) = page.trends.into_iter().partition(warns);
    let (cartridge, remark) = match cartridge_state(path) {
        Ok(page) => (page.cartridge.map(|c| in_words(&c)), None),
        Err(trouble) => (None, Some(format!("the cartridge: {}", trouble.what))),
    };
    Ok(Outlook {
        warnings: warnings.into_iter().map(warning).collect(),
        others: others
            .into_iter()
            .map(|trend| trend.answer.sentence)
            .collect(),
        cartridge,
        remarks: page.remarks.into_iter().chain(remark).collect(),
    })
}

fn warns(trend: &Trend) -> bool {
    let standing = matches!(
        trend.answer.standing,
        Standing::Outside | Standing::LikelyOutside
    );
    let crossing = matches!(
        trend.answer.crossing,
        Crossing::Outside | Crossing::Crosses { .. }
    );
    standing || crossing
}

fn warning(trend: Trend) -> Warning {
    Warning {
        out: matches!(
            trend.answer.standing,
            Standing::Outside | Standing::LikelyOutside
        ),
        on: trend.crosses_on,
        sentence: trend.answer.sentence,
    }
}

/// `18 h left (12 to 25 h) ...`.
fn in_words(cartridge: &insight::logged::CartridgeAnswer) -> String {
    let held = format!(
        "it holds {:.0} g of water ({:.0} to {:.0} g) after {:.1} running hours",
        cartridge.held_g.mid, cartridge.held_g.low, cartridge.held_g.high, cartridge.running_h
    );
    match cartridge.hours_left {
        Some(left) => format!(
            "About {:.0} h left ({:.0} to {:.0} h) in today's air, {}; {held}",
            left.mid, left.low, left.high, cartridge.limit
        ),
        None => format!("Hours left cannot be told in today's air; {held}"),
    }
}
