//! The command line of yokecheck.

use std::process::ExitCode;

use clap::Parser as _;
use yokecheck::cli;
use yokecheck::cli::arguments::Arguments;

fn main() -> ExitCode {
    cli::run(&Arguments::parse()).into()
}
