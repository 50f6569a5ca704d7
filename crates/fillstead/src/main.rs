//! The `fillstead` program. What it can do is in `usecase`, how it talks in `cli`, what it draws
//! in `draw`.

mod cli;
#[cfg_attr(
    not(test),
    allow(dead_code, reason = "most drawings wait for the pages that show them")
)]
mod draw;
mod usecase;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
