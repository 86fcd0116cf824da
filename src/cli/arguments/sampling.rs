//! What can be typed of samples: drawing one, and estimating from it.

use std::path::PathBuf;

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};

use crate::sampling::acceptance::{Level, QUALITY_LEVELS, Severity};
use crate::sampling::design::By as Stratified;

use super::{Collecting, Judging};

pub(super) const SAMPLE_HELP: &str = "\
Examples:
  yokecheck sample campus/ --out survey.xlsx --estimate --by building,floor --seed 7
  yokecheck sample campus/ --out survey.xlsx --detect --rate 0.01 --seed 7
  yokecheck sample tower.xlsx --out survey.xlsx --accept --aql 1.5 --seed 7
  yokecheck estimate survey-filled-in.xlsx

One of --estimate, --detect and --accept is to be given. The same population, options and seed draw the same outlets on every machine.

Exit codes: 0 written; 2 the job could not be done, or not all of it.";

pub(super) const ESTIMATE_HELP: &str = "\
Examples:
  yokecheck estimate survey-filled-in.xlsx
  yokecheck estimate survey-filled-in.xlsx --rules box,box-fill --json said.json --out said.xlsx

Exit codes:
  0  estimated; a lot is accepted, or a search found nothing
  1  a lot is rejected, a search found a defective outlet, or it is not decided
  2  the job could not be done, or not all of it";

/// Options of a sample.
#[derive(Args, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag that is typed")]
#[command(group = clap::ArgGroup::new("plan").required(true).args(["estimate", "detect", "accept"]))]
pub struct SampleOptions {
    /// Schedules of the whole population, or folders of them: xlsx, xlsm, xlsb, xls, ods, csv, tsv.
    #[arg(required = true, value_name = "POPULATION")]
    pub inputs: Vec<PathBuf>,

    /// The survey of the drawn outlets, to be filled in; the design of the sample travels in it.
    #[arg(long, value_name = "FILE.xlsx")]
    pub out: PathBuf,

    /// The design as JSON.
    #[arg(long, value_name = "FILE.json")]
    pub json: Option<PathBuf>,

    /// Draw enough to estimate the rate of defective outlets to within a margin.
    #[arg(long)]
    pub estimate: bool,

    /// Draw enough to find a defective outlet if there are as many as a rate.
    #[arg(long, requires = "rate")]
    pub detect: bool,

    /// Draw by the single sampling plan of MIL-STD-105E, to accept or reject the whole.
    #[arg(long, requires = "aql")]
    pub accept: bool,

    /// The confidence of an estimate or a search, between 0 and 1.
    #[arg(long, value_name = "SHARE", value_parser = between, default_value_t = 0.95)]
    #[arg(conflicts_with = "accept")]
    pub confidence: f64,

    /// The half-width of the interval of an estimate.
    #[arg(long, value_name = "SHARE", value_parser = between, default_value_t = 0.05)]
    #[arg(conflicts_with_all = ["detect", "accept"])]
    pub margin: f64,

    /// The rate that is thought likely; a half is the most cautious.
    #[arg(long, value_name = "SHARE", value_parser = between, default_value_t = 0.5)]
    #[arg(conflicts_with_all = ["detect", "accept"])]
    pub expected: f64,

    /// The share of defective outlets from which on a search finds one.
    #[arg(long, value_name = "SHARE", value_parser = between)]
    #[arg(conflicts_with_all = ["estimate", "accept"])]
    pub rate: Option<f64>,

    /// The acceptable quality level, in per cent: 0.65, 1.0, 1.5, 2.5, 4.0, ...
    #[arg(long, value_name = "PER CENT", value_parser = quality_level)]
    #[arg(conflicts_with_all = ["estimate", "detect"])]
    pub aql: Option<f64>,

    /// The level of inspection of an acceptance plan.
    #[arg(long, value_name = "LEVEL", value_parser = level(), default_value = "II")]
    #[arg(conflicts_with_all = ["estimate", "detect"])]
    pub level: Level,

    /// How strictly an acceptance plan judges.
    #[arg(long, value_name = "HOW", value_parser = severity(), default_value = "normal")]
    #[arg(conflicts_with_all = ["estimate", "detect"])]
    pub severity: Severity,

    /// Draw from strata: every building, floor and trade by itself, at least two outlets of each.
    #[arg(long, value_name = "WHAT,...", value_delimiter = ',', value_parser = stratified())]
    pub by: Vec<Stratified>,

    /// A schedule of an earlier audit, to be audited anew: the strata of which less is certain get
    /// more; for an estimate only.
    #[arg(long, value_name = "FILE", requires = "by", conflicts_with_all = ["detect", "accept"])]
    pub earlier: Option<PathBuf>,

    /// The seed of the draw; without it one is taken by chance, and told.
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,

    /// Draw rooms, and every outlet in them; for an estimate only.
    #[arg(long, conflicts_with_all = ["detect", "accept"])]
    pub rooms: bool,

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

/// Options of an estimate.
#[derive(Args, Debug)]
pub struct EstimateOptions {
    /// The survey of a sample, filled in: the workbook that `yokecheck sample` wrote.
    #[arg(value_name = "SURVEY")]
    pub survey: PathBuf,

    /// What the sample says, as JSON.
    #[arg(long, value_name = "FILE.json")]
    pub json: Option<PathBuf>,

    /// What the sample says, as a workbook.
    #[arg(long, value_name = "FILE.xlsx")]
    pub out: Option<PathBuf>,

    #[command(flatten)]
    #[expect(
        missing_docs,
        reason = "a text here would stand in the help in place of the command's"
    )]
    pub judging: Judging,
}

fn between(text: &str) -> Result<f64, String> {
    let share: f64 = text.parse().map_err(|_| "a share is a number between 0 and 1".to_owned())?;
    if share > 0.0 && share < 1.0 {
        Ok(share)
    } else {
        Err("a share is a number between 0 and 1, such as 0.95".to_owned())
    }
}

fn quality_level(text: &str) -> Result<f64, String> {
    let level: Option<f64> = text.trim_end_matches('%').trim().parse().ok();
    let known = |level: &f64| QUALITY_LEVELS.iter().any(|known| (known - level).abs() < 1e-9);
    level.filter(known).ok_or_else(|| {
        let levels = QUALITY_LEVELS.map(|level| level.to_string()).join(", ");
        format!("the acceptable quality levels of the tables are {levels}")
    })
}

fn level() -> impl TypedValueParser<Value = Level> {
    PossibleValuesParser::new(Level::ALL.map(Level::word)).try_map(|word| {
        let level = Level::ALL.into_iter().find(|level| level.word() == word);
        level.ok_or("there is no such level")
    })
}

fn severity() -> impl TypedValueParser<Value = Severity> {
    PossibleValuesParser::new(Severity::ALL.map(Severity::word)).try_map(|word| {
        let severity = Severity::ALL.into_iter().find(|severity| severity.word() == word);
        severity.ok_or("there is no such severity")
    })
}

fn stratified() -> impl TypedValueParser<Value = Stratified> {
    PossibleValuesParser::new(Stratified::ALL.map(Stratified::word)).try_map(|word| {
        let by = Stratified::ALL.into_iter().find(|by| by.word() == word);
        by.ok_or("there are no such strata")
    })
}
