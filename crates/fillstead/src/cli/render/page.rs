//! Text laid out for a terminal: wrapped paragraphs and tables, no wider than [`WIDTH`].
//!
//! Every character counts as one column. Not here: what is said.

use crate::cli::terminal::WIDTH;

/// The text as lines no wider than the page, each indented so far.
pub fn paragraph(indent: usize, text: &str) -> String {
    let lines = wrapped(text, WIDTH.saturating_sub(indent));
    lines
        .iter()
        .map(|line| format!("{:indent$}{line}\n", ""))
        .collect()
}

/// A remark with a dash before it.
pub fn item(text: &str) -> String {
    let lines = wrapped(text, WIDTH - 4);
    let marks = std::iter::once("  - ").chain(std::iter::repeat("    "));
    marks
        .zip(&lines)
        .map(|(mark, line)| format!("{mark}{line}\n"))
        .collect()
}

/// The words of a text in lines of so many columns; a longer word stands alone.
pub fn wrapped(text: &str, columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words(text) {
        match lines.last_mut() {
            Some(line) if width(line) + 1 + width(&word) <= columns => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// The words of a text; a number and its unit are one.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let is_unit = word.starts_with(|c: char| !c.is_ascii_digit()) && width(word) <= 4;
        match words.last_mut() {
            Some(number) if is_unit && number.ends_with(|c: char| c.is_ascii_digit()) => {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Columns a text takes.
pub fn width(text: &str) -> usize {
    text.chars().count()
}

/// Rows of cells in columns two apart; the last column is wrapped.
pub struct Table {
    indent: usize,
    right: Vec<usize>,
    most: usize,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// No rows yet.
    pub fn new(indent: usize) -> Table {
        Table {
            indent,
            right: Vec::new(),
            most: WIDTH,
            rows: Vec::new(),
        }
    }

    /// The same with these columns set flush right.
    pub fn right(self, columns: impl IntoIterator<Item = usize>) -> Table {
        Table {
            right: columns.into_iter().collect(),
            ..self
        }
    }

    /// The same with columns no wider than this; a wider cell sends the last one to the next line.
    pub fn narrow(self, most: usize) -> Table {
        Table { most, ..self }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// The table, each row with its line break.
    pub fn text(&self) -> String {
        let widths = self.widths();
        self.rows
            .iter()
            .map(|row| self.line(row, &widths))
            .collect()
    }

    fn widths(&self) -> Vec<usize> {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let widest = |column| {
            let cells = self
                .rows
                .iter()
                .filter_map(|row: &Vec<String>| row.get(column));
            cells
                .map(|cell: &String| width(cell))
                .filter(|cell| *cell <= self.most)
                .max()
                .unwrap_or(0)
        };
        (0..columns).map(widest).collect()
    }

    fn line(&self, row: &[String], widths: &[usize]) -> String {
        let Some((last, cells)) = row.split_last() else {
            return "\n".to_owned();
        };
        let head = self.head(cells, widths);
        let before = widths.iter().take(cells.len()).map(|wide| wide + 2);
        let left = self.indent + before.sum::<usize>();
        if self.right.contains(&cells.len()) {
            let wide = widths.get(cells.len()).copied().unwrap_or(0);
            let space = " ".repeat(wide.saturating_sub(width(last)));
            return format!("{head}{space}{last}\n");
        }
        hung(&head, last, left)
    }

    /// All cells of a row but the last.
    fn head(&self, cells: &[String], widths: &[usize]) -> String {
        let mut head = " ".repeat(self.indent);
        for (column, (cell, wide)) in cells.iter().zip(widths).enumerate() {
            let space = " ".repeat(wide.saturating_sub(width(cell)));
            match self.right.contains(&column) {
                true => head += &format!("{space}{cell}  "),
                false => head += &format!("{cell}{space}  "),
            }
        }
        head
    }
}

/// The last cell after the head of its row, wrapped and hanging from its column; under the head
/// where that is too wide.
fn hung(head: &str, last: &str, left: usize) -> String {
    // A narrow rest would only make a ragged column of words.
    let lines = wrapped(last, WIDTH.saturating_sub(left).max(24));
    if lines.is_empty() {
        return head.trim_end().to_owned() + "\n";
    }
    let too_wide = width(head) > left;
    let mut text = match too_wide {
        true => head.trim_end().to_owned() + "\n",
        false => head.to_owned(),
    };
    for (n, line) in lines.iter().enumerate() {
        let before = if n == 0 && !too_wide { 0 } else { left };
        text += &format!("{:before$}{line}\n", "");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_wider_than_the_page() {
        let text = "word ".repeat(60);
        let mut table = Table::new(2).right([1]);
        table.row(["left".into(), "7".into(), text.clone()]);
        table.row(["l".into(), "70".into(), String::new()]);
        let table = table.text();
        assert!(table.starts_with("  left   7  word word"), "{table}");
        assert!(table.ends_with("\n  l     70\n"), "{table}");
        for line in (paragraph(4, &text) + &item(&text) + &table).lines() {
            assert!(width(line) <= WIDTH && !line.ends_with(' '), "{line:?}");
        }
    }

    #[test]
    fn a_wide_cell_does_not_squeeze_the_others() {
        let mut table = Table::new(0).narrow(6);
        table.row(["key".into(), "12 bar".into(), "as usual".into()]);
        table.row(["other".into(), "one, two, three".into(), "in order".into()]);
        let shown = "key    12 bar  as usual\nother  one, two, three\n               in order\n";
        assert_eq!(table.text(), shown);
    }

    #[test]
    fn a_long_word_stands_alone() {
        assert_eq!(wrapped("a bcdefgh i", 4), ["a", "bcdefgh", "i"]);
        assert_eq!(wrapped("", 4), [""; 0]);
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        assert_eq!(
            wrapped("it takes 232 bar at 21.1 °C.", 12),
            ["it takes", "232 bar at", "21.1 °C."]
        );
    }
}
