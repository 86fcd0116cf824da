//! The cells that a report points at, in the notation of spreadsheets: `Level 3!F12`, in a text file
//! `F12`, in another file than the finding's own `[path]Level 3!F12`. Where file and sheet stand beside
//! the cell, a cell of that sheet is `F12`.
//!
//! A fact that was filled in from another row stands in that row's cell.

use crate::audit::finding::Finding;
use crate::mapping::account::CellPlace;
use crate::outlet::{Field, Origin};

use super::context::Report;

const fn shares_column(one: CellPlace, other: CellPlace) -> bool {
    one.origin.source == other.origin.source
        && one.origin.sheet == other.origin.sheet
        && one.column == other.column
}

impl Report<'_> {
    /// The cells that a finding rests on, each once, in the order of the evidence.
    pub fn cells(&self, finding: &Finding) -> Vec<String> {
        let home = self.audit.outlet(finding.first()).origin;
        let text = |place: CellPlace| self.sheet_text(place, home) + &place.text();
        self.places(finding).into_iter().map(text).collect()
    }

    /// The same beside the finding's own file and sheet, with neighbouring rows of a column told as one
    /// range: `F12:F18`.
    pub fn cell_ranges(&self, finding: &Finding) -> Vec<String> {
        let home = self.audit.outlet(finding.first()).origin;
        let ranges = ranges(self.places(finding)).into_iter();
        ranges
            .map(|(first, last)| {
                let start = self.beside(first, home);
                if first == last { start } else { format!("{start}:{}", last.text()) }
            })
            .collect()
    }

    /// The cell where a fact of an outlet stands, beside the outlet's own file and sheet; none where no
    /// column gives it.
    pub fn cell(&self, outlet: u32, field: Field) -> Option<String> {
        let home = self.audit.outlet(outlet).origin;
        self.place(outlet, field).map(|place| self.beside(place, home))
    }

    fn places(&self, finding: &Finding) -> Vec<CellPlace> {
        let mut places = Vec::new();
        for (outlet, field) in finding.evidence() {
            if let Some(place) = self.place(outlet, field)
                && !places.contains(&place)
            {
                places.push(place);
            }
        }
        places
    }

    fn place(&self, outlet: u32, field: Field) -> Option<CellPlace> {
        let recorded_by = self.audit.shared.recorded_by(outlet, field);
        let origin = self.audit.outlet(recorded_by).origin;
        self.account.place_of(origin, field)
    }

    fn beside(&self, place: CellPlace, home: Origin) -> String {
        let CellPlace { origin, .. } = place;
        if (origin.source, origin.sheet) == (home.source, home.sheet) {
            place.text()
        } else {
            self.sheet_text(place, home) + &place.text()
        }
    }

    /// The sheet of a cell, and its file where that is not the one at home: `[path]Level 3!`.
    fn sheet_text(&self, place: CellPlace, home: Origin) -> String {
        let CellPlace { origin, .. } = place;
        let file = if origin.source == home.source {
            String::new()
        } else {
            format!("[{}]", self.account.path(origin))
        };
        match self.account.sheet_name(origin) {
            "" => file,
            name => format!("{file}{name}!"),
        }
    }
}

/// Neighbouring rows of a column as first and last cell, columns in the order in which they came.
fn ranges(mut places: Vec<CellPlace>) -> Vec<(CellPlace, CellPlace)> {
    let mut ranges: Vec<(CellPlace, CellPlace)> = Vec::new();
    while let Some(first) = places.first().copied() {
        let (mut column, rest): (Vec<CellPlace>, Vec<CellPlace>) =
            places.into_iter().partition(|place| shares_column(*place, first));
        places = rest;
        column.sort_by_key(|place| place.origin.row);
        for place in column {
            match ranges.last_mut() {
                Some((_, last))
                    if shares_column(*last, place) && last.origin.row + 1 == place.origin.row =>
                {
                    *last = place;
                }
                _ => ranges.push((place, place)),
            }
        }
    }
    ranges
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbouring_rows_of_a_column_are_one_range() {
        let place = |sheet, row, column| {
            let origin = Origin { sheet, row, ..Origin::default() };
            CellPlace { origin, column }
        };
        let places = vec![
            place(0, 3, 8),
            place(0, 3, 9),
            place(0, 4, 8),
            place(0, 6, 8),
            place(1, 5, 8),
            place(0, 5, 8),
        ];
        let found: Vec<_> = ranges(places)
            .into_iter()
            .map(|(first, last)| {
                (first.origin.sheet, first.column, first.origin.row, last.origin.row)
            })
            .collect();
        assert_eq!(found, [(0, 8, 3, 6), (0, 9, 3, 3), (1, 8, 5, 5)]);
    }
}
