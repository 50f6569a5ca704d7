//! The Check page as a browser meets it: readings by thumb, lists, runs, wrong things, odd names.

use axum::http::{Method, StatusCode};
use quantity::UnitSystem;

use crate::usecase::book::add::add;
use crate::usecase::book::desk::Who;
use crate::usecase::book::drift::drift;
use crate::usecase::book::form::{Form, Given};
use crate::usecase::diagnose::check::check;
use crate::usecase::diagnose::sent::Sent;
use crate::web::plain::encoded;
use crate::web::tests::{Answer, Server, ask, get, request, send, server, wait};

/// A sound evening by the station file, roughly.
const LINES: [(&str, &str, &str, &str); 6] = [
    ("0:30", "tower", "85 bar", ""),
    ("1:00", "tower", "99 bar", "air at the fill valve"),
    ("2:00", "tower", "98 bar", ""),
    ("4:00", "tower", "98 bar", ""),
    ("8:00", "panel", "1600 psi", ""),
    ("9:00", "", "", "drained 40 mL"),
];

fn body(fields: &[(&str, &str)]) -> String {
    let pair = |(name, text): &(&str, &str)| format!("{name}={}", encoded(text));
    fields.iter().map(pair).collect::<Vec<_>>().join("&")
}

fn lines() -> Vec<(&'static str, &'static str)> {
    let line = |(time, gauge, reading, observed)| {
        [
            ("time", time),
            ("gauge", gauge),
            ("reading", reading),
            ("observed", observed),
        ]
    };
    LINES.into_iter().flat_map(line).collect()
}

async fn posted(server: &Server, fields: &[(&str, &str)]) -> Answer {
    send(&server.router, "/check", "", &body(fields)).await
}

/// Everything a list of hidden inputs says.
fn inputs(page: &str, name: &str) -> Vec<String> {
    let mark = format!("<input type=\"hidden\" name=\"{name}\" value=\"");
    let after = page.split(&mark).skip(1);
    let mut values: Vec<String> = after
        .map(|rest| rest.split('"').next().unwrap().to_owned())
        .collect();
    // The form for a file carries them once more.
    values.truncate(values.len() / 2);
    values
}

#[test]
fn an_empty_page_tells_what_to_do() {
    let server = server(false);
    let page = wait(get(&server.router, "/check"));
    assert_eq!(page.status, StatusCode::OK);
    assert!(
        page.text
            .contains("Start the machine and note what the gauges show")
    );
    assert!(page.text.contains("aria-current=\"page\">Check"));
    assert!(!page.text.to_lowercase().contains("safe"));
    assert!(!page.text.contains("Keep it"));
}

#[test]
fn readings_travel_and_are_worked_out() {
    let server = server(false);
    let mut fields = lines();
    fields.extend([
        ("new-time", "12:00"),
        ("new-gauge", "tower"),
        ("new-reading", "140"),
        ("new-observed", ""),
        ("do", "check"),
    ]);
    let page = wait(posted(&server, &fields));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(
        inputs(&page.text, "time"),
        ["0:30", "1:00", "2:00", "4:00", "8:00", "9:00", "12:00"]
    );
    assert_eq!(inputs(&page.text, "reading")[6], "140 bar");
    for part in [
        "Found against specified",
        "Likely causes",
        "Readings against the model",
        "<caption class=\"sr\">Readings against the model, bar gauge",
        "Keep what was found",
        "At the machine",
    ] {
        assert!(page.text.contains(part), "{part}");
    }
    assert!(!page.text.to_lowercase().contains(" safe"));
}

#[test]
fn a_line_that_cannot_be_used_is_told_beside_its_box_and_nothing_is_lost() {
    let server = server(false);
    let mut fields = lines();
    fields.extend([
        ("new-time", "soon"),
        ("new-gauge", "tower"),
        ("new-reading", "140"),
    ]);
    let page = wait(posted(&server, &fields));
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        page.text
            .contains("is not a time. Write minutes and seconds")
    );
    assert!(page.text.contains("value=\"soon\""));
    assert!(
        page.text
            .contains("aria-invalid=\"true\" aria-describedby=\"w-7\"")
    );
    assert!(page.text.contains("1600 psi") && page.text.contains("drained 40 mL"));
    assert!(!page.text.contains("Likely causes"));
}

#[test]
fn what_is_known_beside_is_checked_at_its_field() {
    let server = server(false);
    for (field, text, told) in [
        ("tower", "900 bar", "the tower cannot stand at 900 bar"),
        ("tower", "many", "many"),
        ("intake-temperature", "200", "is not between"),
    ] {
        let mut fields = lines();
        fields.push((field, text));
        let page = wait(posted(&server, &fields));
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{text}");
        assert!(
            page.text.to_lowercase().contains(&told.to_lowercase()),
            "{field} {text}"
        );
        assert!(page.text.contains("aria-invalid=\"true\""), "{field}");
    }
    let mut fields = lines();
    fields.extend([
        ("tower", "many"),
        ("new-time", "soon"),
        ("new-reading", "9"),
    ]);
    let page = wait(posted(&server, &fields));
    let both =
        page.text.contains("\"many\" does not begin") || page.text.contains("&#34;many&#34;");
    assert!(both && page.text.contains("is not a time"), "all at once");
    let mut fields = lines();
    fields.extend([("cylinder", "Nobody"), ("start", "60")]);
    let page = wait(posted(&server, &fields));
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("Nobody"));
}

#[test]
fn rubbish_in_a_list_is_told_and_kept() {
    let server = server(false);
    let rubbish = "dear all\nthe gauge was odd\n";
    let page = wait(posted(&server, &[("paste", rubbish), ("do", "paste")]));
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("Line 1 names no column."));
    assert!(page.text.contains("dear all"), "the list is still there");
    let large = "time,observed\n".to_owned() + &"x".repeat(70_000);
    let page = wait(posted(&server, &[("paste", &large), ("do", "paste")]));
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("more than 64 KiB"));
    let huge = "x".repeat(5 << 20);
    let page = wait(posted(&server, &[("paste", &huge), ("do", "paste")]));
    assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE);
}

#[test]
fn script_in_names_stays_text() {
    let server = server(false);
    let script = "<script>alert(1)</script>";
    let odd = [
        ("time", "1:00"),
        ("gauge", script),
        ("reading", "75 bar"),
        ("observed", "\"><img src=x onerror=alert(1)>"),
    ];
    let page = wait(posted(&server, &odd));
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(!page.text.contains("<script>alert") && !page.text.contains("<img src=x"));
    let seen = [
        ("time", "1"),
        ("gauge", ""),
        ("reading", ""),
        ("observed", script),
    ];
    let mut fields = lines();
    fields.extend(seen);
    let page = wait(posted(&server, &fields));
    assert_eq!(page.status, StatusCode::OK);
    assert!(!page.text.contains("<script>alert"));
    let list = format!("time,observed\n1,\"{script}\"\n");
    let page = wait(posted(
        &server,
        &[("paste", list.as_str()), ("do", "paste")],
    ));
    assert!(!page.text.contains("<script>alert"));
}

#[test]
fn a_run_of_the_book_is_taken_with_its_readings() {
    let server = server(false);
    let offered = wait(get(&server.router, "/check"));
    assert!(offered.text.contains("2025-03-20 18:50, 1 reading"));
    let start = offered
        .text
        .split("2025-03-20 18:50, 1 reading")
        .next()
        .unwrap();
    let seq = start.rsplit("<option value=\"").next().unwrap();
    let seq = seq.split('"').next().unwrap();
    let page = wait(get(&server.router, &format!("/check?run={seq}")));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("run of 2025-03-20 18:50"));
    assert_eq!(inputs(&page.text, "reading")[0], "101 bar");
    assert!(
        page.text.contains("value=\"72 bar\""),
        "the tower at the start"
    );
    assert!(page.text.contains("drained 32 mL"));
    let none = wait(get(&server.router, "/check?run=3"));
    assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(none.text.contains("not the start of a run"));
}

/// A whip under pressure is a reading of the line; at nothing it was bled.
#[test]
fn what_was_done_in_a_run_comes_with_it() {
    let server = server(false);
    let whip = |bar| [("of", "whip"), ("value", bar)];
    enter(&server, "2025-03-22 18:58", "reading", &whip("120 bar"));
    enter(&server, "2025-03-22 19:20", "reading", &whip("0 bar"));
    let page = wait(get(&server.router, "/check"));
    let start = page
        .text
        .split("2025-03-22 18:50, 3 readings")
        .next()
        .unwrap();
    let seq = start.rsplit("<option value=\"").next().unwrap();
    let seq = seq.split('"').next().unwrap();
    let page = wait(get(&server.router, &format!("/check?run={seq}")));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(
        inputs(&page.text, "observed"),
        [
            "air at the fill valve",
            "",
            "bled the whip",
            "machine stopped"
        ]
    );
    assert_eq!(
        inputs(&page.text, "time"),
        ["5:00", "8:00", "30:00", "40:00"]
    );
    assert_eq!(inputs(&page.text, "reading")[1], "120 bar");
}

/// Three cylinders on two hoses: the first two are one set, and the machine stood when it was full.
#[test]
fn a_run_of_two_sets_gives_its_first() {
    let server = server(false);
    let at = |minute: &str| format!("2025-04-02 {minute}");
    for id in ["C2", "C3"] {
        let rated = ("working-pressure", "232 bar");
        let cylinder = [("cylinder", id), ("water-volume", "12 L"), rated];
        enter(&server, &at("09:00"), "cylinder", &cylinder);
    }
    enter(&server, &at("10:00"), "start", &[("tower", "70 bar")]);
    let reading = |value| [("of", "panel"), ("value", value)];
    enter(&server, &at("10:10"), "reading", &reading("120 bar"));
    for (when, id, from) in [
        ("10:35", "C1", "50 bar"),
        ("10:36", "C2", "60 bar"),
        ("11:00", "C3", "40 bar"),
    ] {
        let fill = [
            ("cylinder", id),
            ("from", from),
            ("to", "200 bar"),
            ("person", "member 1"),
        ];
        enter(&server, &at(when), "fill", &fill);
    }
    enter(&server, &at("10:50"), "reading", &reading("110 bar"));
    enter(&server, &at("11:01"), "stop", &[]);
    let page = wait(get(&server.router, "/check?run="));
    let start = page
        .text
        .split("2025-04-02 10:00, 2 readings")
        .next()
        .unwrap();
    let seq = start.rsplit("<option value=\"").next().unwrap();
    let seq = seq.split('"').next().unwrap();
    let page = wait(get(&server.router, &format!("/check?run={seq}")));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(
        inputs(&page.text, "observed"),
        ["", "machine stopped: the first set is full"]
    );
    assert_eq!(inputs(&page.text, "time"), ["10:00", "36:00"]);
}

#[test]
fn the_text_for_a_technician_makes_the_same_page() {
    let server = server(false);
    let answer = wait(send(&server.router, "/check/text", "", &body(&lines())));
    assert_eq!(answer.status, StatusCode::OK);
    let disposition = answer.headers["content-disposition"].to_str().unwrap();
    assert!(disposition.contains("readings.csv"));
    let page = wait(posted(&server, &[("paste", &answer.text), ("do", "paste")]));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let readings: Vec<&str> = LINES.iter().map(|line| line.2).collect();
    assert_eq!(inputs(&page.text, "reading"), readings);
}

#[test]
fn a_file_joins_what_was_sent_with_it() {
    let server = server(false);
    let part = |name: &str, more: &str, text: &str| {
        format!("--x\r\nContent-Disposition: form-data; name=\"{name}\"{more}\r\n\r\n{text}\r\n")
    };
    let file = "\u{feff}time;gauge;reading (bar)\r\n2:00;tower;98,5\r\n";
    let sent = part("time", "", "1:00")
        + &part("gauge", "", "tower")
        + &part("reading", "", "99 bar")
        + &part("observed", "", "")
        + &part("file", "; filename=\"a.csv\"", file)
        + "--x--\r\n";
    let headers = [("content-type", "multipart/form-data; boundary=x")];
    let page = wait(ask(
        &server.router,
        request(Method::POST, "/check/upload", &headers, &sent),
    ));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(inputs(&page.text, "reading"), ["99 bar", "98.5 bar"]);
    assert!(page.text.contains("There is no column observed"));
}

#[test]
fn the_support_sheet_has_readings_settings_and_causes() {
    let server = server(false);
    let sheet = wait(send(&server.router, "/check/support", "", &body(&lines())));
    assert_eq!(sheet.status, StatusCode::OK);
    for part in [
        "Check of a run",
        "Likely cause",
        "PMV opens",
        "time,gauge,reading,observed",
        "8:00,panel,1600 psi,",
    ] {
        assert!(sheet.text.contains(part), "{part}");
    }
    let policy = sheet.headers["content-security-policy"].to_str().unwrap();
    assert!(policy.starts_with("default-src 'none'"), "{policy}");
}

#[test]
fn a_person_reads_in_their_own_units() {
    let server = server(false);
    let fields = body(&[
        ("new-time", "2:00"),
        ("new-gauge", "tower"),
        ("new-reading", "1420"),
    ]);
    let page = wait(send(&server.router, "/check", "units=us", &fields));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(inputs(&page.text, "reading"), ["1420 psi"]);
    assert!(page.text.contains("Readings against the model, psi gauge"));
    assert!(page.text.contains("psi</span>"));
}

fn given(fields: &[(&str, &str)]) -> Given {
    let own = fields
        .iter()
        .map(|(n, t)| ((*n).to_owned(), (*t).to_owned()));
    own.collect()
}

fn enter(server: &Server, at: &str, form: &str, fields: &[(&str, &str)]) {
    let who = Who {
        by: Some("MK"),
        at: Some(at),
        zone: None,
    };
    add(
        &server.book,
        Form::named(form).unwrap(),
        &given(fields),
        &who,
    )
    .unwrap();
}

/// A setting that a check found counts in the drift with its own uncertainty: ± 3.29 bar nine times
/// in ten is a standard uncertainty of 2 bar (1.645 standard deviations).
#[test]
fn a_check_that_is_kept_enters_the_drift_and_a_good_run_is_compared_with() {
    let server = server(false);
    enter(
        &server,
        "2025-03-24 10:00",
        "check",
        &[
            ("says", "nothing wrong found"),
            ("baseline", "yes"),
            ("pmv-opens", "97 bar"),
            ("pmv-opens-within", "3.29 bar"),
        ],
    );
    let page = drift(&server.book, Some("2025-03-25")).unwrap();
    let opens = &page.trends[0];
    let last = opens.points.last().unwrap();
    assert!((last.value - 97.0).abs() < 1e-9, "{last:?}");
    assert!((last.standard_uncertainty - 2.0).abs() < 0.001, "{last:?}");
    let sent = Sent::of(&given(&lines()), UnitSystem::Metric);
    let found = check(&server.book, sent, std::sync::Arc::default()).unwrap();
    let good = found.good.unwrap();
    assert_eq!(good.setting("pmv_opens"), Some("97 ± 3.3 bar"));
    let page = wait(posted(&server, &lines()));
    assert!(page.text.contains("Last good run"), "{}", page.text);
    assert!(page.text.contains("97 ± 3.3 bar"));
}

/// Settings found month after month lie on a line (104 bar, falling by 2 bar in a hundred days) that
/// leaves the tolerance of 95 to 105 bar: the Station page says so, and when.
#[test]
fn kept_settings_warn_before_they_leave_their_tolerance() {
    let server = server(false);
    let zone = crate::usecase::clock::Zone::named("Europe/Dublin").unwrap();
    let ago = |days: i64| {
        let now = crate::usecase::clock::now();
        zone.minute(book::Moment(now.0 - days * 86_400_000_000))
    };
    for (days, bar) in [
        (400, "104 bar"),
        (300, "102 bar"),
        (200, "100 bar"),
        (100, "98 bar"),
        (2, "96 bar"),
    ] {
        let fields = [
            ("says", "as found"),
            ("pmv-opens", bar),
            ("pmv-opens-within", "1 bar"),
        ];
        enter(&server, &ago(days), "check", &fields);
    }
    let page = drift(&server.book, None).unwrap();
    assert!(page.trends[0].crosses_on.is_some(), "{:?}", page.trends[0]);
    let coming = wait(get(&server.router, "/station/outlook"));
    assert!(
        coming.text.contains("Leaves its tolerance, likely 20"),
        "{}",
        coming.text
    );
    assert!(coming.text.contains("opening pressure stands at"));
}

/// What is kept is a form filled in, so that a person signs it.
#[test]
fn keeping_leads_to_the_books_own_form() {
    let server = server(false);
    let page = wait(posted(&server, &lines()));
    let href = page.text.split("href=\"/book/add/check?").nth(1).unwrap();
    let href = href
        .split('"')
        .next()
        .unwrap()
        .replace("&amp;", "&")
        .replace("&#38;", "&");
    let form = wait(get(&server.router, &format!("/book/add/check?{href}")));
    assert_eq!(form.status, StatusCode::OK);
    assert!(form.text.contains("What a check of the machine found"));
    assert!(form.text.contains("name=\"says\""));
}

#[test]
fn without_a_station_there_is_a_way_on() {
    let server = server(false);
    let empty = server.book.with_file_name("empty.book");
    let asked = crate::usecase::book::begin::Asked {
        name: Some("Shed"),
        ..Default::default()
    };
    let who = Who {
        by: Some("MK"),
        at: None,
        zone: Some("Europe/Dublin"),
    };
    assert!(crate::usecase::book::begin::begin(&empty, &asked, &who).is_ok());
    let page = wait(get(&crate::web::tests::again(&empty, true), "/check"));
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("/book/add/station"));
}

#[test]
fn over_the_network_it_needs_somebody_signed_in() {
    let server = server(true);
    let answer = wait(send(&server.router, "/check", "", &body(&lines())));
    assert_eq!(answer.status, StatusCode::UNAUTHORIZED);
    let cookie = server.cookie("Onna");
    let page = wait(send(&server.router, "/check", &cookie, &body(&lines())));
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
}

/// Readings of this station with its PMV opening at 85 bar instead of 100.
fn low() -> Vec<(&'static str, &'static str)> {
    let mut fields = vec![("tower", "0 bar"), ("cylinder", "C1"), ("start", "50 bar")];
    let shown = [
        ("0:30", "25 bar"),
        ("1:00", "49 bar"),
        ("1:30", "74 bar"),
        ("1:45", "84 bar"),
        ("2:00", "85 bar"),
        ("3:00", "85 bar"),
        ("4:00", "85 bar"),
        ("5:00", "85 bar"),
    ];
    for (time, reading) in shown {
        let line = [
            ("time", time),
            ("gauge", "tower"),
            ("reading", reading),
            ("observed", ""),
        ];
        fields.extend(line);
    }
    fields
}

/// By hand: half a turn clockwise took it from 80 to 100 bar, 40 bar a turn; from about 85 to 100 bar
/// is three eighths of a turn.
#[test]
fn a_turn_is_told_from_the_record_and_from_nothing_else() {
    let server = server(false);
    let page = wait(posted(&server, &low()));
    assert!(page.text.contains("The PMV opens too low"), "{}", page.text);
    assert!(
        page.text
            .contains("no adjustment of this valve is on record")
    );
    assert!(page.text.contains("/book/add/valve?valve=pmv"));
    let set = |before, after, turns| {
        [
            ("valve", "pmv"),
            ("before", before),
            ("after", after),
            ("turns", turns),
            ("set-by", "a technician"),
        ]
    };
    enter(
        &server,
        "2025-03-24 10:00",
        "valve",
        &set("80 bar", "100 bar", "0.5"),
    );
    let page = wait(posted(&server, &low()));
    let told = page
        .text
        .split("By the record, ")
        .nth(1)
        .unwrap_or_default();
    let turn: f64 = told.split(' ').next().unwrap().parse().unwrap();
    assert!((turn - 0.375).abs() < 0.06, "{turn}");
    assert!(told.contains("turn clockwise") && told.contains("towards higher, to 100 bar"));
    enter(
        &server,
        "2025-03-25 10:00",
        "valve",
        &set("100 bar", "120 bar", "-0.5"),
    );
    let page = wait(posted(&server, &low()));
    assert!(page.text.contains("the record contradicts itself"));
    enter(&server, "2025-03-26 10:00", "replaced", &[("part", "pmv")]);
    let page = wait(posted(&server, &low()));
    assert!(
        page.text
            .contains("no adjustment of this valve is on record")
    );
}
