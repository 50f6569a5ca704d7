//! The station's pages through the router: a first owner, bad values, a station that is not there,
//! a file that somebody else changed. Every station here is invented.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use book::answer::station::station_text;
use tower::ServiceExt;

use crate::usecase::book::add;
use crate::usecase::book::begin::{Asked, begin};
use crate::usecase::book::desk::{self, Who};
use crate::usecase::book::form::Form;
use crate::usecase::first::is_there;
use crate::web::{App, router};

const BOATHOUSE: &str = include_str!("../../../../../../stations/boathouse.toml");

/// A folder of its own.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/tmp/station_pages");
    let folder = folder.join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn app(book: &Path, station_file: Option<PathBuf>) -> Arc<App> {
    Arc::new(App {
        station_file,
        ..App::of(book.to_owned())
    })
}

/// A book of the boathouse, begun.
fn begun(name: &str) -> (PathBuf, Arc<App>) {
    let book = folder(name).join("x.book");
    let asked = Asked {
        text: Some(BOATHOUSE),
        rule: Some("uk"),
        standard: Some("EN 12021"),
        ..Asked::default()
    };
    assert!(begin(&book, &asked, &who()).is_ok());
    (book.clone(), app(&book, None))
}

fn who() -> Who<'static> {
    Who {
        by: Some("MK"),
        at: None,
        zone: Some("Europe/Dublin"),
    }
}

/// What came back.
struct Answer {
    status: StatusCode,
    to: String,
    cookies: String,
    text: String,
}

async fn send(app: &Arc<App>, request: Request<Body>) -> Answer {
    let answer = router(app.clone()).oneshot(request).await.unwrap();
    let text = |name| {
        let all = answer.headers().get_all(name).iter();
        all.map(|v| v.to_str().unwrap())
            .collect::<Vec<_>>()
            .join("; ")
    };
    let (status, to) = (answer.status(), text(header::LOCATION));
    let cookies = text(header::SET_COOKIE);
    let bytes = to_bytes(answer.into_body(), 8 << 20).await.unwrap();
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    if text.starts_with("<!DOCTYPE") {
        harmless(&text);
    }
    Answer {
        status,
        to,
        cookies,
        text,
    }
}

/// Nothing in a page that its own rules forbid.
fn harmless(page: &str) {
    for wrong in [" style=", "<style", "javascript:", " onclick=", "<script>"] {
        assert!(!page.contains(wrong), "{wrong}");
    }
}

async fn get(app: &Arc<App>, path: &str) -> Answer {
    let request = Request::get(path).header(header::HOST, "localhost:8080");
    send(app, request.body(Body::empty()).unwrap()).await
}

async fn post(app: &Arc<App>, path: &str, pairs: &[(&str, &str)]) -> Answer {
    let encoded = |text: &str| {
        text.bytes()
            .map(|b| format!("%{b:02X}"))
            .collect::<String>()
    };
    let pairs = pairs
        .iter()
        .map(|(n, v)| format!("{}={}", encoded(n), encoded(v)));
    let request = Request::post(path)
        .header(header::HOST, "localhost:8080")
        .header("sec-fetch-site", "same-origin")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
    let body = pairs.collect::<Vec<_>>().join("&");
    send(app, request.body(Body::from(body)).unwrap()).await
}

/// The part of a page around the input of this name.
fn field_of<'p>(page: &'p str, name: &str) -> &'p str {
    let at = page.find(&format!("name=\"{name}\"")).unwrap();
    let start = page[..at].rfind("<div class=\"field").unwrap();
    let end = page[at..]
        .find("<div class=\"field")
        .map_or(page.len(), |end| at + end);
    &page[start..end]
}

fn text_in_force(book: &Path) -> String {
    let book = desk::read(book).unwrap();
    station_text(&book, None)
        .unwrap()
        .text()
        .unwrap()
        .to_owned()
}

fn entry_in_force(book: &Path) -> String {
    let book = desk::read(book).unwrap();
    station_text(&book, None)
        .unwrap()
        .revised
        .unwrap()
        .carrier
        .to_string()
}

#[tokio::test]
async fn a_first_owner_comes_from_nothing_to_a_station() {
    let book = folder("first").join("new.book");
    let app = app(&book, None);
    let page = get(&app, "/").await;
    assert!(
        page.text.contains("<h1 class=\"t\">Begin</h1>"),
        "{}",
        page.text
    );
    assert!(page.text.contains("EN 12021") && page.text.contains("Europe/Dublin"));
    // What does not do is told where it stands, what was typed is kept, and no file is made.
    let bad = [
        ("by", ""),
        ("zone", "Atlantis"),
        ("name", "Shed"),
        ("working-pressure", "232"),
        ("charging-rate", ""),
        ("pmv-opens", "100 bar"),
    ];
    let page = post(&app, "/begin", &bad).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    for (name, told) in [
        ("by", "Nobody is named."),
        ("zone", "There is no time zone"),
        ("working-pressure", "has no unit"),
        ("charging-rate", "This must be known."),
        ("pmv-closes", "This must be known."),
    ] {
        assert!(field_of(&page.text, name).contains(told), "{name}");
    }
    assert!(page.text.contains("value=\"Shed\"") && page.text.contains("value=\"232\""));
    assert!(!is_there(&book));
    let good = [
        ("by", "MK"),
        ("zone", "Europe/Dublin"),
        ("rule", "uk"),
        ("standard", "EN 12021"),
        ("name", "Shed"),
        ("working-pressure", "232 bar"),
        ("charging-rate", "100 L/min"),
        ("pmv-opens", "100 bar"),
        ("pmv-closes", "70 bar"),
        ("relief-lifts", "255 bar"),
        ("cylinder", "steel 12"),
        ("water-volume", "12 L"),
        ("cylinder-pressure", "232 bar"),
    ];
    let done = post(&app, "/begin", &good).await;
    assert_eq!(
        (done.status, done.to.as_str()),
        (StatusCode::SEE_OTHER, "/")
    );
    assert!(done.cookies.starts_with("by=MK"));
    let page = get(&app, "/").await.text;
    for shown in [
        "<title>Station - Shed</title>",
        "Pressure ladder",
        "100 / 70",
        "href=\"/plan\"",
    ] {
        assert!(page.contains(shown), "{shown}");
    }
    // Sent again, nothing is begun over it.
    assert_eq!(get(&app, "/begin").await.to, "/");
    let again = post(&app, "/begin", &good).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(again.text.contains("is there already"), "{}", again.text);
    // And a first forecast comes out of it.
    let station = station::read(&text_in_force(&book))
        .usable()
        .unwrap()
        .clone();
    let request = insight::forecast::request::Request {
        members: 1,
        ..Default::default()
    };
    assert!(insight::forecast::forecast(&station, &request, &|_| ()).is_ok());
}

#[tokio::test]
async fn a_bad_value_is_told_at_its_field_and_kept() {
    let (book, app) = begun("bad_value");
    let from = entry_in_force(&book);
    let sent = [
        ("relief.lifts", "200"),
        ("relief.bore", "4 mm"),
        ("from", &from),
        ("do", "save"),
        ("why", "x"),
        ("by", "MK"),
    ];
    let page = post(&app, "/station/edit/relief", &sent).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let field = field_of(&page.text, "relief.lifts");
    assert!(
        field.contains("value=\"200\"") && field.contains("aria-invalid"),
        "{field}"
    );
    assert!(
        field.contains("has no unit") && field.contains("200 bar"),
        "{field}"
    );
    assert_eq!(text_in_force(&book), BOATHOUSE);
    // A word that is not known, a table that is not known.
    let sent = [("relief.action", "zebra"), ("from", &from)];
    let page = post(&app, "/station/edit/relief", &sent).await;
    assert!(
        field_of(&page.text, "relief.action").contains("cannot be"),
        "{}",
        page.text
    );
    assert_eq!(
        get(&app, "/station/edit/zebra").await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn a_change_is_looked_at_then_saved_by_somebody_with_a_reason() {
    let (book, app) = begun("saved");
    let from = entry_in_force(&book);
    let change = ("relief.lifts", "258 bar");
    let page = post(
        &app,
        "/station/edit/relief",
        &[change, ("from", &from), ("do", "check")],
    )
    .await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(
        page.text.contains("lifts = &#34;255 bar&#34;")
            && page.text.contains("lifts = &#34;258 bar&#34;")
    );
    assert!(page.text.contains("value=\"save\""));
    assert_eq!(text_in_force(&book), BOATHOUSE);
    // Without a name or a reason nothing is saved.
    let sent = [change, ("from", &from), ("do", "save")];
    let page = post(&app, "/station/edit/relief", &sent).await;
    assert!(field_of(&page.text, "by").contains("Nobody is named."));
    let sent = [
        change,
        ("from", &from),
        ("do", "save"),
        ("by", "MK"),
        ("why", " "),
    ];
    let page = post(&app, "/station/edit/relief", &sent).await;
    assert!(field_of(&page.text, "why").contains("No reason is given."));
    let sent = [
        change,
        ("from", &from),
        ("do", "save"),
        ("by", "Åsa"),
        ("why", "new valve <b>, tag"),
    ];
    let done = post(&app, "/station/edit/relief", &sent).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    // As a person would have written it.
    assert_eq!(
        text_in_force(&book),
        BOATHOUSE.replace("255 bar", "258 bar")
    );
    let history = get(&app, &done.to).await.text;
    for shown in [
        "Åsa",
        "new valve &#60;b&#62;, tag",
        "the station is changed",
        "Lines: 1 new, 1 gone",
    ] {
        assert!(history.contains(shown), "{shown}\n{history}");
    }
    // Whoever still has the old form is told, and keeps what was typed.
    let sent = [
        ("relief.bore", "5 mm"),
        ("from", &from),
        ("do", "save"),
        ("by", "JB"),
        ("why", "measured"),
    ];
    let page = post(&app, "/station/edit/relief", &sent).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("was changed while this form was open"));
    assert!(field_of(&page.text, "relief.bore").contains("value=\"5 mm\""));
    assert!(page.text.contains(&format!(
        "name=\"from\" value=\"{}\"",
        entry_in_force(&book)
    )));
}

#[tokio::test]
async fn what_does_not_agree_elsewhere_comes_onto_the_form() {
    let (book, app) = begun("elsewhere");
    let from = entry_in_force(&book);
    let change = ("compressor.working_pressure", "300 bar");
    let page = post(&app, "/station/edit/compressor", &[change, ("from", &from)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("Said elsewhere in the file"));
    let field = field_of(&page.text, "relief.lifts");
    assert!(
        field.contains("Final relief valve: lifts") && field.contains("255 bar"),
        "{field}"
    );
    let both = [
        change,
        ("relief.lifts", "330 bar"),
        ("relief.reseats", "310 bar"),
        ("burst_disc.bursts", "375 bar"),
        ("from", &from),
        ("do", "save"),
        ("by", "MK"),
        ("why", "another machine"),
    ];
    let done = post(&app, "/station/edit/compressor", &both).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert!(text_in_force(&book).contains("lifts = \"330 bar\""));
}

#[tokio::test]
async fn lists_grow_and_shrink() {
    let (book, app) = begun("lists");
    let sent = |from: String| {
        move |pairs: Vec<(&'static str, &'static str)>| {
            let mut all = pairs;
            all.extend([("do", "save"), ("by", "MK"), ("why", "as it is")]);
            let from = Box::leak(from.into_boxed_str());
            all.push(("from", from));
            all
        }
    };
    let form = get(&app, "/station/edit/gauge").await.text;
    assert!(form.contains("name=\"gauge[5].name\"") && form.contains("Gauge 2: panel"));
    let add = vec![
        ("gauge[5].name", "bank"),
        ("gauge[5].reads", "line"),
        ("gauge[5].span", "400 bar"),
    ];
    let done = post(
        &app,
        "/station/edit/gauge",
        &sent(entry_in_force(&book))(add),
    )
    .await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    let remove = vec![("remove:gauge[3]", "yes"), ("gauge[4].span", "100")];
    let page = post(
        &app,
        "/station/edit/gauge",
        &sent(entry_in_force(&book))(remove),
    )
    .await;
    // Told at the fourth, as the form has it, though it is the third of what would be saved.
    assert!(
        field_of(&page.text, "gauge[4].span").contains("has no unit"),
        "{}",
        page.text
    );
    let remove = vec![("remove:gauge[3]", "yes")];
    post(
        &app,
        "/station/edit/gauge",
        &sent(entry_in_force(&book))(remove),
    )
    .await;
    let text = text_in_force(&book);
    let names: Vec<&str> = text
        .split("[[gauge]]\nname = ")
        .skip(1)
        .map(|t| t.lines().next().unwrap())
        .collect();
    assert_eq!(
        names,
        ["\"tower\"", "\"panel\"", "\"second stage\"", "\"bank\""]
    );
    let pressures = get(&app, "/station/edit/now").await.text;
    assert!(
        pressures.contains("name=\"now.cylinders.A1\"")
            && pressures.contains("name=\"now.banks.B1\"")
    );
}

#[tokio::test]
async fn the_whole_text_is_edited_too() {
    let (book, app) = begun("text");
    let from = entry_in_force(&book);
    let broken = BOATHOUSE.replace("[pmv]", "[pmv");
    let page = post(&app, "/station/text", &[("text", &broken), ("from", &from)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("(line "), "{}", page.text);
    // A browser ends lines with two signs: the file does not change for that.
    let browser = BOATHOUSE.replace('\n', "\r\n");
    let sent = [
        ("text", browser.as_str()),
        ("from", &from),
        ("do", "save"),
        ("by", "MK"),
        ("why", "x"),
    ];
    let page = post(&app, "/station/text", &sent).await;
    assert!(page.text.contains("Nothing is different"), "{}", page.text);
    let changed = browser.replace("# Today's air", "# Air of today");
    let sent = [
        ("text", changed.as_str()),
        ("from", &from),
        ("do", "save"),
        ("by", "MK"),
        ("why", "x"),
    ];
    assert_eq!(
        post(&app, "/station/text", &sent).await.status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(
        text_in_force(&book),
        BOATHOUSE.replace("# Today's air", "# Air of today")
    );
}

#[tokio::test]
async fn a_book_without_a_station_says_what_is_missing() {
    let book = folder("no_station").join("x.book");
    let asked = Asked {
        name: Some("<script>alert(1)</script>"),
        ..Asked::default()
    };
    assert!(begin(&book, &asked, &who()).is_ok());
    let app = app(&book, None);
    let page = get(&app, "/").await;
    assert!(
        page.text.contains("not described yet") && page.text.contains("href=\"/station/describe\"")
    );
    assert!(!page.text.contains("<script>alert"));
    assert_eq!(get(&app, "/station/edit").await.to, "/station/describe");
    assert_eq!(get(&app, "/station/edit/pmv").await.to, "/station/text");
    let pasted = [("by", "MK"), ("file", "[pmv]\nopens = \"3 bar\"\n")];
    let page = post(&app, "/station/describe", &pasted).await;
    assert!(
        field_of(&page.text, "file").contains("Line 2"),
        "{}",
        page.text
    );
    let pasted = [
        ("by", "MK"),
        (
            "file",
            &BOATHOUSE.replace("Alder Ness boathouse\"", "\\\"><script>x\""),
        ),
    ];
    let done = post(&app, "/station/describe", &pasted).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    for path in [
        "/",
        "/station/edit",
        "/station/edit/station",
        "/station/text",
        "/station/history",
        "/station/outlook",
    ] {
        let page = get(&app, path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        assert!(!page.text.contains("<script>x"), "{path}");
    }
}

#[tokio::test]
async fn the_file_on_the_disk_follows_unless_somebody_changed_it() {
    let (book, _) = begun("disk");
    let file = book.with_file_name("boathouse.toml");
    fs::write(&file, BOATHOUSE).unwrap();
    let app = app(&book, Some(file.clone()));
    let save = |bore: &'static str, from: String| {
        let app = app.clone();
        async move {
            let sent = [
                ("relief.bore", bore),
                ("from", &from),
                ("do", "save"),
                ("by", "MK"),
                ("why", "measured"),
            ];
            post(&app, "/station/edit/relief", &sent).await
        }
    };
    let done = save("5 mm", entry_in_force(&book)).await;
    let page = get(&app, &done.to).await.text;
    assert!(page.contains("is written too"), "{page}");
    assert_eq!(fs::read_to_string(&file).unwrap(), text_in_force(&book));
    // Somebody changes it with an editor: it is theirs, and both pages say so.
    let theirs = text_in_force(&book) + "# by hand\n";
    fs::write(&file, &theirs).unwrap();
    let done = save("6 mm", entry_in_force(&book)).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER);
    assert_eq!(fs::read_to_string(&file).unwrap(), theirs);
    for path in [done.to.as_str(), "/"] {
        let page = get(&app, path).await.text;
        assert!(page.contains("is not what the book has"), "{path}");
    }
    let text = get(&app, "/station/text?from=disk").await.text;
    assert!(text.contains("# by hand") && text.contains("not what the book has"));
    let left: Vec<_> = fs::read_dir(book.parent().unwrap())
        .unwrap()
        .filter_map(|f| f.ok()?.file_name().into_string().ok())
        .collect();
    assert!(left.iter().all(|name| !name.ends_with(".new")), "{left:?}");
}

#[tokio::test]
async fn a_lock_stands_before_everything_else() {
    let (book, app) = begun("locked");
    let open = get(&app, "/").await.text;
    assert!(!open.contains("Filling is locked") && open.contains("no lock"));
    let form = Form::named("symptom").unwrap();
    let given = vec![
        ("what".to_owned(), "headache <i>".to_owned()),
        ("cylinder".to_owned(), "A1".to_owned()),
    ];
    assert!(add::add(&book, form, &given, &who()).is_ok());
    let page = get(&app, "/").await.text;
    let at = |text: &str| page.find(text).unwrap();
    assert!(at("Filling is locked") < at("Hour meter"), "{page}");
    assert!(
        page.contains("headache &#60;i&#62;") && at("Set aside: 1 cylinder") < at("Hour meter")
    );
}

#[tokio::test]
async fn a_person_reads_the_units_they_know() {
    let (_, app) = begun("units");
    let metric = get(&app, "/").await;
    assert!(metric.text.contains("bar gauge unless marked abs") && metric.cookies.is_empty());
    let us = get(&app, "/?units=us").await;
    assert!(
        us.text.contains("psi gauge unless marked abs"),
        "{}",
        us.text
    );
    assert_eq!(
        us.cookies,
        "units=us; Path=/; Max-Age=31536000; SameSite=Strict"
    );
    // 232 bar are 3365 psi (NIST SP 811: 1 psi = 6.894757 kPa).
    assert!(us.text.contains("3365"), "{}", us.text);
}

#[tokio::test]
async fn what_takes_long_is_worked_out_once_and_kept() {
    let (book, app) = begun("outlook");
    assert!(app.outlook.ready(&book, "").is_none());
    assert!(
        get(&app, "/")
            .await
            .text
            .contains("This takes a moment to work out")
    );
    let page = get(&app, "/station/outlook").await;
    assert!(page.text.contains("class=\"coming\""), "{}", page.text);
    assert!(get(&app, "/").await.text.contains("class=\"coming\""));
    let form = Form::named("note").unwrap();
    assert!(
        add::add(
            &book,
            form,
            &vec![("text".to_owned(), "x".to_owned())],
            &who()
        )
        .is_ok()
    );
    assert!(app.outlook.ready(&book, "").is_none());
}
