//! Questions to the records.

use axum::http::StatusCode;
use book::Subject;

use super::{Kind, Operation, Parameter, may, of, reads, told};
use crate::usecase::Trouble;
use crate::usecase::book::{add, cost, cylinder, desk, drift, hours, keep, list, trace};
use crate::web::api::failure::Failure;

const FROM: Parameter = may("from", "from this day on", "2026-05-01");
const TO: Parameter = may("to", "to the end of this day", "2026-05-31");
const LAST: Parameter = of(Kind::Whole, may("last", "the latest so many", "50"));
const TODAY: Parameter = may(
    "today",
    "the day; today at the station unless given",
    "2026-05-20",
);
const PERSON: Parameter = may("person", "for this person", "a member");
const OF_CYLINDER: Parameter = may("cylinder", "of this cylinder", "A1");

pub const ENTRIES: Operation = reads(
    "/book/entries",
    "Entries as a list: the latest 50 where nothing limits them",
    &[
        may("kind", "of this kind", "fill"),
        OF_CYLINDER,
        PERSON,
        may("part", "about this part", "cartridge"),
        FROM,
        TO,
        LAST,
        of(Kind::Flag, may("withdrawn", "those withdrawn too", "true")),
    ],
    "Entries",
    |app, _, asked| {
        let found = list::list(
            &app.book,
            &list::Asked {
                kind: asked.owned("kind"),
                cylinder: asked.owned("cylinder"),
                person: asked.owned("person"),
                part: asked.owned("part"),
                from: asked.owned("from"),
                to: asked.owned("to"),
                last: asked.whole("last")?,
                withdrawn: asked.flag("withdrawn"),
            },
        )?;
        told(&found)
    },
);

pub const ENTRY: Operation = reads(
    "/book/entries/{entry}",
    "One entry whole, with its corrections",
    &[],
    "Entry",
    |app, _, asked| {
        let none = |trouble| Failure::from(trouble).with(StatusCode::NOT_FOUND);
        let number = asked.part("entry").parse().map_err(|_| {
            none(Trouble::new(
                "an entry has a number",
                "write it in digits, such as 12",
            ))
        })?;
        drop(desk::read(&app.book)?);
        told(&list::show(&app.book, number).map_err(none)?)
    },
);

pub const CYLINDERS: Operation = reads(
    "/book/cylinders",
    "The register: every cylinder, and whether it may be filled",
    &[TODAY],
    "Cylinders",
    |app, _, asked| told(&cylinder::all(&app.book, asked.text("today"))?),
);

pub const CYLINDER: Operation = reads(
    "/book/cylinders/{cylinder}",
    "May this cylinder be filled now, to what, until when? And its history",
    &[
        may("to", "pressure wanted", "232 bar"),
        of(
            Kind::Several,
            may("with", "another cylinder on the same line", "A2"),
        ),
        may(
            "protected-at",
            "where this line alone is held by its own relief valve",
            "220 bar",
        ),
        LAST,
    ],
    "Cylinder",
    |app, _, asked| {
        let id = asked.part("cylinder");
        add::on_register(&desk::read(&app.book)?, id)
            .map_err(|trouble| Failure::from(trouble).with(StatusCode::NOT_FOUND))?;
        let of_gate = cylinder::Asked {
            to: asked.owned("to"),
            with: asked.several("with"),
            protected_at: asked.owned("protected-at"),
            last: asked.whole("last")?,
        };
        told(&cylinder::one(&app.book, id, &of_gate)?)
    },
);

pub const DUE: Operation = reads(
    "/book/due",
    "What is due, and whether filling is locked",
    &[TODAY],
    "Due",
    |app, _, asked| told(&*app.due(asked.text("today"))?),
);

pub const TRACE: Operation = reads(
    "/book/trace",
    "Who got which air: a batch between two entries or days, or back from a cylinder or person",
    &[
        may("from", "begin: number of an entry, or a day", "41"),
        may("to", "end, the same way", "97"),
        may("cylinder", "where this cylinder's air came from", "A1"),
        may("person", "where this person's air came from", "a member"),
    ],
    "Trace",
    |app, _, asked| {
        let cylinder = asked.owned("cylinder").map(Subject::Cylinder);
        let person = asked.owned("person").map(Subject::Person);
        let (from, to) = (asked.text("from"), asked.text("to"));
        match (cylinder.or(person), from.or(to)) {
            (Some(of), None)
                if asked.text("cylinder").is_none() || asked.text("person").is_none() =>
            {
                told(&trace::back(&app.book, &of)?)
            }
            (None, _) => told(&trace::batch(&app.book, from, to)?),
            (Some(_), _) => {
                let what = "a batch, a cylinder and a person are three questions";
                Err(Trouble::new(what, "ask for one of them").into())
            }
        }
    },
);

pub const FILLS: Operation = reads(
    "/book/fills",
    "Fills counted",
    &[FROM, TO, PERSON, OF_CYLINDER],
    "Fills",
    |app, _, asked| {
        let of_fills = hours::Asked {
            from: asked.text("from"),
            to: asked.text("to"),
            person: asked.text("person"),
            cylinder: asked.text("cylinder"),
        };
        told(&hours::fills(&app.book, &of_fills)?)
    },
);

pub const HOURS: Operation = reads(
    "/book/hours",
    "Running hours, counted and by the meter, and since each part",
    &[],
    "Hours",
    |app, _, _| told(&hours::hours(&app.book)?),
);

pub const DRIFT: Operation = reads(
    "/book/drift",
    "What moves: readings that drift over the months",
    &[TODAY],
    "Drift",
    |app, _, asked| told(&*app.drift(asked.text("today"))?),
);

pub const CARTRIDGE: Operation = reads(
    "/book/cartridge",
    "What the cartridge has seen, and how long it still lasts",
    &[],
    "Cartridge",
    |app, _, _| told(&drift::cartridge_state(&app.book)?),
);

pub const COST: Operation = reads(
    "/book/cost",
    "What a fill cost",
    &[of(
        Kind::Whole,
        may(
            "entry",
            "number of the fill's entry; the last fill unless given",
            "41",
        ),
    )],
    "Cost",
    |app, _, asked| told(&cost::of_fill(&app.book, asked.whole("entry")?)?),
);

pub const VERIFY: Operation = reads(
    "/book/verify",
    "Whether the book is whole",
    &[may(
        "seal",
        "number and hash noted elsewhere",
        "412:e5337f9a63497798",
    )],
    "Verified",
    |app, _, asked| told(&keep::check(&app.book, asked.text("seal"), &mut |_| ())?),
);
