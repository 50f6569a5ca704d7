//! One sample under every standard held, side by side.
//!
//! Each column is what [`judge`](super::judge()) says by that standard. Not here: which standard
//! applies; law, employer or owner say that.

use serde::Serialize;

use super::answer::{Due, Judged, Overall};
use super::due::due;
use super::find::standards;
use super::judge::{Context, Results, overall, rows, take};
use super::measurand::Measurand;
use super::mistake::Mistake;

/// A sample under every standard held.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Beside {
    /// What was found, as given, in the order of a report.
    pub found: Vec<(Measurand, String)>,
    /// One for each standard, in the order they are listed.
    pub columns: Vec<Column>,
}

/// The sample under one standard.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Column {
    /// The standard's name.
    pub standard: String,
    /// Its edition.
    pub edition: String,
    /// All quantities together.
    pub overall: Overall,
    /// Every quantity it limits.
    pub quantities: Vec<Judged>,
    /// When the next sample is due; none where it sets no interval, as held here.
    pub due: Option<Due>,
}

impl Column {
    /// The row of one quantity; none where this standard does not limit it.
    pub fn of(&self, what: Measurand) -> Option<&Judged> {
        self.quantities.iter().find(|judged| judged.what == what)
    }
}

/// Judges one sample by every standard held.
///
/// **Errors** every result that cannot be read, with its place.
pub fn beside(results: &Results, context: &Context) -> Result<Beside, Vec<Mistake>> {
    let taken = take(results, context)?;
    let columns = standards().iter().map(|standard| {
        let quantities = rows(&taken, standard, context);
        Column {
            standard: standard.name.clone(),
            edition: standard.edition.clone(),
            overall: overall(&quantities),
            due: due(standard, results.sampled, context.today),
            quantities,
        }
    });
    let columns = columns.collect();
    let found = taken
        .into_iter()
        .map(|(what, (given, _))| (what, given))
        .collect();
    Ok(Beside { found, columns })
}
