//! Problems of a station file: under the text they are about.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};
use station::{Problem, Severity};

use crate::cli::terminal::{WIDTH, harmless};
use crate::usecase::station::StationFile;
use crate::words::counted;

/// Every problem with carets under its places, an empty line after each.
pub fn text(file: &StationFile, colours: bool) -> String {
    let renderer = if colours {
        Renderer::styled()
    } else {
        Renderer::plain()
    }
    .term_width(WIDTH);
    let one = |problem| renderer.render(&[group(file, problem)]) + "\n\n";
    file.reading.problems.iter().map(one).collect()
}

/// One line on all of them.
pub fn summary(file: &StationFile) -> String {
    let name = harmless(&file.name);
    match (file.errors(), file.warnings()) {
        (0, 0) => format!("{name}: no problems.\n"),
        (0, warnings) => format!("{name}: {}.\n", counted(warnings, "warning")),
        (errors, 0) => format!("{name}: {}.\n", counted(errors, "error")),
        (errors, warnings) => {
            format!(
                "{name}: {}, {}.\n",
                counted(errors, "error"),
                counted(warnings, "warning")
            )
        }
    }
}

fn group<'a>(file: &'a StationFile, problem: &'a Problem) -> Group<'a> {
    let level = match problem.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = level
        .primary_title(harmless(&problem.message))
        .id(problem.id.slug());
    let name = harmless(&file.name);
    let shown: Element<'a> = if file.text.trim().is_empty() {
        Origin::path(name).into()
    } else {
        let kinds = [AnnotationKind::Primary]
            .into_iter()
            .chain(std::iter::repeat(AnnotationKind::Context));
        let marks = kinds.zip(&problem.labels).map(|(kind, label)| {
            kind.span(in_text(&file.text, &label.span))
                .label(harmless(&label.text))
        });
        Snippet::source(file.text.as_str())
            .path(name)
            .annotations(marks)
            .into()
    };
    title
        .element(shown)
        .element(Level::HELP.message(harmless(&problem.remedy)))
}

/// The span, kept inside the text.
fn in_text(text: &str, span: &Range<usize>) -> Range<usize> {
    let end = span.end.min(text.len());
    span.start.min(end)..end
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(text: &str) -> StationFile {
        StationFile {
            name: "a.toml".into(),
            reading: station::read(text),
            text: text.into(),
        }
    }

    /// A file may be cut or spoilt anywhere: it is still shown.
    #[test]
    fn every_cut_and_every_spoilt_byte_is_shown() {
        let whole = include_str!("../../../../../stations/boathouse.toml");
        for at in (0..whole.len()).filter(|&at| whole.is_char_boundary(at)) {
            let cut = &whole[..at];
            let rest = &whole[at..];
            for spoilt in [
                cut.to_owned(),
                format!("{cut}\u{301}\t\"{rest}"),
                format!("{cut}\r\n{rest}"),
            ] {
                let file = file(&spoilt);
                let shown = text(&file, false);
                for problem in &file.reading.problems {
                    assert!(shown.contains(problem.id.slug()), "{shown}");
                }
            }
        }
    }
}
