//! The pages of a run through the router, with good and bad input.

use std::path::PathBuf;
use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use tower::ServiceExt;

use crate::usecase::book::begin::{self, begin};
use crate::usecase::book::desk::Who;
use crate::web::{App, router};

/// A server over a book of its own.
struct Server {
    book: PathBuf,
    app: Arc<App>,
}

fn app(book: &std::path::Path) -> Arc<App> {
    Arc::new(App::of(book.to_owned()))
}

impl Server {
    fn new(name: &str, station: bool) -> Server {
        let folder =
            std::env::temp_dir().join(format!("fillstead-web-{}-{name}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../stations/boathouse.toml");
        let asked = begin::Asked {
            station: station.then_some(std::path::Path::new(file)),
            name: Some("Shed"),
            rule: Some("uk"),
            ..begin::Asked::default()
        };
        let who = Who {
            by: Some("MK"),
            at: Some("2026-05-06 10:00"),
            zone: Some("UTC"),
        };
        let book = folder.join("club.book");
        assert!(begin(&book, &asked, &who).is_ok());
        Server {
            app: app(&book),
            book,
        }
    }

    /// The same book, served by a server that has only just been started.
    fn anew(&mut self) {
        self.app = app(&self.book);
    }

    async fn ask(&self, request: Request<Body>) -> (StatusCode, String, String) {
        let answer = router(self.app.clone()).oneshot(request).await.unwrap();
        let status = answer.status();
        let to = answer.headers().get(header::LOCATION);
        let to = to
            .map(|v| v.to_str().unwrap().to_owned())
            .unwrap_or_default();
        let body = to_bytes(answer.into_body(), 1 << 22).await.unwrap();
        (status, String::from_utf8(body.to_vec()).unwrap(), to)
    }

    async fn get(&self, path: &str) -> (StatusCode, String) {
        let request = Request::get(path)
            .header("host", "localhost")
            .header("cookie", "by=MK");
        let (status, text, _) = self.ask(request.body(Body::empty()).unwrap()).await;
        (status, text)
    }

    async fn post(&self, path: &str, form: &str, accept: &str) -> (StatusCode, String, String) {
        let request = Request::post(path)
            .header("host", "localhost")
            .header("cookie", "by=MK")
            .header("sec-fetch-site", "same-origin")
            .header("accept", accept)
            .header("content-type", "application/x-www-form-urlencoded");
        self.ask(request.body(Body::from(form.to_owned())).unwrap())
            .await
    }

    async fn state(&self) -> serde_json::Value {
        serde_json::from_str(&self.get("/run/state.json").await.1).unwrap()
    }
}

const START: &str = "cylinder=A1%4050+bar&tower=70&humidity=75&checked=oil+level";

#[tokio::test]
async fn without_a_run_the_page_is_the_form() {
    let server = Server::new("form", true);
    let (status, page) = server.get("/run").await;
    assert_eq!(status, StatusCode::OK);
    for text in [
        "Start a run",
        "A3: refused.",
        "PMV check",
        "Intake in clean air",
        "name=\"seq\"",
    ] {
        assert!(page.contains(text), "{text} is missing");
    }
    assert!(server.state().await.is_null());
    assert!(server.get("/run/wall").await.1.contains("never started"));
}

#[tokio::test]
async fn without_a_station_there_is_no_form() {
    let server = Server::new("bare", false);
    let (status, page) = server.get("/run").await;
    assert_eq!(status, StatusCode::NOT_FOUND);
    assert!(page.contains("There is no station yet"));
}

#[tokio::test]
async fn a_refused_cylinder_shows_reason_and_way_forward() {
    let server = Server::new("refused", true);
    let (status, page, _) = server
        .post("/run/start", "id=A3&from=35", "text/html")
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("The fill gate refuses. Nothing was started."));
    assert!(page.contains("A3: test: last 2021-06-01") && page.contains("test house"));
    assert!(
        page.contains("<option value=\"A3\" selected>"),
        "what was typed is lost"
    );
    assert!(server.state().await.is_null());
}

#[tokio::test]
async fn typed_wrong_comes_back_with_its_reason() {
    let server = Server::new("typed", true);
    let form = "id=A1&from=%3Cscript%3E&tower=9000&humidity=%3Cb%3E";
    let (status, page, _) = server.post("/run/start", form, "text/html").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        !page.contains("<script>") && !page.contains("<b>\""),
        "typed text became markup"
    );
    assert!(page.contains("value=\"9000\""));
    // A gauge without its cylinder is told, and is not lost.
    let (status, page, _) = server
        .post("/run/start", "id=&from=187+bar&by=MK", "text/html")
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("no cylinder chosen beside it") && page.contains("value=\"187 bar\""));
}

#[tokio::test]
async fn a_run_is_watched_and_survives_a_server_started_anew() {
    let mut server = Server::new("watched", true);
    let (status, _, to) = server.post("/run/start", START, "text/html").await;
    assert_eq!((status, to.as_str()), (StatusCode::SEE_OTHER, "/run"));
    let (_, page) = server.get("/run").await;
    for text in [
        "Starting, no air yet",
        "Tower should read now",
        "Air arrives now",
        "Drained",
        "Stop",
    ] {
        assert!(page.contains(text), "{text} is missing");
    }
    assert!(page.contains("http-equiv=\"refresh\" content=\"15"));
    assert!(
        !page.contains(" style="),
        "no style attribute passes the policy"
    );
    let before = server.state().await;
    assert_eq!(before["state"], "starting");
    server.anew();
    let after = server.state().await;
    for name in ["run", "seq", "position", "stop_at_s", "alarm_at_s", "curve"] {
        // The curve is cut at the present moment.
        if name != "curve" {
            let apart = |v: &serde_json::Value| v.as_f64().unwrap_or(0.0);
            assert!(
                (apart(&before[name]) - apart(&after[name])).abs() < 1e-6,
                "{name}"
            );
        }
        assert!(!after[name].is_null(), "{name}");
    }
}

#[tokio::test]
async fn taps_write_once_and_say_what_came_of_them() {
    let server = Server::new("taps", true);
    server.post("/run/start", START, "text/html").await;
    let state = server.state().await;
    let (run, now) = (
        state["run"].as_u64().unwrap(),
        state["now_us"].as_i64().unwrap(),
    );
    let form = format!("act=drained&run={run}&seq={run}&at={}", now + 1);
    let json = |text: String| serde_json::from_str::<serde_json::Value>(&text).unwrap();
    let first = json(server.post("/run/act", &form, "application/json").await.1);
    assert_eq!(first["done"], "written", "{first}");
    let again = json(server.post("/run/act", &form, "application/json").await.1);
    assert_eq!(
        (&again["done"], &again["entries"]),
        (&"known".into(), &first["entries"])
    );
    let stale = format!("act=drained&run={run}&seq={run}");
    let (status, page, _) = server.post("/run/act", &stale, "text/html").await;
    assert_eq!(status, StatusCode::CONFLICT);
    assert!(page.contains("Nothing was written") && page.contains("How much came out"));
    let (status, text, _) = server
        .post(
            "/run/act",
            &format!("act=reading&of=tower&value=70+or+so&run={run}"),
            "application/json",
        )
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(json(text)["why"].as_str().unwrap().contains("or so"));
    let (status, page, _) = server
        .post("/run/act", "act=open+the+valve", "text/html")
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("href=\"/run\""), "a way back");
}

#[tokio::test]
async fn what_is_wrong_says_what_to_do_and_locks_by_a_symptom() {
    let server = Server::new("wrong", true);
    server.post("/run/start", START, "text/html").await;
    let (_, page) = server.get("/run/wrong").await;
    assert!(
        page.contains("action=\"/book/add/symptom\"") && page.contains("Never load it, plug it")
    );
    let run = server.state().await["run"].as_u64().unwrap();
    let form = format!("act=wrong&what=hiss&run={run}&seq={run}");
    let (status, _, _) = server.post("/run/act", &form, "text/html").await;
    assert_eq!(status, StatusCode::SEE_OTHER);
    assert!(
        server
            .get("/book?kind=reading")
            .await
            .1
            .contains("Something hisses")
    );
    let (_, page) = server.get("/run/reading?of=tower").await;
    assert!(page.contains("What does the tower gauge show?") && page.contains("expected"));
}

#[tokio::test]
async fn a_name_is_asked_for_and_a_script_in_it_stays_text() {
    let server = Server::new("name", true);
    server.post("/run/start", START, "text/html").await;
    let request = Request::get("/run").header("host", "localhost");
    let (_, page, _) = server.ask(request.body(Body::empty()).unwrap()).await;
    assert!(page.contains("Who are you?") && !page.contains("name=\"act\" value=\"stopped\""));
    let request = Request::get("/run")
        .header("host", "localhost")
        .header("cookie", "by=%3Cscript%3Ealert(1)%3C%2Fscript%3E");
    let (_, page, _) = server.ask(request.body(Body::empty()).unwrap()).await;
    assert!(!page.contains("<script>alert"), "a name became a script");
}

/// What a page sends for what waited: the moment in the form, and JSON wanted.
#[tokio::test]
async fn what_waited_is_written_once_and_told_to_the_script() {
    let mut server = Server::new("waited", true);
    let page = server.get("/run").await.1;
    for part in [
        "data-start",
        "data-queue",
        "data-offline",
        "data-now=\"1",
        "/assets/run.js",
    ] {
        assert!(page.contains(part), "{part}: {page}");
    }
    let json = "application/json";
    let told = |text: &str| -> serde_json::Value { serde_json::from_str(text).unwrap() };
    let at = crate::usecase::clock::now().0 - 90_000_001;
    let form = format!("{START}&at={at}&seq=0");
    let (status, text, _) = server.post("/run/start", &form, json).await;
    assert_eq!(
        (status, &told(&text)["done"]),
        (StatusCode::OK, &"written".into()),
        "{text}"
    );
    let run = told(&text)["entries"][0].as_u64().unwrap();
    // The answer was lost, and the server started anew.
    server.anew();
    let again = server.post("/run/start", &form, json).await.1;
    assert_eq!(told(&again)["entries"][0].as_u64(), Some(run), "{again}");
    let other = format!("{START}&at={}&seq=0", at + 1);
    let other = server.post("/run/start", &other, json).await.1;
    assert_eq!(told(&other)["done"], "moot", "{other}");

    let drained = format!("act=drained&run={run}&seq={run}&at={}", at + 60_000_000);
    let drained = server.post("/run/act", &drained, json).await.1;
    let of = told(&drained)["entries"][0].as_u64().unwrap();
    let form = format!("of={of}&volume=40+mL&made={}", at + 70_000_001);
    for done in ["written", "known"] {
        let (status, text, _) = server.post("/run/volume", &form, json).await;
        assert_eq!(
            (status, &told(&text)["done"]),
            (StatusCode::OK, &done.into()),
            "{text}"
        );
        server.anew();
    }
    for (path, form) in [
        ("/run/volume", format!("of={of}&volume=%3Cscript%3E&made=x")),
        ("/run/volume", "of=x&volume=40+mL".to_owned()),
        ("/run/settled", format!("of={of}&value=232&made=-1")),
        ("/run/correct", "of=9999&value=60+bar".to_owned()),
    ] {
        let (status, text, _) = server.post(path, &form, json).await;
        let told = told(&text);
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{path}: {text}");
        assert_eq!(told["done"], "wrong", "{path}: {text}");
        assert!(told["why"].as_str().unwrap().len() > 20, "{path}: {text}");
    }
    let stop = format!("act=stopped&run={run}&seq={of}&at={}", at + 80_000_000);
    server.post("/run/act", &stop, json).await;
    let refused = format!(
        "cylinder=A3%4050+bar&tower=70&at={}&seq={run}",
        at + 85_000_000
    );
    let (status, text, _) = server.post("/run/start", &refused, json).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        told(&text)["why"].as_str().unwrap().contains("A3: test"),
        "{text}"
    );
}

/// A phone in two hands: what Opal made while the server was away is not signed by Kees.
#[test]
fn what_waited_is_signed_by_whoever_made_it() {
    use crate::usecase::book::list::list;
    use crate::web::tests::{ask, request, send, server, wait};
    let server = server(true);
    let (opal, kees) = (server.cookie("Opal"), server.cookie("Kees"));
    let now = crate::usecase::clock::now().0;
    let start = format!("cylinder=C1%4060+bar&by=Opal&at={}&seq=0", now - 5_000_001);
    wait(async {
        for (path, form) in [
            ("/run/start", start.as_str()),
            ("/run/act", "act=drained&run=4&seq=4&by=Opal"),
            ("/run/volume", "of=7&volume=40+mL&by=Opal"),
        ] {
            let headers = [
                ("cookie", kees.as_str()),
                ("accept", "application/json"),
                ("content-type", "application/x-www-form-urlencoded"),
            ];
            let sent = request(axum::http::Method::POST, path, &headers, form);
            let answer = ask(&server.router, sent).await;
            assert_eq!(
                answer.status,
                StatusCode::CONFLICT,
                "{path}: {}",
                answer.text
            );
            let told: serde_json::Value = serde_json::from_str(&answer.text).unwrap();
            assert_eq!(told["done"], "another", "{path}");
            assert!(
                told["why"]
                    .as_str()
                    .unwrap()
                    .contains("Opal signs in again"),
                "{path}"
            );
        }
        // Without script the name of the session counts, as everywhere.
        let entries = list(&server.book, &Default::default()).unwrap().entries;
        let drain = entries
            .iter()
            .find(|row| row.line.contains("32 mL"))
            .unwrap()
            .seq;
        let form = format!("of={drain}&volume=40+mL&by=Kees");
        let sent = send(&server.router, "/run/volume", &opal, &form).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let refused = send(&server.router, "/run/start", "fillstead_session=x", &start).await;
        assert_eq!(refused.status, StatusCode::UNAUTHORIZED);
    });
}
