//! Short questions to the class, as data, with answers computed from the bench or with their source.
//!
//! Not here: drills ([`super::drill`]).

use super::Bench;
use std::sync::LazyLock;

/// A question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Its name in addresses.
    pub key: String,
    /// What is asked.
    pub ask: String,
    /// What can be said, and whether it is right.
    pub options: Vec<(String, bool)>,
    /// Why, with places for figures.
    because: String,
    /// Where that is from.
    pub source: String,
}

static ALL: LazyLock<Vec<Question>> =
    LazyLock::new(|| read(include_str!("../../data/bench/questions.txt")));

/// Every question, in the order of the file.
pub fn all() -> &'static [Question] {
    &ALL
}

/// The question of this name.
pub fn named(key: &str) -> Option<&'static Question> {
    ALL.iter().find(|question| question.key == key)
}

fn read(file: &str) -> Vec<Question> {
    let mut all: Vec<Question> = Vec::new();
    let mut last: Option<&str> = None;
    for line in file.lines().filter(|line| !line.starts_with('#')) {
        if let Some(("question", key)) = line.split_once(": ") {
            all.push(Question {
                key: key.to_owned(),
                ask: String::new(),
                options: Vec::new(),
                because: String::new(),
                source: String::new(),
            });
            continue;
        }
        let Some(question) = all.last_mut() else {
            continue;
        };
        let (name, text) = match line.split_once(": ") {
            Some((name, text)) if !line.starts_with(' ') => (name, text.to_owned()),
            _ => (last.unwrap_or_default(), format!(" {}", line.trim())),
        };
        match name {
            "ask" => question.ask.push_str(&text),
            "because" => question.because.push_str(&text),
            "source" => question.source.push_str(&text),
            "yes" => question.options.push((text, true)),
            "no" => question.options.push((text, false)),
            _ => continue,
        }
        last = ["ask", "because", "source"]
            .into_iter()
            .find(|n| *n == name);
    }
    for question in &mut all {
        for text in [
            &mut question.ask,
            &mut question.because,
            &mut question.source,
        ] {
            *text = text.trim().to_owned();
        }
    }
    all
}

impl Question {
    /// Why, with the figures of this bench; without a sentence whose figure is not known.
    pub fn because(&self, bench: &Bench) -> String {
        let figures = figures(bench);
        let sentences = self.because.split_inclusive(". ").map(|sentence| {
            let mut text = sentence.to_owned();
            for (name, value) in &figures {
                if let Some(value) = value {
                    text = text.replace(&format!("{{{name}}}"), value);
                }
            }
            text
        });
        let whole: String = sentences.filter(|text| !text.contains('{')).collect();
        whole.trim().to_owned()
    }
}

/// Figures by the names that the file uses.
fn figures(bench: &Bench) -> [(&'static str, Option<String>); 5] {
    let station = bench.station();
    let atmosphere = station.ambient_pressure.as_pascal();
    let kept = station.pmv.as_ref().map(|pmv| pmv.closes.as_pascal());
    let wet = |share: f64| {
        let p_pa = atmosphere + share * kept?;
        bench.sump.as_ref()?.saturated_g_m3(p_pa)
    };
    let (high, low) = (wet(1.0), wet(1.0 / 3.0));
    let times = high
        .zip(low)
        .map(|(high, low)| format!("{:.1}", low / high));
    let housing = station.separator.volume.as_litre() + station.purifier.volume.as_litre();
    let hose = station.whip.volume.as_litre() / (station.whip.count as f64 + 1.0);
    let working = station.compressor.working_pressure.as_pascal();
    let free = |litres: f64, gauge_pa: f64| {
        let rho = |p_pa: f64| bench.density(p_pa);
        let free = litres * rho(atmosphere + gauge_pa)? / rho(atmosphere)?;
        Some(match free < 20.0 {
            true => format!("{free:.1}"),
            false => format!("{free:.0}"),
        })
    };
    let two = |figure: Option<f64>| figure.map(|g| format!("{g:.2}"));
    [
        ("wet_high", two(high)),
        ("wet_low", two(low)),
        ("wet_times", times),
        ("tower_litres", free(housing, working)),
        ("hose_litres", free(hose, working)),
    ]
}
