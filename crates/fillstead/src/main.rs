//! The `fillstead` program. What it can do is in `usecase`, how it talks in `cli`.

mod cli;
mod usecase;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
