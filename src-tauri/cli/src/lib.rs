//! The command line `tautbook` and the loopback host.
//!
//! Every subcommand is a thin wrapper over one command of the api; what is computed or saved is
//! decided there. This crate owns the arguments, what is printed, the exit codes and the host.

mod args;
mod choose;
pub mod demo;
mod exchanged;
mod exit;
mod follow;
mod heard;
mod imported;
mod laid;
mod on_paper;
mod plan;
mod print;
mod rules;
mod run;
pub mod serve;
mod shared;
mod sheet;
mod verify;
mod wrapped;

pub use run::main;
