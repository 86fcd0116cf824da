//! Text files: `.csv`, `.tsv` and `.txt`, or whatever turns out to be text.
//!
//! [`decode`] turns any encoding into UTF-8 as a stream, [`sniff`] finds the delimiter, [`reader`]
//! hands out the records.

pub(super) mod decode;
pub(super) mod reader;
mod sniff;
