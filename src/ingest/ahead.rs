//! Reading ahead: one thread reads the rows of a sheet while another makes something of them.
//!
//! Owns the thread and what goes between the two: batches of rows one way, their buffers back the other
//! way. At most a few batches are under way, so that a fast reader waits for a slow visitor. It changes
//! nothing of what is read: the same rows, the same errors, in the same order.

use std::panic::resume_unwind;
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};
use std::thread;

use super::{IngestError, Input, Merge, Row, Rows, Sheet, Visit};

/// Rows of a batch: enough to make the hand-over cheap, few enough to stay in the cache.
const ROWS: usize = 256;

/// A batch of long rows is handed over when it holds so many bytes.
const BYTES: usize = 256 * 1024;

/// Batches under way.
const BATCHES: usize = 4;

/// Does what [`super::read`] does, reading ahead of the visitor.
pub fn read_ahead(input: &Input, visit: Visit<'_>) -> Result<(), IngestError> {
    super::read(input, &mut |sheet, rows| ahead(sheet, rows, visit))
}

/// What the visitor asks for.
enum Ask {
    Merges,
    Rows,
}

/// Rows that were read; the last batch tells how the sheet ended.
#[derive(Default)]
struct Batch {
    rows: Vec<Row>,
    filled: usize,
    end: Option<Result<(), IngestError>>,
}

/// The ends of the channels that the reading thread holds.
struct Reader {
    asked: Receiver<Ask>,
    merges: SyncSender<Result<Vec<Merge>, IngestError>>,
    batches: SyncSender<Batch>,
    returned: Receiver<Batch>,
}

/// The rows as the visitor sees them.
struct Ahead {
    ask: Sender<Ask>,
    merges: Receiver<Result<Vec<Merge>, IngestError>>,
    batches: Receiver<Batch>,
    back: Sender<Batch>,
    at_hand: Batch,
    next: usize,
    begun: bool,
}

fn ahead(sheet: &Sheet, rows: &mut dyn Rows, visit: Visit<'_>) -> Result<(), IngestError> {
    let (ask, asked) = channel();
    let (tell_merges, merges) = sync_channel(1);
    let (send, batches) = sync_channel(BATCHES);
    let (back, returned) = channel();
    let reader = Reader { asked, merges: tell_merges, batches: send, returned };
    let mut ahead =
        Ahead { ask, merges, batches, back, at_hand: Batch::default(), next: 0, begun: false };
    thread::scope(|scope| {
        let visitor = scope.spawn(move || visit(sheet, &mut ahead));
        reader.serve(rows);
        visitor.join().unwrap_or_else(|panic| resume_unwind(panic))
    })
}

impl Reader {
    /// Reads what is asked for, until the visitor has gone or has all rows.
    fn serve(self, rows: &mut dyn Rows) {
        while let Ok(ask) = self.asked.recv() {
            match ask {
                Ask::Merges if self.merges.send(rows.merges()).is_ok() => {}
                Ask::Rows => return self.read(rows),
                Ask::Merges => return,
            }
        }
    }

    fn read(&self, rows: &mut dyn Rows) {
        loop {
            let mut batch = self.returned.try_recv().unwrap_or_default();
            batch.fill(rows);
            let ended = batch.end.is_some();
            if self.batches.send(batch).is_err() || ended {
                return;
            }
        }
    }
}

impl Batch {
    fn fill(&mut self, rows: &mut dyn Rows) {
        let mut bytes = 0;
        self.filled = 0;
        self.rows.resize_with(ROWS, Row::default);
        for row in &mut self.rows {
            match rows.next(row) {
                Ok(true) => {
                    self.filled += 1;
                    bytes += row.bytes();
                }
                Ok(false) => self.end = Some(Ok(())),
                Err(error) => self.end = Some(Err(error)),
            }
            if self.end.is_some() || bytes > BYTES {
                return;
            }
        }
    }
}

impl Ahead {
    /// Takes the next batch; false when there is none.
    fn turn(&mut self) -> Result<bool, IngestError> {
        if let Some(end) = self.at_hand.end.take() {
            self.at_hand.end = Some(Ok(()));
            return end.map(|()| false);
        }
        if !std::mem::replace(&mut self.begun, true) {
            // Without a reader there are no rows, which the batches tell.
            let _ = self.ask.send(Ask::Rows);
        }
        let Ok(batch) = self.batches.recv() else { return Ok(false) };
        let used = std::mem::replace(&mut self.at_hand, batch);
        let _ = self.back.send(used);
        self.next = 0;
        Ok(true)
    }
}

impl Rows for Ahead {
    fn next(&mut self, row: &mut Row) -> Result<bool, IngestError> {
        while self.next == self.at_hand.filled {
            if !self.turn()? {
                *row = Row::default();
                return Ok(false);
            }
        }
        std::mem::swap(row, &mut self.at_hand.rows[self.next]);
        self.next += 1;
        Ok(true)
    }

    fn merges(&mut self) -> Result<Vec<Merge>, IngestError> {
        if self.begun || self.ask.send(Ask::Merges).is_err() {
            return Ok(Vec::new());
        }
        self.merges.recv().unwrap_or_else(|_| Ok(Vec::new()))
    }
}
