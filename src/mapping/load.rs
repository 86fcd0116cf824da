//! From the files of a run to its outlets.
//!
//! Owns the order of the work: mapping files first, all their errors at once; then every input by
//! itself, so that one that fails spoils no other; then what only all rows together can tell.

use std::path::PathBuf;

use rayon::prelude::*;

use super::account::{Account, Resolutions};
use super::error::MappingError;
use super::file::{self, MappingFile};
use super::input::Part;
use super::recognise::Library;
use super::{in_turn, repeats, unused, whole};
use crate::ingest::{Found, Input};
use crate::outlet::{Outlet, Texts};

/// How the inputs of a run are read.
pub struct LoadOptions<'a> {
    /// Mapping files, tried in this order before the built-in ones.
    pub mappings: &'a [PathBuf],
    /// Called now and then while rows are read, and at the end of each input.
    pub progress: &'a (dyn Fn(Progress) + Sync),
}

/// How far the reading has come.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Progress {
    /// Place of the input among those of the run.
    pub input: usize,
    /// Rows of this input that were read so far.
    pub rows: u64,
    /// Whether the input is read to its end.
    pub done: bool,
}

/// The outlets of a run, and what became of its inputs.
#[derive(Debug, Default)]
pub struct Loaded {
    /// One outlet a row, in the order of inputs, sheets and rows.
    pub outlets: Vec<Outlet>,
    /// Their texts.
    pub texts: Texts,
    /// What was read, skipped and found faulty.
    pub account: Account,
    /// How finely columns were measured, where a mapping says.
    pub resolutions: Resolutions,
}

/// Reads the inputs that were found, each sheet by the mapping that recognises it.
///
/// An input that cannot be read is a problem in the account; the others are read all the same. Errors
/// are those of mapping files only, all of them.
pub fn load(found: &Found, options: &LoadOptions<'_>) -> Result<Loaded, Vec<MappingError>> {
    let library = library(options.mappings)?;
    let read = |(place, input): (usize, &Input)| {
        let told = |rows, done| (options.progress)(Progress { input: place, rows, done });
        Part::read(place, input, &library, &told)
    };
    let parts: Vec<Part> = found.inputs.par_iter().enumerate().map(read).collect();
    let mut loaded = Loaded::of(parts);
    loaded.account = closed(Account::of(found, loaded.account), &library)?;
    Ok(loaded)
}

/// Reads the inputs one by one and hands each to `each`, as if it were the only one: what that makes of
/// it stands in the order of the inputs, and the account it gives back becomes part of that of the run.
///
/// As many inputs are at hand as there are threads.
pub fn load_each<T: Send>(
    found: &Found,
    options: &LoadOptions<'_>,
    each: impl Fn(Loaded) -> (T, Account) + Sync,
) -> Result<(Vec<T>, Account), Vec<MappingError>> {
    let library = library(options.mappings)?;
    let one_by_one = |place: usize, input: &Input| {
        let told = |rows, done| (options.progress)(Progress { input: place, rows, done });
        each(Loaded::of(vec![Part::read(0, input, &library, &told)]))
    };
    let made = in_turn::each(&found.inputs, one_by_one);
    let (made, accounts): (Vec<T>, Vec<Account>) = made.into_iter().unzip();
    let mut account = Account::default();
    for part in accounts {
        account.inputs.extend(part.inputs);
        account.problems.extend(part.problems);
        account.remarks.extend(part.remarks);
    }
    Ok((made, closed(Account::of(found, account), &library)?))
}

/// The account of all inputs with what only all of them together tell.
fn closed(mut account: Account, library: &Library) -> Result<Account, Vec<MappingError>> {
    unused::columns_nowhere(library, &account)?;
    account.remarks.extend(unused::remarks(library));
    for input in &mut account.inputs {
        input.sheets.iter_mut().for_each(|sheet| sheet.faults.sort());
    }
    Ok(account)
}

/// The mapping files of the run, or all their errors.
fn library(paths: &[PathBuf]) -> Result<Library, Vec<MappingError>> {
    let mut library = Library::default();
    let mut errors = Vec::new();
    for path in paths {
        match MappingFile::open(path) {
            Ok(file) => library.given.push(file),
            Err(more) => errors.extend(more),
        }
    }
    match file::shipped() {
        Ok(files) => library.shipped = files,
        Err(more) => errors.extend(more),
    }
    if errors.is_empty() { Ok(library) } else { Err(errors) }
}

impl Loaded {
    /// What came of inputs, with what only all their rows together tell.
    fn of(parts: Vec<Part>) -> Self {
        let mut loaded = Self::default();
        for part in parts {
            loaded.add(part);
        }
        repeats::take_out(&mut loaded.outlets, &mut loaded.account);
        whole::look_at(&loaded.outlets, &loaded.texts, &mut loaded.account);
        loaded
    }

    /// Adds what came of an input, with its texts among those of the run.
    fn add(&mut self, mut part: Part) {
        if self.texts.is_empty() {
            self.texts = part.texts;
        } else {
            let names = self.texts.absorb(&part.texts);
            for outlet in &mut part.outlets {
                outlet.rename(|text| names.get(text));
            }
        }
        if self.outlets.is_empty() {
            self.outlets = part.outlets;
        } else {
            self.outlets.append(&mut part.outlets);
        }
        self.resolutions.extend(part.resolutions);
        self.account.inputs.push(part.account);
        self.account.problems.extend(part.problems);
        self.account.remarks.extend(part.remarks);
    }
}
