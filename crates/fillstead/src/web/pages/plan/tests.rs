//! The plan's pages as a browser meets them: good and wrong questions, refusals, odd names.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use tower::ServiceExt as _;

use crate::usecase::book::add;
use crate::usecase::book::begin;
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::{Form, Given};
use crate::web::{App, router};

const BOATHOUSE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../stations/boathouse.toml");

/// A book of the boathouse in a folder of its own.
struct Club(PathBuf);

impl Club {
    fn begun(name: &str, station: bool) -> Club {
        let folder =
            std::env::temp_dir().join(format!("fillstead-plan-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        let club = Club(folder);
        let asked = begin::Asked {
            station: station.then_some(Path::new(BOATHOUSE)),
            name: (!station).then_some("Shed"),
            rule: Some("uk"),
            ..begin::Asked::default()
        };
        assert!(begin::begin(&club.book(), &asked, &MK).is_ok());
        club
    }

    fn book(&self) -> PathBuf {
        self.0.join("club.book")
    }

    fn enter(&self, form: &str, fields: &[(&str, &str)]) {
        let given: Given = fields
            .iter()
            .map(|(n, t)| ((*n).to_owned(), (*t).to_owned()))
            .collect();
        add::add(&self.book(), Form::named(form).unwrap(), &given, &MK).unwrap();
    }

    /// A cylinder tested this year, whatever the year.
    fn fresh(&self, id: &str) {
        let year = crate::usecase::clock::today(None).unwrap().year();
        let day = format!("{year}-01-01");
        self.enter(
            "cylinder",
            &[
                ("cylinder", id),
                ("water-volume", "7 L"),
                ("working-pressure", "232 bar"),
                ("test-pressure", "348 bar"),
                ("material", "steel"),
                ("made", &day),
                ("tested", &day),
                ("visual", &day),
            ],
        );
    }

    fn get(&self, address: &str) -> (StatusCode, String) {
        page(&self.book(), address)
    }
}

impl Drop for Club {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

const MK: Who<'static> = Who {
    by: Some("MK"),
    at: None,
    zone: Some("Europe/Dublin"),
};

fn page(book: &Path, address: &str) -> (StatusCode, String) {
    let app = Arc::new(App::of(book.to_owned()));
    let request = Request::get(address)
        .header("host", "localhost")
        .body(Body::empty())
        .unwrap();
    let runtime = tokio::runtime::Builder::new_current_thread()
        .build()
        .unwrap();
    runtime.block_on(async {
        let answer = router(app).oneshot(request).await.unwrap();
        let status = answer.status();
        let bytes = to_bytes(answer.into_body(), usize::MAX).await.unwrap();
        (status, String::from_utf8(bytes.to_vec()).unwrap())
    })
}

#[test]
fn a_plan_is_forecast_from_the_register() {
    let club = Club::begun("good", true);
    club.fresh("N1");
    let (status, html) = club.get("/plan?cylinder=N1&start=60&tower=70&humidity=75");
    assert_eq!(status, StatusCode::OK);
    for part in [
        "Running time",
        "What the gauges will do",
        "Water ledger",
        "What the PMV earns",
        "action=\"/run/start\"",
        "name=\"cylinder\" value=\"N1@60 bar\"",
        "name=\"tower\" value=\"70 bar\"",
        "INVENTED",
    ] {
        let there = html.to_lowercase().contains(&part.to_lowercase());
        assert!(there, "{part} is not on the page");
    }
    assert!(
        !html.contains("style=\"") && !html.contains("onclick"),
        "nothing inline"
    );
    assert!(!html.to_lowercase().contains("safe to breathe"));
}

#[test]
fn the_same_question_again_has_the_same_answer() {
    let club = Club::begun("again", true);
    club.fresh("N1");
    let address = "/plan?cylinder=N1@60%20bar&tower=70%20bar";
    assert_eq!(club.get(address), club.get(address));
    let before = club.get(address).1;
    club.enter("symptom", &[("what", "headache")]);
    let (_, after) = club.get(address);
    assert_ne!(before, after, "a new entry makes a new answer");
    assert!(after.contains("Filling is locked") && !after.contains("action=\"/run/start\""));
}

#[test]
fn a_cylinder_that_must_not_be_filled_is_named_and_left_out() {
    let club = Club::begun("refused", true);
    club.fresh("N1");
    club.fresh("N2");
    club.enter("condemn", &[("cylinder", "N2"), ("why", "corroded inside")]);
    let (status, html) = club.get("/plan?cylinder=N1@60%20bar&cylinder=N2@60%20bar&tower=70%20bar");
    assert_eq!(status, StatusCode::OK);
    assert!(html.contains("<b>N2 must not be filled, and is left out of every figure here.</b>"));
    assert!(
        html.contains("What the gauges will do"),
        "the other is forecast"
    );
    assert!(
        !html.contains("action=\"/run/start\""),
        "no run begins by it"
    );
    let (_, alone) = club.get("/plan?cylinder=N2@60%20bar");
    assert!(alone.contains("No figures yet") && alone.contains("N2 must not be filled"));
    let (status, card) = club.get("/plan/card?cylinder=N2@60%20bar");
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(card.contains("N2 must not be filled"), "{card}");
}

#[test]
fn what_is_wrong_stands_beside_its_input() {
    let club = Club::begun("wrong", true);
    let address =
        "/plan?cylinder=steel%2012&start=lots&tower=9000&humidity=140&to=high&fault=pmv-high";
    let (status, html) = club.get(address);
    assert_eq!(status, StatusCode::OK);
    for name in ["to", "tower", "humidity"] {
        assert!(
            html.contains(&format!("<p class=\"err\" id=\"h-{name}\">")),
            "{name}"
        );
    }
    assert!(html.contains("140 % is not between 0 % and 100 %"));
    assert!(html.contains("needs a size"), "the fault");
    assert!(html.contains("value=\"lots\""), "what was typed is kept");
    assert!(html.contains("No figures yet"));
    let (_, unknown) = club.get("/plan?cylinder=A11");
    assert!(unknown.contains("Did you mean A1?"), "{unknown}");
    let (_, twice) = club.get("/plan?cylinder=A1&cylinder=A1");
    assert!(twice.contains("A1 is in the plan already"));
}

#[test]
fn a_kind_is_planned_and_not_started() {
    let club = Club::begun("kind", true);
    let (status, html) =
        club.get("/plan?cylinder=steel%2012@50%20bar&tower=70%20bar&fault=pmv-high%3D20%20bar");
    assert_eq!(status, StatusCode::OK);
    assert!(html.contains("What the gauges will do") && html.contains("With faults:"));
    assert!(!html.contains("action=\"/run/start\""));
}

#[test]
fn script_in_a_name_is_text() {
    let club = Club::begun("script", true);
    let odd = "<script>alert(1)</script>";
    club.fresh(odd);
    let (status, html) = club.get("/plan?cylinder=%3Cscript%3Ealert(1)%3C%2Fscript%3E@60%20bar");
    assert_eq!(status, StatusCode::OK);
    assert!(!html.contains(odd) && html.contains("alert(1)"));
    let (status, card) =
        club.get("/plan/card?cylinder=%3Cscript%3Ealert(1)%3C%2Fscript%3E@60%20bar");
    assert_eq!(status, StatusCode::OK);
    assert!(!card.contains(odd) && card.contains("alert(1)"));
}

#[test]
fn without_a_station_the_way_on_is_told() {
    let club = Club::begun("none", false);
    let (status, html) = club.get("/plan");
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        html.contains("no station file") && html.contains("href=\"/\""),
        "{html}"
    );
}

#[test]
fn the_card_is_one_sheet_of_html() {
    let club = Club::begun("card", true);
    club.fresh("N1");
    let (status, html) = club.get("/plan/card?cylinder=N1@60%20bar&tower=70%20bar");
    assert_eq!(status, StatusCode::OK);
    for part in [
        "Run card",
        "Should read",
        "You read",
        "STOP",
        "Stop and find out why if",
        "N1 may be filled until",
        "class=\"qr\"",
        "seal ",
    ] {
        assert!(html.contains(part), "{part} is not on the card");
    }
    assert!(!html.contains("<script"), "no script on paper");
    assert!(html.contains("INVENTED"));
}

#[test]
fn other_units_are_asked_for_in_the_address() {
    let club = Club::begun("units", true);
    let (_, html) = club.get("/plan?units=us&cylinder=steel%2012&start=700&tower=1000");
    assert!(html.contains("<span class=\"u\">psi</span>"), "{html}");
    assert!(html.contains("value=\"700 psi\""));
}
