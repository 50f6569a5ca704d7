//! The `fillstead` program. What it can do is in `usecase`, how it talks in `cli` and `web`, its sheets
//! in `print`, its drawings in `draw`; `words` puts words right for all of them.

mod cli;
mod draw;
mod print;
mod usecase;
mod web;
mod words;

use std::process::ExitCode;

fn main() -> ExitCode {
    match cli::main() {
        cli::Ended::Told(exit) => exit,
        cli::Ended::Serve(serving) => web::serve(serving),
    }
}
