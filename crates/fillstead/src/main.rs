//! The `fillstead` program. What it can do is in `usecase`, how it talks in `cli` and `web`, its sheets
//! in `print`, its drawings in `draw`.

mod cli;
#[cfg_attr(
    not(test),
    allow(dead_code, reason = "some drawings wait for the pages that show them")
)]
mod draw;
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
