//! Writing entries: forms, fills behind the gate, corrections.

use axum::http::StatusCode;
use book::Kind;
use serde_json::json;

use super::{Body, Done, Operation, Verb, as_value};
use crate::usecase::Trouble;
use crate::usecase::book::add::{self, Added};
use crate::usecase::book::correct::{self, Change};
use crate::usecase::book::desk::{self, Who};
use crate::usecase::book::form::{Form, Given};
use crate::usecase::book::gate;
use crate::usecase::book::list;
use crate::web::App;
use crate::web::api::asked::Asked;
use crate::web::api::failure::Failure;
use crate::web::person::Person;

/// What is not a field of a form.
const SIGNED: [&str; 3] = ["by", "at", "zone"];

pub const ADD: Operation = Operation {
    verb: Verb::Post,
    path: "/book/add/{form}",
    about: "Writes an entry of this form; a fill asks the fill gate first",
    query: &[],
    body: Body::Form,
    answer: "Added",
    run: add,
};

fn add(app: &App, person: &Person, asked: &Asked) -> Done {
    let form = Form::named(asked.part("form"))
        .map_err(|trouble| Failure::from(trouble).with(StatusCode::NOT_FOUND))?;
    if form.kind == Kind::Fill {
        return fill(app, person, asked);
    }
    let by = author(person, asked)?;
    let given = joined(asked.without(&SIGNED));
    let added = add::add(&app.book, form, &given, &who(by.as_deref(), asked))?;
    as_value(StatusCode::CREATED, &told(&added))
}

pub const FILL: Operation = Operation {
    verb: Verb::Post,
    path: "/book/fill",
    about: "Asks the fill gate, and writes the fill or the refusal",
    query: &[],
    body: Body::Fill,
    answer: "Filled",
    run: fill,
};

fn fill(app: &App, person: &Person, asked: &Asked) -> Done {
    let by = author(person, asked)?;
    let given = joined(asked.without(&SIGNED));
    let filled = gate::fill(&app.book, &given, &who(by.as_deref(), asked))?;
    let status = match filled.written {
        true => StatusCode::CREATED,
        false => StatusCode::CONFLICT,
    };
    as_value(status, &filled.as_json())
}

pub const CORRECT: Operation = Operation {
    verb: Verb::Post,
    path: "/book/correct",
    about: "Puts an earlier entry right: your own, or any as a keeper",
    query: &[],
    body: Body::Correction,
    answer: "Added",
    run: correct,
};

fn correct(app: &App, person: &Person, asked: &Asked) -> Done {
    let by = author(person, asked)?;
    let of: Option<u64> = asked.whole("entry")?;
    let of = of.ok_or_else(|| {
        Trouble::new("no entry is named", "give its number under the name entry").about("entry")
    })?;
    drop(desk::read(&app.book)?);
    let shown = list::show(&app.book, of)
        .map_err(|trouble| Failure::from(trouble).with(StatusCode::NOT_FOUND))?;
    let whose = shown.written.first().map_or("", |written| &written.author);
    if !person.may_correct(whose) {
        let what = format!("entry {of} is {whose}'s, and an operator corrects their own");
        return Err(Failure::of(
            StatusCode::FORBIDDEN,
            &what,
            "ask a keeper of the book",
        ));
    }
    let change = Change {
        of,
        why: asked.text("why").unwrap_or_default(),
        withdraw: asked.flag("withdraw"),
        given: joined(asked.without(&["by", "at", "zone", "entry", "why", "withdraw"])),
    };
    let added = correct::correct(&app.book, &change, &who(by.as_deref(), asked))?;
    as_value(StatusCode::CREATED, &told(&added))
}

fn told(added: &Added) -> serde_json::Value {
    json!({
        "entry": added.seq,
        "kind": added.kind,
        "happened": added.happened,
        "author": added.author,
        "seal": added.seal,
        "remarks": added.remarks,
    })
}

/// Who signs: whoever is signed in, and nobody in another's name.
fn author(person: &Person, asked: &Asked) -> Result<Option<String>, Trouble> {
    let typed = asked.text("by");
    let author = person.author(typed);
    match typed {
        Some(typed) if author.as_deref() != Some(typed.trim()) => {
            let name = author.unwrap_or_default();
            let what = format!("entries made here are signed by {name}, who is signed in");
            Err(Trouble::new(what, "leave the name out, or sign in as somebody else").about("by"))
        }
        _ => Ok(author),
    }
}

fn who<'a>(by: Option<&'a str>, asked: &'a Asked) -> Who<'a> {
    Who {
        by,
        at: asked.text("at"),
        zone: asked.text("zone"),
    }
}

/// Several texts of one name as one, the way forms take them.
fn joined(given: Given) -> Given {
    let mut joined = Given::new();
    for (name, text) in given {
        match joined.iter_mut().find(|(other, _)| *other == name) {
            Some((_, before)) => *before = format!("{before}; {text}"),
            None => joined.push((name, text)),
        }
    }
    joined
}
