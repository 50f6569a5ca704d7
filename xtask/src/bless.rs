//! Recording snapshots: the tests run once more, told to accept what they see.

use std::path::Path;
use std::process::{Command, ExitCode};

/// Runs every test with snapshots accepted. Read the difference before
/// committing it: a recorded snapshot shows change, not correctness.
pub fn run(root: &Path) -> ExitCode {
    let done = Command::new("cargo")
        .args(["test", "--workspace", "--no-fail-fast"])
        .env("INSTA_UPDATE", "always")
        .current_dir(root)
        .status();
    match done {
        Ok(status) if status.success() => {
            println!("snapshots recorded: read the difference before committing it");
            ExitCode::SUCCESS
        }
        Ok(_) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("cargo did not start: {error}");
            ExitCode::FAILURE
        }
    }
}
