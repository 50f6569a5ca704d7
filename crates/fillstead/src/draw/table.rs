//! The data of a plot as a table, for those who cannot see it and for paper.

/// Rows of cells under a head; plain text, not escaped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Names of the columns.
    pub head: Vec<String>,
    /// As many cells in each row as the head has.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// A table without rows yet.
    pub fn new(caption: impl Into<String>, head: &[&str]) -> Table {
        Table {
            caption: caption.into(),
            head: head.iter().map(|cell| (*cell).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    /// One more row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.to_vec());
    }
}
