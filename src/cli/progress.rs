//! Progress on a terminal; nothing when the output is piped or `--quiet` is given.

use std::io::IsTerminal as _;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A line of progress: reading first, judging then.
pub(crate) struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// Shown when standard error is a terminal and the user did not ask for quiet.
    pub(crate) fn new(quiet: bool) -> Self {
        let shown = !quiet && std::io::stderr().is_terminal();
        let target =
            if shown { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
        Self { bar: ProgressBar::with_draw_target(None, target) }
    }

    /// Reading: rows so far, of an unknown number.
    pub(crate) fn reading(&self) {
        self.style("{spinner} reading   {human_pos} rows");
    }

    /// Rows read so far, of all inputs.
    pub(crate) fn rows(&self, rows: u64) {
        self.bar.set_position(rows);
    }

    /// Judging: subjects of a known number.
    pub(crate) fn judging(&self, subjects: u64) {
        self.bar.reset();
        self.bar.set_length(subjects);
        self.style("{bar:30} judging   {human_pos} of {human_len}  {eta} left");
    }

    /// So many more subjects were judged.
    pub(crate) fn judged(&self, subjects: u64) {
        self.bar.inc(subjects);
    }

    /// Writing the reports.
    pub(crate) fn writing(&self) {
        self.style("{spinner} writing the reports");
        self.bar.tick();
    }

    /// Takes the line off the terminal.
    pub(crate) fn done(&self) {
        self.bar.finish_and_clear();
    }

    fn style(&self, template: &str) {
        if let Ok(style) = ProgressStyle::with_template(template) {
            self.bar.set_style(style);
        }
    }
}
