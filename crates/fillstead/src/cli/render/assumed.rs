//! What was assumed because the station file does not say.

use station::Assumed;

use crate::cli::render::page::Table;
use crate::cli::terminal::harmless;

/// Key, value and reason of each; nothing where nothing is assumed.
pub fn text(assumed: &[Assumed]) -> String {
    if assumed.is_empty() {
        return String::new();
    }
    let mut table = Table::new(2).narrow(32);
    for one in assumed {
        table.row([&one.key, &one.value, &one.reason].map(|cell| harmless(cell)));
    }
    format!(
        "Assumed, because the file does not say:\n{}\n",
        table.text()
    )
}
