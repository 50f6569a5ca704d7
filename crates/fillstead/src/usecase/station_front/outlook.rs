//! What takes long to work out: how settings drift, and the cartridge by its water. Worked out once
//! for each state of the book, and kept.

use std::path::Path;

use insight::drift::{Crossing, Standing};

use crate::usecase::book::drift::{DriftPage, Trend, cartridge_state};

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

/// The outlook of a book, from how its settings drift.
pub fn outlook(path: &Path, page: &DriftPage) -> Outlook {
    let (warnings, others): (Vec<&Trend>, Vec<&Trend>) =
        page.trends.iter().partition(|trend| warns(trend));
    let (cartridge, remark) = match cartridge_state(path) {
        Ok(page) => (page.cartridge.map(|c| in_words(&c)), None),
        Err(trouble) => (None, Some(format!("the cartridge: {}", trouble.what))),
    };
    Outlook {
        warnings: warnings.into_iter().map(warning).collect(),
        others: others
            .into_iter()
            .map(|trend| trend.answer.sentence.clone())
            .collect(),
        cartridge,
        remarks: page.remarks.iter().cloned().chain(remark).collect(),
    }
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

fn warning(trend: &Trend) -> Warning {
    Warning {
        out: matches!(
            trend.answer.standing,
            Standing::Outside | Standing::LikelyOutside
        ),
        on: trend.crosses_on.clone(),
        sentence: trend.answer.sentence.clone(),
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
