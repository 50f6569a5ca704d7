//! What a request asks of an operation: texts by name, checked against its table.

use std::collections::BTreeMap;

use axum::http::StatusCode;
use serde_json::{Map, Value};

use super::failure::Failure;
use super::operations::{Body, Kind, Operation, Parameter};
use crate::usecase::Trouble;
use crate::usecase::book::form::Given;
use crate::web::form::is_plain;

/// Names in one request, at most.
const MOST: usize = 200;

/// What is asked.
pub struct Asked {
    given: Given,
    path: BTreeMap<String, String>,
}

impl Asked {
    /// What a request asks, or everything wrong with it.
    pub fn new(
        operation: &Operation,
        path: BTreeMap<String, String>,
        query: Given,
        body: &[u8],
    ) -> Result<Asked, Failure> {
        check(&query, operation.query)?;
        let mut given = query;
        match operation.body {
            Body::Nothing => {}
            Body::Fields(fields) => {
                let sent = sent(body)?;
                check(&sent, fields)?;
                given.extend(sent);
            }
            // The form itself says what it does not know.
            Body::Form | Body::Fill | Body::Correction => given.extend(sent(body)?),
        }
        if given.len() > MOST {
            let what = format!("{} inputs are too many", given.len());
            return Err(Trouble::new(what, format!("give at most {MOST}")).into());
        }
        Ok(Asked { given, path })
    }

    /// A part of the address.
    pub fn part(&self, name: &str) -> &str {
        self.path.get(name).map_or("", String::as_str)
    }

    /// The text of this name; none where it is empty or not given.
    pub fn text(&self, name: &str) -> Option<&str> {
        let found = self.given.iter().rev().find(|(given, _)| given == name);
        found
            .map(|(_, text)| text.as_str())
            .filter(|text| !text.trim().is_empty())
    }

    /// The same as a text of its own.
    pub fn owned(&self, name: &str) -> Option<String> {
        self.text(name).map(str::to_owned)
    }

    /// Every text of this name.
    pub fn several(&self, name: &str) -> Vec<String> {
        let of_name = self.given.iter().filter(|(given, _)| given == name);
        of_name.map(|(_, text)| text.clone()).collect()
    }

    /// A whole number.
    pub fn whole<N: std::str::FromStr>(&self, name: &'static str) -> Result<Option<N>, Trouble> {
        let number = |text: &str| {
            text.trim().parse().map_err(|_| {
                let what = format!("\"{text}\" is not a whole number this can be");
                Trouble::new(what, "write digits, such as 12").about(name)
            })
        };
        self.text(name).map(number).transpose()
    }

    /// Whether it is yes.
    pub fn flag(&self, name: &str) -> bool {
        matches!(self.text(name), Some("true" | "yes" | "1"))
    }

    /// Everything given but these.
    pub fn without(&self, names: &[&str]) -> Given {
        let kept = self
            .given
            .iter()
            .filter(|(name, _)| !names.contains(&name.as_str()));
        kept.cloned().collect()
    }
}

/// Every name is known, and every yes or no is one.
fn check(given: &[(String, String)], known: &[Parameter]) -> Result<(), Failure> {
    let names: Vec<&str> = known.iter().map(|parameter| parameter.name).collect();
    let wrong = |(name, text): &(String, String)| match known.iter().find(|p| p.name == name) {
        None => {
            let shown: String = name.chars().take(60).collect();
            let what = format!("there is no input called \"{shown}\"");
            let remedy = match names.is_empty() {
                true => "leave it out: nothing can be asked here".to_owned(),
                false => format!("leave it out, or give one of {}", names.join(", ")),
            };
            Some(Trouble::new(what, remedy))
        }
        Some(p) if p.kind == Kind::Flag && !FLAGS.contains(&text.as_str()) => {
            let what = format!("\"{text}\" is neither yes nor no");
            Some(Trouble::new(what, "write true or false").about(p.name))
        }
        Some(_) => None,
    };
    let troubles: Vec<Trouble> = given.iter().filter_map(wrong).take(20).collect();
    match troubles.is_empty() {
        true => Ok(()),
        false => Err(troubles.into()),
    }
}

const FLAGS: [&str; 7] = ["true", "false", "yes", "no", "1", "0", ""];

/// A JSON object as texts: numbers and yes or no as they are written, lists as several.
fn sent(body: &[u8]) -> Result<Given, Failure> {
    let object: Map<String, Value> = serde_json::from_slice(body).map_err(|error| {
        let what = format!("what was sent is no JSON object: {error}");
        let remedy = "send names and texts, such as {\"by\": \"MK\"}";
        Failure::of(StatusCode::BAD_REQUEST, &what, remedy)
    })?;
    let mut given = Given::new();
    for (name, value) in object {
        match &value {
            Value::Null => {}
            Value::Array(several) => {
                for one in several.iter().take(MOST + 1) {
                    given.push((name.clone(), text(&name, one)?));
                }
            }
            one => given.push((name.clone(), text(&name, one)?)),
        }
    }
    Ok(given)
}

fn text(name: &str, value: &Value) -> Result<String, Failure> {
    match value {
        Value::String(text) if is_plain(text) => Ok(text.clone()),
        Value::String(_) => {
            let what = "a text holds signs that nobody types";
            Err(Trouble::new(what, "leave out control characters").into())
        }
        Value::Number(number) => Ok(number.to_string()),
        Value::Bool(yes) => Ok(yes.to_string()),
        Value::Null | Value::Array(_) | Value::Object(_) => {
            let shown: String = name.chars().take(60).collect();
            let what = format!("\"{shown}\" is neither a text nor a number");
            Err(Trouble::new(what, "write it as one text, such as \"232 bar\"").into())
        }
    }
}
