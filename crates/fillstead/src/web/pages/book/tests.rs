//! Pages of the book, asked through the router.

use axum::http::StatusCode;

use crate::usecase::book::form::FORMS;
use crate::web::tests::{House, hidden, run};

#[test]
fn an_empty_book_says_what_to_do() {
    run(async {
        let house = House::of(None);
        let page = house.page("/book").await;
        assert!(page.contains("No cylinders yet.") && page.contains("/book/add/cylinder"));
        assert!(page.contains("No fills here yet."));
        // Without a station file nothing about the machine can be told: a remark, not a failure.
        for path in [
            "/book/trace",
            "/book/counts",
            "/book/drift",
            "/book/cartridge",
            "/book/import",
            "/book/verify",
            "/book/add",
            "/book/fill",
            "/air",
        ] {
            house.page(path).await;
        }
        let drift = house.page("/book/drift").await;
        assert!(drift.contains("no station file"), "{drift}");
        assert_eq!(
            house.get("/book/entry/99").await.status,
            StatusCode::NOT_FOUND
        );
        assert_eq!(
            house.get("/book/entry/x").await.status,
            StatusCode::NOT_FOUND
        );
        let tags = house.get("/print/tag").await;
        assert!(
            tags.text
                .contains("There is no cylinder to print a tag for."),
            "{}",
            tags.text
        );
    });
}

#[test]
fn a_page_has_no_style_and_no_script_of_its_own() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let fill = house.add("start", &[]);
        for path in [
            "/book",
            "/book/cylinder/A1",
            "/book/fill?cylinder=A1",
            "/book/add/fill",
            "/air?carbon-monoxide=3+ppm",
            "/book/drift",
            &format!("/book/entry/{fill}"),
        ] {
            let page = house.page(path).await;
            for sign in [" style=", "<style", "onclick=", "<script>"] {
                assert!(!page.contains(sign), "{path} has {sign}");
            }
            assert!(page.contains("<h1"), "{path}");
            assert!(!page.to_lowercase().contains("safe to breathe"), "{path}");
        }
    });
}

/// A tag in a name must never become one, on any page that shows it.
#[test]
fn a_script_for_a_name_stays_a_name() {
    const NAME: &str = "<script>alert(1)</script>";
    run(async {
        let house = House::of(Some("boathouse.toml"));
        house.cylinder(NAME);
        let sent = house
            .post(
                "/book/add/fill",
                &[
                    ("cylinder", NAME),
                    ("from", "50 bar"),
                    ("to", "200 bar"),
                    ("person", NAME),
                    ("protected-at", "232 bar"),
                    ("by", NAME),
                ],
            )
            .await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let own = crate::web::address::cylinder(NAME);
        for path in [
            "/book",
            "/book?kind=everything",
            &own,
            &sent.to,
            "/book/fill",
            "/book/add/fill",
            "/book/counts",
            "/book/trace?from=1",
            &crate::web::address::one("/book/trace", "cylinder", NAME),
            &crate::web::address::one("/book/fill", "cylinder", NAME),
            "/print/tag",
            "/print/day",
        ] {
            let page = house.page(path).await;
            assert!(!page.contains(NAME), "{path}");
            assert!(page.contains("alert(1)"), "{path} does not show it");
        }
    });
}

#[test]
fn a_refusal_tells_everything_and_is_overridden_only_where_allowed() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        // Nobody knows it: nothing to answer for.
        let sent = house
            .post(
                "/book/add/fill",
                &[("cylinder", "X9"), ("to", "232 bar"), ("by", "MK")],
            )
            .await;
        let page = house.page(&sent.to).await;
        assert!(
            page.contains("Do not fill X9") && page.contains("No fill was written"),
            "{page}"
        );
        assert!(!page.contains("name=\"override\""), "{page}");
        // A lower rating on the line: somebody may answer for it.
        let lately = "2026-01";
        house.add(
            "cylinder",
            &[
                ("cylinder", "D1"),
                ("water-volume", "10 L"),
                ("working-pressure", "200 bar"),
                ("material", "steel"),
                ("tested", lately),
                ("visual", lately),
            ],
        );
        let sent = house
            .post(
                "/book/add/fill",
                &[
                    ("cylinder", "D1"),
                    ("from", "20 bar"),
                    ("to", "200 bar"),
                    ("by", "MK"),
                ],
            )
            .await;
        let page = house.page(&sent.to).await;
        assert!(page.contains("name=\"override\""), "{page}");
        assert_eq!(hidden(&page, "to").as_deref(), Some("200 bar"));
        let sent = house
            .post(
                "/book/add/fill",
                &[
                    ("cylinder", "D1"),
                    ("from", "20 bar"),
                    ("to", "200 bar"),
                    ("override", "watched by hand"),
                    ("by", "MK"),
                ],
            )
            .await;
        let page = house.page(&sent.to).await;
        assert!(page.contains("It is in the book"), "{page}");
        let log = house.page("/book").await;
        assert!(log.contains("overridden by MK: watched by hand"), "{log}");
        assert!(log.contains("not filled:"), "{log}");
    });
}

#[test]
fn a_locked_book_says_so_first_and_the_way_leads_to_the_cause() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let sent = house
            .post(
                "/book/add/symptom",
                &[("what", "headache"), ("cylinder", "A1"), ("by", "MK")],
            )
            .await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let seq = sent.to.rsplit('/').next().unwrap_or_default().to_owned();
        let page = house.page("/book").await;
        let at = |text: &str| page.find(text).unwrap_or_else(|| panic!("no {text}"));
        assert!(
            at("Nothing is filled") < at("Set aside by") && at("Set aside by") < at("id=\"reg\"")
        );
        assert!(
            page.contains(&format!("/book/add/cause?of={seq}")),
            "{page}"
        );
        let cause = house.page(&format!("/book/add/cause?of={seq}")).await;
        assert!(
            cause.contains(&format!("name=\"of\" value=\"{seq}\"")),
            "{cause}"
        );
        let a1 = house.page("/book/cylinder/A1").await;
        assert!(a1.contains("Release A1"), "{a1}");
    });
}

#[test]
fn what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let sent = house
            .post(
                "/book/add/drain",
                &[("volume", "forty"), ("looks", "milky"), ("by", "MK")],
            )
            .await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(sent.text.contains("value=\"forty\"") && sent.text.contains("value=\"milky\""));
        assert!(
            sent.text.contains("aria-describedby=\"e-volume\""),
            "{}",
            sent.text
        );
        let sent = house.post("/book/add/drain", &[("volume", "40 mL")]).await;
        assert!(sent.text.contains("Nobody is named"), "{}", sent.text);
        let page = house.page("/book?day=yesterday").await;
        assert!(page.contains("is no day of the calendar"), "{page}");
    });
}

#[test]
fn every_form_is_sent_and_reads_back() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let symptom = house.add("symptom", &[("what", "smell")]).to_string();
        for form in FORMS.iter().filter(|form| form.name != "fill") {
            let page = house.page(&format!("/book/add/{}", form.name)).await;
            let mut given: Vec<(&str, &str)> = Vec::new();
            for field in form.fields {
                assert!(
                    page.contains(&format!("name=\"{}\"", field.name)),
                    "{} {}",
                    form.name,
                    field.name
                );
                let text = match field.name {
                    "of" if ["cause", "release"].contains(&form.name) => symptom.as_str(),
                    _ => field.example,
                };
                given.push((field.name, text));
            }
            given.push(("by", "MK"));
            let sent = house
                .post(&format!("/book/add/{}", form.name), &given)
                .await;
            assert_eq!(
                sent.status,
                StatusCode::SEE_OTHER,
                "{}: {}",
                form.name,
                sent.text
            );
            assert!(
                house.page(&sent.to).await.contains("It is in the book"),
                "{}",
                form.name
            );
            // Corrected, the form shows what was typed.
            let entry = sent.to.replace("done", "entry");
            let page = house.page(&format!("{entry}/correct")).await;
            for (name, text) in given.iter().filter(|(name, _)| *name != "by") {
                let text = text.replace('\'', "&#39;");
                let (typed, chosen) = (
                    format!("name=\"{name}\" value=\"{text}\""),
                    format!("value=\"{text}\" selected"),
                );
                assert!(
                    page.contains(&typed) || page.contains(&chosen),
                    "{}: {name} is not {text}",
                    form.name
                );
            }
        }
    });
}

/// The browser keeps what is typed for each cylinder apart, and is told which copy may go.
#[test]
fn what_the_browser_kept_goes_once_it_is_in_the_book() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let form = house.page("/book/fill?cylinder=A1").await;
        assert!(form.contains("data-keep=\"fill-A1\""), "{form}");
        let given = [
            ("cylinder", "A1"),
            ("from", "50 bar"),
            ("to", "232 bar"),
            ("keep", "fill-A1"),
            ("by", "MK"),
        ];
        let sent = house.post("/book/add/fill", &given).await;
        let done = house.page(&sent.to).await;
        assert!(done.contains("data-done=\"fill-A1\""), "{done}");
        let wrong = house
            .post("/book/add/fill", &[("cylinder", "A1"), ("from", "fifty")])
            .await;
        assert!(wrong.text.contains("data-sent"), "{}", wrong.text);
    });
}

#[test]
fn a_correction_keeps_the_history() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let seq = house.add("drain", &[("volume", "40 mL"), ("looks", "milky")]);
        let path = format!("/book/entry/{seq}");
        let same = house
            .post(
                &format!("{path}/correct"),
                &[
                    ("volume", "40 mL"),
                    ("looks", "milky"),
                    ("because", "misread"),
                    ("by", "MK"),
                ],
            )
            .await;
        assert_eq!(same.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(same.text.contains("Nothing is changed"), "{}", same.text);
        let sent = house
            .post(
                &format!("{path}/correct"),
                &[
                    ("volume", "45 mL"),
                    ("looks", "milky"),
                    ("because", "misread"),
                    ("by", "AS"),
                ],
            )
            .await;
        assert_eq!(
            (sent.status, sent.to.as_str()),
            (StatusCode::SEE_OTHER, path.as_str()),
            "{}",
            sent.text
        );
        let page = house.page(&path).await;
        assert!(
            page.contains("45 mL") && page.contains("40 mL") && page.contains("misread"),
            "{page}"
        );
        let sent = house
            .post(
                &format!("{path}/correct"),
                &[("do", "withdraw"), ("because", "twice"), ("by", "AS")],
            )
            .await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        assert!(
            house
                .page(&path)
                .await
                .contains("Withdrawn: it did not happen.")
        );
    });
}

#[test]
fn a_list_is_told_before_it_is_written_and_problems_have_their_row() {
    run(async {
        let house = House::of(None);
        let list = "Cylinder,Volume [L],Working pressure [bar]\nB1,12,232\nB2,twelve,232\n";
        let told = house
            .send(
                "/book/import",
                &[("list", "cylinders"), ("by", "MK"), ("do", "look")],
                ("list.csv", list),
            )
            .await;
        assert_eq!(told.status, StatusCode::OK, "{}", told.text);
        assert!(
            told.text.contains("1 new")
                && told.text.contains("<th scope=\"row\" class=\"r\">3</th>"),
            "{}",
            told.text
        );
        assert!(!told.text.contains("value=\"write\"") && told.text.contains("value=\"skip\""));
        assert!(
            house.page("/book").await.contains("No cylinders yet."),
            "a look wrote something"
        );
        // The file waits in the page.
        let waiting = hidden(&told.text, "waiting").unwrap();
        let given = [
            ("list", "cylinders"),
            ("by", "MK"),
            ("do", "skip"),
            ("waiting", waiting.as_str()),
            ("waiting-name", "list.csv"),
        ];
        let done = house.send("/book/import", &given, ("", "")).await;
        assert!(done.text.contains("Written: entries"), "{}", done.text);
        assert!(house.page("/book").await.contains("/book/cylinder/B1"));
        let none = house
            .send("/book/import", &[("do", "look")], ("", ""))
            .await;
        assert!(
            none.status == StatusCode::UNPROCESSABLE_ENTITY
                && none.text.contains("No file was sent")
        );
    });
}

#[test]
fn sheets_bring_a_policy_of_their_own_and_files_are_named() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        for sheet in ["day", "tag", "cartridge", "quarantine", "support"] {
            let answer = house.get(&format!("/print/{sheet}")).await;
            assert_eq!(answer.status, StatusCode::OK, "{sheet}: {}", answer.text);
            assert!(
                answer.policy.contains("style-src 'unsafe-inline'")
                    && !answer.policy.contains("script")
            );
            assert!(answer.text.contains("Print this page"), "{sheet}");
        }
        assert!(
            house
                .get("/book")
                .await
                .policy
                .contains("script-src 'self'")
        );
        let calendar = house.page("/book/due.ics").await;
        assert!(calendar.starts_with("BEGIN:VCALENDAR"), "{calendar}");
        assert!(
            house
                .page("/book/export?what=cylinders")
                .await
                .contains("A1")
        );
        assert!(house.page("/book/export").await.contains("\"book_begun\""));
        // SQLite: the first 16 bytes of a database (file format, 1.3).
        assert!(
            house
                .page("/book/backup")
                .await
                .starts_with("SQLite format 3\0")
        );
    });
}

#[test]
fn a_check_tells_how_far_it_is_and_what_it_found() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let begun = house.post("/book/verify", &[]).await;
        assert_eq!(begun.status, StatusCode::SEE_OTHER);
        for _ in 0..200 {
            let page = house.get("/book/verify").await.text;
            if page.contains("entries hold") {
                return;
            }
            assert!(page.contains("Checking:"), "{page}");
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        }
        panic!("the check did not end");
    });
}

#[test]
fn the_log_is_chosen_and_paged() {
    run(async {
        let house = House::of(None);
        for i in 0..45 {
            house.add("note", &[("text", &format!("note {i}"))]);
        }
        let first = house.page("/book?kind=note").await;
        assert!(
            first.contains("note 44") && !first.contains(">note 4<") && first.contains("Older"),
            "{first}"
        );
        let second = house.page("/book?kind=note&page=1").await;
        assert!(
            second.contains(">note 4<") && second.contains("Newer") && !second.contains("Older"),
            "{second}"
        );
        assert!(
            house
                .page("/book?kind=nothing")
                .await
                .contains("no kind of entry")
        );
    });
}
