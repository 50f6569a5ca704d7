//! Labels pushed apart so that none covers another.

/// New places for labels wanted at `wanted` (rising), at least `gap` apart and
/// within `low..=high` where they fit there: those that moves them least.
///
/// With aᵢ = yᵢ − i·gap the condition is that a rises; neighbours that break it
/// are joined and take their mean (isotonic regression by pooling).
pub(super) fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (i, y) in wanted.iter().enumerate() {
        pools.push((y - i as f64 * gap, 1));
        while let [.., (before, n), (after, m)] = pools[..] {
            if before <= after {
                break;
            }
            let mean = (before * n as f64 + after * m as f64) / (n + m) as f64;
            pools.truncate(pools.len() - 2);
            pools.push((mean, n + m));
        }
    }
    let room = high - wanted.len().saturating_sub(1) as f64 * gap;
    let flat = pools
        .into_iter()
        .flat_map(|(mean, count)| std::iter::repeat_n(mean, count));
    let within = flat.map(|a| a.min(room).max(low));
    within
        .enumerate()
        .map(|(i, a)| a + i as f64 * gap)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay() {
        assert_eq!(spread(&[1.0, 5.0, 9.0], 2.0, 0.0, 10.0), [1.0, 5.0, 9.0]);
        assert_eq!(spread(&[5.0, 5.0, 5.0], 2.0, 0.0, 10.0), [3.0, 5.0, 7.0]);
        assert_eq!(spread(&[0.0, 0.0], 2.0, 0.0, 10.0), [0.0, 2.0]);
        assert_eq!(spread(&[10.0, 10.0], 2.0, 0.0, 10.0), [8.0, 10.0]);
    }

    proptest! {
        #[test]
        fn apart_and_in_order(mut ys in prop::collection::vec(0.0..100.0f64, 0..12)) {
            ys.sort_by(f64::total_cmp);
            let placed = spread(&ys, 5.0, 0.0, 100.0);
            prop_assert_eq!(placed.len(), ys.len());
            prop_assert!(placed.windows(2).all(|w| w[1] - w[0] > 5.0 - 1e-9), "{:?}", placed);
            prop_assert!(placed.iter().all(|y| (-1e-9..=100.0 + 1e-9).contains(y)), "{:?}", placed);
        }
    }
}
