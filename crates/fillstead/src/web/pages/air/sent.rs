//! Results pasted or brought as a file: judged as they are, each problem told by its line.
//!
//! The text stays in the page, so that it can be mended. Not here: what the text may look like
//! ([`crate::usecase::air::sent`]).

use std::sync::Arc;

use axum::extract::multipart::MultipartError;
use axum::extract::{Multipart, State};
use axum::http::StatusCode;
use axum::response::Response;
use insight::air::Verdict;
use station::Date;

use super::{keeps, view};
use crate::usecase::air::sent::{MOST_BYTES, Sent};
use crate::usecase::air::{AirProblem, Text};
use crate::usecase::book::form::Given;
use crate::usecase::book::transfer::letters::text_of;
use crate::web::App;
use crate::web::form::is_plain;
use crate::web::page::{PageError, sentence, work};
use crate::web::person::Person;
use crate::web::typed::Typed;

/// The field of a text that was sent.
pub const FIELD: &str = "results";

/// A text that was sent, and what is wrong with it.
#[derive(Default)]
pub struct Pasted {
    /// The text, for mending.
    pub text: String,
    /// What is wrong, line by line.
    pub wrong: Vec<String>,
    /// What was left aside.
    pub note: String,
}

/// A text that was sent as a results file; what is wrong with it, line by line, where it is none.
pub fn judged(text: &str, standard: &str, today: Date) -> (Pasted, Option<(Verdict, String)>) {
    let (sent, mut problems) = Sent::understood(text);
    let report = sent.judge(standard, today);
    let note = match sent.left_aside.as_slice() {
        [] => String::new(),
        columns => format!(
            "Not a part of the result, and left aside: {}.",
            columns.join(", ")
        ),
    };
    let mut pasted = Pasted {
        text: text.chars().take(MOST_BYTES).collect(),
        note,
        ..Pasted::default()
    };
    if let (Ok(report), true) = (&report, problems.is_empty()) {
        return (pasted, Some((report.verdict.clone(), sent.text)));
    }
    // What is missing as a whole may stand in a line that could not be read.
    let whole = problems.is_empty();
    let of_line = |p: &AirProblem| whole || p.line.is_some() || p.text == Text::StandardName;
    problems.extend(report.err().unwrap_or_default().into_iter().filter(of_line));
    problems.sort_by_key(|problem| problem.line);
    pasted.wrong = problems.iter().map(told).collect();
    (pasted, None)
}

/// `Line 4: cause. Remedy.`
fn told(problem: &AirProblem) -> String {
    let line = problem.line.map(|line| format!("Line {line}: "));
    let cause = match line.is_some() {
        true => format!("{}.", problem.cause),
        false => sentence(&problem.cause),
    };
    let text = format!(
        "{}{cause} {}",
        line.unwrap_or_default(),
        sentence(&problem.remedy)
    );
    text.replace('`', "\"")
}

/// `POST /air/results`: the text in `results`, or the file in `file`, by `standard`.
pub async fn look(
    State(app): State<Arc<App>>,
    person: Person,
    parts: Multipart,
) -> Result<Response, PageError> {
    let given = read(parts).await?;
    let by = person.name.unwrap_or_default();
    let view = work(&app, move |app| view(app, given, by, Vec::new())).await??;
    let refused = !view.pasted.wrong.is_empty();
    keeps(&view, refused)
}

/// What was sent, as fields: a file counts before a text.
async fn read(mut parts: Multipart) -> Result<Given, PageError> {
    let mut given = Given::new();
    let (mut text, mut file) = (String::new(), String::new());
    while let Some(part) = parts.next_field().await.map_err(broken)? {
        let name = part.name().unwrap_or_default().to_owned();
        let bytes = part.bytes().await.map_err(broken)?;
        match name.as_str() {
            "file" => file = letters(&bytes)?,
            FIELD => text = letters(&bytes)?,
            "standard" => given.push((name, letters(&bytes)?)),
            _ => {}
        }
    }
    let text = if file.trim().is_empty() { text } else { file };
    given.push((FIELD.to_owned(), text));
    Ok(given)
}

fn letters(bytes: &[u8]) -> Result<String, PageError> {
    let no_text = |why: &str| {
        let text = format!(
            "Nothing was looked at: {why}. Save the results as .toml, .csv or .txt, or paste them \
             as text."
        );
        refusal(StatusCode::UNPROCESSABLE_ENTITY, "That is no text", &text)
    };
    if bytes.len() > MOST_BYTES {
        let why = format!("results of one sample never take {} kB", bytes.len() / 1000);
        return Err(no_text(&why));
    }
    let (text, _) = text_of(bytes).map_err(|trouble| no_text(&trouble.what))?;
    match is_plain(&text) {
        true => Ok(text),
        false => Err(no_text("it holds signs that nobody types")),
    }
}

fn broken(error: MultipartError) -> PageError {
    match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => refusal(
            StatusCode::PAYLOAD_TOO_LARGE,
            "That is too large",
            "Nothing larger than 4 MiB is taken. Nothing was changed. Send the results of one \
             sample.",
        ),
        status => refusal(
            status,
            "That did not work",
            "What was sent cannot be read. Send the results again; nothing was changed.",
        ),
    }
}

fn refusal(status: StatusCode, title: &str, sentence: &str) -> PageError {
    PageError::new(status, title, sentence).way("/air", "Air")
}

/// The text that was sent; none where the fields were typed.
pub fn text(typed: &Typed) -> Option<&str> {
    let found = typed.0.iter().find(|(name, _)| name == FIELD);
    found.map(|(_, text)| text.as_str())
}
