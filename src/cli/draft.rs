//! `yokecheck draft`: a mapping file from the headers and the cells of a schedule.

use std::io::Write as _;
use std::path::PathBuf;

use crate::ingest;
use crate::mapping::draft::draft;
use crate::report::Target;

use super::arguments::DraftOptions;
use super::{Outcome, complain};

/// Drafts and says what was seen.
pub(super) fn run(options: &DraftOptions) -> Outcome {
    match drafted(options) {
        Ok(()) => Outcome::Clean,
        Err(problem) => {
            complain(&problem);
            Outcome::Failed
        }
    }
}

fn drafted(options: &DraftOptions) -> Result<(), String> {
    let found = ingest::find(std::slice::from_ref(&options.input));
    if let Some(problem) = found.problems.first() {
        return Err(problem.to_string());
    }
    let [input] = found.inputs.as_slice() else {
        return Err(format!(
            "{} holds {} schedules; name one file to draft from",
            options.input.display(),
            found.inputs.len()
        ));
    };
    let file = draft(input).map_err(|error| error.to_string())?;
    if file.sheets.is_empty() {
        let seen = file.left_aside.join("\n  ");
        let path = options.input.display();
        return Err(format!("no device schedule found in {path}\n  {seen}"));
    }
    let Some(path) = &options.out else {
        anstream::print!("{}", file.text);
        return Ok(());
    };
    let inputs: Vec<PathBuf> = vec![input.path.clone()];
    let target = Target::new(path, &inputs).map_err(|error| error.to_string())?;
    let write = |out: &mut std::io::BufWriter<&std::fs::File>| out.write_all(file.text.as_bytes());
    target.write(write).map_err(|error| error.to_string())?;
    for sheet in &file.sheets {
        anstream::println!("  read        {sheet}");
    }
    for sheet in &file.left_aside {
        anstream::println!("  left aside  {sheet}");
    }
    anstream::println!(
        "Drafted: {}. Check every line, then audit with --mapping {0}.",
        path.display()
    );
    Ok(())
}
