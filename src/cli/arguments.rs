//! What can be typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;

use crate::outlet::words::Edition;

/// Audits the receptacle outlets of buildings from their device schedules against NFPA 70.
#[derive(Parser, Debug)]
#[command(name = "yokecheck", version, max_term_width = 100, arg_required_else_help = true)]
#[command(after_help = CAUTION)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const CAUTION: &str = "\
Electricity kills: de-energise and verify before an enclosure is opened, qualified persons only. The \
adopted code with its local amendments and the authority having jurisdiction decide.";

/// The commands.
#[derive(Subcommand, Debug)]
pub enum Command {
    /// Audit device schedules and write the workbook of violations.
    #[command(after_help = AUDIT_HELP)]
    Audit(Box<AuditOptions>),
    /// List the rules, or show the manual page of one.
    Rules(RulesOptions),
    /// List the fields of the outlet model, or show one.
    Fields(FieldsOptions),
}

const AUDIT_HELP: &str = "\
Examples:
  yokecheck audit schedules/
  yokecheck audit level-3.xlsx level-4.csv --edition 2020 --findings findings.csv
  yokecheck audit campus/ --mapping lighting.toml --rules mounting,box --out mounting.xlsx

Exit codes: 0 audited and nothing violated; 1 violations, or less decided than --require-decided; \
2 the job could not be done, or not all of it.";

/// Options of the audit.
#[derive(Args, Debug)]
pub struct AuditOptions {
    /// Schedules, or folders of them: xlsx, xlsm, xlsb, xls, ods, csv, tsv.
    #[arg(required = true, value_name = "INPUT")]
    pub inputs: Vec<PathBuf>,

    /// The workbook [default: reports/<input>-audit.xlsx].
    #[arg(long, value_name = "FILE.xlsx", conflicts_with = "no_workbook")]
    pub out: Option<PathBuf>,

    /// Write no workbook.
    #[arg(long)]
    pub no_workbook: bool,

    /// The findings as CSV: violations and questions for the authority.
    #[arg(long, value_name = "FILE.csv")]
    pub findings: Option<PathBuf>,

    /// Every verdict of every rule as CSV.
    #[arg(long, value_name = "FILE.csv")]
    pub verdicts: Option<PathBuf>,

    /// The summary, charts and lists as one page that a browser shows, without a network.
    #[arg(long, value_name = "FILE.html")]
    pub html: Option<PathBuf>,

    /// The findings as JSON lines.
    #[arg(long, value_name = "FILE.jsonl")]
    pub jsonl: Option<PathBuf>,

    /// Outlets, findings and tallies as Parquet tables in a folder, for a query engine.
    #[arg(long, value_name = "DIR")]
    pub parquet: Option<PathBuf>,

    /// The edition for rows that record none; without it such rows are tried in all four.
    #[arg(long, value_name = "YEAR")]
    pub edition: Option<EditionYear>,

    /// The editions of buildings: a table with the columns building and edition.
    #[arg(long, value_name = "FILE.csv")]
    pub editions: Option<PathBuf>,

    /// Judge again by a newer edition what is lawful as built, and list apart what would fail.
    #[arg(long, value_name = "YEAR")]
    pub also_against: Option<EditionYear>,

    /// A jurisdiction's own changes of rules and limits.
    #[arg(long, value_name = "FILE.toml")]
    pub amendments: Option<PathBuf>,

    /// A mapping file; may be given more than once.
    #[arg(long, value_name = "FILE.toml")]
    pub mapping: Vec<PathBuf>,

    /// Only these rules or defect types; `reach-range` runs only when named.
    #[arg(long, value_name = "NAME", value_delimiter = ',')]
    pub rules: Vec<String>,

    /// Not these rules or defect types.
    #[arg(long, value_name = "NAME", value_delimiter = ',')]
    pub without: Vec<String>,

    /// The date of the audit [default: today].
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub as_of: Option<Date>,

    /// The name of the project, printed on the workbook.
    #[arg(long, value_name = "NAME")]
    pub project: Option<String>,

    /// Exit with 1 when a smaller share of the verdicts could be decided, from 0 to 1.
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub require_decided: Option<f64>,

    /// Threads; the output is the same with any number [default: all cores].
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub threads: Option<u16>,

    /// Say only what went wrong and what share was decided.
    #[arg(long, short)]
    pub quiet: bool,
}

fn share(text: &str) -> Result<f64, String> {
    let share: f64 = text.parse().map_err(|_| "a share is a number from 0 to 1".to_owned())?;
    if (0.0..=1.0).contains(&share) {
        Ok(share)
    } else {
        Err("a share is a number from 0 to 1, such as 0.8".to_owned())
    }
}

/// An edition that can be given.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum EditionYear {
    /// The 2014 edition.
    #[value(name = "2014")]
    E2014,
    /// The 2017 edition.
    #[value(name = "2017")]
    E2017,
    /// The 2020 edition.
    #[value(name = "2020")]
    E2020,
    /// The 2023 edition.
    #[value(name = "2023")]
    E2023,
}

impl From<EditionYear> for Edition {
    fn from(year: EditionYear) -> Self {
        match year {
            EditionYear::E2014 => Self::E2014,
            EditionYear::E2017 => Self::E2017,
            EditionYear::E2020 => Self::E2020,
            EditionYear::E2023 => Self::E2023,
        }
    }
}

/// Options of the list of rules.
#[derive(Args, Debug)]
pub struct RulesOptions {
    /// A rule: shows its manual page.
    pub name: Option<String>,

    /// Only rules of this defect type.
    #[arg(long, value_name = "TYPE", conflicts_with = "name")]
    pub defect_type: Option<String>,

    /// Only rules of this edition, with its sections.
    #[arg(long, value_name = "YEAR", conflicts_with = "name")]
    pub edition: Option<EditionYear>,
}

/// Options of the list of fields.
#[derive(Args, Debug)]
pub struct FieldsOptions {
    /// A field: shows what may stand in it and which rules ask for it.
    pub name: Option<String>,
}
