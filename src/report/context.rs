//! What a report needs: the audit, the account of what was read, the figures, and the run itself.

use jiff::civil::Date;

use crate::audit::Audit;
use crate::mapping::account::Account;
use crate::rulings::Ruled;
use crate::statistics::Statistics;

/// The run that a report tells of.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Context {
    /// Name of the project; empty when none was given.
    pub project: String,
    /// The date of the audit. Reports carry no other date of their own.
    pub date: Date,
    /// Version of the program.
    pub version: String,
    /// The options of the run, one a line, as a person would type them.
    pub options: Vec<String>,
}

/// Everything that a report is written from.
#[derive(Clone, Copy)]
pub struct Report<'a> {
    /// What was found.
    pub audit: &'a Audit,
    /// What was read.
    pub account: &'a Account,
    /// The figures of the audit.
    pub statistics: &'a Statistics,
    /// The run.
    pub context: &'a Context,
    /// What the authority ruled.
    pub rulings: &'a Ruled,
}
