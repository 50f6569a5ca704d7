//! People in the browser: who may look after them, what is refused, when sessions end.

use axum::http::{Method, StatusCode};

use crate::usecase::book::list;
use crate::usecase::people::sign::sign_in;
use crate::usecase::people::{self, Role, seconds};
use crate::web::tests::{
    Answer, HOME, House, PEOPLE, Server, ask, request, run, send, server, wait,
};

/// A page as a browser with this cookie gets it.
async fn page(server: &Server, path: &str, cookie: &str) -> Answer {
    let asked = request(Method::GET, path, &[("cookie", cookie)], "");
    ask(&server.router, asked).await
}

fn notes(server: &Server) -> Vec<(String, String)> {
    let entries = list::list(&server.book, &Default::default())
        .unwrap()
        .entries;
    let notes = entries.into_iter().filter(|row| row.kind == "note");
    notes.map(|row| (row.author, row.line)).collect()
}

#[test]
fn a_keeper_lets_somebody_in_changes_them_and_takes_them_out() {
    let server = server(true);
    let kees = server.cookie("Kees");
    wait(async {
        let form = "name=Nele&role=operator&pin=408157&again=408157&by=Somebody+else";
        let answer = send(&server.router, "/people/add", &kees, form).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let to = answer.headers["location"].to_str().unwrap().to_owned();
        let listed = page(&server, &to, &kees).await.text;
        for part in [
            "Nele",
            "operator",
            "It stands in the book as",
            "Onna",
            "onlooker",
        ] {
            assert!(listed.contains(part), "{part}: {listed}");
        }
        assert!(!listed.contains("408157"));
        let token = sign_in(&server.book, "Nele", "408157", HOME, seconds()).unwrap();
        let nele = format!("fillstead_session={token}");
        assert_eq!(page(&server, "/book", &nele).await.status, StatusCode::OK);

        // Another role counts at once, the session goes on.
        let answer = send(
            &server.router,
            "/people/role",
            &kees,
            "name=Nele&role=onlooker",
        )
        .await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let note = send(&server.router, "/book/add/note", &nele, "text=x").await;
        assert_eq!(note.status, StatusCode::FORBIDDEN);
        assert_eq!(page(&server, "/book", &nele).await.status, StatusCode::OK);

        // A new PIN and the way out end it.
        let form = "name=Nele&pin=519264&again=519264";
        let answer = send(&server.router, "/people/pin", &kees, form).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(
            page(&server, "/book", &nele).await.status,
            StatusCode::SEE_OTHER
        );
        let token = sign_in(&server.book, "Nele", "519264", HOME, seconds()).unwrap();
        let nele = format!("fillstead_session={token}");
        assert_eq!(page(&server, "/book", &nele).await.status, StatusCode::OK);
        let answer = send(&server.router, "/people/remove", &kees, "name=Nele").await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(
            page(&server, "/book", &nele).await.status,
            StatusCode::SEE_OTHER
        );
        // Let in again, the old browser is still out.
        people::add(&server.book, "Nele", Role::Operator, "519264", None).unwrap();
        assert_eq!(
            page(&server, "/book", &nele).await.status,
            StatusCode::SEE_OTHER
        );
    });
    let said = notes(&server);
    for says in [
        "Nele may use this book over the network, as operator",
        "as onlooker now, no longer as operator",
        "Nele has a new PIN",
        "Nele may no longer use this book",
    ] {
        let by_kees = |(author, line): &(String, String)| author == "Kees" && line.contains(says);
        assert!(said.iter().any(by_kees), "{says}: {said:?}");
    }
    assert!(!server.files().contains("519264"));
}

#[test]
fn what_is_wrong_is_told_beside_its_field_and_no_pin_comes_back() {
    let server = server(true);
    let kees = server.cookie("Kees");
    wait(async {
        let before = notes(&server).len();
        let long = "x".repeat(81);
        for (form, says) in [
            (
                "name=Nele&role=operator&pin=408157&again=408158",
                "The two are not the same",
            ),
            (
                "name=Nele&role=operator&pin=123456&again=123456",
                "counts up",
            ),
            (
                "name=Nele&role=operator&pin=nele40&again=nele40",
                "too short",
            ),
            ("name=Nele&role=operator", "too short"),
            (
                "name=Nele&role=admiral&pin=408157&again=408157",
                "There is no role called",
            ),
            (
                "name=Nele&pin=408157&again=408157",
                "There is no role called",
            ),
            (
                "name=opal&role=operator&pin=408157&again=408157",
                "Opal is there already",
            ),
            (
                "name=+&role=operator&pin=408157&again=408157",
                "1 to 80 letters",
            ),
            (
                "name=a%0Ab&role=operator&pin=408157&again=408157",
                "1 to 80 letters",
            ),
            (
                &format!("name={long}&role=operator&pin=408157&again=408157"),
                "1 to 80 letters",
            ),
        ] {
            let answer = send(&server.router, "/people/add", &kees, form).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{form}");
            assert!(answer.text.contains(says), "{form}: {}", answer.text);
            for pin in ["408157", "123456", "nele40"] {
                assert!(!answer.text.contains(pin), "{form}: the PIN is shown");
            }
        }
        let keep = "name=Nele&role=keeper&pin=1&again=1";
        let answer = send(&server.router, "/people/add", &kees, keep).await;
        for kept in ["value=\"Nele\"", "<option value=\"keeper\" selected>"] {
            assert!(answer.text.contains(kept), "{}", answer.text);
        }
        for (path, form, says) in [
            ("/people/remove", "name=Kees", "only keeper"),
            ("/people/role", "name=Kees&role=operator", "only keeper"),
            (
                "/people/role",
                "name=Opal&role=operator",
                "operator already",
            ),
            (
                "/people/pin",
                "name=Opal&pin=408157&again=40815",
                "not the same",
            ),
            (
                "/people/pin",
                "name=Opal&pin=opalopal&again=opalopal",
                "PIN",
            ),
        ] {
            let answer = send(&server.router, path, &kees, form).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{form}");
            assert!(answer.text.contains(says), "{form}: {}", answer.text);
        }
        for path in ["/people/role", "/people/pin", "/people/remove"] {
            let form = "name=Nobody&role=keeper&pin=408157&again=408157";
            let answer = send(&server.router, path, &kees, form).await;
            assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        }
        let huge = format!("name={}&role=operator", "x".repeat(5 << 20));
        let answer = send(&server.router, "/people/add", &kees, &huge).await;
        assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
        assert_eq!(notes(&server).len(), before);
    });
    assert_eq!(people::list(&server.book).unwrap().len(), PEOPLE.len());
}

#[test]
fn only_a_keeper_who_is_signed_in_looks_after_people() {
    let server = server(true);
    let forged = format!("fillstead_session={}", "A".repeat(43));
    let cookies = [
        server.cookie("Onna"),
        server.cookie("Opal"),
        forged,
        String::new(),
    ];
    wait(async {
        for cookie in &cookies {
            for path in [
                "/people",
                "/people/one?name=Kees",
                "/people/one?name=Nobody",
            ] {
                let answer = page(&server, path, cookie).await;
                assert!(
                    [StatusCode::FORBIDDEN, StatusCode::SEE_OTHER].contains(&answer.status),
                    "{path}: {}",
                    answer.status
                );
                assert!(!answer.text.contains("Kees"), "{path}");
            }
            for path in [
                "/people/add",
                "/people/role",
                "/people/pin",
                "/people/remove",
            ] {
                let form = "name=Opal&role=keeper&pin=408157&again=408157";
                let answer = send(&server.router, path, cookie, form).await;
                assert!(
                    [StatusCode::FORBIDDEN, StatusCode::UNAUTHORIZED].contains(&answer.status),
                    "{path}: {}",
                    answer.status
                );
            }
        }
        // Another site, with the keeper's own cookie.
        let kees = server.cookie("Kees");
        let headers = [
            ("cookie", kees.as_str()),
            ("sec-fetch-site", "cross-site"),
            ("content-type", "application/x-www-form-urlencoded"),
        ];
        let sent = request(Method::POST, "/people/remove", &headers, "name=Opal");
        assert_eq!(
            ask(&server.router, sent).await.status,
            StatusCode::FORBIDDEN
        );
    });
    let roles: Vec<Role> = people::list(&server.book)
        .unwrap()
        .iter()
        .map(|p| p.role)
        .collect();
    assert_eq!(roles, PEOPLE.map(|person| person.1));
}

#[test]
fn everybody_changes_their_own_pin_and_nobody_guesses_it() {
    let server = server(true);
    let (here, there) = (server.cookie("Onna"), server.cookie("Onna"));
    wait(async {
        let form = "old=583914&pin=408157&again=40815";
        let answer = send(&server.router, "/pin", &here, form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for (new, says) in [
            ("583914", "the PIN you have"),
            ("111111", "repeats one sign"),
        ] {
            let form = format!("old=583914&pin={new}&again={new}");
            let answer = send(&server.router, "/pin", &here, &form).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{new}");
            assert!(answer.text.contains(says), "{new}: {}", answer.text);
            assert!(!answer.text.contains(new), "{new}");
        }
        let form = "old=583914&pin=408157&again=408157";
        let answer = send(&server.router, "/pin", &here, form).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        assert!(
            answer.text.contains("Onna has a new PIN"),
            "{}",
            answer.text
        );
        let fresh = answer.headers["set-cookie"].to_str().unwrap();
        let fresh = fresh.split(';').next().unwrap().to_owned();
        assert_eq!(page(&server, "/book", &fresh).await.status, StatusCode::OK);
        for old in [&here, &there] {
            assert_eq!(
                page(&server, "/book", old).await.status,
                StatusCode::SEE_OTHER
            );
        }
        // A browser left open is no way to try PINs.
        let mut statuses = Vec::new();
        for i in 0..6 {
            let form = format!("old=40900{i}&pin=640917&again=640917");
            let answer = send(&server.router, "/pin", &fresh, &form).await;
            statuses.push(answer.status.as_u16());
        }
        assert_eq!(statuses, [422, 422, 422, 422, 429, 429]);
        let answer = send(&server.router, "/pin", "", "old=408157&pin=1&again=1").await;
        assert_eq!(answer.status, StatusCode::UNAUTHORIZED);
    });
    let said = notes(&server);
    let own = (
        "Onna".to_owned(),
        "Onna has a new PIN for the network".to_owned(),
    );
    assert!(
        said.iter()
            .any(|(by, line)| *by == own.0 && line.contains(&own.1)),
        "{said:?}"
    );
}

#[test]
fn on_this_machine_alone_anybody_looks_after_people() {
    run(async {
        let house = House::of(None);
        let page = house.page("/people").await;
        assert!(
            page.contains("Nobody may use this book") && page.contains("--lan"),
            "{page}"
        );
        assert!(house.page("/").await.contains("href=\"/people\""));
        let name = "<script>evil()</script>\"/..";
        let form = [
            ("name", name),
            ("role", "keeper"),
            ("pin", "408157"),
            ("again", "408157"),
            ("by", "MK"),
        ];
        let sent = house.post("/people/add", &form).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let page = house.page("/people").await;
        assert!(
            page.contains("&#60;script&#62;") && !page.contains("<script>e"),
            "{page}"
        );
        let href = page
            .split("/people/one?")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        let page = house.page(&format!("/people/one?{href}")).await;
        assert!(
            page.contains("&#60;script&#62;") && !page.contains("<script>e"),
            "{page}"
        );
        // The rule is the same for whoever is at the machine.
        let out = house
            .post("/people/remove", &[("name", name), ("by", "MK")])
            .await;
        assert_eq!(out.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(house.page("/pin").await.contains("nobody signs in"));
        let own = house
            .post("/pin", &[("old", "1"), ("pin", "2"), ("again", "2")])
            .await;
        assert_eq!(own.status, StatusCode::CONFLICT);
        assert_eq!(
            house.get("/people/one?name=Nobody").await.status,
            StatusCode::NOT_FOUND
        );
    });
}
