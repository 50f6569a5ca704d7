//! Serving as a person starts it: the address, a port that is taken, the demonstration, people.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use crate::common::{folder, program, run_in, stations};

/// A book of the boathouse in a folder of its own.
fn book(name: &str) -> std::path::PathBuf {
    let folder = folder(name);
    let station = stations().join("boathouse.toml");
    let station = station.to_str().unwrap();
    let ran = run_in(
        &folder,
        &[
            "book",
            "begin",
            "x.book",
            "--station",
            station,
            "--by",
            "MK",
        ],
    );
    assert_eq!(ran.exit, Some(0), "{}", ran.shown());
    folder
}

/// The program serving, and its first line.
fn serving(folder: &Path, arguments: &[&str], temporary: &Path) -> (Child, String) {
    let mut command = program(folder, arguments);
    command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .env("TMPDIR", temporary);
    let mut child = command.spawn().unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.as_mut().unwrap())
        .read_line(&mut line)
        .unwrap();
    (child, line)
}

fn port(line: &str) -> u16 {
    let port = line.split("127.0.0.1:").nth(1).unwrap().split('/').next();
    port.unwrap().parse().unwrap()
}

fn page(port: u16, path: &str) -> String {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    let request =
        format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

/// Ctrl-C.
fn interrupted(mut child: Child) -> Option<i32> {
    let id = child.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-INT", &id])
            .status()
            .unwrap()
            .success()
    );
    child.wait().unwrap().code()
}

#[test]
fn the_demonstration_goes_with_the_server() {
    let folder = folder("demonstration");
    let (child, line) = serving(&folder, &["demo", "--port", "0"], &folder);
    assert!(
        line.starts_with("Fillstead is at http://127.0.0.1:"),
        "{line}"
    );
    let answer = page(port(&line), "/book");
    assert!(
        answer.starts_with("HTTP/1.1 200") && answer.contains("Invented demonstration data"),
        "{answer}"
    );
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
    assert_eq!(interrupted(child), Some(0));
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
}

#[test]
fn a_port_that_is_taken_is_told_with_ways_on() {
    let folder = book("port_taken");
    let listener = TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let taken = listener.local_addr().unwrap().port().to_string();
    let ran = run_in(&folder, &["serve", "x.book", "--port", &taken]);
    assert_eq!(ran.exit, Some(2));
    for part in ["is taken", "--port 0", "--port 8081"] {
        assert!(ran.err.contains(part), "{}", ran.shown());
    }
    // A book that is not there yet is begun on its first page; a folder is not made.
    let ran = run_in(&folder, &["serve", "nowhere/new.book"]);
    assert_eq!(ran.exit, Some(2));
    assert!(ran.err.contains("nowhere"), "{}", ran.shown());
}

fn people(folder: &Path, arguments: &[&str], pin: &str) -> (Option<i32>, String) {
    let mut command = program(folder, &[&["people", "x.book"], arguments].concat());
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    // Where nothing is asked for, nobody reads.
    let _ = child
        .stdin
        .take()
        .unwrap()
        .write_all(format!("{pin}\n").as_bytes());
    let done = child.wait_with_output().unwrap();
    let text = [done.stdout, done.stderr]
        .map(|bytes| String::from_utf8(bytes).unwrap())
        .concat();
    (done.status.code(), text)
}

#[test]
fn people_come_and_go_and_the_book_says_so() {
    let folder = book("people");
    let ran = run_in(&folder, &["serve", "x.book", "--lan", "--port", "0"]);
    assert_eq!(ran.exit, Some(2));
    assert!(
        ran.err.contains("people x.book add NAME --role keeper"),
        "{}",
        ran.shown()
    );
    for (arguments, pin, exit, says) in [
        (
            &["add", "KM", "--role", "keeper"][..],
            "123456",
            2,
            "counts up",
        ),
        (&["add", "KM", "--role", "keeper"][..], "202612", 2, "year"),
        (
            &["add", "KM", "--role", "boss"][..],
            "583914",
            2,
            "no role called",
        ),
        (
            &["add", "KM", "--role", "keeper"][..],
            "583914",
            0,
            "on the disk",
        ),
        (
            &["add", "km", "--role", "onlooker"][..],
            "583914",
            2,
            "there already",
        ),
        (
            &["add", "Opal", "--role", "operator", "--by", "KM"][..],
            "729461",
            0,
            "by KM",
        ),
        (
            &["pin", "opal", "--by", "KM"][..],
            "640917",
            0,
            "on the disk",
        ),
        (&["pin", "Opla"][..], "640917", 2, "did you mean Opal"),
        (&["list"][..], "", 0, "Opal  operator"),
        (&["remove", "KM"][..], "", 2, "only keeper"),
        (&["role", "KM", "operator"][..], "", 2, "only keeper"),
        (
            &["role", "opal", "onlooker", "--by", "KM"][..],
            "",
            0,
            "by KM",
        ),
        (&["list"][..], "", 0, "Opal  onlooker"),
        (&["remove", "Opal", "--by", "KM"][..], "", 0, "on the disk"),
    ] {
        let (status, text) = people(&folder, arguments, pin);
        assert_eq!(status, Some(exit), "{arguments:?}: {text}");
        assert!(text.contains(says), "{arguments:?}: {text}");
        assert!(pin.is_empty() || !text.contains(pin), "{text}");
    }
    let list = run_in(&folder, &["book", "list", "x.book", "--kind", "note"]).out;
    for says in [
        "KM may use this book",
        "Opal has a new PIN",
        "as onlooker now, no longer as operator",
        "Opal may no longer use",
    ] {
        let plain = list.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains(says), "{list}");
    }
    let (child, line) = serving(
        &folder,
        &["serve", "x.book", "--lan", "--port", "0"],
        &folder,
    );
    let answer = page(port(&line), "/book");
    assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
    assert!(page(port(&line), "/sign-in").contains("not encrypted"));
    assert_eq!(interrupted(child), Some(0));
}
