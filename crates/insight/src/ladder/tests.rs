//! The ladder: its order, its bands, and that both drawings say the same.

use super::*;
use crate::audit::{TRADE, metric, read_station, with};
use quantity::UnitSystem;

fn ladder(text: &str) -> Ladder {
    Ladder::of(&read_station(text))
}

#[test]
fn from_low_to_high_with_bands() {
    let ladder = ladder(metric());
    let names: Vec<&str> = ladder.rungs.iter().map(|r| r.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "PMV closes",
            "PMV opens",
            "fill stop: ten",
            "working pressure",
            "relief reseats",
            "relief lifts",
            "relief fully open",
            "disc bursts",
            "weakest rated part: fill hose",
            "rated: tower",
        ]
    );
    let relief = ladder.rung(RungKind::ReliefLifts).unwrap();
    assert!(
        (relief.low_bar - 255.0 * 0.97).abs() < 1e-9,
        "3 %: {relief:?}"
    );
    let disc = ladder.rung(RungKind::DiscBursts).unwrap();
    assert!((disc.high_bar - 315.0).abs() < 1e-9, "300 bar and 5 %");
    assert_eq!(ladder.overlaps, []);
}

#[test]
fn overlaps_are_found() {
    let ladder = ladder(&with(
        metric(),
        "bursts = \"300 bar\"",
        "bursts = \"270 bar\"",
    ));
    let [one] = &ladder.overlaps[..] else {
        panic!("{:?}", ladder.overlaps);
    };
    assert_eq!(
        (one.lower.as_str(), one.upper.as_str()),
        ("relief lifts", "disc bursts")
    );
    assert!((one.low_bar - 256.5).abs() < 1e-9 && (one.high_bar - 262.65).abs() < 1e-9);
}

/// Linear from zero: the row of a rung is in proportion to its pressure.
#[test]
fn the_scale_is_linear() {
    let ladder = ladder(metric());
    let drawn = text(&ladder, UnitSystem::Metric);
    let rows: Vec<&str> = drawn
        .lines()
        .skip(1)
        .take_while(|l| l.contains(['┃', '┠', '╋']))
        .collect();
    let last = rows.len() - 1;
    for (row, line) in rows.iter().enumerate() {
        let Ok(number) = line
            .chars()
            .take(6)
            .collect::<String>()
            .trim()
            .parse::<f64>()
        else {
            continue;
        };
        let exact = (1.0 - number / ladder.top_bar) * last as f64;
        assert!(
            (exact - row as f64).abs() <= 0.5 + 1e-9,
            "{number} in row {row} of {last}"
        );
    }
    assert!(rows[last].trim_start().starts_with("0 "), "{}", rows[last]);
}

#[test]
fn a_drawing_for_the_terminal() {
    insta::assert_snapshot!(text(&ladder(TRADE), UnitSystem::Us));
}

#[test]
fn lines_stay_within_the_width() {
    let long = "x".repeat(200);
    let texts = [
        with(metric(), "id = \"ten\"", &format!("id = \"{long}\"")),
        with(metric(), "name = \"Plain\"", &format!("name = \"{long}\"")),
    ];
    for file in texts {
        let drawn = text(&ladder(&file), UnitSystem::Metric);
        assert!(
            drawn.lines().all(|l| l.chars().count() <= text::WIDTH),
            "{drawn}"
        );
    }
}

/// Text and drawing name every rung; a person's words cannot break the XML.
#[test]
fn both_drawings_say_the_same() {
    let named = with(metric(), "name = \"Plain\"", "name = 'A & B <\"x\">'");
    let ladder = ladder(&named);
    let drawn = svg(&ladder, UnitSystem::Metric);
    let written = text(&ladder, UnitSystem::Metric);
    assert!(drawn.contains("A &amp; B &lt;&quot;x&quot;&gt;") && !drawn.contains("<\"x"));
    for rung in &ladder.rungs {
        let words = label::label(
            rung,
            Say {
                units: UnitSystem::Metric,
            },
        )
        .words;
        assert!(
            drawn.contains(&format!("{words}</text>")),
            "{words} in the drawing"
        );
        assert!(written.contains(&words), "{words} in {written}");
    }
    let title = drawn.find("<title").unwrap();
    assert!(title < drawn.find("<desc").unwrap());
}

/// Every tag is closed, in order.
#[test]
fn the_drawing_is_well_formed() {
    let drawn = svg(&ladder(metric()), UnitSystem::Metric);
    let mut open: Vec<&str> = Vec::new();
    for tag in drawn.split('<').skip(1).filter_map(|t| t.split('>').next()) {
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
        } else if !tag.ends_with('/') {
            open.push(tag.split(' ').next().unwrap());
        }
    }
    assert_eq!(open, [""; 0]);
}
