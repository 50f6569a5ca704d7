//! Words on a drawing: how they are written, how wide they are, how they are made harmless.
//!
//! Widths are those of the widest face of the style's list without a width axis, so that a box
//! holds its words in any of them.

/// How words are written; the class of the style sheet and its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pen {
    /// Notes on the drawing.
    Note,
    /// Labels.
    Small,
    /// Figures.
    Value,
    /// Large figures.
    Big,
}

impl Pen {
    pub fn class(self) -> &'static str {
        match self {
            Pen::Note => "n",
            Pen::Small => "s",
            Pen::Value => "v",
            Pen::Big => "V",
        }
    }

    /// Height of the letters, px.
    pub fn size(self) -> f64 {
        match self {
            Pen::Note => 12.0,
            Pen::Small | Pen::Value => 13.0,
            Pen::Big => 18.0,
        }
    }

    fn is_bold(self) -> bool {
        matches!(self, Pen::Value | Pen::Big)
    }
}

/// A line of words, each run with its pen.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Words {
    pub runs: Vec<(Pen, String)>,
    /// Classes beside those of the pens: `bad`, `odd`, `halo`.
    pub class: &'static str,
}

impl Words {
    pub fn new(pen: Pen, text: impl Into<String>) -> Words {
        Words {
            runs: vec![(pen, text.into())],
            class: "",
        }
    }

    /// Followed by this, a space between.
    pub fn then(mut self, pen: Pen, text: impl Into<String>) -> Words {
        self.runs.push((pen, format!(" {}", text.into())));
        self
    }

    pub fn class(self, class: &'static str) -> Words {
        Words { class, ..self }
    }

    /// px.
    pub fn width(&self) -> f64 {
        self.runs.iter().map(|(pen, text)| width(*pen, text)).sum()
    }

    /// Height of a line, px.
    pub fn height(&self) -> f64 {
        let sizes = self.runs.iter().map(|(pen, _)| pen.size());
        sizes.fold(0.0, f64::max) + 3.0
    }

    /// As markup.
    pub fn markup(&self) -> String {
        match &self.runs[..] {
            [(_, only)] => escaped(only),
            runs => {
                let one = |(pen, text): &(Pen, String)| {
                    let class = pen.class();
                    format!("<tspan class=\"{class}\">{}</tspan>", escaped(text))
                };
                runs.iter().map(one).collect()
            }
        }
    }
}

/// Advance widths of printable ASCII from the space on, thousandths of the size: those of the
/// common sans faces without a width axis (Helvetica's font metrics, from memory).
const ADVANCE: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];
/// Bold letters are wider by this.
const BOLD: f64 = 1.07;

/// px.
pub(super) fn width(pen: Pen, text: &str) -> f64 {
    let letter = |c: char| {
        let known = (c as usize).checked_sub(32).and_then(|i| ADVANCE.get(i));
        match known {
            Some(advance) => f64::from(*advance) / 1000.0,
            // ideographs and their like fill their square
            None if c as u32 >= 0x1100 => 1.0,
            None => 0.67,
        }
    };
    let bold = if pen.is_bold() { BOLD } else { 1.0 };
    text.chars().map(letter).sum::<f64>() * pen.size() * bold
}

/// The text cut to this width, px.
pub(super) fn fitted(pen: Pen, text: &str, most: f64) -> String {
    if width(pen, text) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        if width(pen, &kept) + width(pen, &format!("{c}…")) > most {
            break;
        }
        kept.push(c);
    }
    kept.trim_end().to_owned() + "…"
}

/// The text in lines no wider than `most`; the last of `lines` takes what is left, cut.
pub(super) fn wrapped(pen: Pen, text: &str, most: f64, lines: usize) -> Vec<String> {
    let mut broken: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = broken.last().map(|line| format!("{line} {word}"));
        match longer.filter(|line| width(pen, line) <= most) {
            Some(line) => {
                broken.pop();
                broken.push(line);
            }
            None => broken.push(word.to_owned()),
        }
    }
    if broken.len() > lines {
        let rest = broken.split_off(lines.saturating_sub(1)).join(" ");
        broken.push(rest);
    }
    broken.iter().map(|line| fitted(pen, line, most)).collect()
}

/// Text that may stand in XML: no markup, no control character.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_is_made_harmless() {
        assert_eq!(
            escaped("<a b='c'>&\"\n"),
            "&lt;a b=&#39;c&#39;&gt;&amp;&quot; "
        );
    }

    #[test]
    fn cut_text_is_no_wider_than_allowed() {
        let long = "Wide Öffnung 東京 ".repeat(9);
        for most in [20.0, 60.0, 200.0] {
            let cut = fitted(Pen::Value, &long, most);
            assert!(width(Pen::Value, &cut) <= most, "{cut}");
            assert!(cut.ends_with('…'));
        }
        assert_eq!(fitted(Pen::Note, "short", 100.0), "short");
    }
}
