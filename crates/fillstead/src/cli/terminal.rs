//! The terminal: what may be written to it, and how.

use std::env;
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use crate::cli::answer::Exit;

/// Columns of printed text, at most.
pub const WIDTH: usize = 96;

/// Whether colours may be used on the standard output: it is a terminal that has them, and the
/// person has not asked for none (the convention of the variable `NO_COLOR`).
pub fn colours() -> bool {
    io::stdout().is_terminal() && colours_wanted()
}

/// The same for the standard error.
pub fn colours_on_error() -> bool {
    io::stderr().is_terminal() && colours_wanted()
}

fn colours_wanted() -> bool {
    let unset = env::var_os("NO_COLOR").is_none_or(|value| value.is_empty());
    unset && env::var_os("TERM").is_none_or(|term| term != "dumb")
}

/// Writes to the standard output. A reader who has seen enough and closed it is no failure.
pub fn print(text: &str) -> Result<(), Exit> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            complain(&format!(
                "error: the answer cannot be written: {error}\n  help: check where it is sent, and \
                 whether the disk is full\n"
            ));
            Err(Exit::BadInput)
        }
        _ => Ok(()),
    }
}

/// Writes to the standard error; where that is closed, nobody listens.
pub fn complain(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// The text with nothing in it that could upset a terminal; line breaks stay.
pub fn harmless(text: &str) -> String {
    let odd = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    text.replace(odd, "\u{fffd}")
}

/// Tells a waiting person how far the work is: on a terminal, from the second second on.
pub struct Progress {
    total: usize,
    begun: Instant,
    told: Mutex<Option<Instant>>,
    listens: bool,
}

impl Progress {
    /// Work of so many runs begins; 0 where nobody knows how many.
    pub fn begin(total: usize) -> Progress {
        let listens = io::stderr().is_terminal();
        Progress {
            total,
            begun: Instant::now(),
            told: Mutex::new(None),
            listens,
        }
    }

    /// So many are done.
    pub fn at(&self, done: usize) {
        self.tell(|| match self.total {
            0 => format!("\r{done} runs"),
            total => format!("\r{done} of {total} runs"),
        });
    }

    /// Says where the work is, not too often.
    fn tell(&self, line: impl FnOnce() -> String) {
        let Ok(mut told) = self.told.try_lock() else {
            return;
        };
        let since = told.unwrap_or(self.begun);
        let pause = Duration::from_millis(if told.is_some() { 100 } else { 1000 });
        if self.listens && since.elapsed() >= pause {
            *told = Some(Instant::now());
            complain(&line());
        }
    }

    /// The work is over: takes the line away.
    pub fn end(&self) {
        if self.told.lock().is_ok_and(|told| told.is_some()) {
            complain(&format!("\r{:40}\r", ""));
        }
    }
}

/// Tells a waiting person how far a count has come: on a terminal, from the second second on.
pub struct Waiting {
    progress: Progress,
    what: &'static str,
}

impl Waiting {
    /// Counting of these begins.
    pub fn begin(what: &'static str) -> Waiting {
        Waiting {
            progress: Progress::begin(0),
            what,
        }
    }

    /// So many are done of so many.
    pub fn at(&self, done: u64, total: u64) {
        let what = self.what;
        self.progress.tell(|| format!("\r{done} of {total} {what}"));
    }

    /// The work is over: takes the line away.
    pub fn end(&self) {
        self.progress.end();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_do_not_reach_the_terminal() {
        assert_eq!(
            harmless("a\u{1b}[31mb\rc\u{202e}d\ne °"),
            "a\u{fffd}[31mb\u{fffd}c\u{fffd}d\ne °"
        );
    }
}
