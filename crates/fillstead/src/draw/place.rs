//! Places for labels: apart from each other and from what must stay visible.

/// A rectangle on the sheet, px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rect {
    pub x: f64,
    pub y: f64,
    pub w: f64,
    pub h: f64,
}

impl Rect {
    pub fn new(x: f64, y: f64, w: f64, h: f64) -> Rect {
        Rect { x, y, w, h }
    }

    /// Whether the two share more than their edges.
    pub fn meets(&self, other: &Rect) -> bool {
        let apart_x = self.x + self.w <= other.x || other.x + other.w <= self.x;
        let apart_y = self.y + self.h <= other.y || other.y + other.h <= self.y;
        !(apart_x || apart_y)
    }

    /// The same, larger on every side.
    pub fn grown(&self, by: f64) -> Rect {
        Rect::new(
            self.x - by,
            self.y - by,
            self.w + 2.0 * by,
            self.h + 2.0 * by,
        )
    }
}

/// New middles for labels of these sizes wanted at these middles (rising): in order, not over each
/// other, within `low..=high` where they fit there, moved as little as can be.
///
/// Less what stands before each label, the condition is that places rise; neighbours that break
/// it are joined and take their mean (isotonic regression by pooling).
pub(super) fn spread(labels: &[(f64, f64)], low: f64, high: f64) -> Vec<f64> {
    let mut before = Vec::new();
    let mut sum = 0.0;
    for (i, (_, size)) in labels.iter().enumerate() {
        sum += if i == 0 { 0.0 } else { 0.5 * size };
        before.push(sum);
        sum += 0.5 * size;
    }
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for ((wanted, _), before) in labels.iter().zip(&before) {
        pools.push((wanted - before, 1));
        while let [.., (a, n), (b, m)] = pools[..] {
            if a <= b {
                break;
            }
            let mean = (a * n as f64 + b * m as f64) / (n + m) as f64;
            pools.truncate(pools.len() - 2);
            pools.push((mean, n + m));
        }
    }
    let half = |label: Option<&(f64, f64)>| label.map_or(0.0, |(_, size)| 0.5 * size);
    let least = low + half(labels.first());
    let most = high - half(labels.last()) - before.last().copied().unwrap_or(0.0);
    let flat = pools
        .into_iter()
        .flat_map(|(mean, count)| std::iter::repeat_n(mean, count));
    let within = flat.map(|a| a.min(most).max(least));
    within.zip(&before).map(|(a, before)| a + before).collect()
}

/// What is taken on the sheet.
#[derive(Debug, Default)]
pub(super) struct Spots {
    taken: Vec<Rect>,
}

impl Spots {
    /// Nothing may stand there.
    pub fn block(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    pub fn is_free(&self, rect: &Rect) -> bool {
        !self.taken.iter().any(|taken| taken.meets(rect))
    }

    /// The first of these places that is free, and now taken.
    pub fn first_free(&mut self, places: impl IntoIterator<Item = Rect>) -> Option<Rect> {
        let place = places.into_iter().find(|rect| self.is_free(rect))?;
        self.taken.push(place);
        Some(place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay() {
        assert_eq!(spread(&[(1.0, 2.0), (5.0, 2.0)], 0.0, 10.0), [1.0, 5.0]);
        assert_eq!(spread(&[(5.0, 2.0), (5.0, 4.0)], 0.0, 10.0), [3.5, 6.5]);
        assert_eq!(spread(&[(0.0, 2.0), (0.0, 2.0)], 0.0, 10.0), [1.0, 3.0]);
        assert_eq!(spread(&[], 0.0, 10.0), [0.0; 0]);
    }

    proptest! {
        #[test]
        fn apart_in_order_and_inside(
            mut at in prop::collection::vec(0.0..100.0f64, 0..10),
            sizes in prop::collection::vec(1.0..9.0f64, 10),
        ) {
            at.sort_by(f64::total_cmp);
            let labels: Vec<(f64, f64)> = at.into_iter().zip(sizes).collect();
            let placed = spread(&labels, 0.0, 100.0);
            let edges: Vec<(f64, f64)> = placed
                .iter()
                .zip(&labels)
                .map(|(y, (_, size))| (y - 0.5 * size, y + 0.5 * size))
                .collect();
            prop_assert!(edges.windows(2).all(|w| w[1].0 > w[0].1 - 1e-9), "{:?}", edges);
            let inside = |(low, high): &(f64, f64)| *low > -1e-9 && *high < 100.0 + 1e-9;
            prop_assert!(edges.iter().all(inside), "{:?}", edges);
        }
    }
}
