//! The descriptions of the rows of a sheet, each text read once however many rows hold it.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::{Described, describe};
use crate::ingest::{Cell, Row};
use crate::mapping::account::{ColumnAccount, Fault, Sample};
use crate::mapping::clipped::clipped;
use crate::mapping::kinds::Kind;
use crate::mapping::plan::PlannedDescription;
use crate::mapping::read::{Why, trim};
use crate::outlet::{Field, Outlet, Texts, shown};

/// A text of more bytes hardly stands twice, and would only fill the memory.
const LONGEST_REMEMBERED: usize = 2000;

/// The columns of descriptions of a sheet while its rows are read.
pub(in crate::mapping) struct Descriptions<'m> {
    columns: Vec<Column<'m>>,
}

struct Column<'m> {
    planned: PlannedDescription<'m>,
    read: HashMap<String, Arc<Described>>,
    /// For each field that the column gave, a few of its cells.
    gave: BTreeMap<Field, Vec<Sample>>,
}

/// What the descriptions of a row come to.
#[derive(Clone, Copy, Default)]
pub(in crate::mapping) struct Outcome {
    /// How many of them say something.
    pub(in crate::mapping) held: u32,
    /// What the row names instead of a device.
    pub(in crate::mapping) not_a_device: Option<&'static str>,
    /// Whether it may name a device, or two.
    pub(in crate::mapping) doubtful: bool,
}

/// Samples of a field at most.
const SAMPLES: usize = 3;

impl<'m> Descriptions<'m> {
    pub(in crate::mapping) fn new(planned: Vec<PlannedDescription<'m>>) -> Self {
        let column = |planned| Column { planned, read: HashMap::new(), gave: BTreeMap::new() };
        Self { columns: planned.into_iter().map(column).collect() }
    }

    /// Whether the sheet has none.
    pub(in crate::mapping) fn is_empty(&self) -> bool {
        self.columns.is_empty()
    }

    /// The first description of a row, shortened to a line.
    pub(in crate::mapping) fn text(&self, row: &Row) -> Option<String> {
        const MOST: usize = 40;
        self.columns.iter().find_map(|column| match row.cell(column.planned.place) {
            Cell::Text(text) if !trim(text).is_empty() => {
                let plain = |c: char| if c.is_control() { ' ' } else { c };
                Some(trim(text).chars().take(MOST).map(plain).collect())
            }
            _ => None,
        })
    }

    /// Completes an outlet by the descriptions of its row; conflicts and doubts are faults.
    pub(in crate::mapping) fn complete(
        &mut self,
        row: &Row,
        outlet: &mut Outlet,
        texts: &mut Texts,
        faults: &mut Vec<Fault>,
    ) -> Outcome {
        let mut outcome = Outcome::default();
        for column in &mut self.columns {
            let Cell::Text(text) = row.cell(column.planned.place) else { continue };
            if trim(text).is_empty() {
                continue;
            }
            outcome.held += 1;
            let phrases = column.planned.phrases;
            let described = column.read.get(text).cloned().unwrap_or_else(|| {
                let described = Arc::new(describe(text, phrases, texts));
                if text.len() <= LONGEST_REMEMBERED {
                    column.read.insert(text.to_owned(), Arc::clone(&described));
                }
                described
            });
            let mut fault = |field: Field, why: String| {
                let place = Some(column.planned.place);
                let (row, text) = (row.number, clipped(text));
                faults.push(Fault { row, column: place, field: Some(field), text, why });
            };
            if !outlet.raw(Field::Device).is_known() {
                match described.kind {
                    Kind::Other(what) => {
                        outcome.not_a_device = outcome.not_a_device.or(Some(what));
                        continue;
                    }
                    Kind::Either(why) => {
                        outcome.doubtful = true;
                        outlet.set_raw(Field::Device, crate::outlet::Fact::Unreadable);
                        fault(Field::Device, Why::MayBeADevice(why).to_string());
                    }
                    Kind::Device(_) | Kind::Unsaid => {}
                }
            }
            described.complete(outlet, |field, known| {
                outcome.doubtful |= field == Field::Device;
                let name = field.name();
                let why = known.map_or_else(
                    || format!("says two things of {name}; neither is taken"),
                    |known| {
                        let known = shown(field, known, texts);
                        format!("says another {name} than the {known} recorded beside it; neither is taken")
                    },
                );
                let counted = if field == Field::Quantity { "; counted as 1" } else { "" };
                fault(field, format!("{why}{counted}"));
            });
            column.sample(text, &described, texts);
        }
        outcome
    }

    /// The columns for the account of the sheet: one entry a field that they gave.
    pub(in crate::mapping) fn accounts(self) -> impl Iterator<Item = ColumnAccount> {
        self.columns.into_iter().flat_map(|column| {
            let (place, header) = (column.planned.place, column.planned.header);
            let account = move |field, how: &str, samples| ColumnAccount {
                column: place,
                header: header.clone(),
                field,
                how: how.to_owned(),
                samples,
            };
            let nothing = column.gave.is_empty();
            let nothing =
                nothing.then(|| account(None, "a description that gave no fact", Vec::new()));
            let gave = column.gave.into_iter();
            let gave: Vec<_> = gave
                .map(|(field, samples)| account(Some(field), "from the description", samples))
                .collect();
            nothing.into_iter().chain(gave)
        })
    }
}

impl Column<'_> {
    fn sample(&mut self, text: &str, described: &Described, texts: &Texts) {
        use crate::outlet::Value as _;
        let device = match described.kind {
            Kind::Device(device) => Some((Field::Device, device.raw())),
            _ => None,
        };
        for (field, raw) in device.into_iter().chain(described.facts.iter().copied()) {
            let samples = self.gave.entry(field).or_default();
            if samples.len() < SAMPLES && samples.iter().all(|sample| sample.text != text) {
                let read = shown(field, raw, texts);
                samples.push(Sample { text: text.to_owned(), read });
            }
        }
    }
}
