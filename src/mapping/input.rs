//! One input of a run to its outlets: sheet by sheet, each by the mapping that recognises it.
//!
//! Owns which way a sheet goes: a mapping, the names of the fields, a draft, COBie, a form of the program's
//! own. An input that fails spoils no other, and a damaged sheet none of the next.

use std::collections::BTreeMap;

use super::account::{
    DESIGN, InputAccount, LISTS, READ_FIRST, Resolutions, SheetAccount, SheetReading,
};
use super::apply::block::Ahead;
use super::cobie;
use super::draft::{self, Draft};
use super::ending::Told;
use super::file::MappingFile;
use super::plan::{self, FLOOR_FROM_NAME};
use super::recognise::{Choice, Library, Names, Refusal, recognise};
use super::rows::{Read, first_rows};
use super::tables::{Common, Tables};
use crate::ingest::returned::Form;
use crate::ingest::{self, Format, IngestError, Input, Row, Rows, Sheet};
use crate::outlet::{Origin, Outlet, Texts};

/// A draft and its mapping, or why there is none.
type Drafted = Result<(Draft, MappingFile), String>;

/// Rows that a draft is made from.
const ROWS_OF_A_DRAFT: u32 = 5000;

/// Progress is told every so many rows.
const ROWS_A_STEP: u64 = 4096;

/// Lines that one thread reads before others help, and how often: by their rows it is known what those of the
/// table are like.
const ROWS_ALONE: u32 = 1024;
const MOST_PARTS_ALONE: u32 = 8;

/// The merged cells of an `.xlsx` of no more bytes are looked up whatever the mapping says.
const SMALL_WORKBOOK: u64 = 2 * 1024 * 1024;

/// What came of one input, with texts of its own: inputs know nothing of each other.
pub(super) struct Part {
    pub(super) outlets: Vec<Outlet>,
    pub(super) texts: Texts,
    pub(super) account: InputAccount,
    pub(super) resolutions: Resolutions,
    pub(super) problems: Vec<String>,
    pub(super) remarks: Vec<String>,
}

/// One input while it is read.
struct InputReader<'a> {
    part: Part,
    source: u32,
    input: &'a Input,
    library: &'a Library,
    steps: Steps<'a>,
    /// The sheets of a COBie workbook.
    book: cobie::Book,
    /// The tables of the sheet at hand behind its first one.
    more: Vec<SheetAccount>,
    /// The sheets whose name gives the floor; empty for a text file.
    storeys: Vec<String>,
}

impl Part {
    /// Reads an input; `told` is told of the rows so far, and of the end.
    pub(super) fn read(
        place: usize,
        input: &Input,
        library: &Library,
        told: &(dyn Fn(u64, bool) + Sync),
    ) -> Self {
        let part = Self {
            outlets: Vec::new(),
            texts: Texts::default(),
            account: InputAccount {
                path: input.display.clone(),
                sha256: String::new(),
                sheets: Vec::new(),
            },
            resolutions: Resolutions::default(),
            problems: Vec::new(),
            remarks: Vec::new(),
        };
        let source = u32::try_from(place).unwrap_or(u32::MAX);
        let mut reading = InputReader {
            part,
            source,
            input,
            library,
            steps: Steps { told, rows: 0 },
            book: cobie::Book::default(),
            more: Vec::new(),
            storeys: Vec::new(),
        };
        let mut visit = |sheet: &Sheet, rows: &mut dyn Rows| {
            reading.sheet(sheet, rows);
            Ok(())
        };
        let (digest, outcome) =
            rayon::join(|| ingest::sha256(&input.path), || ingest::read(input, &mut visit));
        let digest = digest.map(|digest| reading.part.account.sha256 = digest);
        if let Err(error) = digest.and(outcome) {
            reading.part.problems.push(error.to_string());
        }
        reading.join();
        reading.tell_storeys();
        told(reading.steps.rows, true);
        reading.part
    }
}

impl InputReader<'_> {
    /// Reads a sheet. A damaged one is a problem of its own; the next is read all the same.
    fn sheet(&mut self, sheet: &Sheet, rows: &mut dyn Rows) {
        let mut account = SheetAccount {
            name: sheet.name.clone(),
            hidden: sheet.hidden,
            ..SheetAccount::default()
        };
        if sheet.misnamed && self.part.account.sheets.is_empty() {
            let part = &mut self.part;
            Told::of(self.input, sheet).tell(&mut part.problems, &mut part.remarks);
        }
        if self.is_form_page(sheet) {
            account.reading = SheetReading::FormPage;
        } else if let Err(error) = self.rows(sheet, rows, &mut account) {
            self.part.problems.push(error.to_string());
        }
        self.know_survey(sheet, &mut account);
        self.note_sheet(sheet, &account);
        self.part.account.sheets.push(account);
        self.part.account.sheets.append(&mut self.more);
    }

    /// A sheet of a survey whose last column was cut off still holds observations, all its cells of them.
    fn know_survey(&self, sheet: &Sheet, account: &mut SheetAccount) {
        let unknown = account.observations.is_none() && account.rows_read > 0;
        if unknown
            && sheet.name.is_some()
            && ingest::returned::form(&self.input.path) == Some(Form::Survey)
        {
            account.observations = Some(BTreeMap::new());
        }
    }

    /// Whether a sheet is a page of a form of the program's own that holds no devices.
    fn is_form_page(&self, sheet: &Sheet) -> bool {
        sheet.name.as_deref().is_some_and(|name| [READ_FIRST, LISTS, DESIGN].contains(&name))
            && ingest::returned::form(&self.input.path).is_some()
    }

    /// Notes what a person should know of a sheet that was read.
    fn note_sheet(&mut self, sheet: &Sheet, account: &SheetAccount) {
        let tables = 1 + self.more.len();
        let read: u32 =
            std::iter::once(account).chain(&self.more).map(|table| table.rows_read).sum();
        if tables > 1 {
            let said = format!(
                "{}: {tables} tables stand on it; each is read by its own header",
                self.place(sheet)
            );
            self.part.remarks.push(said);
        }
        if sheet.hidden && read > 0 {
            let said =
                format!("{}: the sheet is hidden; it was read all the same", self.place(sheet));
            self.part.remarks.push(said);
        }
        if read > 0 && account.constants.iter().any(|constant| constant.how == FLOOR_FROM_NAME) {
            self.storeys.push(sheet.name.clone().unwrap_or_default());
        }
    }

    /// Notes on which sheets the floor comes from the name of the sheet.
    fn tell_storeys(&mut self) {
        if self.storeys.is_empty() {
            return;
        }
        let path = &self.input.display;
        let sheets: Vec<_> =
            self.storeys.iter().map(String::as_str).filter(|name| !name.is_empty()).collect();
        let name = if sheets.is_empty() {
            "the name of the file".to_owned()
        } else {
            format!("the name of the sheet: {}", sheets.join(", "))
        };
        self.part
            .remarks
            .push(format!("{path}: no column gives the floor; it is read from {name}"));
    }

    fn rows(
        &mut self,
        sheet: &Sheet,
        rows: &mut dyn Rows,
        account: &mut SheetAccount,
    ) -> Result<(), IngestError> {
        let merges = if self.asks_for_merges(sheet) { rows.merges() } else { Ok(Vec::new()) };
        let merges = merges.unwrap_or_else(|error| {
            self.part.remarks.push(format!("its merged cells were not looked up: {error}"));
            Vec::new()
        });
        let (first, failed) = first_rows(rows, self.library.rows_to_look_at());
        let rows = Read { rows, merges };
        if first.iter().all(Row::is_empty) {
            return failed.map_or(Ok(()), Err);
        }
        let stem = self.input.path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let names = Names { sheet: sheet.name.as_deref(), file: &stem };
        let choice = recognise(&first, names, self.library);
        if !self.is_by_user(&choice)
            && let Some(kind) =
                sheet.name.as_deref().and_then(|name| cobie::SheetKind::of(name, first.first()))
        {
            self.cobie(kind, &first, rows.rows, account)?;
            return failed.map_or(Ok(()), Err);
        }
        match choice {
            Ok(choice) if choice.says_little() && self.library.may_draft() => {
                let (first, failed_later, draft) =
                    self.draft(names, first, failed.is_some(), rows.rows);
                let read = choice.header.canonical().len();
                if let Some((draft, mapping)) =
                    draft.ok().filter(|(draft, _)| draft.columns_read() > read)
                {
                    self.read_drafted(sheet, names, &first, draft, &mapping, rows, account)?;
                } else {
                    self.enter(&choice, sheet, account);
                    self.outlets(&choice, names, sheet, &first, rows, account)?;
                }
                failed_later.map_or(Ok(()), Err)?;
            }
            Ok(choice) => {
                self.enter(&choice, sheet, account);
                self.outlets(&choice, names, sheet, &first, rows, account)?;
            }
            Err(Refusal::Unknown(why)) if self.library.may_draft() => {
                let (first, failed_later, draft) =
                    self.draft(names, first, failed.is_some(), rows.rows);
                match draft {
                    Ok((draft, mapping)) => {
                        self.read_drafted(sheet, names, &first, draft, &mapping, rows, account)?;
                    }
                    Err(against) => {
                        let why = format!("{against}; {why}");
                        account.reading = SheetReading::NotASchedule { why };
                    }
                }
                failed_later.map_or(Ok(()), Err)?;
            }
            Err(Refusal::LeftAside(why) | Refusal::Unknown(why)) => {
                account.reading = SheetReading::NotASchedule { why };
            }
        }
        failed.map_or(Ok(()), Err)
    }

    /// Whether the merged cells of a sheet are worth asking for: an `.xlsx` has to be passed over for
    /// them once more.
    fn asks_for_merges(&self, sheet: &Sheet) -> bool {
        sheet.format != Format::Xlsx
            || self.input.bytes <= SMALL_WORKBOOK
            || self.library.asks_for_merges()
    }

    /// Whether a mapping that the user named reads the sheet: it goes before all that is built in.
    fn is_by_user(&self, choice: &Result<Choice<'_>, Refusal>) -> bool {
        let mapping = choice.as_ref().ok().and_then(|choice| choice.mapping);
        let given = &self.library.given;
        mapping.is_some_and(|mapping| given.iter().any(|given| std::ptr::eq(given, mapping)))
    }

    /// Keeps what a sheet of a COBie workbook says; all sheets together are joined at the end.
    fn cobie(
        &mut self,
        kind: cobie::SheetKind,
        first: &[Row],
        rows: &mut dyn Rows,
        account: &mut SheetAccount,
    ) -> Result<(), IngestError> {
        account.reading =
            SheetReading::Mapped { mapping: cobie::MAPPING.to_owned(), why: kind.why().to_owned() };
        let Some((header, first)) = first.split_first() else { return Ok(()) };
        account.header_row = Some(header.number);
        let mut reader = self.book.sheet(kind, self.part.account.sheets.len(), header);
        let (mut kept, mut left) = (0, 0);
        let mut take = |rows: &[Row]| {
            for row in rows {
                *(if reader.row(row) { &mut kept } else { &mut left }) += 1;
            }
            self.steps.add(rows.len());
        };
        take(first);
        let outcome = ingest::in_blocks(rows, || |_: &[Row]| (), |rows, ()| take(rows));
        kind.count(account, kept, left);
        outcome
    }

    /// Joins the sheets of a COBie workbook, if the input is one.
    fn join(&mut self) {
        let book = std::mem::take(&mut self.book);
        let Part { outlets, texts, account, remarks, .. } = &mut self.part;
        if book.is_empty() {
            return;
        }
        let (joined, said) = book.join(self.source, texts, &mut account.sheets);
        outlets.extend(joined);
        outlets.sort_by_key(|outlet| outlet.origin);
        remarks.extend(said.into_iter().map(|said| format!("{}: {said}", self.input.display)));
    }

    /// Drafts a mapping from more rows of a sheet than were looked at so far; why not, where the
    /// evidence that it is a schedule of devices is not good enough.
    fn draft(
        &self,
        names: Names<'_>,
        mut first: Vec<Row>,
        ended: bool,
        rows: &mut dyn Rows,
    ) -> (Vec<Row>, Option<IngestError>, Drafted) {
        let mut failed = None;
        if !ended {
            let (more, later) = first_rows(rows, ROWS_OF_A_DRAFT);
            first.extend(more);
            failed = later;
        }
        let draft = draft::of_rows(&first, names).and_then(|draft| {
            if let Some(against) = draft.against {
                return Err(against);
            }
            let unsound = || format!("the mapping drafted for {} is unsound", self.input.display);
            let mapping = draft.mapping(names.file).ok_or_else(unsound)?;
            Ok((draft, mapping))
        });
        (first, failed, draft)
    }

    /// Reads a sheet with the mapping that was drafted for it, and says so aloud.
    #[expect(
        clippy::too_many_arguments,
        reason = "what a sheet is read from and by, and into what"
    )]
    fn read_drafted(
        &mut self,
        sheet: &Sheet,
        names: Names<'_>,
        first: &[Row],
        draft: Draft,
        mapping: &MappingFile,
        rows: Read<'_>,
        account: &mut SheetAccount,
    ) -> Result<(), IngestError> {
        self.part.remarks.push(format!(
            "{}: no mapping recognises it, so one was drafted: {}; `yokecheck draft` writes it down to be checked",
            self.place(sheet),
            draft.why
        ));
        let Draft { header, why, .. } = draft;
        let choice = Choice { mapping: Some(mapping), header, why, rivals: Vec::new() };
        self.enter(&choice, sheet, account);
        self.outlets(&choice, names, sheet, first, rows, account)
    }

    /// Enters the choice of the mapping in the account.
    fn enter(&mut self, choice: &Choice<'_>, sheet: &Sheet, account: &mut SheetAccount) {
        let mapping = choice.mapping.map_or("canonical headers", |mapping| &mapping.source.path);
        account.header_row = Some(choice.header.number);
        account.reading =
            SheetReading::Mapped { mapping: mapping.to_owned(), why: choice.why.clone() };
        if let Some(mapping) = choice.mapping {
            mapping.used.mark_used();
        }
        if !choice.rivals.is_empty() {
            let rivals: Vec<_> =
                choice.rivals.iter().map(|rival| rival.source.path.as_str()).collect();
            self.part.remarks.push(format!(
                "{}: {mapping} was taken, but {} recognises it as well; name one with --mapping",
                self.place(sheet),
                rivals.join(", "),
            ));
        }
    }

    fn place(&self, sheet: &Sheet) -> String {
        let path = &self.input.display;
        sheet.name.as_ref().map_or_else(|| path.clone(), |name| format!("{path}, sheet {name}"))
    }

    /// Reads the rows below the header: those that were looked at already, then the rest.
    fn outlets(
        &mut self,
        choice: &Choice<'_>,
        names: Names<'_>,
        sheet: &Sheet,
        first: &[Row],
        mut rows: Read<'_>,
        account: &mut SheetAccount,
    ) -> Result<(), IngestError> {
        let place = u32::try_from(self.part.account.sheets.len()).unwrap_or(u32::MAX);
        let header = choice.header.number;
        let above = first.iter().filter(|row| row.number < header && !row.is_empty()).count();
        let Part { texts, resolutions, remarks, .. } = &mut self.part;
        let common = Common {
            mapping: choice.mapping,
            names,
            buildings: plan::buildings(choice, self.library),
            merges: std::mem::take(&mut rows.merges),
            leaves_gaps: !matches!(sheet.format, Format::Text { .. }),
            texts,
            resolutions,
            account: account.clone(),
            origin: Origin { source: self.source, sheet: place, row: 0 },
        };
        let above = u32::try_from(above).unwrap_or(u32::MAX);
        let mut tables = Tables::begin(common, &choice.header, &choice.why, above);
        // Rows may stand in any order.
        for row in first.iter().filter(|row| row.number > header) {
            tables.block(std::slice::from_ref(row), None);
            self.steps.add(1);
        }
        let outcome = read_into(&mut tables, rows.rows, &mut self.steps);
        if tables.mended > 0 {
            remarks.push(format!(
                "{}: {} bytes are not of its encoding and were read as Windows-1252",
                self.input.display, tables.mended
            ));
        }
        let mut tables = tables.finish().into_iter();
        if let Some((first, outlets)) = tables.next() {
            *account = first;
            self.keep(outlets);
        }
        for (table, outlets) in tables {
            self.more.push(table);
            self.keep(outlets);
        }
        outcome
    }

    fn keep(&mut self, mut outlets: Vec<Outlet>) {
        if self.part.outlets.is_empty() {
            self.part.outlets = outlets;
        } else {
            self.part.outlets.append(&mut outlets);
        }
    }
}

/// Reads the rest of the rows into tables: the first ones alone, then what they can with other threads.
fn read_into(
    tables: &mut Tables<'_, '_>,
    rows: &mut dyn Rows,
    steps: &mut Steps<'_>,
) -> Result<(), IngestError> {
    let mut ahead = None;
    let mut last = 0_u32;
    let parts = if rayon::current_num_threads() > 1 { MOST_PARTS_ALONE } else { 0 };
    for _ in 0..parts {
        let (part, failed) = first_rows(rows, last.saturating_add(ROWS_ALONE));
        tables.block(&part, None);
        steps.add(part.len());
        match (failed, part.last()) {
            (Some(error), _) => return Err(error),
            (None, None) => return Ok(()),
            (None, Some(row)) => last = row.number,
        }
        ahead = tables.ahead();
        if ahead.is_some() {
            break;
        }
    }
    let worker = || {
        let mut reader = ahead.as_ref().map(Ahead::reader);
        move |rows: &[Row]| reader.as_mut().and_then(|reader| reader.read(rows))
    };
    ingest::in_blocks(rows, worker, |rows, block| {
        let joined = tables.block(rows, block);
        if let Some(ahead) = &ahead {
            ahead.count(joined);
        }
        steps.add(rows.len());
    })
}

/// How far the reading has come, told now and then.
struct Steps<'a> {
    told: &'a (dyn Fn(u64, bool) + Sync),
    rows: u64,
}

impl Steps<'_> {
    fn add(&mut self, rows: usize) {
        let before = self.rows;
        self.rows += rows as u64;
        if self.rows / ROWS_A_STEP > before / ROWS_A_STEP {
            (self.told)(self.rows, false);
        }
    }
}
