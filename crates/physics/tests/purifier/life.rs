//! Time left: against load ratios, and its range.

use super::{hot_300_bar, saturated, small_bed};
use physics::purifier::{
    Bed, Cause, Feed, Outcome, Packing, Spread, remaining, remaining_range, stoichiometric_seconds,
};

const HOUR: f64 = 3600.0;
const LIMIT: f64 = 33.4e-6;
const FAR: f64 = 1e8;

/// Vapour pressures: IAPWS. Enhancement at 300 bar(g): IAPWS G8-10 virials.
const CLIMATE: [(f64, f64, f64); 4] = [
    (20.0, 2.3393, 2.398),
    (30.0, 4.2470, 2.224),
    (40.0, 7.3849, 2.082),
    (50.0, 12.352, 1.964),
];

/// Life relative to 20 °C, air saturated at 300 bar(g). The water load alone
/// (f·p_s) gives 0.59, 0.36, 0.23. The bed lasts one or two per cent less:
/// its capacity in saturated air falls by about one per cent, and a limit fixed in ppm is a
/// smaller share of a wetter feed, reached earlier on the front. The width of
/// the front itself changes little: k rises with the load as the life falls,
/// so their product stays.
#[test]
fn relative_life_follows_the_load() {
    let bed = Bed::fresh(super::sieve(), Packing::new(0.5, 0.35), 0.0).unwrap();
    let life = CLIMATE.map(|(t, p, f)| {
        let feed = saturated(t, p, f);
        let found = remaining(&bed, &feed, LIMIT, FAR).unwrap();
        assert_eq!(found.outcome, Outcome::Reached);
        (found.seconds, stoichiometric_seconds(&bed, &feed).unwrap())
    });
    for (i, load) in [(1, 0.59), (2, 0.36), (3, 0.23)] {
        let relative = life[i].0 / life[0].0;
        let capacity = life[i].1 / life[0].1;
        assert!(
            capacity < load + 0.01,
            "{capacity} against load ratio {load}"
        );
        assert!(
            (capacity / load - 1.0).abs() < 0.02,
            "{capacity} against {load}"
        );
        assert!(relative < capacity, "{relative} against {capacity}");
        assert!(
            (relative / load - 1.0).abs() < 0.03,
            "{relative} against {load}"
        );
    }
}

/// Running it for the time said brings the outlet to the limit, not earlier.
#[test]
fn running_it_proves_it() {
    let feed = hot_300_bar();
    let mut bed = small_bed();
    let found = remaining(&bed, &feed, LIMIT, FAR).unwrap();
    let before = bed.pass(&feed, found.seconds * 0.97).unwrap();
    assert!(before.final_fraction < LIMIT, "{before:?}");
    let left = remaining(&bed, &feed, LIMIT, FAR).unwrap();
    assert!(
        (left.seconds / found.seconds - 0.03).abs() < 0.01,
        "{left:?}"
    );
    let after = bed.pass(&feed, found.seconds * 0.06).unwrap();
    assert!(after.final_fraction > LIMIT, "{after:?}");
    assert!((bed.held_kg() / found.taken_kg - 1.0).abs() < 0.05);
}

/// Never more than the stoichiometric time, and less as the limit tightens.
#[test]
fn limits_and_time() {
    let (bed, feed) = (small_bed(), hot_300_bar());
    let most = stoichiometric_seconds(&bed, &feed).unwrap();
    let mut last = 0.0;
    for limit in [1e-6, 1e-5, 3.34e-5, 1e-4] {
        let found = remaining(&bed, &feed, limit, FAR).unwrap();
        assert!(
            found.seconds > last && found.seconds < most,
            "{limit}: {found:?}"
        );
        last = found.seconds;
    }
}

#[test]
fn outcomes() {
    let (mut bed, feed) = (small_bed(), hot_300_bar());
    let soon = remaining(&bed, &feed, LIMIT, HOUR).unwrap();
    assert_eq!((soon.outcome, soon.seconds), (Outcome::NotWithin, HOUR));
    let dry = Feed {
        water_fraction: 1e-6,
        ..feed
    };
    let never = remaining(&bed, &dry, LIMIT, HOUR).unwrap();
    assert_eq!(never.outcome, Outcome::FeedDrier);
    bed.pass(&feed, 200.0 * HOUR).unwrap();
    let spent = remaining(&bed, &feed, LIMIT, FAR).unwrap();
    assert_eq!(
        (spent.outcome, spent.seconds, spent.taken_kg),
        (Outcome::Reached, 0.0, 0.0)
    );
}

/// The range is in order, and its cause is the one that takes more away:
/// capacity in a long bed, transfer in a short one.
#[test]
fn ranges() {
    let feed = hot_300_bar();
    let cause = |mass: f64| {
        let bed = Bed::fresh(super::sieve(), Packing::new(mass, 0.2), 0.01).unwrap();
        let range = remaining_range(&bed, &feed, LIMIT, FAR, &Spread::IN_SERVICE).unwrap();
        assert!(range.low.seconds <= range.likely.seconds, "{range:?}");
        assert!(range.likely.seconds <= range.high.seconds, "{range:?}");
        range.mostly
    };
    assert_eq!(cause(5.0), Cause::Capacity);
    assert_eq!(cause(0.15), Cause::Transfer);
}
