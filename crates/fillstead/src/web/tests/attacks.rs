//! What is tried against a server, and what comes of it: nothing, and a page that helps.

use axum::http::{Method, StatusCode};
use proptest::test_runner::{Config, TestRunner};

use super::{Answer, ask, get, program, request, send, server, wait, walked};
use crate::usecase::book::{keep, list};
use crate::web::LARGEST_BODY;

/// A refusal that helps: a status, a title, a sentence, a way on, and the marks of every answer.
fn helps(answer: &Answer, what: &str) {
    assert!(answer.status.is_client_error(), "{what}: {}", answer.status);
    let json = answer.headers["content-type"] == "application/json";
    let helps = match json {
        true => answer.text.contains("\"remedy\""),
        false => {
            answer.text.contains("<h1") && answer.text.contains("class=\"lead\"")
                || answer.text.contains("class=\"err\"")
        }
    };
    assert!(helps, "{what}: {}", answer.text);
    let policy = answer.headers["content-security-policy"].to_str().unwrap();
    assert!(
        policy.contains("default-src 'none'") && !policy.contains("unsafe"),
        "{policy}"
    );
    assert_eq!(answer.headers["x-content-type-options"], "nosniff");
}

#[test]
fn what_is_not_whole_is_refused_and_nothing_is_written() {
    let server = server(false);
    wait(async {
        let before = list::list(&server.book, &Default::default())
            .unwrap()
            .entries
            .len();
        let long = "a".repeat(LARGEST_BODY + 1);
        let many: String = (0..50_000).map(|i| format!("f{i}=x&")).collect();
        let many_json = format!(
            "{{{}\"z\":1}}",
            (0..50_000)
                .map(|i| format!("\"f{i}\":1,"))
                .collect::<String>()
        );
        let deep = format!("{{\"text\":{}{}}}", "[".repeat(20_000), "]".repeat(20_000));
        let form = "application/x-www-form-urlencoded";
        for (path, kind, body) in [
            ("/book/add/note", form, long.as_str()),
            ("/book/add/note", form, many.as_str()),
            ("/book/add/note", form, "text=%ff%fe&by=%80"),
            ("/book/add/note", form, ""),
            ("/book/add/note", form, "text=a%00b%0d%0a&by=M%0d%0aK"),
            ("/book/add/note", "text/plain", "text=a&by=MK"),
            ("/book/add/..%2f..%2fetc%2fpasswd", form, "text=a&by=MK"),
            ("/book/add/note%00", form, "text=a&by=MK"),
            ("/api/v1/book/add/note", "application/json", long.as_str()),
            (
                "/api/v1/book/add/note",
                "application/json",
                many_json.as_str(),
            ),
            ("/api/v1/book/add/note", "application/json", deep.as_str()),
            ("/api/v1/book/add/note", "application/json", "[]"),
            (
                "/api/v1/book/add/note",
                "application/json",
                "{\"text\":\"\\ud800\",\"by\":\"MK\"}",
            ),
            (
                "/api/v1/book/add/note",
                "application/json",
                r#"{"text":{"a":1},"by":"MK"}"#,
            ),
            (
                "/api/v1/book/add/note",
                "application/json",
                r#"{"text":"a","by":"M\r\nK"}"#,
            ),
        ] {
            let asked = request(Method::POST, path, &[("content-type", kind)], body);
            let answer = ask(&server.router, asked).await;
            helps(&answer, &format!("{path} {}", &body[..body.len().min(60)]));
            assert!(
                answer.text.len() < 200_000,
                "{path}: {} bytes",
                answer.text.len()
            );
        }
        let after = list::list(&server.book, &Default::default())
            .unwrap()
            .entries
            .len();
        assert_eq!(before, after);
    });
}

#[test]
fn addresses_that_climb_lead_nowhere() {
    let server = server(false);
    wait(async {
        for path in [
            "/../club.book",
            "/assets/../club.book",
            "/assets/..%2fclub.book-people",
            "/assets/%2e%2e/%2e%2e/etc/passwd",
            "/club.book",
            "//evil.example/",
            "/book/%",
            "/%00",
            "/assets/fillstead.css%00.html",
            "/book/add/%ff",
            "/book/add/note/../../..",
        ] {
            let answer = get(&server.router, path).await;
            helps(&answer, path);
            assert!(
                !answer.text.contains("SQLite") && !answer.text.contains("root:"),
                "{path}"
            );
        }
        for path in [
            "/book?last=%ff",
            "/book/add/note?text=%ff%zz",
            "/sign-in?next=%ff",
        ] {
            let answer = get(&server.router, path).await;
            assert!(
                !answer.status.is_server_error(),
                "{path}: {}",
                answer.status
            );
        }
    });
}

#[test]
fn another_site_and_another_name_change_nothing() {
    let server = server(false);
    let form = ("content-type", "application/x-www-form-urlencoded");
    wait(async {
        let before = list::list(&server.book, &Default::default())
            .unwrap()
            .entries
            .len();
        for (headers, status) in [
            (vec![("sec-fetch-site", "cross-site")], 403),
            (vec![("sec-fetch-site", "same-site")], 403),
            (
                vec![("sec-fetch-site", ""), ("origin", "http://evil.example")],
                403,
            ),
            (vec![("sec-fetch-site", ""), ("origin", "null")], 403),
            (
                vec![
                    ("sec-fetch-site", ""),
                    ("origin", "http://localhost:8080.evil.example"),
                ],
                403,
            ),
            // Neither Origin nor Sec-Fetch-Site, and a form: an old browser sent from anywhere.
            (vec![("sec-fetch-site", "")], 403),
            (vec![("sec-fetch-site", ""), ("host", "")], 403),
            // A name bent to this machine.
            (vec![("host", "evil.example:8080")], 421),
            (vec![("host", "localhost.evil.example")], 421),
            (vec![("host", "127.0.0.1.evil.example:8080")], 421),
            (vec![("host", "localhost:8080@evil.example")], 421),
        ] {
            let mut headers = headers;
            headers.push(form);
            let asked = request(
                Method::POST,
                "/book/add/note",
                &headers,
                "text=evil&by=evil",
            );
            let answer = ask(&server.router, asked).await;
            assert_eq!(answer.status.as_u16(), status, "{headers:?}");
            helps(&answer, "another site");
        }
        let whole = "http://evil.example/book";
        let answer = ask(&server.router, request(Method::GET, whole, &[], "")).await;
        assert_eq!(answer.status, StatusCode::BAD_REQUEST);
        for method in ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND"] {
            let asked = request(method.parse().unwrap(), "/book", &[], "");
            let answer = ask(&server.router, asked).await;
            assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED, "{method}");
            helps(&answer, method);
        }
        let after = list::list(&server.book, &Default::default())
            .unwrap()
            .entries
            .len();
        assert_eq!(before, after);
    });
}

/// A line break in what goes into a header: the way on after signing in, and the remembered name.
#[test]
fn no_header_is_made_by_what_is_typed() {
    let server = server(true);
    wait(async {
        for next in [
            "%2F%0D%0ASet-Cookie%3A+a%3Db",
            "%2F%2Fevil.example",
            "https%3A%2F%2Fevil.example",
            "%2F%5Cevil.example",
        ] {
            let form = format!("name=Opal&pin=729461&next={next}");
            let answer = send(&server.router, "/sign-in", "", &form).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{next}");
            assert_eq!(answer.headers["location"], "/", "{next}");
            assert_eq!(
                answer.headers.get_all("set-cookie").iter().count(),
                1,
                "{next}"
            );
        }
        let form = "name=a%0D%0Ab&pin=x%0D%0A";
        let answer = send(&server.router, "/sign-in", "", form).await;
        assert_eq!(answer.status, StatusCode::UNAUTHORIZED);
        assert!(!answer.headers.contains_key("set-cookie"));
    });
}

/// The form of a fill asks the fill gate, as the command does: C1 gave somebody a headache.
#[test]
fn no_page_goes_around_the_fill_gate() {
    let server = server(false);
    wait(async {
        let form = "cylinder=C1&to=232+bar&by=MK";
        let answer = send(&server.router, "/book/add/fill", "", form).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let told = get(&server.router, answer.headers["location"].to_str().unwrap()).await;
        assert!(told.text.contains("Do not fill"), "{}", told.text);
        let entries = list::list(&server.book, &Default::default())
            .unwrap()
            .entries;
        let last = entries.iter().max_by_key(|row| row.seq).unwrap();
        assert_eq!(last.kind, "fill_refused");
    });
}

/// SQL in every text is a text.
#[test]
fn sql_is_a_text() {
    let server = server(false);
    wait(async {
        let evil = "'); DROP TABLE entry; --";
        let json = serde_json::json!({"text": evil, "by": evil}).to_string();
        let answer = program(&server.router, "/api/v1/book/add/note", "", &json).await;
        assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
        let encoded = super::super::plain::encoded(evil);
        for path in [
            format!("/api/v1/book/entries?cylinder={encoded}"),
            format!("/api/v1/book/entries?person={encoded}"),
            format!("/api/v1/book/trace?person={encoded}"),
            format!("/api/v1/book/fills?cylinder={encoded}"),
        ] {
            let answer = get(&server.router, &path).await;
            assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
        }
        let path = format!("/api/v1/book/cylinders/{encoded}");
        assert_eq!(
            get(&server.router, &path).await.status,
            StatusCode::NOT_FOUND
        );
        assert!(keep::check(&server.book, None, &mut |_| ()).unwrap().whole);
        let entries = list::list(&server.book, &Default::default())
            .unwrap()
            .entries;
        assert_eq!(entries.iter().filter(|row| row.author == evil).count(), 1);
    });
}

/// A cylinder called by a script, a person too: on no page it is one.
#[test]
fn a_script_in_a_name_is_a_name_on_every_page() {
    let signs = "(<script>|</td>|\"|'|&|=|\\{\\{|on[a-z]{2,4}=|[<>a-z;/ ]){1,12}";
    let mut runner = TestRunner::new(Config {
        failure_persistence: None,
        ..Config::with_cases(4)
    });
    let ran = runner.run(&signs, |text| {
        let name = format!("<script>evil()</script><img src=x onerror=\"e\">{text}");
        let server = server(false);
        wait(async {
            let by = "<script>evil()</script>";
            let json = serde_json::json!({"cylinder": name, "owner": name, "by": by,
                "water-volume": "12 L", "working-pressure": "232 bar", "tested": "2025-02"});
            let path = "/api/v1/book/add/cylinder";
            let answer = program(&server.router, path, "", &json.to_string()).await;
            assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
            let json = serde_json::json!({"what": name, "cylinder": name, "by": by});
            let path = "/api/v1/book/add/symptom";
            let answer = program(&server.router, path, "", &json.to_string()).await;
            assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
            let encoded = super::super::plain::encoded(&name);
            for (pattern, methods) in walked(&server).await {
                if !methods.contains(&Method::GET) {
                    continue;
                }
                let path = super::filled(&pattern.replace("{cylinder}", &encoded));
                for path in [
                    path.clone(),
                    format!("{path}?cylinder={encoded}&text={encoded}&next={encoded}"),
                ] {
                    let answer = get(&server.router, &path).await;
                    assert!(!answer.status.is_server_error(), "{path}: {}", answer.text);
                    let kind = answer.headers.get("content-type");
                    if kind.is_none_or(|kind| kind.as_bytes().starts_with(b"text/html")) {
                        for evil in ["<script>e", "<img src=x", "onerror=\"", " style=\""] {
                            assert!(!answer.text.contains(evil), "{path}: {evil}");
                        }
                    } else {
                        assert_eq!(answer.headers["x-content-type-options"], "nosniff");
                    }
                }
            }
        });
        Ok(())
    });
    ran.unwrap();
}
