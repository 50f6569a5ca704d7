//! Dense linear solving for matrices of up to some thirty rows, without allocation.
//!
//! A general library's factorisation costs more in set-up at this size than
//! these loops do in all. Matrices are stored column by column and padded with
//! ones on the diagonal to one of a few sizes, so that every inner loop has a
//! length known to the compiler. Not here: anything larger or sparse.

/// A matrix taken apart: row exchanges, a lower and an upper triangle.
#[derive(Debug, Clone)]
pub(super) enum Lu {
    /// Up to eight rows: a tower, a line, a cylinder.
    Eight(Box<Fixed<8>>),
    /// Up to twelve: walls and valves with a lift besides.
    Twelve(Box<Fixed<12>>),
    /// Up to sixteen: two cylinders.
    Sixteen(Box<Fixed<16>>),
    /// Up to twenty-four: half a dozen cylinders.
    TwentyFour(Box<Fixed<24>>),
    /// Any number.
    Any(Any),
}

impl Lu {
    /// Room for a matrix of `n` rows.
    pub fn new(n: usize) -> Lu {
        match n {
            0..=8 => Lu::Eight(Box::default()),
            9..=12 => Lu::Twelve(Box::default()),
            13..=16 => Lu::Sixteen(Box::default()),
            17..=24 => Lu::TwentyFour(Box::default()),
            _ => Lu::Any(Any::new(n)),
        }
    }

    /// Takes apart I·diagonal − J, where J's columns come `rows` apart and its
    /// first `n` rows and columns count; false where singular or not finite.
    pub fn factorise(&mut self, jacobian: &[f64], rows: usize, n: usize, diagonal: f64) -> bool {
        let columns = jacobian
            .chunks_exact(rows)
            .take(n)
            .map(|column| &column[..n]);
        match self {
            Lu::Eight(fixed) => fixed.factorise(columns, diagonal),
            Lu::Twelve(fixed) => fixed.factorise(columns, diagonal),
            Lu::Sixteen(fixed) => fixed.factorise(columns, diagonal),
            Lu::TwentyFour(fixed) => fixed.factorise(columns, diagonal),
            Lu::Any(any) => any.factorise(columns, diagonal),
        }
    }

    /// Solves for the right-hand side in place.
    pub fn solve(&self, b: &mut [f64]) {
        match self {
            Lu::Eight(fixed) => fixed.solve(b),
            Lu::Twelve(fixed) => fixed.solve(b),
            Lu::Sixteen(fixed) => fixed.solve(b),
            Lu::TwentyFour(fixed) => fixed.solve(b),
            Lu::Any(any) => any.solve(b),
        }
    }
}

/// A matrix of exactly `N` rows.
#[derive(Debug, Clone)]
pub(super) struct Fixed<const N: usize> {
    /// Columns below the diagonal, zero elsewhere.
    lower: [[f64; N]; N],
    /// The columns being worked on; in the end those above the diagonal, zero elsewhere.
    upper: [[f64; N]; N],
    per_diagonal: [f64; N],
    pivot: [usize; N],
}

impl<const N: usize> Default for Fixed<N> {
    fn default() -> Self {
        let zeros = [[0.0; N]; N];
        Fixed {
            lower: zeros,
            upper: zeros,
            per_diagonal: [0.0; N],
            pivot: [0; N],
        }
    }
}

impl<const N: usize> Fixed<N> {
    fn factorise<'a>(&mut self, columns: impl Iterator<Item = &'a [f64]>, diagonal: f64) -> bool {
        let mut used = 0;
        for (i, (to, from)) in self.upper.iter_mut().zip(columns).enumerate() {
            *to = [0.0; N];
            for (t, f) in to.iter_mut().zip(from) {
                *t = -f;
            }
            to[i] += diagonal;
            used = i + 1;
        }
        for i in used..N {
            self.upper[i] = [0.0; N];
            self.upper[i][i] = 1.0;
        }
        (0..N).all(|k| self.eliminate(k))
    }

    fn eliminate(&mut self, k: usize) -> bool {
        let column = &mut self.upper[k];
        let mut best = k;
        for row in k + 1..N {
            if column[row].abs() > column[best].abs() {
                best = row;
            }
        }
        self.pivot[k] = best;
        column.swap(k, best);
        let head = column[k];
        if !(head.abs() > 0.0 && head.is_finite()) {
            return false;
        }
        self.per_diagonal[k] = 1.0 / head;
        let mut low = [0.0; N];
        for row in k + 1..N {
            low[row] = column[row] / head;
            column[row] = 0.0;
        }
        column[k] = 0.0;
        self.lower[k] = low;
        for other in &mut self.upper[k + 1..] {
            other.swap(k, best);
            let top = other[k];
            if top != 0.0 {
                subtract(other, &low, top);
            }
        }
        // the factors found so far move with their rows
        for earlier in &mut self.lower[..k] {
            earlier.swap(k, best);
        }
        true
    }

    fn solve(&self, side: &mut [f64]) {
        let mut b = [0.0; N];
        b[..side.len()].copy_from_slice(side);
        for (row, best) in self.pivot.iter().enumerate() {
            b.swap(row, *best);
        }
        for (k, column) in self.lower.iter().enumerate() {
            let x = b[k];
            subtract(&mut b, column, x);
        }
        for (k, column) in self.upper.iter().enumerate().rev() {
            let x = b[k] * self.per_diagonal[k];
            b[k] = x;
            subtract(&mut b, column, x);
        }
        side.copy_from_slice(&b[..side.len()]);
    }
}

#[inline]
fn subtract<const N: usize>(from: &mut [f64; N], what: &[f64; N], factor: f64) {
    for i in 0..N {
        from[i] -= factor * what[i];
    }
}

/// A matrix of any number of rows.
#[derive(Debug, Clone)]
pub(super) struct Any {
    n: usize,
    work: Vec<f64>,
    pivot: Vec<usize>,
}

impl Any {
    fn new(n: usize) -> Any {
        Any {
            n,
            work: vec![0.0; n * n],
            pivot: vec![0; n],
        }
    }

    fn factorise<'a>(&mut self, columns: impl Iterator<Item = &'a [f64]>, diagonal: f64) -> bool {
        let n = self.n;
        for (i, (to, from)) in self.work.chunks_exact_mut(n).zip(columns).enumerate() {
            for (t, f) in to.iter_mut().zip(from) {
                *t = -f;
            }
            to[i] += diagonal;
        }
        (0..n).all(|k| self.eliminate(k))
    }

    fn eliminate(&mut self, k: usize) -> bool {
        let n = self.n;
        let (left, right) = self.work.split_at_mut((k + 1) * n);
        let (earlier, column) = left.split_at_mut(k * n);
        let best = (k..n).fold(k, |best, row| {
            if column[row].abs() > column[best].abs() {
                row
            } else {
                best
            }
        });
        self.pivot[k] = best;
        column.swap(k, best);
        let head = column[k];
        if !(head.abs() > 0.0 && head.is_finite()) {
            return false;
        }
        for factor in &mut column[k + 1..] {
            *factor /= head;
        }
        for other in right.chunks_exact_mut(n) {
            other.swap(k, best);
            let top = other[k];
            if top != 0.0 {
                subtract_slice(&mut other[k + 1..], &column[k + 1..], top);
            }
        }
        for other in earlier.chunks_exact_mut(n) {
            other.swap(k, best);
        }
        true
    }

    fn solve(&self, b: &mut [f64]) {
        for (row, best) in self.pivot.iter().enumerate() {
            b.swap(row, *best);
        }
        for (k, column) in self.work.chunks_exact(self.n).enumerate() {
            let x = b[k];
            subtract_slice(&mut b[k + 1..], &column[k + 1..], x);
        }
        for (k, column) in self.work.chunks_exact(self.n).enumerate().rev() {
            b[k] /= column[k];
            let x = b[k];
            subtract_slice(&mut b[..k], &column[..k], x);
        }
    }
}

fn subtract_slice(from: &mut [f64], what: &[f64], factor: f64) {
    for (f, w) in from.iter_mut().zip(what) {
        *f -= factor * w;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A matrix that needs exchanges: columns of a fixed pattern.
    fn pattern(n: usize) -> Vec<f64> {
        let entry = |i: usize, j: usize| ((7 * i + 3 * j * j + 5) % 11) as f64 - 4.0;
        (0..n * n).map(|at| entry(at % n, at / n)).collect()
    }

    /// (d − J)·x multiplied out and solved again gives x back, in every size, twice
    /// with the same memory.
    #[test]
    fn solves_what_was_multiplied_out() {
        for n in [1, 3, 8, 9, 12, 13, 16, 17, 24, 25, 60] {
            let mut lu = Lu::new(n);
            for diagonal in [0.3, 17.0] {
                let j = pattern(n);
                let x: Vec<f64> = (0..n).map(|i| 1.0 + (i % 5) as f64).collect();
                let mut b: Vec<f64> = x.iter().map(|x| diagonal * x).collect();
                for (column, x) in j.chunks_exact(n).zip(&x) {
                    subtract_slice(&mut b, column, *x);
                }
                assert!(lu.factorise(&j, n, n, diagonal), "{n}");
                lu.solve(&mut b);
                for (got, want) in b.iter().zip(&x) {
                    assert!((got - want).abs() < 1e-7, "{n} rows: {got} for {want}");
                }
            }
        }
    }

    #[test]
    fn singular_and_not_finite_are_refused() {
        for n in [2, 12, 30, 50] {
            let mut singular = vec![0.0; n * n];
            singular[n..2 * n].fill(1.0);
            assert!(!Lu::new(n).factorise(&singular, n, n, 0.0), "{n}");
            assert!(
                !Lu::new(n).factorise(&vec![f64::NAN; n * n], n, n, 1.0),
                "{n}"
            );
        }
    }
}
