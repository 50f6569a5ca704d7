//! A text as a QR code (ISO/IEC 18004), drawn as one path.
//!
//! The code itself is made by the crate `qrcode`. Not here: what it says.

use std::fmt::Write as _;

use qrcode::QrCode;
use qrcode::types::{Color, EcLevel};

/// Modules of quiet around a code, as the standard asks.
const QUIET: usize = 4;

/// The code as an SVG without a size of its own; none for a text that no code can hold.
pub fn svg(text: &str, says: &str) -> Option<String> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let width = code.width();
    let colours = code.to_colors();
    let mut path = String::new();
    for (y, row) in colours.chunks(width).enumerate() {
        for (x, length) in dark_runs(row) {
            let _ = write!(path, "M{} {}h{length}v1h-{length}z", x + QUIET, y + QUIET);
        }
    }
    let all = width + 2 * QUIET;
    let says = crate::draw::escaped(says);
    Some(format!(
        "<svg class=\"qr\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {all} {all}\" role=\"img\" \
         aria-label=\"{says}\"><path fill=\"#fff\" d=\"M0 0h{all}v{all}h-{all}z\"/>\
         <path fill=\"#000\" shape-rendering=\"crispEdges\" d=\"{path}\"/></svg>"
    ))
}

/// Where dark modules begin in a row, and how many there are.
fn dark_runs(row: &[Color]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (x, colour) in row.iter().enumerate() {
        match runs.last_mut() {
            _ if *colour == Color::Light => {}
            Some((from, length)) if *from + *length == x => *length += 1,
            _ => runs.push((x, 1)),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO/IEC 18004:2015, 6.3.3: a finder pattern is 7 x 7 modules: a dark square around a light one
    /// around a dark one of 3 x 3. Version 1 is 21 modules wide, each further version 4 more.
    #[test]
    fn finder_patterns_stand_in_three_corners() {
        let code =
            QrCode::with_error_correction_level("fillstead:cylinder/A1", EcLevel::M).unwrap();
        let width = code.width();
        assert_eq!((width - 21) % 4, 0);
        let finder = |left: usize, top: usize| {
            let dark = |x: usize, y: usize| code[(left + x, top + y)] == Color::Dark;
            (0..7).all(|x| dark(x, 0) && dark(x, 6) && dark(0, x) && dark(6, x))
                && (2..5).all(|x| (2..5).all(|y| dark(x, y)))
                && (1..6).all(|x| !dark(x, 1) && !dark(x, 5))
        };
        assert!(finder(0, 0) && finder(width - 7, 0) && finder(0, width - 7));
        let svg = svg("fillstead:cylinder/A1", "<A1>").unwrap();
        let all = width + 8;
        assert!(
            svg.contains(&format!("viewBox=\"0 0 {all} {all}\"")),
            "{svg}"
        );
        // The top left finder's first row, after four modules of quiet.
        assert!(svg.contains("M4 4h7v1h-7z"), "{svg}");
        assert!(svg.contains("&lt;A1&gt;") && !svg.contains("<A1>"), "{svg}");
        roxmltree::Document::parse(&svg).unwrap();
    }

    #[test]
    fn what_no_code_can_hold_gives_none() {
        assert_eq!(svg(&"x".repeat(4000), ""), None);
    }
}
