//! What came of an entry: what was written, what to think of, what to do next; of a refused fill,
//! every reason and the way forward.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use askama::Template;
use axum::extract::{Extension, Path, State};
use axum::response::Response;

use crate::usecase::book::add::Added;
use crate::usecase::book::form::Given;
use crate::usecase::book::gate::Filled;
use crate::web::App;
use crate::web::address;
use crate::web::page::{PageError, Place, Sheet, see_other, sentence, show, work};
use crate::web::pages::book::Against;
use crate::web::person::Person;
use crate::web::said::{Piece, pieces};
use crate::web::typed::Typed;

/// So many of the latest are remembered, to be told once.
const MOST: usize = 60;

/// What came of it.
pub enum Outcome {
    /// An entry, the name of its form, what was typed.
    Added(Added, &'static str, Given),
    /// A fill, or its refusal, and what was typed.
    Filled(Box<Filled>, Given),
}

impl Outcome {
    /// The number of the entry.
    pub fn seq(&self) -> u64 {
        self.added().seq
    }

    fn typed(&self) -> Typed {
        match self {
            Outcome::Added(_, _, given) | Outcome::Filled(_, given) => Typed(given.clone()),
        }
    }

    fn added(&self) -> &Added {
        match self {
            Outcome::Added(added, ..) => added,
            Outcome::Filled(filled, _) => &filled.added,
        }
    }
}

/// The latest outcomes, by entry.
#[derive(Default)]
pub struct Tellings(Mutex<VecDeque<Arc<Outcome>>>);

impl Tellings {
    /// Remembers one.
    pub fn put(&self, seq: u64, outcome: Outcome) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|other| other.seq() != seq);
        all.push_back(Arc::new(outcome));
        while all.len() > MOST {
            all.pop_front();
        }
    }

    fn of(&self, seq: u64) -> Option<Arc<Outcome>> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.iter().find(|outcome| outcome.seq() == seq).cloned()
    }
}

/// What came of it, on a page.
#[derive(Template)]
#[template(path = "web/enter/done.html")]
struct DoneView {
    sheet: Sheet,
    form: &'static str,
    /// The name under which the browser kept what was typed.
    kept: String,
    seq: u64,
    kind: &'static str,
    happened: String,
    author: String,
    seal: String,
    caution: &'static str,
    remarks: Vec<Vec<Piece>>,
    next: Vec<(String, &'static str)>,
    refused: Option<Refused>,
    against: Vec<Against>,
}

/// A fill that was not written down.
struct Refused {
    cylinder: String,
    /// What was typed, to be sent again.
    again: Given,
    /// Whether somebody may answer for everything that stands against it.
    may_override: bool,
    by: String,
}

/// `GET /book/done/{seq}`. Once it is told no more, the entry itself is shown.
pub async fn done(
    State(app): State<Arc<App>>,
    Extension(tellings): Extension<Arc<Tellings>>,
    person: Person,
    Path(seq): Path<u64>,
) -> Result<Response, PageError> {
    let Some(outcome) = tellings.of(seq) else {
        return Ok(see_other(&format!("/book/entry/{seq}")));
    };
    let sheet = work(&app, |app| Sheet::of(app, Place::Book, "In the book")).await?;
    show(&view(sheet, &outcome, person.name.unwrap_or_default()))
}

fn view(sheet: Sheet, outcome: &Outcome, by: String) -> DoneView {
    let added = outcome.added();
    let remark = |remark: &String| pieces(&sentence(remark));
    let (form, next, against, refused) = match outcome {
        Outcome::Added(_, form, given) => (
            *form,
            next(form, added.seq, &Typed(given.clone())),
            Vec::new(),
            None,
        ),
        Outcome::Filled(filled, given) => {
            let typed = Typed(given.clone());
            let against: Vec<Against> = filled.verdict.refusals.iter().map(Against::from).collect();
            let refused = (!filled.written).then(|| refused(filled, &typed, by));
            ("fill", after_fill(&typed, filled.written), against, refused)
        }
    };
    DoneView {
        sheet,
        kept: match outcome.typed().text("keep") {
            Some(name) => name.to_owned(),
            None => form.to_owned(),
        },
        form,
        seq: added.seq,
        kind: added.kind,
        happened: added.happened.clone(),
        author: added.author.clone(),
        seal: format!("{}:{}", added.seq, added.seal),
        caution: added.caution,
        remarks: added.remarks.iter().map(remark).collect(),
        next,
        refused,
        against,
    }
}

fn refused(filled: &Filled, typed: &Typed, by: String) -> Refused {
    let again = |(name, text): &&(String, String)| {
        !["override", "already-filled", "by"].contains(&name.as_str()) && !text.trim().is_empty()
    };
    let refusals = &filled.verdict.refusals;
    Refused {
        cylinder: typed.shown("cylinder"),
        again: typed.0.iter().filter(again).cloned().collect(),
        may_override: !refusals.is_empty() && refusals.iter().all(|r| r.may_be_overridden),
        by,
    }
}

fn after_fill(typed: &Typed, written: bool) -> Vec<(String, &'static str)> {
    let cylinder = typed.shown("cylinder");
    let mut ways = vec![("/book/fill".to_owned(), "Next cylinder")];
    if written {
        ways.push((
            address::with("/print/tag", &[("cylinder", &cylinder)]),
            "Print its tag",
        ));
        ways.push(("/book/add/drain".to_owned(), "Drain"));
        ways.push(("/book/add/stop".to_owned(), "Stop the run"));
    }
    ways.push((address::cylinder(&cylinder), "This cylinder"));
    ways
}

/// The next sensible steps after an entry.
fn next(form: &str, seq: u64, typed: &Typed) -> Vec<(String, &'static str)> {
    let to = |href: &str, words| (href.to_owned(), words);
    let cylinder = typed.shown("cylinder");
    let page = || (address::cylinder(&cylinder), "This cylinder");
    match form {
        "start" => vec![
            to("/book/fill", "Fill a cylinder"),
            to("/book/add/drain", "Drain"),
        ],
        "stop" => vec![
            to("/print/day", "Day sheet"),
            to("/book/add/park", "Put the machine by"),
        ],
        "drain" => vec![
            to("/book/fill", "Fill a cylinder"),
            to("/book/add/stop", "Stop the run"),
        ],
        "cylinder" => vec![page(), to("/book/add/cylinder", "Another cylinder")],
        "inspection" => vec![page(), to("/book/add/inspection", "Another inspection")],
        "condemn" | "left" => vec![page()],
        "replaced" if typed.text("part") == Some("cartridge") => {
            vec![
                to("/print/cartridge", "Print the cartridge tag"),
                to("/book/add/start", "Start a run"),
            ]
        }
        "replaced" | "tested" | "interval" => vec![to("/book#due", "What else is due")],
        "valve" => vec![
            to("/book/add/reading?of=pmv+opens", "Enter where it opens now"),
            to("/book/drift", "Drift"),
        ],
        "symptom" => vec![
            to("/print/quarantine", "Print what is set aside"),
            (
                format!("/book/add/cause?of={seq}"),
                "Enter the cause, once known",
            ),
        ],
        "cause" => vec![
            to("/air", "Enter a new air test"),
            to("/book", "What is still locked"),
        ],
        "reading" => vec![
            to("/book/drift", "Drift"),
            to("/book/add/reading", "Another reading"),
        ],
        _ => Vec::new(),
    }
}
