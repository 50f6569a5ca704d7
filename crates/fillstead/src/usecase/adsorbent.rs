//! An owner's adsorbent: a small TOML file with its isotherm and transfer coefficient.
//!
//! Not here: what a bed does with it (`physics::purifier`).

use std::borrow::Cow;
use std::path::Path;

use physics::purifier::{Adsorbent, Bed, Packing, Toth, Transfer};
use toml_edit::{DocumentMut, Item};

use crate::usecase::Trouble;
use crate::usecase::file::read_as;

/// The numbers of the file, and what each is.
const NUMBERS: [(&str, &str); 8] = [
    ("a0", "Toth a0, mol/(kg kPa)"),
    ("b0", "Toth b0, 1/kPa"),
    ("e", "Toth E, K"),
    ("t0", "Toth t0, 1"),
    ("c", "Toth c, K"),
    ("transfer", "transfer coefficient, 1/s"),
    ("bulk_density", "mass per bed volume, kg/m3"),
    ("void_fraction", "share of the bed between the beads, 1"),
];

/// The adsorbent that a file describes.
pub fn adsorbent_file(path: &str) -> Result<Adsorbent, Trouble> {
    let text = read_as(Path::new(path), "adsorbent file")?;
    adsorbent(&text).map_err(|trouble| Trouble {
        what: format!("{path}: {}", trouble.what),
        ..trouble.about("adsorbent")
    })
}

fn adsorbent(text: &str) -> Result<Adsorbent, Trouble> {
    let table = text.parse::<DocumentMut>().map_err(|error| {
        let remedy = "write it as in stations/adsorbent.toml";
        Trouble::new(error.message().to_owned(), remedy)
    })?;
    let known = |key: &str| ["name", "source"].contains(&key) || NUMBERS.iter().any(|n| n.0 == key);
    if let Some((key, _)) = table.iter().find(|(key, _)| !known(key)) {
        let remedy = format!(
            "the keys are name, source, {}",
            NUMBERS.map(|n| n.0).join(", ")
        );
        return Err(Trouble::new(format!("`{key}` means nothing here"), remedy));
    }
    let words = |key: &str| {
        let found = table
            .get(key)
            .and_then(Item::as_str)
            .filter(|w| !w.trim().is_empty());
        let remedy = format!("write {key} = \"...\"");
        found
            .map(str::to_owned)
            .ok_or_else(|| Trouble::new(format!("`{key}` is missing"), remedy))
    };
    let mut numbers = [0.0; NUMBERS.len()];
    for (number, (key, meaning)) in numbers.iter_mut().zip(NUMBERS) {
        let item = table.get(key);
        let found = item.and_then(|i| i.as_float().or_else(|| i.as_integer().map(|n| n as f64)));
        let missing = || {
            Trouble::new(
                format!("`{key}` is missing or no number"),
                format!("it is the {meaning}"),
            )
        };
        *number = found.ok_or_else(missing)?;
    }
    let [a0, b0, e_k, t0, c_k, transfer, bulk_kg_m3, void_fraction] = numbers;
    let made = Adsorbent {
        name: Cow::Owned(words("name")?),
        isotherm: Toth {
            a0,
            b0,
            e_k,
            t0,
            c_k,
        },
        transfer: Transfer::Constant(transfer),
        bulk_kg_m3,
        void_fraction,
        source: Cow::Owned(words("source")?),
    };
    // a bed made of it tells what is wrong with its numbers
    Bed::fresh(made.clone(), Packing::new(1.0, 0.3), 0.0)
        .map(|_| made)
        .map_err(|error| Trouble::new(error.to_string(), "check the figures and their units"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SAMPLE: &str = include_str!("../../../../stations/adsorbent.toml");

    /// The sample holds water on 5A as published: at 298.15 K it must load as the adsorbent of
    /// that name known here does (Wang and LeVan 2009).
    #[test]
    fn the_sample_is_read() {
        let own = adsorbent(SAMPLE).expect("the sample file does");
        let known = physics::purifier::adsorbent_named("5A").expect("known");
        for kpa in [0.01, 0.1, 1.0] {
            let load = |a: &Adsorbent| a.isotherm.at(298.15).loading(kpa);
            assert!((load(&own) / load(&known) - 1.0).abs() < 1e-12, "{kpa} kPa");
        }
    }

    #[test]
    fn what_is_wrong_is_said() {
        let message = |from: &str, to: &str| {
            let text = SAMPLE.replace(from, to);
            assert_ne!(text, SAMPLE);
            adsorbent(&text).expect_err("wrong").what
        };
        assert_eq!(message("t0 =", "tt ="), "`tt` means nothing here");
        assert_eq!(
            message("\nt0 =", "\n# t0 ="),
            "`t0` is missing or no number"
        );
        assert_eq!(message("name =", "# name ="), "`name` is missing");
        let negative = message("bulk_density = 720", "bulk_density = -720");
        assert!(negative.contains("-720"), "{negative}");
        assert!(adsorbent("= nonsense").is_err());
    }
}
