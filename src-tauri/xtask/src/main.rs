//! The project's own commands: the only entry for people and CI.
//!
//! Builds with Rust alone, since it is what brings everything else. Each command says what it is
//! about to do, runs it, and ends with what was made and where; nothing is skipped in silence.

mod bench;
mod check_phone;
mod demo;
mod error;
mod fresh;
mod r#gen;
mod icons;
mod licences;
mod lint;
mod node;
mod packages;
mod python;
mod run;
mod sights;
mod summary;
mod test;
mod tidy;
mod workspace;

use std::{path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};

use error::XtaskError;
use r#gen::PhotoOrder;

/// The project's own commands.
#[derive(Debug, Parser)]
#[command(name = "cargo xtask")]
struct Args {
    #[command(subcommand)]
    subcommand: Sub,
}

#[derive(Debug, Subcommand)]
enum Sub {
    /// Brings what is missing, builds, runs the worked job on three devices and says what was made.
    Demo {
        /// Where the demo's folders are made.
        #[arg(long, value_name = "DIR", default_value = "demo-out")]
        out: PathBuf,
    },
    /// Brings what is missing and runs every check and test there is.
    Test,
    /// Opens the window, or serves at a printed address where there is no display.
    App {
        /// The data folder; without it the demo's, or an empty book where there was no demo.
        #[arg(long, value_name = "DIR")]
        data: Option<PathBuf>,
        /// Serves at a printed address even where there is a display.
        #[arg(long)]
        serve: bool,
    },
    /// Rewrites what is generated: TypeScript, icons, picture fixtures.
    Gen {
        /// What to rewrite; everything without it.
        #[arg(value_enum)]
        what: Vec<Generated>,
    },
    /// Draws pictures for a demo or a benchmark.
    Photos {
        /// The folder to fill.
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
        /// How many 12-megapixel pictures; 0 draws the demo's set.
        #[arg(long, default_value_t = 0)]
        count: u32,
    },
    /// Pictures of every screen and state, on four glasses, by day and by night.
    Sights {
        /// The folder to fill.
        #[arg(long, value_name = "DIR", default_value = "sights")]
        out: PathBuf,
    },
    /// Type-checks the whole app for a phone; needs no phone's SDK, and links and runs nothing.
    CheckPhone,
    /// Checks format, lints, licences and the tree's own rules.
    Lint,
    /// Measures, with the peer of each figure in the same run.
    Bench,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Generated {
    Types,
    Icons,
    Photos,
}

fn main() -> ExitCode {
    match run(Args::parse().subcommand) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("\nxtask: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(subcommand: Sub) -> Result<(), XtaskError> {
    match subcommand {
        Sub::Demo { out } => demo::demo(&out),
        Sub::Test => test::test(),
        Sub::App { data, serve } => demo::app(data, serve),
        Sub::Gen { what } => fresh::generate(&what),
        Sub::Photos { out, count } => {
            let order = if count == 0 {
                PhotoOrder::demo()
            } else {
                PhotoOrder::bench(count)
            };
            fresh::photos(&out, &order)
        }
        Sub::Sights { out } => sights::sights(&out),
        Sub::CheckPhone => check_phone::check_phone(),
        Sub::Lint => lint::lint(),
        Sub::Bench => bench::bench(),
    }
}
