//! The window of `tautbook` on a desktop.
#![cfg_attr(not(debug_assertions), windows_subsystem = "windows")]

use std::process::ExitCode;

fn main() -> ExitCode {
    match shell::open(shell::data_folder(std::env::args_os().skip(1))) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("tautbook: the window could not be opened: {error}");
            ExitCode::FAILURE
        }
    }
}
