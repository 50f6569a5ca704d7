//! Asking a person at a terminal, one line a question.
//!
//! Not here: what is asked ([`crate::usecase::questions`]).

use std::io::{self, BufRead, Write};

use crate::cli::render::page::paragraph;
use crate::cli::terminal::harmless;
use crate::usecase::Trouble;
use crate::usecase::draft::Draft;
use crate::usecase::questions::{QUESTIONS, Question, When};

/// Puts every question that is open. Stops with an error when the input ends.
pub fn all(
    draft: &mut Draft,
    input: &mut impl BufRead,
    output: &mut impl Write,
) -> Result<(), Trouble> {
    if let Some(trouble) = draft.wrong() {
        return Err(trouble);
    }
    tell(
        output,
        "Answer with a unit where there is one. An empty line skips a question.\n\n",
    )?;
    for question in &QUESTIONS {
        let put = match question.when {
            When::Needed | When::Optional => true,
            When::After(other) => draft.has(other),
            When::Instead(done, other) => draft.has(done) && !draft.has(other),
        };
        if put && !draft.has(question.field) {
            one(draft, question, input, output)?;
        }
    }
    for part in draft.drop_halves() {
        tell(
            output,
            &format!("Only a part of {part} is known: it is left out for now.\n"),
        )?;
    }
    tell(output, "\n")
}

/// Puts one question until its answer does, or it is skipped.
fn one(
    draft: &mut Draft,
    question: &Question,
    input: &mut impl BufRead,
    output: &mut impl Write,
) -> Result<(), Trouble> {
    let must = matches!(question.when, When::Needed | When::Instead(..));
    loop {
        tell(
            output,
            &format!("{} (such as {}) ", question.ask, question.example),
        )?;
        let mut line = String::new();
        if input
            .read_line(&mut line)
            .map_err(|error| ended(&error.to_string()))?
            == 0
        {
            tell(output, "\n")?;
            return Err(ended("the input ended"));
        }
        match line.trim() {
            "" if must => tell(output, "  This one is needed.\n")?,
            "" => return Ok(()),
            answer => match accepted(draft, question.field, answer) {
                Ok(better) => {
                    *draft = better;
                    return Ok(());
                }
                Err(trouble) => tell(output, &told(&trouble))?,
            },
        }
    }
}

/// The draft with this answer, if it fits what was answered before.
fn accepted(draft: &Draft, field: &'static str, answer: &str) -> Result<Draft, Trouble> {
    let mut better = draft.clone();
    better.set(field, answer)?;
    better.wrong().map_or(Ok(better), Err)
}

/// What is wrong with an answer, and what to do, on lines of their own.
fn told(trouble: &Trouble) -> String {
    let (what, remedy) = (harmless(&trouble.what), harmless(&trouble.remedy));
    paragraph(2, &format!("{what}.")) + &paragraph(2, &format!("{remedy}."))
}

fn tell(output: &mut impl Write, text: &str) -> Result<(), Trouble> {
    let told: io::Result<()> = output
        .write_all(text.as_bytes())
        .and_then(|()| output.flush());
    told.map_err(|error| ended(&error.to_string()))
}

fn ended(why: &str) -> Trouble {
    Trouble::new(
        format!("nothing is written: {why}"),
        "begin again, or give the answers as options; --help lists them",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The answers typed one by one: what was asked and said, and what came of it.
    fn asked(answers: &str) -> (Draft, String, Result<(), Trouble>) {
        let (mut draft, mut said) = (Draft::default(), Vec::new());
        let result = all(&mut draft, &mut answers.as_bytes(), &mut said);
        (draft, String::from_utf8(said).unwrap(), result)
    }

    #[test]
    fn only_what_is_needed_must_be_answered() {
        let (draft, said, result) =
            asked(&("Shed\n232 bar\n100 L/min\n".to_owned() + &"\n".repeat(9)));
        assert_eq!(result, Ok(()));
        assert!(
            draft
                .text()
                .unwrap()
                .contains("charging_rate = \"100 L/min\"")
        );
        assert!(
            !said.contains("needed") && !said.contains("close?"),
            "{said}"
        );
    }

    #[test]
    fn an_answer_that_does_not_do_is_asked_again() {
        let answers =
            "\nShed\n232\n232 bar\n\n\n120 L/min\n\n\n240 bar\n100 bar\n70 bar\n200 bar\n";
        let (_, said, result) = asked(answers);
        let times = |what: &str| said.matches(what).count();
        assert_eq!(times("What do people call"), 2);
        assert_eq!(times("Highest pressure"), 2);
        assert_eq!(times("free air delivered"), 2);
        assert_eq!(times("does it open"), 2);
        assert_eq!(times("does it close"), 1);
        assert_eq!(times("does it lift"), 2);
        assert!(said.contains("\"232\" has no unit."), "{said}");
        assert!(result.unwrap_err().what.contains("the input ended"));
    }

    #[test]
    fn halves_are_left_out() {
        let answers = "Shed\n232 bar\n100 L/min\n\n\n100 bar\n\n\n\n\ntwelve\n\n232 bar\n";
        let (draft, said, result) = asked(answers);
        assert_eq!(result, Ok(()));
        let text = draft.text().unwrap();
        assert!(
            !text.contains("\n[pmv]") && !text.contains("\n[[cylinder_kind]]"),
            "{text}"
        );
        assert_eq!(said.matches("left out for now").count(), 2, "{said}");
    }
}
