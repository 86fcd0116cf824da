//! What can be typed.

pub mod sampling;

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand};
use jiff::civil::Date;

use crate::code::EDITIONS;
use crate::outlet::Word as _;
use crate::outlet::words::Edition;
use crate::report::corrections::By;
use crate::statistics::Weights;

use sampling::{ESTIMATE_HELP, EstimateOptions, SAMPLE_HELP, SampleOptions};

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
    /// Write a workbook of the facts to collect, to be filled in on a walk through the buildings.
    #[command(after_help = SURVEY_HELP)]
    Survey(Box<SurveyOptions>),
    /// Write an empty workbook for a schedule that is to be made from nothing.
    #[command(after_help = TEMPLATE_HELP)]
    Template(TemplateOptions),
    /// Compare two audits of the same outlets: what was corrected, what is open, what is new.
    #[command(after_help = COMPARE_HELP)]
    Compare(Box<CompareOptions>),
    /// Draw a sample of outlets to inspect, and write the survey of them.
    #[command(after_help = SAMPLE_HELP)]
    Sample(Box<SampleOptions>),
    /// Say what a sample that was inspected tells of the whole.
    #[command(after_help = ESTIMATE_HELP)]
    Estimate(Box<EstimateOptions>),
    /// Draft a mapping file from the headers and cells of schedules.
    #[command(after_help = DRAFT_HELP)]
    Draft(DraftOptions),
    /// Print the JSON schema of mapping files.
    Schema,
    /// List the rules, or show the manual page of one.
    #[command(after_help = RULES_HELP)]
    Rules(RulesOptions),
    /// List the fields of the outlet model, or show one.
    #[command(after_help = FIELDS_HELP)]
    Fields(FieldsOptions),
    /// Print the script by which a shell completes the commands and options.
    #[command(after_help = COMPLETIONS_HELP)]
    Completions(CompletionsOptions),
    /// Print the manual page of the program, all commands and options in one.
    #[command(after_help = MAN_HELP)]
    Man,
}

const SURVEY_HELP: &str = "\
Examples:
  yokecheck survey schedules/ --out survey.xlsx
  yokecheck survey schedules/ --out survey.xlsx --facts box_set_back,yoke_seat --sheet-per-floor
  yokecheck audit schedules/ survey-filled-in.xlsx

Exit codes: 0 written; 2 the job could not be done, or not all of it.";

const COMPARE_HELP: &str = "\
Examples:
  yokecheck compare march/ june/ --out progress.xlsx
  yokecheck compare revision-c.xlsx revision-d.xlsx --changes changes.csv
  yokecheck compare audits/march/tables june/ --corrected lists-that-came-back/

A side is a schedule, a folder of them, or the Parquet folder of an earlier
audit; both sides are judged by the same rules.

Exit codes:
  0  compared, and nothing is open or new
  1  compared; something is open or new (0 is no pass while something is unknown)
  2  the job could not be done, or not all of it";

const TEMPLATE_HELP: &str = "\
Examples:
  yokecheck template --out devices.xlsx
  yokecheck template --out devices.xlsx --facts building,floor,room,outlet_id,device,facing

Exit codes: 0 written; 2 it could not be written.";

const DRAFT_HELP: &str = "\
Examples:
  yokecheck draft subcontractor.xlsx --out subcontractor.toml
  yokecheck audit subcontractor.xlsx --mapping subcontractor.toml

A draft is to be checked: every line says what it rests on, and what is in doubt is commented out.

Exit codes: 0 drafted; 2 no sheet looks like a schedule of devices, or it could not be read.";

const AUDIT_HELP: &str = "\
Examples:
  yokecheck audit schedules/
  yokecheck audit level-3.xlsx level-4.csv --edition 2020 --findings found.csv
  yokecheck audit campus/ --mapping lighting.toml --rules mounting,box
  yokecheck audit campus/ --corrections to-send/ --by installer

Exit codes:
  0  audited, and nothing violated
  1  audited; violations, or less decided than --require-decided
  2  the job could not be done, or not all of it";

const RULES_HELP: &str = "\
Examples:
  yokecheck rules
  yokecheck rules box-set-back
  yokecheck rules --defect-type grounding --edition 2017";

const FIELDS_HELP: &str = "\
Examples:
  yokecheck fields
  yokecheck fields box_set_back";

const COMPLETIONS_HELP: &str = "\
Examples:
  source <(yokecheck completions bash)
  yokecheck completions zsh > ~/.zfunc/_yokecheck
  yokecheck completions fish > ~/.config/fish/completions/yokecheck.fish";

const MAN_HELP: &str = "\
Examples:
  yokecheck man > yokecheck.1
  yokecheck man | man -l -";

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

    /// A folder for lists of corrections to be sent out and filled in, a workbook a trade.
    #[arg(long, value_name = "DIR")]
    pub corrections: Option<PathBuf>,

    /// Who gets one workbook of corrections each.
    #[arg(long, value_name = "WHOM", value_parser = addressee(), default_value = "trade")]
    #[arg(requires = "corrections")]
    pub by: By,

    /// The summary, charts and lists as one page that a browser shows, without a network.
    #[arg(long, value_name = "FILE.html")]
    pub html: Option<PathBuf>,

    /// The findings as JSON lines.
    #[arg(long, value_name = "FILE.jsonl")]
    pub jsonl: Option<PathBuf>,

    /// Outlets, findings and tallies as Parquet tables in a folder, for a query engine.
    #[arg(long, value_name = "DIR")]
    pub parquet: Option<PathBuf>,

    /// Judge again by a newer edition what is lawful as built, and list apart what would fail.
    #[arg(long, value_name = "YEAR", value_parser = edition())]
    pub also_against: Option<Edition>,

    /// Rulings of the authority: which findings it approved, refused or deferred.
    #[arg(long, value_name = "FILE")]
    pub rulings: Option<PathBuf>,

    /// What a violation of each grade weighs in the physical hazard index
    /// [default: danger=10,latent=3,workmanship=1].
    #[arg(long, value_name = "GRADE=N,...")]
    pub weights: Option<Weights>,

    /// Exit with 1 when a smaller share of the verdicts could be decided, from 0 to 1.
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub require_decided: Option<f64>,

    /// Show each column, its field, and three of its cells with what was read from them.
    #[arg(long)]
    pub explain_mapping: bool,

    #[command(flatten)]
    #[expect(
        missing_docs,
        reason = "a text here would stand in the help in place of the command's"
    )]
    pub judging: Judging,
}

const MOST_OF_A_SURVEY: &str =
    "So many facts at most, those that decide the most first; conductors by size are one";

/// What a survey is to ask for, and how it is laid out.
#[derive(Args, Debug)]
pub struct Collecting {
    /// The facts to collect; without it those that decide the most verdicts.
    #[arg(long, value_name = "FACT", value_delimiter = ',')]
    pub facts: Vec<String>,

    /// So many facts at most, those that decide the most first.
    #[arg(long, value_name = "N", default_value_t = 12, conflicts_with = "facts")]
    #[arg(value_parser = clap::value_parser!(u16).range(1..))]
    pub most: u16,

    /// A sheet for each floor of each building.
    #[arg(long)]
    pub sheet_per_floor: bool,
}

/// Options of the survey.
#[derive(Args, Debug)]
#[command(mut_arg("most", |most| most.help(MOST_OF_A_SURVEY)))]
pub struct SurveyOptions {
    /// Schedules, or folders of them: xlsx, xlsm, xlsb, xls, ods, csv, tsv.
    #[arg(required = true, value_name = "INPUT")]
    pub inputs: Vec<PathBuf>,

    /// The workbook to be filled in.
    #[arg(long, value_name = "FILE.xlsx")]
    pub out: PathBuf,

    #[command(flatten)]
    #[expect(
        missing_docs,
        reason = "a text here would stand in the help in place of the command's"
    )]
    pub collecting: Collecting,

    #[command(flatten)]
    #[expect(
        missing_docs,
        reason = "a text here would stand in the help in place of the command's"
    )]
    pub judging: Judging,
}

/// Options of the comparison.
#[derive(Args, Debug)]
pub struct CompareOptions {
    /// The earlier side: a schedule, a folder, or the Parquet folder of an audit.
    #[arg(value_name = "BEFORE")]
    pub before: PathBuf,

    /// The later side: one or more of the same, such as a revision and a survey of it.
    #[arg(required = true, value_name = "AFTER")]
    pub after: Vec<PathBuf>,

    /// The workbook.
    #[arg(long, value_name = "FILE.xlsx")]
    pub out: Option<PathBuf>,

    /// Every change as CSV.
    #[arg(long, value_name = "FILE.csv")]
    pub changes: Option<PathBuf>,

    /// A folder of lists of corrections that came back filled in, held against the later side.
    #[arg(long, value_name = "DIR")]
    pub corrected: Option<PathBuf>,

    /// Rulings of the authority: what it approved on either side is left out.
    #[arg(long, value_name = "FILE")]
    pub rulings: Option<PathBuf>,

    /// Outlets under another name: a table with the columns building, before and after.
    #[arg(long, value_name = "FILE.csv")]
    pub renamed: Option<PathBuf>,

    #[command(flatten)]
    #[expect(
        missing_docs,
        reason = "a text here would stand in the help in place of the command's"
    )]
    pub judging: Judging,
}

/// Options of the template.
#[derive(Args, Debug)]
pub struct TemplateOptions {
    /// The workbook.
    #[arg(long, value_name = "FILE.xlsx")]
    pub out: PathBuf,

    /// The fields that are its columns; without it all of the model.
    #[arg(long, value_name = "FIELD", value_delimiter = ',')]
    pub facts: Vec<String>,
}

/// What is judged, and by what: shared by every command that audits.
#[derive(Args, Debug)]
pub struct Judging {
    /// The edition for rows that record none; without it such rows are tried in all four.
    #[arg(long, value_name = "YEAR", value_parser = edition())]
    pub edition: Option<Edition>,

    /// The editions of buildings: a table with the columns building and edition.
    #[arg(long, value_name = "FILE.csv")]
    pub editions: Option<PathBuf>,

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
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub as_of: Option<Date>,

    /// The name of the project, printed on the workbook.
    #[arg(long, value_name = "NAME")]
    pub project: Option<String>,

    /// Threads; the output is the same with any number [default: all cores].
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub threads: Option<u16>,

    /// Say only what went wrong and what came of it.
    #[arg(long, short)]
    pub quiet: bool,
}

/// Who may get a workbook of corrections each.
fn addressee() -> impl TypedValueParser<Value = By> {
    PossibleValuesParser::new(["trade", "installer"]).map(|word| match word.as_str() {
        "installer" => By::Installer,
        _ => By::Trade,
    })
}

fn share(text: &str) -> Result<f64, String> {
    let share: f64 = text.parse().map_err(|_| "a share is a number from 0 to 1".to_owned())?;
    if (0.0..=1.0).contains(&share) {
        Ok(share)
    } else {
        Err("a share is a number from 0 to 1, such as 0.8".to_owned())
    }
}

/// The editions that can be given: those that the program judges by.
fn edition() -> impl TypedValueParser<Value = Edition> {
    PossibleValuesParser::new(EDITIONS.map(Edition::word))
        .try_map(|year| Edition::of(&year).ok_or("there is no such edition"))
}

fn day(text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| "a date is written YYYY-MM-DD, such as 2026-03-31".to_owned())
}

/// Options of drafting.
#[derive(Args, Debug)]
pub struct DraftOptions {
    /// A schedule: xlsx, xlsm, xlsb, xls, ods, csv, tsv.
    #[arg(value_name = "INPUT")]
    pub input: PathBuf,

    /// The mapping file; without it the draft is printed.
    #[arg(long, value_name = "FILE.toml")]
    pub out: Option<PathBuf>,
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
    #[arg(long, value_name = "YEAR", value_parser = edition(), conflicts_with = "name")]
    pub edition: Option<Edition>,
}

/// Options of the list of fields.
#[derive(Args, Debug)]
pub struct FieldsOptions {
    /// A field: shows what may stand in it and which rules ask for it.
    pub name: Option<String>,
}

/// Options of the completions.
#[derive(Args, Debug)]
pub struct CompletionsOptions {
    /// The shell.
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}
