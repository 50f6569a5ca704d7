//! The description of the interface, OpenAPI 3.1, made from the table of operations, the forms and
//! the schemas of the answers.

use serde_json::{Map, Value, json};

use super::ROOT;
use super::operations::{Body, Kind, OPERATIONS, Operation, Parameter, Verb};
use crate::usecase::book::form::{FILL_LINE, FORMS, Field, Type};
use crate::web::access::SESSION;

/// What answers hold.
const SCHEMAS: &str = include_str!("schemas.json");

/// The whole description.
pub fn document() -> Value {
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Fillstead",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "The answers of the command line, for programs. Pressures in answers are \
                gauge, in bar, where a name ends in _bar; temperatures in °C; times in seconds where a \
                name ends in _s. Figures are sent as texts with their unit. Fields may be added, none \
                is renamed. Fillstead computes; it does not measure: no answer says that air is fit \
                to breathe.",
        },
        "servers": [{ "url": ROOT }],
        "security": [{}, { "session": [] }],
        "paths": paths(),
        "components": {
            "schemas": schemas(),
            "responses": {
                "Error": {
                    "description": "Why not, and what to do",
                    "content": { "application/json": { "schema": named("Error") } },
                },
            },
            "securitySchemes": {
                "session": {
                    "type": "apiKey",
                    "in": "cookie",
                    "name": SESSION,
                    "description": "Where the network reaches the server: the cookie that POST \
                        /sign-in sets. On the machine itself nothing is needed.",
                },
            },
        },
    })
}

fn paths() -> Value {
    let mut paths = Map::new();
    for operation in &OPERATIONS {
        let verb = match operation.verb {
            Verb::Get => "get",
            Verb::Post => "post",
        };
        let item = paths.entry(operation.path).or_insert_with(|| json!({}));
        item[verb] = described(operation);
    }
    Value::Object(paths)
}

fn described(operation: &Operation) -> Value {
    let of_path = operation.path.split('/').filter_map(|part| {
        let name = part.strip_prefix('{')?.strip_suffix('}')?;
        Some(of_path(name))
    });
    let of_query = operation.query.iter().map(in_query);
    let mut described = json!({
        "operationId": operation_id(operation),
        "summary": operation.about,
        "parameters": of_path.chain(of_query).collect::<Vec<_>>(),
        "responses": responses(operation),
    });
    if let Some(schema) = body(operation.body) {
        described["requestBody"] = json!({
            "required": true,
            "content": { "application/json": { "schema": schema } },
        });
    }
    described
}

/// `get-book-entries-entry`.
fn operation_id(operation: &Operation) -> String {
    let verb = match operation.verb {
        Verb::Get => "get",
        Verb::Post => "post",
    };
    format!(
        "{verb}{}",
        operation.path.replace('/', "-").replace(['{', '}'], "")
    )
}

fn responses(operation: &Operation) -> Value {
    let answer = |about: &str| {
        json!({
            "description": about,
            "content": { "application/json": { "schema": named(operation.answer) } },
        })
    };
    let mut responses = match operation.body {
        Body::Nothing | Body::Fields(_) => json!({ "200": answer("The answer") }),
        Body::Form | Body::Fill | Body::Correction => {
            json!({ "201": answer("It is in the book, on the disk") })
        }
    };
    if matches!(operation.body, Body::Form | Body::Fill) {
        responses["409"] = json!({
            "description": "The fill gate refuses, and the refusal is in the book",
            "content": { "application/json": { "schema": { "anyOf": [named("Filled"), named("Error")] } } },
        });
    }
    responses["default"] = json!({ "$ref": "#/components/responses/Error" });
    responses
}

fn of_path(name: &str) -> Value {
    let schema = match name {
        "form" => {
            let names: Vec<&str> = FORMS.iter().map(|form| form.name).collect();
            json!({ "type": "string", "enum": names })
        }
        "entry" => json!({ "type": "integer", "minimum": 1 }),
        _ => json!({ "type": "string" }),
    };
    json!({ "name": name, "in": "path", "required": true, "schema": schema })
}

fn in_query(parameter: &Parameter) -> Value {
    json!({
        "name": parameter.name,
        "in": "query",
        "required": parameter.needed,
        "description": format!("{}, such as {}", parameter.about, parameter.example),
        "schema": of_parameter(parameter),
    })
}

fn of_parameter(parameter: &Parameter) -> Value {
    match parameter.kind {
        Kind::Text => json!({ "type": "string" }),
        Kind::Whole => json!({ "type": "integer", "minimum": 0 }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Several => json!({ "type": "array", "items": { "type": "string" } }),
    }
}

/// The schema of what is sent.
fn body(body: Body) -> Option<Value> {
    match body {
        Body::Nothing => None,
        Body::Fields(fields) => Some(of_parameters(fields)),
        Body::Fill => Some(named("form-fill")),
        Body::Form => {
            let forms = FORMS
                .iter()
                .map(|form| named(&format!("form-{}", form.name)));
            Some(json!({
                "description": "The fields of the form that the address names",
                "anyOf": forms.collect::<Vec<_>>(),
            }))
        }
        Body::Correction => Some(json!({
            "type": "object",
            "description": "Beside these, fields of the entry's form as they should have been; an \
                empty text takes one away",
            "properties": {
                "entry": { "type": "integer", "minimum": 1 },
                "why": { "type": "string" },
                "withdraw": { "type": "boolean", "description": "it did not happen at all" },
                "by": by(),
                "at": at(),
            },
            "required": ["entry", "why"],
        })),
    }
}

fn of_parameters(fields: &[Parameter]) -> Value {
    let mut properties = Map::new();
    for field in fields {
        let mut schema = of_parameter(field);
        schema["description"] = field.about.into();
        schema["examples"] = json!([field.example]);
        properties.insert(field.name.to_owned(), schema);
    }
    let needed: Vec<&str> = fields.iter().filter(|f| f.needed).map(|f| f.name).collect();
    json!({
        "type": "object",
        "properties": properties,
        "required": needed,
        "additionalProperties": false,
    })
}

fn schemas() -> Value {
    let mut schemas: Map<String, Value> = serde_json::from_str(SCHEMAS).unwrap_or_default();
    for form in FORMS {
        let line = match form.name {
            "fill" => FILL_LINE,
            _ => &[],
        };
        let fields = form.fields.iter().chain(line);
        let mut schema = of_fields(fields);
        schema["description"] = [form.about, form.caution]
            .join(". ")
            .trim_end_matches([' ', '.'])
            .into();
        schemas.insert(format!("form-{}", form.name), schema);
    }
    Value::Object(schemas)
}

fn of_fields<'f>(fields: impl Iterator<Item = &'f Field>) -> Value {
    let mut properties = Map::new();
    let mut needed = Vec::new();
    for field in fields {
        let mut schema = of_field(field);
        schema["description"] = field.label.into();
        properties.insert(field.name.to_owned(), schema);
        if field.needed {
            needed.push(field.name);
        }
    }
    properties.insert("by".to_owned(), by());
    properties.insert("at".to_owned(), at());
    let zone = "the station's time zone from here on, such as Europe/Oslo";
    properties.insert(
        "zone".to_owned(),
        json!({ "type": "string", "description": zone }),
    );
    json!({
        "type": "object",
        "properties": properties,
        "required": needed,
        "additionalProperties": false,
    })
}

/// What may be sent for a field: the text that would be typed, numbers and yes or no also bare.
fn of_field(field: &Field) -> Value {
    let example = field.example;
    match field.kind {
        Type::OneOf(names) => json!({ "type": "string", "enum": names, "examples": [example] }),
        Type::YesNo => json!({ "type": ["boolean", "string"], "examples": [true] }),
        Type::Whole | Type::Number => {
            json!({ "type": ["number", "string"], "examples": [example] })
        }
        Type::Several => {
            let several = json!({ "type": "array", "items": { "type": "string" } });
            json!({ "anyOf": [{ "type": "string" }, several], "examples": [example] })
        }
        _ => json!({ "type": "string", "examples": [example] }),
    }
}

fn by() -> Value {
    let about = "who makes the entry; over the network whoever is signed in";
    json!({ "type": "string", "description": about })
}

fn at() -> Value {
    let about = "when it happened, such as 2026-05-20 19:40; now unless given";
    json!({ "type": "string", "description": about })
}

fn named(name: &str) -> Value {
    json!({ "$ref": format!("#/components/schemas/{name}") })
}
