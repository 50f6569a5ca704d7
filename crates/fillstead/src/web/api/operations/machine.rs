//! Questions about the station in force, and two that need no book.

use insight::audit::Audit;
use serde::Serialize;
use serde_json::json;

use super::{Body, Done, Kind, Operation, Verb, may, must, of, reads, told};
use crate::usecase::Trouble;
use crate::usecase::as_json::{OfStation, assumed, problems};
use crate::usecase::book::machine::station_file;
use crate::usecase::forecast::{Wishes, forecast_of};
use crate::usecase::vent::{Asked as OfVent, vent_of};
use crate::usecase::{air_file, audit, convert, diagnose};
use crate::web::App;
use crate::web::api::asked::Asked;
use crate::web::api::failure::Failure;
use crate::web::person::Person;

/// Runs behind the bands, at most: a question over the network must not hold the machine.
const MOST_MEMBERS: usize = 1000;

pub const STATION: Operation = reads(
    "/station",
    "The station file in force, its problems, what is assumed",
    &[],
    "Station",
    station,
);

fn station(app: &App, _: &Person, _: &Asked) -> Done {
    let file = station_file(&app.book)?;
    told(&json!({
        "station": file.station().map(|station| &station.name),
        "invented": file.station().map(|station| station.invented),
        "errors": file.errors(),
        "warnings": file.warnings(),
        "file": file.text,
        "station_assumed": assumed(&file.reading.assumed),
        "station_problems": problems(&file),
    }))
}

pub const AUDIT: Operation = reads(
    "/audit",
    "Do the settings fit together, and fit the rules? Pressure ladder and findings",
    &[],
    "Audit",
    audited,
);

/// An audit as it is sent.
#[derive(Serialize)]
struct Audited<'a> {
    station: &'a str,
    invented: bool,
    #[serde(flatten)]
    audit: &'a Audit,
}

fn audited(app: &App, _: &Person, _: &Asked) -> Done {
    let answer = app.audit.get(&app.book, "", || -> Result<_, Failure> {
        Ok(audit::audit_of(station_file(&app.book)?)?)
    })?;
    let audited = Audited {
        station: &answer.audit.ladder.station,
        invented: answer.invented,
        audit: &answer.audit,
    };
    told(&OfStation::new(audited, &answer.file))
}

pub const FORECAST: Operation = reads(
    "/forecast",
    "What a run will do: what the gauges read, when to stop, what it settles to",
    &[
        of(
            Kind::Several,
            may(
                "cylinder",
                "a cylinder and its pressure before filling, in the order of filling",
                "A1@50 bar",
            ),
        ),
        may("intake-temperature", "air at the intake today", "24 °C"),
        may("humidity", "its relative humidity", "75 %"),
        may("tower", "tower gauge before the start", "70 bar"),
        may("until", "stop when full, or after this time", "20 min"),
        may("stop-at", "stop filling at this gauge pressure", "200 bar"),
        may("change-over", "time between cylinders", "4 min"),
        of(
            Kind::Flag,
            may("water-bath", "the cylinders stand in water", "true"),
        ),
        may("drain", "due, never, or every so often", "15 min"),
        may("cartridge-age", "running time of the cartridge", "12 h"),
        may("stored", "how long the machine has stood", "20 d"),
        of(
            Kind::Several,
            may(
                "compare-pmv",
                "other opening pressures of the PMV",
                "100 bar",
            ),
        ),
        of(
            Kind::Several,
            may(
                "fault",
                "something wrong with the station",
                "pmv-high=20 bar",
            ),
        ),
        of(
            Kind::Whole,
            may("members", "runs behind the bands, at most 1000", "200"),
        ),
        of(Kind::Whole, may("seed", "seed of these runs", "1")),
        may("every", "time between readings", "1 min"),
    ],
    "Forecast",
    forecast,
);

fn forecast(app: &App, _: &Person, asked: &Asked) -> Done {
    let members: Option<usize> = asked.whole("members")?;
    if let Some(many) = members.filter(|many| *many > MOST_MEMBERS) {
        let what = format!("{many} is more than {MOST_MEMBERS}");
        return Err(Trouble::new(what, "200 runs are enough for most bands")
            .about("members")
            .into());
    }
    let wishes = Wishes {
        cylinders: asked.several("cylinder"),
        intake_temperature: asked.owned("intake-temperature"),
        humidity: asked.owned("humidity"),
        tower: asked.owned("tower"),
        until: asked.owned("until"),
        stop_at: asked.owned("stop-at"),
        change_over: asked.owned("change-over"),
        water_bath: asked.flag("water-bath"),
        drain: asked.owned("drain"),
        cartridge_age: asked.owned("cartridge-age"),
        // Files of this machine are not read for whoever is on the network.
        adsorbents: Vec::new(),
        stored: asked.owned("stored"),
        compare_pmv: asked.several("compare-pmv"),
        faults: asked.several("fault"),
        members,
        seed: asked.whole("seed")?,
        every: asked.owned("every"),
    };
    let answer = forecast_of(station_file(&app.book)?, &wishes, &|_| ())?;
    told(&OfStation::new(&answer.forecast, &answer.file))
}

pub const DIAGNOSE: Operation = Operation {
    verb: Verb::Post,
    path: "/diagnose",
    about: "What is wrong, how sure, and what to read next; nothing is written down",
    query: &[],
    body: Body::Fields(&[
        must(may(
            "readings",
            "the readings as comma-separated text with the columns time, gauge, reading, observed",
            "time,gauge,reading,observed\n1:00,tower,75 bar,\n",
        )),
        of(
            Kind::Several,
            may(
                "cylinder",
                "a cylinder on the line and its pressure before filling",
                "A1@50 bar",
            ),
        ),
        may("tower", "tower gauge before the start", "70 bar"),
        may("intake-temperature", "air at the intake", "24 °C"),
    ]),
    answer: "Diagnosis",
    run: diagnosed,
};

fn diagnosed(app: &App, _: &Person, asked: &Asked) -> Done {
    let readings = needed(asked, "readings")?;
    let of_run = diagnose::Asked {
        cylinders: asked.several("cylinder"),
        tower: asked.owned("tower"),
        intake_temperature: asked.owned("intake-temperature"),
    };
    let file = station_file(&app.book)?;
    let answer = diagnose::diagnose_text(file, readings, &of_run, &|_| ())?;
    told(&OfStation::new(&answer.diagnosis, &answer.file))
}

pub const VENT: Operation = reads(
    "/vent",
    "Let the air out: how long each way takes, and what stays under pressure",
    &[
        may("tower", "tower gauge at the start", "120 bar"),
        may("line", "pressure in the whip at the start", "200 bar"),
        may("temperature", "air around the machine", "5 °C"),
        may("hose-bore", "bore of a fill hose", "4 mm"),
        may(
            "valve-bore",
            "narrowest passage of a cylinder's valve",
            "3 mm",
        ),
    ],
    "Vent",
    vent,
);

fn vent(app: &App, _: &Person, asked: &Asked) -> Done {
    let of_vent = OfVent {
        tower: asked.owned("tower"),
        line: asked.owned("line"),
        temperature: asked.owned("temperature"),
        hose_bore: asked.owned("hose-bore"),
        valve_bore: asked.owned("valve-bore"),
    };
    let answer = vent_of(station_file(&app.book)?, &of_vent)?;
    told(&OfStation::new(&answer.vent, &answer.file))
}

pub const AIR: Operation = Operation {
    verb: Verb::Post,
    path: "/air",
    about: "An air test held against a standard; nothing is written down",
    query: &[],
    body: Body::Fields(&[
        must(may(
            "results",
            "the results, as the text of a file",
            "[results]\ncarbon_monoxide = \"< 1 ppm\"\n",
        )),
        may("standard", "name of the standard", "EN 12021"),
        may("own", "a standard of your own, as CSV", "name,..."),
        may("today", "the day", "2026-05-20"),
    ]),
    answer: "Air",
    run: air,
};

fn air(_: &App, _: &Person, asked: &Asked) -> Done {
    let results = needed(asked, "results")?;
    let of_air = air_file::Asked {
        standard: asked.owned("standard"),
        today: asked.owned("today"),
    };
    let report = air_file::judged_text(results, "results", asked.text("own"), &of_air)?;
    told(&report)
}

pub const CONVERT: Operation = Operation {
    verb: Verb::Post,
    path: "/convert",
    about: "An amount of water, CO, CO2 or oil in every way people write it",
    query: &[],
    body: Body::Fields(&[
        must(may("amount", "the amount with its unit", "25 mg/m3")),
        may("of", "water, co, co2 or oil", "water"),
        may(
            "at",
            "a gauge pressure at which the points are wanted too",
            "200 bar",
        ),
        may(
            "temperature",
            "air temperature for a relative humidity",
            "20 °C",
        ),
        of(
            Kind::Flag,
            may(
                "point-at-pressure",
                "the amount is a point at that pressure",
                "true",
            ),
        ),
    ]),
    answer: "Converted",
    run: converted,
};

fn converted(_: &App, _: &Person, asked: &Asked) -> Done {
    let converted = convert::converted(&convert::Asked {
        amount: needed(asked, "amount")?.to_owned(),
        of: asked.owned("of"),
        at: asked.owned("at"),
        temperature: asked.owned("temperature"),
        point_at_pressure: asked.flag("point-at-pressure"),
    })?;
    told(&converted)
}

/// A text that must be given.
fn needed<'a>(asked: &'a Asked, name: &'static str) -> Result<&'a str, Trouble> {
    asked.text(name).ok_or_else(|| {
        let remedy = format!("send it as a text under the name {name}");
        Trouble::new(format!("{name} is missing"), remedy).about(name)
    })
}
