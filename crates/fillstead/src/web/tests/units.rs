//! Both systems of units on every page, and the name of whoever is signed in.
//!
//! NIST SP 811 (2008), B.9: 1 psi = 6.894757 kPa; t/°F = 1.8 t/°C + 32.

use axum::http::{Method, StatusCode};

use super::{House, Server, ask, get, program, request, send, server, wait};

/// The page as the browser with this cookie gets it.
async fn page(server: &Server, path: &str, cookie: &str) -> String {
    let headers = [("cookie", cookie)];
    let answer = ask(&server.router, request(Method::GET, path, &headers, "")).await;
    assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
    answer.text
}

const PAGES: [&str; 17] = [
    "/",
    "/plan?cylinder=C1%4060%20bar",
    "/run",
    "/run?new=1",
    "/run/wall",
    "/book",
    "/book/cylinder/C1",
    "/book/trace",
    "/book/drift",
    "/book/cartridge",
    "/book/counts",
    "/book/fill?cylinder=C1",
    "/book/add/fill",
    "/book/entry/7/correct",
    "/book/import",
    "/air",
    "/station/edit",
];

#[test]
fn the_choice_stands_on_every_page_and_leads_back_to_it() {
    let server = server(false);
    wait(async {
        for path in PAGES {
            let html = page(&server, path, "units=us").await;
            let (bare, query) = path.split_once('?').unwrap_or((path, ""));
            let rest = match query {
                "" => String::new(),
                query => format!("&#38;{query}"),
            };
            let metric = format!("href=\"{bare}?units=metric{rest}\" rel");
            let us = format!("href=\"{bare}?units=us{rest}\" aria-current=\"true\"");
            assert!(html.contains(&metric), "{path}: no way to bar\n{html}");
            assert!(html.contains(&us), "{path}: psi is not marked\n{html}");
        }
        let found = get(&server.router, "/book?units=us").await;
        let cookie = found.headers["set-cookie"].to_str().unwrap();
        assert!(cookie.starts_with("units=us; Path=/;"), "{cookie}");
        let odd = get(&server.router, "/book?units=furlongs").await;
        assert!(odd.status.is_success() && !odd.headers.contains_key("set-cookie"));
    });
}

/// 60 bar are 870.2 psi, 101 bar 1464.9 psi, 16 °C 60.8 °F.
#[test]
fn figures_are_shown_in_the_readers_units_and_what_was_typed_as_typed() {
    let server = server(false);
    wait(async {
        for (path, us, metric) in [
            ("/book", "60 bar (870 psi)", ">60 bar<"),
            ("/book?kind=reading", "101 bar (1465 psi)", "101 bar<"),
            ("/book?kind=start", "intake 16 °C (61 °F)", "intake 16 °C<"),
            ("/book/cylinder/C1", "at the stop, psi", "at the stop, bar"),
            (
                "/book/trace?cylinder=C1",
                "from 60 bar",
                "60 bar to 232 bar",
            ),
            (
                "/book/drift",
                "psi off the specified",
                "bar off the specified",
            ),
            ("/run?new=1", "<span>psi</span>", "<span>bar</span>"),
            ("/run?new=1", "<span>°F</span>", "<span>°C</span>"),
            ("/book/add/fill", "such as 725 psi", "such as 50 bar"),
            ("/book/fill?cylinder=C1", ">3350 psi<", ">230 bar<"),
            ("/air", "<span>psi</span>", "<span>bar</span>"),
            ("/print/day?day=2025-03-20", "16 °C (61 °F)", "16 °C<"),
            ("/print/support", " cfm", " L/min"),
        ] {
            let (us, path) = match path {
                "/book/trace?cylinder=C1" => ("60 bar (870 psi) to 232 bar (3365 psi)", path),
                path => (us, path),
            };
            let html = page(&server, path, "units=us").await;
            assert!(html.contains(us), "{path} has no {us}\n{html}");
            let html = page(&server, path, "units=metric").await;
            assert!(html.contains(metric), "{path} has no {metric}\n{html}");
        }
    });
}

/// What the last entry says, as the station's own units show it.
async fn last(server: &Server, kind: &str) -> String {
    let html = page(server, &format!("/book?kind={kind}"), "").await;
    let (_, log) = html.split_once("class=\"log\"").unwrap();
    log.to_owned()
}

#[test]
fn a_number_alone_is_in_the_unit_its_page_showed() {
    let server = server(false);
    wait(async {
        let stop = |tower: &str, units: &str| format!("tower={tower}&by=MK&units={units}");
        let mut entry = String::new();
        for (tower, shown, cookie, kept) in [
            ("1000", "us", "units=us", "tower 1000 psi"),
            ("70", "metric", "units=metric", "tower 70 bar"),
            // Chosen in another window since the page was opened.
            ("1100", "us", "units=metric", "tower 1100 psi"),
            ("71+bar", "us", "units=us", "tower 71 bar"),
            ("72", "", "", "tower 72 bar"),
        ] {
            let form = stop(tower, shown);
            let done = send(&server.router, "/book/add/stop", cookie, &form).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
            let to = done.headers["location"].to_str().unwrap();
            entry = to.replace("/book/done/", "");
            let log = last(&server, "stop").await;
            assert!(log.contains(kept), "{kept} is not in {log}");
        }
        // A correction is read the same way.
        let form = "tower=1200&because=misread&by=MK&do=correct&units=us";
        let path = format!("/book/entry/{entry}/correct");
        let done = send(&server.router, &path, "", form).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert!(last(&server, "stop").await.contains("tower 1200 psi"));
        // Programs say the unit.
        let bare = program(
            &server.router,
            "/api/v1/book/add/stop",
            "units=us",
            r#"{"tower":"70","by":"MK"}"#,
        );
        let bare = bare.await;
        assert!(
            bare.status.is_client_error() && bare.text.contains("no unit"),
            "{}",
            bare.text
        );
    });
}

#[test]
fn a_stamp_keeps_its_unit_and_needs_it() {
    let server = server(false);
    wait(async {
        let cylinder = |rated: &str| {
            format!(
                "cylinder=S80&free-air=77.4+cu+ft&working-pressure={rated}&tested=2025-02&by=MK&units=metric"
            )
        };
        let bare = cylinder("3000");
        let bare = send(&server.router, "/book/add/cylinder", "", &bare).await;
        assert_eq!(bare.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(bare.text.contains("has no unit"), "{}", bare.text);
        let done = cylinder("3000+psi");
        let done = send(&server.router, "/book/add/cylinder", "", &done).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        for cookie in ["units=metric", "units=us"] {
            let html = page(&server, "/book/cylinder/S80", cookie).await;
            assert!(html.contains("<dd>3000 psi</dd>"), "{cookie}: {html}");
        }
    });
}

#[test]
fn a_run_is_read_and_started_in_the_readers_units() {
    let server = server(false);
    wait(async {
        let cause = "of=13&cause=a+cold&done=looked+at&by=MK";
        send(&server.router, "/book/add/cause", "", cause).await;
        let house = House::of(Some("boathouse.toml"));
        house.cylinder("A1");
        let form = [
            ("id", "A1"),
            ("from", "700"),
            ("tower", "1000"),
            ("intake-temperature", "61"),
            ("units", "us"),
            ("by", "MK"),
        ];
        let begun = house.post("/run/start", &form).await;
        assert_eq!(begun.to, "/run", "{}", begun.text);
        let log = house.page("/book?kind=start").await;
        assert!(
            log.contains("tower 1000 psi (68.95 bar), intake 61 °F (16 °C)"),
            "{log}"
        );
        assert!(log.contains("A1 from 700 psi (48.26 bar)"), "{log}");
        for (units, unit) in [("us", "psi"), ("metric", "bar")] {
            let html = house.page(&format!("/run?units={units}")).await;
            let within = format!(" {unit}</small>");
            assert!(html.contains(&within), "{units}: {html}");
            let html = house.page(&format!("/run/wall?units={units}")).await;
            assert!(html.contains(&within), "{units}: {html}");
            let html = house.page(&format!("/run/reading?units={units}")).await;
            assert!(
                html.contains(&format!("<span>{unit}</span>")),
                "{units}: {html}"
            );
        }
        for (units, from) in [("us", "from 870 psi"), ("metric", "from 60 bar")] {
            let path = format!("/plan/card?cylinder=A1%4060%20bar&units={units}");
            let card = house.page(&path).await;
            assert!(card.contains(from), "{units}: {card}");
        }
        let run = super::hidden(&house.page("/run/reading").await, "run").unwrap();
        let tap = |value: &'static str, units: &'static str| {
            let run = run.clone();
            let house = &house;
            async move {
                let form = [
                    ("act", "reading"),
                    ("of", "tower"),
                    ("value", value),
                    ("run", &run),
                    ("units", units),
                    ("by", "MK"),
                ];
                let done = house.post("/run/act", &form).await;
                assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
                house.page("/book?kind=reading").await
            }
        };
        assert!(
            tap("1015", "us")
                .await
                .contains("tower 1015 psi (69.98 bar)")
        );
        assert!(tap("71", "metric").await.contains("tower 71 bar<"));
        assert!(tap("72 bar", "us").await.contains("tower 72 bar<"));
    });
}

#[test]
fn who_is_signed_in_finds_no_box_for_a_name() {
    let server = server(true);
    let cookie = server.cookie("Kees");
    wait(async {
        for path in [
            "/book/fill?cylinder=C1",
            "/book/add/fill",
            "/book/add/stop",
            "/book/add/release",
            "/book/add/station",
            "/book/entry/7/correct",
            "/book/cylinder/C1",
            "/book/import",
            "/air?standard=EN+12021&carbon-dioxide=400+ppm",
            "/run?new=1",
            "/station/edit/relief",
            "/station/text",
        ] {
            let html = page(&server, path, &cookie).await;
            assert!(!html.contains("name=\"by\""), "{path} has a box\n{html}");
            assert!(
                html.contains("By <b>Kees</b>"),
                "{path} names nobody\n{html}"
            );
        }
        let form = "cylinder=C1&to=200+bar&from=60+bar&by=somebody+else";
        let refused = send(&server.router, "/book/add/fill", &cookie, form).await;
        let to = refused.headers["location"].to_str().unwrap().to_owned();
        let html = page(&server, &to, &cookie).await;
        assert!(
            !html.contains("name=\"by\"") && html.contains("By <b>Kees</b>"),
            "{html}"
        );
        // On this machine the name last given stands in the box.
        let alone = super::again(&server.book, true);
        let headers = [("cookie", "by=MK")];
        let box_of = ask(&alone, request(Method::GET, "/book/add/stop", &headers, "")).await;
        assert!(
            box_of.text.contains("name=\"by\" value=\"MK\""),
            "{}",
            box_of.text
        );
    });
}

#[test]
fn a_sheet_tells_what_it_does_not_know() {
    let server = server(false);
    wait(async {
        let odd = get(&server.router, "/print/tag?id=C1").await;
        assert_eq!(odd.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            odd.text.contains("does not know &#34;id&#34;"),
            "{}",
            odd.text
        );
        assert!(
            odd.text.contains("it knows cylinder, paper, today"),
            "{}",
            odd.text
        );
        let tag = get(
            &server.router,
            "/print/tag?cylinder=C1&paper=letter&units=us",
        )
        .await;
        assert_eq!(tag.status, StatusCode::OK, "{}", tag.text);
    });
}
