//! `yokecheck completions` and `yokecheck man`: what a shell and a reader of manual pages need.

use std::io::{self, Write as _};

use clap::CommandFactory as _;

use super::arguments::{Arguments, CompletionsOptions};
use super::{Outcome, complain};

/// Prints the script by which a shell completes what is typed.
pub(super) fn completions(options: &CompletionsOptions) -> Outcome {
    let mut command = Arguments::command();
    let name = command.get_name().to_owned();
    let mut script = Vec::new();
    clap_complete::generate(options.shell, &mut command, name, &mut script);
    print(&script)
}

/// Prints the manual page: the program, then each command.
pub(super) fn man() -> Outcome {
    let mut command = Arguments::command();
    // The examples name the whole command: `yokecheck-audit` is what pages of their own would be called.
    command.build();
    match pages(&command) {
        Ok(page) => print(&page),
        Err(failed) => told(&failed),
    }
}

fn pages(command: &clap::Command) -> io::Result<Vec<u8>> {
    let mut page = Vec::new();
    let man = clap_mangen::Man::new(command.clone());
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    page.extend(extra(&man, ".SH CAUTIONS")?);
    for one in command.get_subcommands().filter(|one| one.get_name() != "help") {
        let man = clap_mangen::Man::new(one.clone());
        writeln!(page, ".SH \"YOKECHECK {}\"", one.get_name().to_uppercase())?;
        man.render_description_section(&mut page)?;
        man.render_synopsis_section(&mut page)?;
        man.render_options_section(&mut page)?;
        // Lines of examples stand as they are.
        page.extend(extra(&man, ".SH EXAMPLES\n.nf")?);
        page.extend(b".fi\n");
    }
    Ok(page)
}

/// What stands below the help of a command, under a heading of its own.
fn extra(man: &clap_mangen::Man, heading: &str) -> io::Result<Vec<u8>> {
    let mut section = Vec::new();
    man.render_extra_section(&mut section)?;
    let section = String::from_utf8_lossy(&section).replace(".SH EXTRA", heading);
    Ok(section.replace("Examples:\n", "").into_bytes())
}

fn print(bytes: &[u8]) -> Outcome {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Ok(()) => Outcome::Clean,
        // Whoever reads has seen enough.
        Err(failed) if failed.kind() == io::ErrorKind::BrokenPipe => Outcome::Clean,
        Err(failed) => told(&failed),
    }
}

fn told(failed: &io::Error) -> Outcome {
    complain(&format!("this could not be printed: {failed}"));
    Outcome::Failed
}
