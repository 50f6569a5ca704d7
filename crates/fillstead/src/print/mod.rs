//! Sheets made for print: data in, one self-contained HTML page out.
//!
//! Start at [`html`]. One file a sheet holds its data ([`day`], [`tag`], [`cartridge`],
//! [`quarantine`], [`certificate`], [`support`]); its template is in `templates/print`. Every text of
//! a user is escaped there. A page brings its style and its font with it, and no script.
//! Not here: where the data come from ([`crate::usecase::book::sheet`]), files, the clock, printing.

pub mod cartridge;
pub mod certificate;
pub mod day;
pub mod head;
pub mod qr;
pub mod quarantine;
pub mod run_card;
pub mod shown;
pub mod support;
pub mod tag;

use std::sync::LazyLock;

use askama::Template;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::usecase::Trouble;

pub use head::{Head, Paper, Seal};
pub use shown::Shown;

/// Encode Sans, the Latin letters (SIL Open Font License 1.1, beside the file).
const FONT: &[u8] = include_bytes!("../../assets/fonts/encode-sans-latin.woff2");

static FONT_TEXT: LazyLock<String> = LazyLock::new(|| STANDARD.encode(FONT));

/// The page of a sheet.
pub fn html(sheet: &impl Template) -> Result<String, Trouble> {
    let page = sheet.render().map_err(|error| {
        let what = format!("the sheet cannot be written: {error}");
        Trouble::new(what, "use a whole copy of the program")
    })?;
    Ok(harmless(&page))
}

/// The page without signs that no page may hold, or that turn the order of letters: what is read
/// on paper must be what was written down.
fn harmless(page: &str) -> String {
    let odd = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}')
    };
    page.replace(odd, "\u{fffd}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_that_deceive_are_taken_out() {
        let page = harmless("A1\u{202e}bar\u{0}\u{1b}\n<b>°</b>");
        assert_eq!(page, "A1\u{fffd}bar\u{fffd}\u{fffd}\n<b>°</b>");
    }

    /// WOFF File Format 2.0 (W3C, 2018), 4.1: a file begins with the signature `wOF2`.
    #[test]
    fn the_font_is_a_web_font() {
        assert!(FONT.starts_with(b"wOF2"));
        assert_eq!(STANDARD.decode(FONT_TEXT.as_bytes()).unwrap(), FONT);
    }
}
