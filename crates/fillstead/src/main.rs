//! The `fillstead` program. What it can do is in `usecase`, how it talks in `cli` and `web`, its sheets
//! in `print`.

mod cli;
mod print;
mod usecase;
mod web;

use std::process::ExitCode;

fn main() -> ExitCode {
    match cli::main() {
        cli::Ended::Told(exit) => exit,
        cli::Ended::Serve(serving) => web::serve(serving),
    }
}
