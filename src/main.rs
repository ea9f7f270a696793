//! The command line.

mod cli;

use clap::Parser;
use cli::commands::{CommandLine, run};
use std::process::ExitCode;

/// A lesson is made of many small pieces, which come and go.
#[global_allocator]
static PIECES: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    ExitCode::from(run(CommandLine::parse()).code())
}
