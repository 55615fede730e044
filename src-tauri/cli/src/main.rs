//! The program `tautbook`.

use std::process::ExitCode;

fn main() -> ExitCode {
    tautbook_cli::main()
}
