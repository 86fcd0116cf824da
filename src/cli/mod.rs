//! The command line: one file a command, and everything that speaks to a person.
//!
//! Owns arguments, progress, messages, exit codes, the clock (read once) and the number of threads. To
//! add a command, add it to [`arguments`] and write its file with a `run`.

#![expect(clippy::disallowed_macros, reason = "this room speaks to a person")]

pub mod arguments;
mod audit;
mod claims;
mod collecting;
mod compare;
mod corrections;
mod draft;
mod estimate;
mod explain;
mod facts;
mod failure;
mod fields;
mod forms;
mod interrupt;
mod job;
mod lines;
mod observations;
mod progress;
mod rules;
mod rulings;
mod sample;
mod schema;
mod shell;
mod summary;
mod survey;
mod template;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

use crate::ingest;
use crate::report::workbook;
use arguments::{Arguments, Command};

/// What a run comes to: its exit code.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Outcome {
    /// Done; nothing was violated.
    Clean,
    /// Done; something was violated, or too little could be decided.
    Found,
    /// The job could not be done, or not all of it.
    Failed,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Clean => Self::SUCCESS,
            Outcome::Found => Self::from(1),
            Outcome::Failed => Self::from(2),
        }
    }
}

/// Runs a command. Nothing takes the program down: a panic is told, and is a failure like any other.
pub fn run(arguments: &Arguments) -> Outcome {
    quiet_expected_panics();
    interrupt::listen();
    let command = AssertUnwindSafe(|| command(&arguments.command));
    catch_unwind(command).unwrap_or(Outcome::Failed)
}

fn command(command: &Command) -> Outcome {
    match command {
        Command::Audit(options) => audit::run(options),
        Command::Survey(options) => survey::run(options),
        Command::Template(options) => template::run(options),
        Command::Compare(options) => compare::run(options),
        Command::Sample(options) => sample::run(options),
        Command::Estimate(options) => estimate::run(options),
        Command::Draft(options) => draft::run(options),
        Command::Schema => schema::run(),
        Command::Rules(options) => rules::run(options),
        Command::Fields(options) => fields::run(options),
        Command::Completions(options) => shell::completions(options),
        Command::Man => shell::man(),
    }
}

/// A reader of workbooks that panics on a broken file, and a writer on a full disk, are caught and told
/// in one line of their own; the usual report of a panic would only frighten.
fn quiet_expected_panics() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        let printing = panic.payload_as_str().is_some_and(|told| told.starts_with(PRINTING));
        if !printing && !ingest::reading_workbook() && !workbook::writing_workbook() {
            usual(panic);
        }
    }));
}

/// How a panic begins when whoever reads the output has gone.
const PRINTING: &str = "failed printing to";

/// Tells a problem: what, where, what to do.
pub(crate) fn complain(problem: &str) {
    anstream::eprintln!("{red}error:{red:#} {}", lines::plain(problem), red = ERROR);
}

const ERROR: anstyle::Style = anstyle::AnsiColor::Red.on_default().bold();
