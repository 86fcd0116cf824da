//! `yokecheck survey`: which outlets to see, and which facts of each, as a workbook to be filled in.

use crate::ingest;
use crate::report::wording::counted;
use crate::report::workbook::{Limits, survey};
use crate::report::{Report, Target};
use crate::statistics::Statistics;
use crate::survey::Round;

use super::arguments::SurveyOptions;
use super::failure::Failure;
use super::job::{Job, Wants};
use super::lines::wrapped;
use super::{Outcome, collecting, complain, forms, summary};

/// Writes the survey and says what it holds.
pub(super) fn run(options: &SurveyOptions) -> Outcome {
    written(options).unwrap_or_else(|failure| {
        failure.tell();
        Outcome::Failed
    })
}

fn written(options: &SurveyOptions) -> Result<Outcome, Failure> {
    let wish = collecting::wish(&options.collecting)?;
    let job = Job::new(&options.judging)?;
    let found = ingest::find(&options.inputs);
    let mut inputs = Job::side_files(&options.judging);
    inputs.extend(found.inputs.iter().map(|input| input.path.clone()));
    let target = forms::target(&options.out, &inputs)?;
    let loaded = job.read(&found)?;
    if loaded.outlets.is_empty() {
        job.progress.done();
        summary::nothing_read(&loaded.account);
        return Ok(Outcome::Failed);
    }
    let (audit, account) = job.audit(loaded, Wants::default());
    let context = job.context(Vec::new());
    let report = Report {
        audit: &audit,
        account: &account,
        statistics: &Statistics::default(),
        context: &context,
        rulings: &crate::rulings::Ruled::default(),
    };
    let round = Round::of(&audit, &wish);
    let sheets = collecting::sheets(&options.collecting);
    let done = target.write(|out| survey::write(&report, &round, sheets, Limits::default(), out));
    job.progress.done();
    done?;
    account.problems.iter().for_each(|problem| complain(problem));
    if !options.judging.quiet {
        tell(&round, &target);
    }
    summary::print_share_decided(&audit);
    let sound = account.problems.is_empty() && audit.crashes.is_empty();
    Ok(if sound { Outcome::Clean } else { Outcome::Failed })
}

fn tell(round: &Round, target: &Target) {
    let outlets = counted(round.stops.len() as u64, "outlet", "outlets");
    let facts: Vec<&str> = round.fields.iter().map(|field| field.name()).collect();
    let written = format!("{outlets} to see, in {}", target.path().display());
    anstream::println!("{}", wrapped("Survey: ", &written));
    anstream::println!("{}", wrapped("Facts:  ", &facts.join(", ")));
    if round.waiting_for_others > 0 {
        let others = counted(round.waiting_for_others, "outlet waits", "outlets wait");
        let note = format!("{others} for other facts only: see --facts and --most");
        anstream::println!("{}", wrapped("  note: ", &note));
    }
    if round.nameless > 0 {
        let nameless = counted(round.nameless, "outlet is", "outlets are");
        let note = format!("{nameless} left out, having no outlet_id of its own in its building");
        anstream::println!("{}", wrapped("  note: ", &note));
    }
    anstream::println!();
}
