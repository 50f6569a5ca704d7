use super::*;

fn station() -> Station {
    let text = include_str!("../../../../stations/boathouse.toml");
    station::read(text).station.unwrap()
}

fn rows(text: &str) -> Vec<request::Row> {
    Vec::from([request::Row { line: 1, time: text.into(), ..Default::default() }])
}
