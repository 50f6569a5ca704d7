//! The `fillstead` program. What it can do is in `usecase`, how it talks in `cli`, its sheets in `print`.

mod cli;
mod print;
mod usecase;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
