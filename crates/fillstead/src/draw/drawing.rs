//! A finished drawing and its two forms: within a page, and alone.

use super::alone;
use super::place::Rect;
use super::sheet::Sheet;
use super::text::escaped;

/// A finished drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What it is, in a few words.
    pub title: String,
    /// What it shows, in sentences.
    pub description: String,
    /// Width of its field, px.
    pub width: f64,
    /// Height of its field, px.
    pub height: f64,
    body: String,
    /// Where its texts stand.
    pub(super) labels: Vec<Rect>,
}

impl Drawing {
    /// What stands on the sheet, as a drawing of this size.
    pub(super) fn new(
        title: impl Into<String>,
        description: impl Into<String>,
        (width, height): (f64, f64),
        sheet: Sheet,
    ) -> Drawing {
        Drawing {
            title: title.into(),
            description: description.into(),
            width: width.ceil(),
            height: height.ceil(),
            body: sheet.out,
            labels: sheet.labels,
        }
    }

    /// For a page that brings style and symbols.
    pub fn svg(&self) -> String {
        self.element("")
    }

    /// For a file: with the style and the symbols it needs, black on white when printed.
    pub fn standalone(&self) -> String {
        self.element(&alone::head(&self.body)) + "\n"
    }

    fn element(&self, head: &str) -> String {
        let (w, h) = (self.width, self.height);
        let (title, description) = (escaped(&self.title), escaped(&self.description));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing\" viewBox=\"0 0 {w} {h}\" \
             width=\"{w}\" height=\"{h}\" role=\"img\">\n<title>{title}</title>\n\
             <desc>{description}</desc>\n{head}{}</svg>",
            self.body
        )
    }
}
