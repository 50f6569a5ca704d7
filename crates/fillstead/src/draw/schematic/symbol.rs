//! How each part is drawn and how much room it takes, its pipe being at y = 0.

use station::{Bed, BedKind, Station};

use super::super::place::Rect;
use super::super::sheet::{Sheet, at};
use super::parts::Figure;

/// Width of a part's place on the pipe, px.
pub(super) fn slot(figure: Figure) -> f64 {
    match figure {
        Figure::Intake => 84.0,
        Figure::Stage => 56.0,
        Figure::Cooler => 46.0,
        Figure::Gauge => 48.0,
        Figure::Vent | Figure::Cylinder | Figure::Check => 54.0,
        Figure::Separator | Figure::Purifier => 66.0,
        Figure::Disc | Figure::Pmv | Figure::FillValve => 60.0,
        Figure::Relief => 70.0,
        Figure::Bank | Figure::Hose => 80.0,
    }
}

/// What it covers, its pipe at y = 0 and its middle at `x`.
pub(super) fn covers(figure: Figure, x: f64) -> Rect {
    let (left, top, w, h) = match figure {
        Figure::Intake => (-34.0, -20.0, 68.0, 40.0),
        Figure::Stage => (-24.0, -24.0, 48.0, 48.0),
        Figure::Cooler | Figure::Check => (-20.0, -20.0, 40.0, 40.0),
        Figure::Separator => (-24.0, -24.0, 48.0, 102.0),
        Figure::Purifier => (-24.0, -52.0, 48.0, 104.0),
        Figure::Gauge => (-19.0, -58.0, 38.0, 58.0),
        Figure::Relief => (-26.0, -78.0, 52.0, 78.0),
        Figure::Disc => (-20.0, -78.0, 40.0, 78.0),
        Figure::Vent => (-18.0, 0.0, 36.0, 54.0),
        Figure::Pmv | Figure::FillValve => (-24.0, -24.0, 48.0, 48.0),
        Figure::Bank => (-32.0, 0.0, 64.0, 86.0),
        Figure::Hose => (-36.0, -6.0, 72.0, 78.0),
        Figure::Cylinder => (-18.0, -2.0, 36.0, 96.0),
    };
    Rect::new(x + left, top, w, h)
}

/// The same in pieces where its upper end is slim and leaves room beside it.
pub(super) fn solid(figure: Figure, x: f64) -> Vec<Rect> {
    let slim = |body: f64| {
        vec![
            Rect::new(x - 7.0, -78.0, 14.0, 78.0 - body),
            Rect::new(x - 22.0, -body, 48.0, body),
        ]
    };
    match figure {
        Figure::Relief => slim(52.0),
        Figure::Disc => slim(42.0),
        _ => vec![covers(figure, x)],
    }
}

/// Places for its number, the best first.
pub(super) fn numbers(figure: Figure, x: f64) -> Vec<(f64, f64)> {
    match figure {
        Figure::Relief => vec![(x - 19.0, -64.0), (x + 19.0, -64.0), (x, -90.0)],
        Figure::Disc => vec![(x + 19.0, -60.0), (x - 19.0, -60.0), (x, -90.0)],
        Figure::Purifier => vec![(x - 31.0, -44.0), (x + 31.0, -44.0), (x, -64.0)],
        Figure::Cylinder => vec![(x + 29.0, 44.0), (x - 29.0, 44.0), (x, -14.0)],
        Figure::Hose => vec![(x, -18.0), (x, -30.0)],
        _ => vec![(x, -37.0), (x, -50.0), (x, 40.0)],
    }
}

/// Where the pipe ends left and right of it; none where it passes by.
pub(super) fn ports(figure: Figure) -> Option<(f64, f64)> {
    match figure {
        Figure::Intake => Some((-10.0, 29.0)),
        Figure::Stage | Figure::Separator => Some((-18.0, 18.0)),
        Figure::Cooler => Some((-15.0, 15.0)),
        Figure::Check => Some((-7.5, 6.0)),
        Figure::Purifier => Some((-20.0, 20.0)),
        Figure::Pmv => Some((-12.0, 12.0)),
        Figure::FillValve => Some((-16.0, 16.0)),
        Figure::Hose => Some((-32.0, 32.0)),
        _ => None,
    }
}

/// Draws it at `(x, y)` of the pipe.
pub(super) fn draw(sheet: &mut Sheet, figure: Figure, (x, y): (f64, f64), station: &Station) {
    let mut put = |id: &str, left: f64, top: f64, w: f64, h: f64| {
        sheet.symbol(id, Rect::new(x + left, y + top, w, h));
    };
    match figure {
        Figure::Intake => {
            put("s-intake", -40.0, -16.0, 32.0, 32.0);
            put("s-filter", -6.0, -20.0, 40.0, 40.0);
        }
        Figure::Stage => put("s-compressor", -24.0, -24.0, 48.0, 48.0),
        Figure::Cooler => put("s-cooler", -20.0, -20.0, 40.0, 40.0),
        Figure::Check => put("s-check", -20.0, -20.0, 40.0, 40.0),
        Figure::Separator => {
            put("s-separator", -24.0, -24.0, 48.0, 48.0);
            put("s-drain", -18.0, 24.0, 36.0, 54.0);
        }
        Figure::Purifier => vessel(sheet, (x, y), &station.purifier.beds),
        Figure::Gauge => {
            put("s-gauge", -19.0, -58.0, 38.0, 38.0);
            sheet.straight("", (x, y - 21.0), (x, y));
        }
        Figure::Relief => put("s-relief", -26.0, -78.0, 52.0, 78.0),
        Figure::Disc => put("s-burst", -26.0, -78.0, 52.0, 78.0),
        Figure::Vent => put("s-drain", -18.0, 0.0, 36.0, 54.0),
        Figure::Pmv => put("s-pmv", -24.0, -24.0, 48.0, 48.0),
        Figure::Bank => {
            put("s-bank", -32.0, 22.0, 64.0, 64.0);
            sheet.straight("t", (x, y), (x, y + 28.7));
        }
        Figure::FillValve => put("s-shutoff", -24.0, -24.0, 48.0, 48.0),
        Figure::Hose => {
            put("s-hose", -36.0, -24.0, 72.0, 48.0);
            put("s-drain", -18.0, 17.0, 36.0, 54.0);
        }
        Figure::Cylinder => put("s-cylinder", -22.0, 6.0, 44.0, 88.0),
    }
}

/// The purifier's housing with its beds from top to bottom, in proportion to their mass.
fn vessel(sheet: &mut Sheet, (x, y): (f64, f64), beds: &[Bed]) {
    let (left, right) = (at(x - 20.0), at(x + 20.0));
    let (shoulder, foot) = (at(y - 36.0), at(y + 36.0));
    let (top, bottom) = (at(y - 52.0), at(y + 52.0));
    let middle = at(x);
    let outline = format!(
        "M{left} {shoulder}Q{left} {top} {middle} {top}T{right} {shoulder}\
         V{foot}Q{right} {bottom} {middle} {bottom}T{left} {foot}Z"
    );
    sheet.shape("ground", &outline);
    let total: f64 = beds.iter().map(|bed| bed.mass.as_kilogram()).sum();
    let mut from = y - 32.0;
    for bed in beds {
        let share = bed.mass.as_kilogram() / total.max(f64::MIN_POSITIVE);
        let h = 64.0 * share.clamp(0.0, 1.0);
        let here = Rect::new(x - 20.0, from, 40.0, h);
        sheet.texture(texture(bed.kind), here);
        sheet.frame("hairline", here);
        from += h;
    }
    sheet.line("m", &outline);
}

fn texture(kind: BedKind) -> &'static str {
    match kind {
        BedKind::Drying => "p-bed",
        BedKind::Carbon => "p-carbon",
        BedKind::Catalyst => "p-catalyst",
    }
}
