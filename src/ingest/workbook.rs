//! Workbooks: `.xlsx` and `.xlsb` as streams of cells, `.xls` and `.ods` as rectangles.
//!
//! The reader of workbooks panics on some damaged files. Every call into it is caught here and
//! turned into [`IngestError::Broken`]; a panic of whoever visits the rows is none of our business
//! and passes through.

use std::cell::Cell as Flag;
use std::fs::File;
use std::io::BufReader;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::Ordering;

use calamine::{
    Data, DataRef, Dimensions, Ods, OdsError, Range, Reader, SheetType, SheetVisible, Xls,
    XlsError, Xlsb, XlsbError, Xlsx, XlsxError,
};

use super::metered::{Metered, Spent};
use super::value::{put, put_streamed};
use super::{Format, IngestError, MOST_COLUMNS, Merge, Row, Rows, Sheet, Visit};

type Source = Metered<BufReader<File>>;

/// The most text of one cell, in bytes: the formats hold 32,767 characters.
const MOST_TEXT_OF_CELL: usize = 1024 * 1024;

/// The most text of one row, in bytes: a cell holds 32,767 characters at most, and no row of a
/// schedule fills more than a few.
const MOST_TEXT: usize = 64 * 1024 * 1024;

thread_local! {
    static READING: Flag<bool> = const { Flag::new(false) };
}

/// Whether this thread is inside the reader of workbooks, whose panics are caught and become
/// errors: a panic hook can stay silent then.
pub fn reading_workbook() -> bool {
    READING.get()
}

/// The workbook and the sheet at hand, for messages.
#[derive(Clone)]
struct Place<'a> {
    path: &'a Path,
    sheet: Option<String>,
    spent: Spent,
}

/// Calls into a reader whose panics are told in a line of their own.
pub(super) fn quietly<T>(call: impl FnOnce() -> T) -> T {
    READING.set(true);
    let outcome = call();
    READING.set(false);
    outcome
}

impl<'a> Place<'a> {
    fn of(path: &'a Path) -> Self {
        Self { path, sheet: None, spent: Spent::default() }
    }

    fn broken(&self, reason: &dyn ToString) -> IngestError {
        IngestError::Broken {
            path: self.path.to_path_buf(),
            sheet: self.sheet.clone(),
            reason: reason.to_string(),
        }
    }

    /// Calls into the reader of workbooks.
    fn call<T, E: Failure>(&self, call: impl FnOnce() -> Result<T, E>) -> Result<T, IngestError> {
        let outcome = quietly(|| catch_unwind(AssertUnwindSafe(call)));
        match outcome {
            Ok(Ok(value)) => Ok(value),
            Ok(Err(error)) if error.is_password() => {
                Err(IngestError::Encrypted { path: self.path.to_path_buf() })
            }
            Ok(Err(error)) => Err(self.broken(&error)),
            Err(_) => Err(self.broken(&"its parts contradict each other")),
        }
    }
}

/// An error of the reader of workbooks.
trait Failure: ToString {
    fn is_password(&self) -> bool;
}

macro_rules! failures {
    ($($error:ident),*) => {$(
        impl Failure for $error {
            fn is_password(&self) -> bool {
                matches!(self, $error::Password)
            }
        }
    )*};
}

failures!(XlsxError, XlsbError, XlsError, OdsError);

/// Something within a row that no sound workbook holds.
#[derive(Debug, thiserror::Error)]
enum Unsound {
    #[error("a cell stands beyond the last column")]
    Column,
    #[error("a row holds more text than its cells can")]
    Text,
    #[error("{0}")]
    Reader(String),
}

impl Failure for Unsound {
    fn is_password(&self) -> bool {
        false
    }
}

/// Visits the sheets of an `.xlsx` or `.xlsm`.
pub(super) fn xlsx(
    path: &Path,
    file: File,
    misnamed: bool,
    visit: Visit<'_>,
) -> Result<(), IngestError> {
    let place = Place::of(path);
    let (mut book, sheets) = opened::<Xlsx<Source>>(&place, file, &Format::Xlsx, misnamed)?;
    streamed(&place, &mut book, &sheets, visit)
}

/// Visits the sheets of an `.xlsb`.
pub(super) fn xlsb(
    path: &Path,
    file: File,
    misnamed: bool,
    visit: Visit<'_>,
) -> Result<(), IngestError> {
    let place = Place::of(path);
    let (mut book, sheets) = opened::<Xlsb<Source>>(&place, file, &Format::Xlsb, misnamed)?;
    streamed(&place, &mut book, &sheets, visit)
}

/// Visits the sheets of an `.xls` that the guard has let pass.
pub(super) fn xls(
    path: &Path,
    file: File,
    misnamed: bool,
    visit: Visit<'_>,
) -> Result<(), IngestError> {
    let place = Place::of(path);
    let (mut book, sheets) = opened::<Xls<Source>>(&place, file, &Format::Xls, misnamed)?;
    for sheet in sheets {
        let merges = book.merge_cells_by_sheet_id(sheet.index as usize).unwrap_or_default();
        let merges = merges.iter().map(merge).collect();
        ranged(&place, &mut book, &sheet, merges, visit)?;
    }
    Ok(())
}

/// Visits the sheets of an `.ods` that the guard has let pass, which also found its merged cells.
pub(super) fn ods(
    path: &Path,
    file: File,
    misnamed: bool,
    mut merges: Vec<Vec<Merge>>,
    visit: Visit<'_>,
) -> Result<(), IngestError> {
    let place = Place::of(path);
    let (mut book, sheets) = opened::<Ods<Source>>(&place, file, &Format::Ods, misnamed)?;
    for sheet in sheets {
        let merges = merges.get_mut(sheet.index as usize).map(std::mem::take).unwrap_or_default();
        ranged(&place, &mut book, &sheet, merges, visit)?;
    }
    Ok(())
}

/// A workbook and its worksheets.
fn opened<B: Reader<Source, Error: Failure>>(
    place: &Place<'_>,
    file: File,
    format: &Format,
    misnamed: bool,
) -> Result<(B, Vec<Sheet>), IngestError> {
    let bytes = file.metadata().map_err(|error| IngestError::from_io(place.path, error))?.len();
    let book: B = place.call(|| B::new(Metered::new(BufReader::new(file), bytes, &place.spent)))?;
    let sheets = worksheets(place, book.sheets_metadata(), format, misnamed)?;
    Ok((book, sheets))
}

fn worksheets(
    place: &Place<'_>,
    sheets: &[calamine::Sheet],
    format: &Format,
    misnamed: bool,
) -> Result<Vec<Sheet>, IngestError> {
    let sheets: Vec<Sheet> = (0..)
        .zip(sheets)
        .filter(|(_, sheet)| sheet.typ == SheetType::WorkSheet)
        .map(|(index, sheet)| Sheet {
            name: Some(sheet.name.clone()),
            index,
            hidden: sheet.visible != SheetVisible::Visible,
            format: format.clone(),
            misnamed,
        })
        .collect();
    if sheets.is_empty() {
        return Err(IngestError::NoWorksheet { path: place.path.to_path_buf() });
    }
    Ok(sheets)
}

fn merge(area: &Dimensions) -> Merge {
    Merge {
        first_row: area.start.0.saturating_add(1),
        last_row: area.end.0.saturating_add(1),
        first_column: area.start.1,
        last_column: area.end.1,
    }
}

/// The cells of one sheet, in the order of the file; none behind the last one.
type Cells<'a> =
    Box<dyn FnMut() -> Result<Option<calamine::Cell<DataRef<'a>>>, Unsound> + Send + 'a>;

/// A workbook whose cells come as a stream.
trait Streamed: Send {
    type Error: Failure;

    fn cells(&mut self, sheet: &str) -> Result<Cells<'_>, Self::Error>;

    fn merges(&mut self, sheet: &str) -> Result<Vec<Dimensions>, Self::Error>;
}

impl Streamed for Xlsx<Source> {
    type Error = XlsxError;

    fn cells(&mut self, sheet: &str) -> Result<Cells<'_>, XlsxError> {
        let mut cells = self.worksheet_cells_reader(sheet)?;
        Ok(Box::new(move || cells.next_cell().map_err(|e| Unsound::Reader(e.to_string()))))
    }

    fn merges(&mut self, sheet: &str) -> Result<Vec<Dimensions>, XlsxError> {
        self.merge_cells_by_sheet_name(sheet)
    }
}

impl Streamed for Xlsb<Source> {
    type Error = XlsbError;

    fn cells(&mut self, sheet: &str) -> Result<Cells<'_>, XlsbError> {
        let mut cells = self.worksheet_cells_reader(sheet)?;
        Ok(Box::new(move || cells.next_cell().map_err(|e| Unsound::Reader(e.to_string()))))
    }

    /// The reader does not know the merged cells of this format.
    fn merges(&mut self, _sheet: &str) -> Result<Vec<Dimensions>, XlsbError> {
        Ok(Vec::new())
    }
}

fn streamed<B: Streamed>(
    place: &Place<'_>,
    book: &mut B,
    sheets: &[Sheet],
    visit: Visit<'_>,
) -> Result<(), IngestError> {
    for sheet in sheets {
        if place.spent.load(Ordering::Relaxed) {
            break;
        }
        let place = Place { sheet: sheet.name.clone(), ..place.clone() };
        visit(sheet, &mut StreamedRows { place, state: State::Fresh(&mut *book), ahead: None })?;
    }
    Ok(())
}

/// A sheet is opened when its first row is asked for: until then its merged cells can be looked up.
enum State<'a, B> {
    Fresh(&'a mut B),
    Reading(Cells<'a>),
    Done,
}

struct StreamedRows<'a, B> {
    place: Place<'a>,
    state: State<'a, B>,
    /// The first cell of the next row.
    ahead: Option<calamine::Cell<DataRef<'a>>>,
}

impl<B: Streamed> Rows for StreamedRows<'_, B> {
    fn next(&mut self, row: &mut Row) -> Result<bool, IngestError> {
        row.restart(0);
        let Self { place, state, ahead } = self;
        // Whatever happens in between, a sheet that failed is not asked again.
        let mut cells = match std::mem::replace(state, State::Done) {
            State::Fresh(book) => {
                let sheet = place.sheet.clone().unwrap_or_default();
                place.call(|| book.cells(&sheet))?
            }
            State::Reading(cells) => cells,
            State::Done => return Ok(false),
        };
        let more = place.call(|| fill(row, &mut cells, ahead))?;
        if more {
            *state = State::Reading(cells);
        }
        Ok(row.number > 0)
    }

    fn merges(&mut self) -> Result<Vec<Merge>, IngestError> {
        let Self { place, state, .. } = self;
        let State::Fresh(book) = state else { return Ok(Vec::new()) };
        let sheet = place.sheet.clone().unwrap_or_default();
        Ok(place.call(|| book.merges(&sheet))?.iter().map(merge).collect())
    }
}

/// Fills a row from the stream; false when there is no other row behind it.
fn fill<'a>(
    row: &mut Row,
    cells: &mut Cells<'a>,
    ahead: &mut Option<calamine::Cell<DataRef<'a>>>,
) -> Result<bool, Unsound> {
    let mut next = ahead.take();
    loop {
        let cell = match next.take() {
            Some(cell) => cell,
            None => match cells()? {
                Some(cell) => cell,
                None => return Ok(false),
            },
        };
        if matches!(cell.get_value(), DataRef::Empty) {
            continue;
        }
        let (at, column) = cell.get_position();
        let number = at.saturating_add(1);
        if row.number == 0 {
            row.restart(number);
        } else if row.number != number {
            *ahead = Some(cell);
            return Ok(true);
        }
        if column >= MOST_COLUMNS {
            return Err(Unsound::Column);
        }
        if let DataRef::String(text) = cell.get_value()
            && text.len() > MOST_TEXT_OF_CELL
        {
            return Err(Unsound::Text);
        }
        put_streamed(row, column, cell.get_value());
        if row.text_bytes() > MOST_TEXT {
            return Err(Unsound::Text);
        }
    }
}

fn ranged<B: Reader<Source> + Send>(
    place: &Place<'_>,
    book: &mut B,
    sheet: &Sheet,
    merges: Vec<Merge>,
    visit: Visit<'_>,
) -> Result<(), IngestError>
where
    B::Error: Failure,
{
    let place = Place { sheet: sheet.name.clone(), ..place.clone() };
    visit(sheet, &mut RangedRows { place, book, range: None, next: 0, merges })
}

struct RangedRows<'a, B> {
    place: Place<'a>,
    book: &'a mut B,
    /// The cells, copied out of the workbook when the first row is asked for.
    range: Option<Range<Data>>,
    next: usize,
    merges: Vec<Merge>,
}

impl<B: Reader<Source> + Send> Rows for RangedRows<'_, B>
where
    B::Error: Failure,
{
    fn next(&mut self, row: &mut Row) -> Result<bool, IngestError> {
        let Self { place, book, range, next, .. } = self;
        let range = if let Some(range) = range {
            range
        } else {
            let sheet = place.sheet.clone().unwrap_or_default();
            range.insert(place.call(|| book.worksheet_range(&sheet))?)
        };
        let (top, left) = range.start().unwrap_or_default();
        let (height, width) = range.get_size();
        while *next < height {
            let index = *next;
            *next += 1;
            let number = u32::try_from(index).unwrap_or(u32::MAX).saturating_add(top);
            row.restart(number.saturating_add(1));
            for offset in 0..width {
                if let Some(data) = range.get((index, offset)) {
                    let column = u32::try_from(offset).unwrap_or(u32::MAX);
                    put(row, left.saturating_add(column), data);
                }
            }
            if !row.is_empty() {
                return Ok(true);
            }
        }
        row.restart(0);
        Ok(false)
    }

    fn merges(&mut self) -> Result<Vec<Merge>, IngestError> {
        Ok(self.merges.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_of_the_reader_becomes_an_error_with_its_sheet() {
        let place = Place { sheet: Some("Level 3".to_owned()), ..Place::of(Path::new("a.xlsx")) };
        let outcome = place.call(|| -> Result<(), Unsound> {
            assert!(reading_workbook());
            panic!("as a reader does on a damaged file")
        });
        let error = outcome.unwrap_err();
        assert!(
            error.to_string().starts_with("a.xlsx, sheet \"Level 3\": the workbook is damaged")
        );
        assert!(!reading_workbook());
    }

    #[test]
    fn what_no_sound_row_holds_is_refused() {
        let stream = |cells: Vec<calamine::Cell<DataRef<'static>>>| -> Cells<'static> {
            let mut cells = cells.into_iter();
            Box::new(move || Ok(cells.next()))
        };
        let cell = |row, column, value| calamine::Cell::new((row, column), value);
        let mut row = Row::default();
        let mut far = stream(vec![cell(0, 16_384, DataRef::Int(1))]);
        assert!(matches!(fill(&mut row, &mut far, &mut None), Err(Unsound::Column)));
        let long = "x".repeat(MOST_TEXT / 4);
        let texts = (0..5).map(|column| cell(0, column, DataRef::String(long.clone())));
        let mut wide = stream(texts.collect());
        assert!(matches!(fill(&mut row, &mut wide, &mut None), Err(Unsound::Text)));
    }

    #[test]
    fn rows_are_told_apart_by_their_number_whatever_their_order() {
        let places = [(4, 1), (4, 0), (2, 0), (2, 3)];
        let mut cells = places.into_iter();
        let mut stream: Cells<'static> =
            Box::new(move || Ok(cells.next().map(|at| calamine::Cell::new(at, DataRef::Int(1)))));
        let (mut row, mut ahead) = (Row::default(), None);
        assert!(fill(&mut row, &mut stream, &mut ahead).unwrap());
        assert_eq!((row.number, row.cells().count(), row.width()), (5, 2, 2));
        row.restart(0);
        assert!(!fill(&mut row, &mut stream, &mut ahead).unwrap());
        assert_eq!((row.number, row.cells().count(), row.width()), (3, 2, 4));
    }
}
