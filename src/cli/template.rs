//! `yokecheck template`: an empty workbook for a schedule that is to be made from nothing.

use crate::outlet::Field;
use crate::report::Context;
use crate::report::workbook::template;

use super::Outcome;
use super::arguments::TemplateOptions;
use super::failure::Failure;
use super::lines::wrapped;
use super::{facts, forms};

/// Writes the template.
pub(super) fn run(options: &TemplateOptions) -> Outcome {
    match written(options) {
        Ok(()) => Outcome::Clean,
        Err(failure) => {
            failure.tell();
            Outcome::Failed
        }
    }
}

fn written(options: &TemplateOptions) -> Result<(), Failure> {
    let fields = match facts::fields(&options.facts)? {
        none if none.is_empty() => Field::ALL.to_vec(),
        named => named,
    };
    let target = forms::target(&options.out, &[])?;
    // The same bytes on every day: an empty form has no date of its own.
    let context = Context {
        project: String::new(),
        date: jiff::civil::date(2026, 1, 1),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        options: Vec::new(),
    };
    target.write(|out| template::write(&context, &fields, out))?;
    let text = format!("{} columns, in {}", fields.len(), target.path().display());
    anstream::println!("{}", wrapped("Template: ", &text));
    Ok(())
}
