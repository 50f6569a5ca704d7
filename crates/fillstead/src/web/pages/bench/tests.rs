//! The bench through the router: good and bad input, roles, what is hidden, the stream.

use std::time::Duration;

use axum::Router;
use axum::http::{Method, StatusCode};
use http_body_util::BodyExt as _;
use tower::ServiceExt as _;

use crate::usecase::clock;
use crate::web::tests::{Server, app, ask, get, request, send, server, wait};
use crate::web::{App, router};
use std::sync::Arc;

/// A server whose benches a test can reach past its clock.
fn house(lan: bool) -> (Server, Arc<App>, Router) {
    let server = server(lan);
    let app = app(&server.book, !lan);
    let router = router(app.clone());
    (server, app, router)
}

async fn open(router: &Router, cookie: &str, form: &str) -> String {
    let answer = send(router, "/bench", cookie, form).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    answer.headers["location"].to_str().unwrap().to_owned()
}

fn advance(app: &App, at: &str, seconds: u64) {
    let id = at.trim_start_matches("/bench/");
    let done = app
        .benches
        .with(id, clock::now(), |room| room.bench.advance(seconds));
    assert!(done.is_some(), "{at} is gone");
}

/// The first message of the stream, as it is sent.
async fn first(router: &Router, at: &str, cookie: &str) -> String {
    let asked = request(
        Method::GET,
        &format!("{at}/stream"),
        &[("cookie", cookie)],
        "",
    );
    let answer = router.clone().oneshot(asked).await.unwrap();
    assert_eq!(answer.headers()["content-type"], "text/event-stream");
    let mut body = answer.into_body();
    let frame = tokio::time::timeout(Duration::from_secs(20), body.frame()).await;
    let bytes = frame.unwrap().unwrap().unwrap().into_data().unwrap();
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn a_bench_is_set_up_worked_and_ended() {
    let (_server, app, router) = house(false);
    wait(async {
        let list = get(&router, "/bench").await.text;
        assert!(
            list.contains("Training.") && list.contains("None stands"),
            "{list}"
        );
        let at = open(&router, "by=Ann", "name=Evening+%3Cclass%3E&start=60+bar").await;
        let page = get(&router, &at).await.text;
        assert!(
            page.contains("<b>Training.</b>") && page.contains("Evening &#60;class&#62;"),
            "{page}"
        );
        assert!(
            !page.contains(" style=") && !page.contains("<script>"),
            "{page}"
        );
        for act in ["fill-open", "cylinder-open", "motor-on"] {
            let done = send(
                &router,
                &format!("{at}/act"),
                "by=Ann",
                &format!("act={act}&hose=0"),
            )
            .await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        advance(&app, &at, 120);
        let page = get(&router, &at).await.text;
        assert!(page.contains("<b>Ann</b> motor switched on"), "{page}");
        assert!(
            page.contains("value=\"motor-off\""),
            "the motor can be switched off"
        );
        assert!(page.contains("air passes the PMV"));
        let us = get(&router, &format!("{at}?units=us")).await.text;
        assert!(
            us.contains("<desc>tower: 14") && us.contains(" psi"),
            "{us}"
        );
        assert!(
            get(&router, &at).await.text.contains("<desc>tower: 10"),
            "drawn in each unit"
        );
        let twice = send(&router, &format!("{at}/act"), "", "act=explode").await;
        assert_eq!(twice.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            twice.text.contains("The bench does not know what"),
            "{}",
            twice.text
        );
        assert!(get(&router, "/bench").await.text.contains(&at));
        let ended = send(&router, &format!("{at}/close"), "", "").await;
        assert_eq!(ended.status, StatusCode::SEE_OTHER);
        let gone = get(&router, &at).await;
        assert_eq!(gone.status, StatusCode::NOT_FOUND);
        assert!(gone.text.contains("That bench is gone"), "{}", gone.text);
        for way in ["stream", "parts.json", "result"] {
            assert_eq!(
                get(&router, &format!("{at}/{way}")).await.status,
                StatusCode::NOT_FOUND
            );
        }
    });
}

#[test]
fn a_wrong_setting_is_told_beside_its_field() {
    let (_server, _app, router) = house(false);
    wait(async {
        let answer = send(
            &router,
            "/bench",
            "",
            "intake=hot&humidity=140+%25&start=60+bar",
        )
        .await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            answer.text.contains("id=\"e-intake\"") && answer.text.contains("id=\"e-humidity\""),
            "{}",
            answer.text
        );
        assert!(
            answer.text.contains("value=\"hot\""),
            "what was typed stays"
        );
        let unknown = send(&router, "/bench", "", "drill=levitate").await;
        assert!(
            unknown.text.contains("There is no drill called"),
            "{}",
            unknown.text
        );
        let at = open(&router, "", "name=a").await;
        let set = send(&router, &format!("{at}/set"), "", "pmv=900+bar").await;
        assert_eq!(set.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(set.text.contains("id=\"e-pmv\""), "{}", set.text);
    });
}

/// Two benches with different faults hidden are one page and one stream, letter for letter.
#[test]
fn what_is_hidden_is_in_no_page_and_no_stream() {
    let (_server, app, router) = house(false);
    wait(async {
        let mut seen: Vec<[String; 3]> = Vec::new();
        let mut all: Vec<String> = Vec::new();
        for fault in ["pmv-stuck-open", "whip-leak"] {
            let at = open(&router, "", "name=a").await;
            let form = format!("fault={fault}&hidden=yes");
            let done = send(&router, &format!("{at}/fault"), "", &form).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
            let page = get(&router, &at).await.text;
            let json = get(&router, &format!("{at}/parts.json")).await.text;
            let stream = first(&router, &at, "").await;
            let bare = |text: String| text.replace(&at, "/bench/here");
            seen.push([bare(page), bare(json), bare(stream)]);
            all.push(at);
        }
        let [a, b] = &seen[..] else { panic!("two") };
        assert_eq!(a, b);
        assert!(a[0].contains("Something may be wrong") && a[2].contains("Something may be wrong"));
        let at = &all[0];
        advance(&app, at, 30);
        let parts = get(&router, &format!("{at}/parts.json")).await.text;
        assert!(!parts.contains("PMV sticks open"), "{parts}");
        send(&router, &format!("{at}/reveal"), "", "").await;
        let told = first(&router, at, "").await;
        assert!(told.contains("revealed: PMV sticks open"), "{told}");
    });
}

#[test]
fn a_drill_is_scored_and_printed() {
    let (_server, app, router) = house(false);
    wait(async {
        let at = open(&router, "by=Ann", "drill=hose-bleed").await;
        let page = get(&router, &at).await.text;
        assert!(
            page.contains("Drill: Take the hose off") && page.contains("left</p>"),
            "{page}"
        );
        assert!(
            !page.contains("the cylinder first"),
            "what is right is told at the end"
        );
        assert_eq!(
            get(&router, &format!("{at}/result")).await.status,
            StatusCode::NOT_FOUND
        );
        for act in ["cylinder-shut", "fill-shut", "bleed-open"] {
            send(
                &router,
                &format!("{at}/act"),
                "by=Ann",
                &format!("act={act}&hose=0"),
            )
            .await;
        }
        advance(&app, &at, 40);
        send(&router, &format!("{at}/act"), "by=Bo", "act=undo&hose=0").await;
        advance(&app, &at, 20);
        let paper = get(&router, &format!("{at}/result")).await.text;
        for wanted in [
            "<b>Passed.</b>",
            "Training.",
            "INVENTED",
            "hose undone",
            "Ann",
            "Bo",
            "Debrief",
        ] {
            assert!(paper.contains(wanted), "{wanted}: {paper}");
        }
        // again, and the hose undone at once
        send(&router, &format!("{at}/time"), "", "time=back").await;
        send(&router, &format!("{at}/act"), "by=Cy", "act=undo&hose=0").await;
        let page = get(&router, &at).await.text;
        assert!(
            page.contains("The bench is over.") && page.contains("lashes out"),
            "{page}"
        );
        let paper = get(&router, &format!("{at}/result")).await.text;
        assert!(
            paper.contains("Not passed.") && paper.contains("(Cy)"),
            "{paper}"
        );
    });
}

/// Over the network: who only looks on sees no buttons and turns nothing; an operator teaches nobody.
#[test]
fn roles_at_the_bench() {
    let (server, _app, router) = house(true);
    let (onna, opal, kees) = (
        server.cookie("Onna"),
        server.cookie("Opal"),
        server.cookie("Kees"),
    );
    wait(async {
        let refused = send(&router, "/bench", &onna, "name=a").await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN);
        let at = open(&router, &opal, "name=a").await;
        let page = |cookie: String| {
            let asked = request(Method::GET, &at, &[("cookie", &cookie)], "");
            let router = router.clone();
            async move { ask(&router, asked).await.text }
        };
        let watches = page(onna.clone()).await;
        assert!(
            !watches.contains("value=\"motor-on\"") && !watches.contains("Put in a fault"),
            "{watches}"
        );
        let works = page(opal.clone()).await;
        assert!(
            works.contains("value=\"motor-on\"") && !works.contains("Put in a fault"),
            "{works}"
        );
        assert!(page(kees.clone()).await.contains("Put in a fault"));
        let asked = |path: &str, cookie: &str, form: &str| {
            let (router, path) = (router.clone(), format!("{at}/{path}"));
            let (cookie, form) = (cookie.to_owned(), form.to_owned());
            async move { send(&router, &path, &cookie, &form).await.status }
        };
        assert_eq!(
            asked("act", &onna, "act=motor-on").await,
            StatusCode::FORBIDDEN
        );
        assert_eq!(
            asked("fault", &opal, "fault=whip-leak").await,
            StatusCode::FORBIDDEN
        );
        assert_eq!(
            asked("act", &opal, "act=motor-on").await,
            StatusCode::SEE_OTHER
        );
        assert_eq!(
            asked("fault", &kees, "fault=whip-leak").await,
            StatusCode::SEE_OTHER
        );
        assert_eq!(
            asked("ask", &kees, "question=headache").await,
            StatusCode::SEE_OTHER
        );
        assert_eq!(
            asked("answer", &onna, "option=1").await,
            StatusCode::SEE_OTHER
        );
        let seen = page(onna.clone()).await;
        assert!(seen.contains("<b>right</b>, yours, 1 of 1"), "{seen}");
        assert!(seen.contains("<b>Opal</b> motor switched on"));
    });
}

/// A script is told in JSON what came of it, and the stream sends only what has changed.
#[test]
fn a_script_is_told_plainly() {
    let (_server, app, router) = house(false);
    wait(async {
        let at = open(&router, "", "name=a").await;
        let told = |form: &'static str| {
            let headers = [
                ("accept", "application/json"),
                ("content-type", "application/x-www-form-urlencoded"),
            ];
            let asked = request(Method::POST, &format!("{at}/act"), &headers, form);
            let router = router.clone();
            async move { ask(&router, asked).await }
        };
        assert_eq!(told("act=motor-on").await.text, "{\"told\":null}");
        let no = told("act=connect&hose=0").await;
        assert!(
            no.text.contains("A cylinder is on that hose already."),
            "{}",
            no.text
        );
        assert!(
            told("act=name&fault=")
                .await
                .text
                .contains("Nothing was chosen.")
        );
        advance(&app, &at, 10);
        let first = first(&router, &at, "").await;
        let data = first.lines().find_map(|line| line.strip_prefix("data: "));
        let json: serde_json::Value = serde_json::from_str(data.unwrap()).unwrap();
        for part in ["time", "path", "hands", "gauges", "trace", "log"] {
            assert!(
                json[part].as_str().is_some_and(|html| html.contains('<')),
                "{part}"
            );
        }
    });
}

#[test]
fn a_book_without_a_station_says_what_to_do() {
    use crate::web::tests::{House, run};
    let house = House::of(None);
    run(async {
        let answer = house.get("/bench").await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            answer.text.contains("Enter the station file"),
            "{}",
            answer.text
        );
    });
}
