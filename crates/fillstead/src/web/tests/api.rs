//! The interface for programs against its own description.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use super::{Answer, Server, ask, get, program, request, server, wait, walked};

async fn document(server: &Server) -> Value {
    let answer = get(&server.router, "/api/v1/openapi.json").await;
    assert_eq!(answer.status, StatusCode::OK);
    serde_json::from_str(&answer.text).unwrap()
}

/// The answer against the schema that the description gives it.
fn held(document: &Value, path: &str, verb: &str, answer: &Answer) {
    let responses = &document["paths"][path][verb]["responses"];
    let status = answer.status.as_str();
    let mut response = match responses.get(status) {
        Some(response) => response,
        None => &responses["default"],
    };
    if response.get("$ref").is_some() {
        response = &document["components"]["responses"]["Error"];
    }
    let schema = &response["content"]["application/json"]["schema"];
    assert!(
        schema.is_object(),
        "{verb} {path} {status} is not described"
    );
    let whole = json!({ "allOf": [schema], "components": document["components"] });
    let validator = jsonschema::draft202012::new(&whole).unwrap();
    let value: Value = serde_json::from_str(&answer.text).unwrap();
    let wrong: Vec<String> = validator
        .iter_errors(&value)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(wrong.is_empty(), "{verb} {path} {status}: {wrong:#?}");
}

/// OpenAPI 3.1 as an independent reader of the registry (oas3) takes it, and every schema as the
/// JSON Schema dialect of 2020-12 that OpenAPI 3.1 names.
#[test]
fn the_description_is_valid() {
    let server = server(false);
    let document = wait(document(&server));
    let read = oas3::from_json(document.to_string()).unwrap();
    assert_eq!(read.openapi, "3.1.0");
    let paths = read.paths.unwrap();
    assert_eq!(paths.len(), document["paths"].as_object().unwrap().len());
    let schemas = document["components"]["schemas"].as_object().unwrap();
    assert!(schemas.len() > 40, "{}", schemas.len());
    for (name, schema) in schemas {
        jsonschema::meta::validate(schema).unwrap_or_else(|error| panic!("{name}: {error}"));
    }
    let text = document.to_string();
    for reference in text.split("\"#/components/schemas/").skip(1) {
        let name = reference.split('"').next().unwrap();
        assert!(schemas.contains_key(name), "{name} is named and not there");
    }
    let mut ids: Vec<&str> = text
        .split("\"operationId\":\"")
        .skip(1)
        .map(|t| t.split('"').next().unwrap())
        .collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
}

#[test]
fn every_address_is_described_and_every_description_answers() {
    let server = server(false);
    wait(async {
        let document = document(&server).await;
        let described = document["paths"].as_object().unwrap();
        let mut there = 0;
        for (path, methods) in walked(&server).await {
            let Some(path) = path
                .strip_prefix("/api/v1")
                .filter(|p| *p != "/openapi.json")
            else {
                continue;
            };
            for method in methods.iter().filter(|m| **m != Method::HEAD) {
                let verb = method.as_str().to_lowercase();
                assert!(described[path].get(&verb).is_some(), "{verb} {path}");
                there += 1;
            }
        }
        let all: usize = described
            .values()
            .map(|item| item.as_object().unwrap().len())
            .sum();
        assert_eq!(there, all);
    });
}

/// What the sample book answers keeps to the schemas, errors too.
#[test]
fn answers_keep_to_the_schemas() {
    let server = server(false);
    wait(async {
        let document = document(&server).await;
        for (path, query, status) in [
            ("/station", "", 200),
            ("/audit", "", 200),
            ("/audit", "?x=1", 422),
            (
                "/forecast",
                "?members=20&compare-pmv=60%20bar&cylinder=C1%4050%20bar",
                200,
            ),
            ("/forecast", "?members=20&cylinder=nobody", 422),
            ("/forecast", "?members=20&stop-at=300%20bar", 409),
            ("/forecast", "?members=9999999", 422),
            ("/vent", "?tower=120%20bar", 200),
            ("/book/entries", "", 200),
            ("/book/entries", "?kind=fill&last=1", 200),
            ("/book/entries", "?last=many", 422),
            ("/book/entries/{entry}", "/12", 200),
            ("/book/entries/{entry}", "/999", 404),
            ("/book/entries/{entry}", "/-1", 404),
            ("/book/cylinders", "", 200),
            ("/book/cylinders/{cylinder}", "/C1", 200),
            ("/book/cylinders/{cylinder}", "/nobody", 404),
            ("/book/due", "", 200),
            ("/book/due", "?today=2025-04-01", 200),
            ("/book/trace", "?from=1", 200),
            ("/book/trace", "?cylinder=C1", 200),
            ("/book/trace", "?person=member%201", 200),
            ("/book/trace", "?person=member%201&from=1", 422),
            ("/book/fills", "", 200),
            ("/book/hours", "", 200),
            ("/book/drift", "", 200),
            ("/book/cartridge", "", 200),
            ("/book/cost", "", 200),
            ("/book/cost", "?entry=1", 422),
            ("/book/verify", "", 200),
        ] {
            let base = path.split("/{").next().unwrap();
            let answer = get(&server.router, &format!("/api/v1{base}{query}")).await;
            assert_eq!(
                answer.status.as_u16(),
                status,
                "{path}{query}: {}",
                answer.text
            );
            held(&document, path, "get", &answer);
        }
        for (path, at, json, status) in [
            ("/convert", "", r#"{"amount":"67 ppm","at":"200 bar"}"#, 200),
            ("/convert", "", r#"{"amount":"67"}"#, 422),
            ("/convert", "", r#"{"amount":["a","b"],"oil":1}"#, 422),
            (
                "/air",
                "",
                r#"{"results":"[results]\ncarbon_monoxide = \"< 1 ppm\"","standard":"EN 12021"}"#,
                200,
            ),
            (
                "/air",
                "",
                r#"{"results":"[results","standard":"EN 12021"}"#,
                422,
            ),
            (
                "/diagnose",
                "",
                r#"{"readings":"time,gauge,reading,observed\n0:30,tower,85 bar,\n2:00,tower,99 bar,hiss\n","cylinder":"C1@60 bar","tower":"72 bar"}"#,
                200,
            ),
            (
                "/diagnose",
                "",
                r#"{"readings":"time,gauge,reading\n0:30,boiler,85 bar\n"}"#,
                422,
            ),
            ("/diagnose", "", r#"{"readings":"dear all"}"#, 422),
            ("/diagnose", "", r#"{"tower":"72 bar"}"#, 422),
            (
                "/book/add/{form}",
                "/note",
                r#"{"text":"a note","by":"MK"}"#,
                201,
            ),
            (
                "/book/add/{form}",
                "/start",
                r#"{"hours":"434 h","checked":["oil","drains shut"],"by":"MK"}"#,
                201,
            ),
            (
                "/book/add/{form}",
                "/interval",
                r#"{"part":"belt","months":12,"source":"manual","by":"MK"}"#,
                201,
            ),
            ("/book/add/{form}", "/note", r#"{"text":"a note"}"#, 422),
            (
                "/book/add/{form}",
                "/nothing",
                r#"{"text":"a note","by":"MK"}"#,
                404,
            ),
            // C1 gave somebody a headache: the gate refuses, and the refusal is in the book.
            (
                "/book/fill",
                "",
                r#"{"cylinder":"C1","to":"232 bar","by":"MK"}"#,
                409,
            ),
            (
                "/book/add/{form}",
                "/fill",
                r#"{"cylinder":"C1","to":"232 bar","by":"MK"}"#,
                409,
            ),
            (
                "/book/fill",
                "",
                r#"{"cylinder":"C1","to":"232","by":"MK"}"#,
                422,
            ),
            (
                "/book/correct",
                "",
                r#"{"entry":12,"why":"misread","hours":"431.2 h","by":"MK"}"#,
                422,
            ),
            (
                "/book/correct",
                "",
                r#"{"entry":13,"why":"misread","hours":"431.2 h","by":"MK"}"#,
                201,
            ),
            (
                "/book/correct",
                "",
                r#"{"entry":9999,"why":"misread","by":"MK"}"#,
                404,
            ),
        ] {
            let base = path.split("/{").next().unwrap();
            let answer = program(&server.router, &format!("/api/v1{base}{at}"), "", json).await;
            assert_eq!(
                answer.status.as_u16(),
                status,
                "{path}{at} {json}: {}",
                answer.text
            );
            held(&document, path, "post", &answer);
        }
    });
}

/// A program is told in its own way, whatever goes wrong.
#[test]
fn every_error_is_json() {
    let server = server(true);
    wait(async {
        let cookie = server.cookie("Opal");
        let form = [("cookie", cookie.as_str()), ("content-type", "text/plain")];
        let json = [
            ("cookie", cookie.as_str()),
            ("content-type", "application/json"),
        ];
        for (method, path, headers, body, status) in [
            (Method::GET, "/api/v1/audit", &[][..], "", 401),
            (Method::GET, "/api/v1/nothing", &json[..], "", 404),
            (Method::POST, "/api/v1/audit", &json[..], "{}", 403),
            (Method::PUT, "/api/v1/convert", &json[..], "{}", 405),
            (Method::POST, "/api/v1/convert", &form[..], "{}", 415),
            (Method::POST, "/api/v1/convert", &json[..], "{", 400),
            (Method::GET, "/api/v1/book/entries/%ff", &json[..], "", 400),
        ] {
            let answer = ask(&server.router, request(method, path, headers, body)).await;
            assert_eq!(answer.status.as_u16(), status, "{path}: {}", answer.text);
            let value: Value = serde_json::from_str(&answer.text).unwrap();
            for part in ["what", "remedy", "kind", "exit"] {
                assert!(!value["error"][part].is_null(), "{path}: {}", answer.text);
            }
        }
    });
}
