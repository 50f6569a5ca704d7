//! Characters in rows and columns, and curves drawn with them. Row 0 is the lowest.

/// Columns.
pub const WIDTH: usize = 72;
/// Rows.
pub const HEIGHT: usize = 17;

/// A curve's strokes: level, upright, rising in, rising out, falling in, falling out.
struct Pen {
    level: char,
    upright: char,
    rising: [char; 2],
    falling: [char; 2],
}

const THIN: Pen = Pen {
    level: '─',
    upright: '│',
    rising: ['╯', '╭'],
    falling: ['╮', '╰'],
};
const THICK: Pen = Pen {
    level: '━',
    upright: '┃',
    rising: ['┛', '┏'],
    falling: ['┓', '┗'],
};

/// What is drawn later covers what was drawn before.
pub struct Canvas {
    cells: Vec<[char; WIDTH]>,
}

impl Canvas {
    /// Nothing on it.
    pub fn new() -> Canvas {
        Canvas {
            cells: vec![[' '; WIDTH]; HEIGHT],
        }
    }

    /// A row as text.
    pub fn line(&self, row: usize) -> String {
        self.cells
            .get(row)
            .map_or(String::new(), |cells| cells.iter().collect())
    }

    /// A dashed line over the whole width.
    pub fn dashes(&mut self, row: usize) {
        for column in (0..WIDTH).step_by(4) {
            self.put(row, column, '╴');
        }
    }

    /// Dots from one row to another in each column, on blanks only.
    pub fn dots(&mut self, low: &[usize], high: &[usize]) {
        for (column, (low, high)) in low.iter().zip(high).enumerate() {
            for row in *low..=*high {
                self.put(row, column, '·');
            }
        }
    }

    /// A thin curve through these rows.
    pub fn thin(&mut self, rows: &[usize]) {
        self.curve(rows, &THIN);
    }

    /// A thick curve through these rows.
    pub fn thick(&mut self, rows: &[usize]) {
        self.curve(rows, &THICK);
    }

    /// A mark on a curve through these rows, in every so many columns.
    pub fn marks(&mut self, rows: &[usize], mark: char, first: usize, every: usize) {
        for (column, &row) in rows.iter().enumerate().skip(first).step_by(every.max(1)) {
            self.put(row, column, mark);
        }
    }

    fn curve(&mut self, rows: &[usize], pen: &Pen) {
        let mut before = rows.first().copied().unwrap_or(0);
        for (column, &row) in rows.iter().enumerate() {
            for upright in before.min(row) + 1..before.max(row) {
                self.put(upright, column, pen.upright);
            }
            if row == before {
                self.put(row, column, pen.level);
            } else {
                let [leaves, arrives] = if row > before {
                    pen.rising
                } else {
                    pen.falling
                };
                self.put(before, column, leaves);
                self.put(row, column, arrives);
            }
            before = row;
        }
    }

    fn put(&mut self, row: usize, column: usize, c: char) {
        if let Some(cell) = self
            .cells
            .get_mut(row)
            .and_then(|cells| cells.get_mut(column))
        {
            *cell = c;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_hangs_together() {
        let mut canvas = Canvas::new();
        canvas.thin(&[0, 0, 2, 2, 1]);
        let drawn: Vec<String> = (0..3)
            .rev()
            .map(|row| canvas.line(row).trim_end().into())
            .collect();
        assert_eq!(drawn, ["  ╭─╮", "  │ ╰", "──╯"]);
    }

    #[test]
    fn nothing_is_drawn_outside() {
        let mut canvas = Canvas::new();
        canvas.thick(&[HEIGHT; WIDTH + 9]);
        canvas.dashes(HEIGHT);
        assert!((0..HEIGHT).all(|row| canvas.line(row).trim().is_empty()));
    }
}
