//! COBie workbooks: the handover format of NBIMS-US and BS 1192-4, whose facts stand on many sheets.
//!
//! Owns the joins: a component takes its type from the sheet Type, its room and floor from Space, its
//! building from Facility, its ratings from Attribute, its circuit from System. It must not guess: a
//! component whose type says nothing of a receptacle or a switch is no outlet, a category says what
//! kind of device a type is and nothing more, and `n/a` is unknown.
//!
//! `sheets` knows the sheets by their names and the header words of their first row, `attributes` ties
//! names of attributes to fields, `join` makes the outlets; what a name says of a device is asked of
//! the rooms beside this one, [`super::kinds`] and [`super::describe`]. To read another attribute, add
//! its name in `attributes`.

mod attributes;
mod join;
mod sheets;

pub(super) use sheets::{Book, SheetKind};

/// What the account calls the mapping of these workbooks.
pub(super) const MAPPING: &str = "COBie workbook";
