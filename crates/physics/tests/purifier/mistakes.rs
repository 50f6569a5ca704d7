//! What cannot be: each gives an error that repeats the number and says what to do.

use super::{hot_300_bar, sieve, small_bed};
use physics::purifier::{
    Adsorbent, Beads, Bed, Feed, Packing, PurifierError, Toth, Transfer, Tuning, remaining,
};

fn fresh(mass_kg: f64, length_m: f64) -> Result<Bed, PurifierError> {
    Bed::fresh(sieve(), Packing::new(mass_kg, length_m), 0.0)
}

fn says(error: PurifierError, words: &str) {
    let text = error.to_string();
    assert!(text.contains(words), "{text:?} does not say {words:?}");
}

#[test]
fn beds() {
    says(fresh(0.0, 0.2).unwrap_err(), "the bed holds 0 kg");
    says(fresh(-0.3, 0.2).unwrap_err(), "holds -0.3 kg");
    says(fresh(f64::NAN, 0.2).unwrap_err(), "holds NaN kg");
    says(fresh(0.2, 0.0).unwrap_err(), "length of the bed 0 m");
    says(
        fresh(f64::INFINITY, 0.2).unwrap_err(),
        "mass of adsorbent inf kg",
    );
    let none = Bed::restore(sieve(), Packing::new(0.2, 0.2), vec![]);
    says(none.unwrap_err(), "number of cells 0");
    let torn = Bed::restore(sieve(), Packing::new(0.2, 0.2), vec![1.0, -1.0]);
    says(torn.unwrap_err(), "loading of a cell -1 mol/kg");
    let wet = Bed::fresh(sieve(), Packing::new(0.2, 0.2), 2.0);
    says(wet.unwrap_err(), "0.02 for two per cent");
    let tuned = small_bed().tuned(Tuning {
        capacity: 0.0,
        transfer: 1.0,
    });
    says(tuned.unwrap_err(), "share of the published capacity 0");
}

#[test]
fn feeds() {
    let base = hot_300_bar();
    let nan = f64::NAN;
    let wrong = [
        (
            Feed {
                air_mol_s: -1.0,
                ..base
            },
            "flow of dry air -1 mol/s",
        ),
        (
            Feed {
                water_fraction: 0.9,
                ..base
            },
            "liquid must be separated",
        ),
        (
            Feed {
                water_fraction: nan,
                ..base
            },
            "water NaN",
        ),
        (
            Feed { p_pa: 0.0, ..base },
            "absolute pressure in the bed 0 Pa",
        ),
        (Feed { t_k: 40.0, ..base }, "temperature of the bed 40 K"),
        (
            Feed {
                enhancement: 0.0,
                ..base
            },
            "enhancement factor 0",
        ),
    ];
    for (feed, words) in wrong {
        let mut bed = small_bed();
        says(bed.pass(&feed, 1.0).unwrap_err(), words);
        assert_eq!(bed, small_bed(), "a refused pass changes nothing");
        assert!(bed.room_kg(&feed).is_err());
    }
    says(small_bed().pass(&base, -1.0).unwrap_err(), "duration -1 s");
    says(
        remaining(&small_bed(), &base, 0.0, 1.0).unwrap_err(),
        "limit of water",
    );
    let still = Feed {
        air_mol_s: 0.0,
        ..base
    };
    says(
        remaining(&small_bed(), &still, 1e-5, 1.0).unwrap_err(),
        "charging rate",
    );
}

/// An owner's own adsorbent is checked before it is used.
#[test]
fn adsorbents() {
    let base = sieve();
    let Transfer::Beads(beads) = base.transfer else {
        panic!("13X has beads");
    };
    let toth = base.isotherm;
    let wrong = [
        Adsorbent {
            bulk_kg_m3: -1.0,
            ..base.clone()
        },
        Adsorbent {
            void_fraction: 1.0,
            ..base.clone()
        },
        Adsorbent {
            isotherm: Toth {
                a0: f64::NAN,
                ..toth
            },
            ..base.clone()
        },
        Adsorbent {
            isotherm: Toth { t0: 0.0, ..toth },
            ..base.clone()
        },
        Adsorbent {
            isotherm: Toth { e_k: 1e9, ..toth },
            ..base.clone()
        },
        Adsorbent {
            transfer: Transfer::Constant(0.0),
            ..base.clone()
        },
        Adsorbent {
            transfer: Transfer::Beads(Beads {
                radius_m: 0.0,
                ..beads
            }),
            ..base.clone()
        },
    ];
    for adsorbent in wrong {
        let made = Bed::fresh(adsorbent, Packing::new(0.2, 0.2), 0.0);
        says(made.unwrap_err(), "check the adsorbent's data");
    }
}
