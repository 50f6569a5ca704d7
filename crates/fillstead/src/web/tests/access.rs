//! Signing in, roles, sessions, waits.

use std::net::IpAddr;

use axum::http::{Method, StatusCode};

use super::{
    HOME, PEOPLE, Server, again, ask, filled, get, program, request, send, server, wait, walked,
};
use crate::usecase::book::list;
use crate::usecase::people::sign::{Denied, IDLE_S, LONGEST_S, sign_in, signed_in};
use crate::usecase::people::{self, Role, seconds};
use crate::web::access::{Deed, Need, RULES, need};

/// A new page that changes something fails here until it says who may.
#[test]
fn every_address_that_changes_something_is_in_the_table() {
    let server = server(false);
    let walked = wait(walked(&server));
    let paths: Vec<&str> = walked.iter().map(|(path, _)| path.as_str()).collect();
    for known in [
        "/book",
        "/book/add/{form}",
        "/sign-in",
        "/api/v1/book/fill",
        "/favicon.svg",
    ] {
        assert!(paths.contains(&known), "{known} is not among {paths:?}");
    }
    for (path, methods) in &walked {
        for method in methods {
            let deed = match *method == Method::GET || *method == Method::HEAD {
                true => Deed::Read,
                false => Deed::Change,
            };
            let need = need(deed, &filled(path));
            assert!(
                need.is_some(),
                "{method} {path} has no row in web/access.rs"
            );
        }
    }
    for rule in RULES {
        let there = paths.iter().any(|path| filled(path) == filled(rule.1))
            || rule.1.contains("/add/")
            || rule.1.contains("{file}");
        assert!(there, "{} is in the table, and no page is there", rule.1);
    }
}

/// Each address with each role: below what it needs nothing is done, from there on it is.
#[test]
fn no_role_reaches_beyond_itself() {
    let server = server(true);
    let mut people: Vec<(Option<Role>, String)> = vec![(None, String::new())];
    people.extend(PEOPLE.map(|(name, role, _)| (Some(role), server.cookie(name))));
    wait(async {
        let before = list::list(&server.book, &Default::default())
            .unwrap()
            .entries
            .len();
        for (path, methods) in walked(&server).await {
            for method in methods.iter().filter(|_| path != "/sign-out") {
                let reads = *method == Method::GET || *method == Method::HEAD;
                let deed = if reads { Deed::Read } else { Deed::Change };
                let needed = need(deed, &filled(&path)).unwrap();
                for (role, cookie) in &people {
                    let headers = [
                        ("cookie", cookie.as_str()),
                        ("content-type", "application/json"),
                    ];
                    let asked = request(method.clone(), &filled(&path), &headers, "{}");
                    let answer = ask(&server.router, asked).await;
                    let status = answer.status;
                    let to = answer.headers.get("location");
                    let away = to.is_some_and(|to| to.as_bytes().starts_with(b"/sign-in"));
                    let stopped = [401, 403].contains(&status.as_u16()) || away;
                    let may = match needed {
                        Need::Nothing => true,
                        Need::Role(needed) => role.is_some_and(|role| role >= needed),
                    };
                    assert_eq!(stopped, !may, "{method} {path} as {role:?}: {status}");
                }
            }
        }
        let after = list::list(&server.book, &Default::default())
            .unwrap()
            .entries
            .len();
        assert_eq!(before, after);
    });
}

/// A keeper's form under another spelling of its address.
#[test]
fn an_operator_sets_no_price_by_another_spelling() {
    let server = server(true);
    let opal = server.cookie("Opal");
    wait(async {
        for path in [
            "/book/add/price",
            "/book/add/pric%65",
            "/book/%61dd/price",
            "/book/add/PRICE",
        ] {
            let form = "of=cartridge&amount=1&currency=EUR";
            let answer = send(&server.router, path, &opal, form).await;
            assert!(!answer.status.is_success(), "{path}: {}", answer.status);
        }
        let json = r#"{"of":"cartridge","amount":1,"currency":"EUR"}"#;
        let path = "/api/v1/book/add/%70rice";
        let answer = program(&server.router, path, &opal, json).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
        assert!(answer.text.contains("\"error\""), "{}", answer.text);
        let kees = server.cookie("Kees");
        let answer = program(&server.router, path, &kees, json).await;
        assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
    });
}

#[test]
fn an_entry_is_signed_by_whoever_is_signed_in() {
    let server = server(true);
    let opal = server.cookie("Opal");
    wait(async {
        let answer = send(
            &server.router,
            "/book/add/note",
            &opal,
            "text=new+key&by=Kees",
        )
        .await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let json = r#"{"text":"second","by":"Kees"}"#;
        let answer = program(&server.router, "/api/v1/book/add/note", &opal, json).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("signed by Opal"), "{}", answer.text);
        let last = list::list(&server.book, &Default::default())
            .unwrap()
            .entries;
        let note = last
            .iter()
            .find(|row| row.line.contains("new key"))
            .unwrap();
        assert_eq!(note.author, "Opal");
        // MK's entry 12 is not hers to correct; her own is.
        let json = r#"{"entry":12,"why":"wrong","withdraw":true}"#;
        let answer = program(&server.router, "/api/v1/book/correct", &opal, json).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{}", answer.text);
        let json = format!(r#"{{"entry":{},"why":"wrong","withdraw":true}}"#, note.seq);
        let answer = program(&server.router, "/api/v1/book/correct", &opal, &json).await;
        assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
    });
}

#[test]
fn a_session_survives_a_restart_and_ends_when_it_must() {
    let server = server(true);
    wait(async {
        let answer = get(&server.router, "/book?kind=fill").await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
        assert_eq!(
            answer.headers["location"],
            "/sign-in?next=%2Fbook%3Fkind%3Dfill"
        );
        let form = "name=opal&pin=729461&next=%2Fbook%3Fkind%3Dfill";
        let answer = send(&server.router, "/sign-in", "", form).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(answer.headers["location"], "/book?kind=fill");
        let cookie = answer.headers["set-cookie"].to_str().unwrap().to_owned();
        for part in ["HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=604800"] {
            assert!(cookie.contains(part), "{cookie}");
        }
        let cookie = cookie.split(';').next().unwrap();
        let read = |router: axum::Router, cookie: String| async move {
            ask(
                &router,
                request(Method::GET, "/book", &[("cookie", &cookie)], ""),
            )
            .await
            .status
        };
        assert_eq!(
            read(again(&server.book, false), cookie.to_owned()).await,
            StatusCode::OK
        );
        // Forged: another letter, nothing, the hash that stands in the file.
        let mut forged = cookie.to_owned();
        let at = forged.len() - 2..forged.len() - 1;
        let other = if &forged[at.clone()] == "A" { "B" } else { "A" };
        forged.replace_range(at, other);
        let files = server.files();
        let hash = files
            .split("\"token\": \"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        for wrong in [
            forged,
            "fillstead_session=".to_owned(),
            format!("fillstead_session={hash}"),
        ] {
            assert_eq!(
                read(server.router.clone(), wrong).await,
                StatusCode::SEE_OTHER
            );
        }
        let answer = send(&server.router, "/sign-out", cookie, "").await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
        assert_eq!(
            read(server.router.clone(), cookie.to_owned()).await,
            StatusCode::SEE_OTHER
        );
    });
}

#[test]
fn sessions_end_by_time_and_by_a_new_pin() {
    let Server { book, .. } = &server(true);
    let now = seconds();
    let come = |at| sign_in(book, "Opal", "729461", HOME, at).unwrap();
    let there = |token: &str, at| signed_in(book, token, at).unwrap().is_some();
    let token = come(now);
    assert!(there(&token, now + IDLE_S - 1));
    // It was used then: the twelve hours run from there, the seven days do not.
    assert!(there(&token, now + 2 * IDLE_S - 2));
    assert!(!there(&token, now + 4 * IDLE_S));
    let token = come(now);
    let mut at = now;
    while at + IDLE_S / 2 < now + LONGEST_S {
        at += IDLE_S / 2;
        assert!(there(&token, at), "{at}");
    }
    assert!(!there(&token, now + LONGEST_S));
    let token = come(now - 10);
    people::new_pin(book, "Opal", "640917", None).unwrap();
    assert!(!there(&token, now));
    let token = sign_in(book, "Opal", "640917", HOME, now + 5).unwrap();
    people::remove(book, "Opal", Some("Kees")).unwrap();
    assert!(!there(&token, now + 6));
}

#[test]
fn after_five_wrong_tries_there_is_a_wait_that_ends() {
    let server = server(true);
    let book = &server.book;
    let now = seconds();
    let from = |last: u8| IpAddr::from([192, 168, 7, last]);
    let come = |name: &str, pin: &str, last, at| sign_in(book, name, pin, from(last), at).err();
    // Somebody knocks with Opal's name and with nobody's, from many places.
    for name in ["Opal", "Nobody"] {
        for i in 0..4 {
            assert_eq!(
                come(name, "000000", i, now),
                Some(Denied::Wrong),
                "{name} {i}"
            );
        }
        assert_eq!(
            come(name, "000000", 8, now),
            Some(Denied::Wait(30)),
            "{name}"
        );
        // The right PIN from elsewhere waits as well, and does not make it longer.
        assert_eq!(
            come(name, "729461", 9, now + 10),
            Some(Denied::Wait(20)),
            "{name}"
        );
    }
    assert_eq!(come("Opal", "729461", 9, now + 30), None);
    // From where she came in she does not wait for what others do.
    for i in 20..25 {
        come("Opal", "000000", i, now + 40);
    }
    assert_eq!(come("Opal", "729461", 9, now + 41), None);
    // One address with many names.
    for (i, name) in ["a", "b", "c", "d"].iter().enumerate() {
        assert_eq!(come(name, "000000", 77, now), Some(Denied::Wrong), "{i}");
    }
    assert_eq!(come("e", "000000", 77, now), Some(Denied::Wait(30)));
    assert_eq!(
        come("Kees", PEOPLE[2].2, 77, now + 1),
        Some(Denied::Wait(29))
    );
    assert_eq!(come("Kees", PEOPLE[2].2, 78, now + 1), None);
}

#[test]
fn a_wait_is_told_with_the_time_left_and_survives_a_restart() {
    let server = server(true);
    wait(async {
        let mut last = None;
        for _ in 0..6 {
            let router = again(&server.book, false);
            last = Some(send(&router, "/sign-in", "", "name=Opal&pin=000000").await);
        }
        let last = last.unwrap();
        assert_eq!(last.status, StatusCode::TOO_MANY_REQUESTS);
        let left: i64 = last.headers["retry-after"]
            .to_str()
            .unwrap()
            .parse()
            .unwrap();
        assert!((1..=30).contains(&left), "{left}");
        assert!(
            last.text.contains("seconds, then try again"),
            "{}",
            last.text
        );
        let nobody = send(&server.router, "/sign-in", "", "name=Nobody&pin=000000").await;
        assert_eq!(nobody.status, StatusCode::TOO_MANY_REQUESTS);
    });
}

#[test]
fn no_pin_stands_anywhere_and_the_files_are_private() {
    use std::os::unix::fs::PermissionsExt;
    let server = server(true);
    let token = server.cookie("Opal");
    wait(send(&server.router, "/sign-in", "", "name=846213&pin=Opal"));
    let files = server.files();
    for secret in PEOPLE
        .iter()
        .map(|person| person.2)
        .chain([&token[18..], "846213"])
    {
        assert!(!files.contains(secret), "{secret}");
    }
    for ending in ["-people", "-sessions"] {
        let path = format!("{}{ending}", server.book.display());
        let mode = std::fs::metadata(&path).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "{path}");
    }
    let entries = list::list(&server.book, &Default::default())
        .unwrap()
        .entries;
    let notes: Vec<&str> = entries
        .iter()
        .filter(|row| row.kind == "note")
        .map(|row| row.line.as_str())
        .collect();
    assert_eq!(notes.len(), 3);
    assert!(
        notes[1].contains("Opal may use this book over the network, as operator"),
        "{notes:?}"
    );
    assert!(!entries.iter().any(|row| row.line.contains("argon2")));
}
