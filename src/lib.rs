//! yokecheck audits the receptacle outlets of buildings from their device schedules.
//!
//! One direction of flow: files are read to raw tables, tables are mapped to outlets, outlets are
//! audited, findings become figures, and all of it becomes reports. Every stage hands the next a plain
//! value and knows nothing of the stages after it.
//!
//! ```
//! use std::path::PathBuf;
//!
//! use yokecheck::audit::{self, Options, Selection};
//! use yokecheck::ingest;
//! use yokecheck::mapping::{self, LoadOptions};
//! use yokecheck::report::{Context, Report, findings_csv};
//! use yokecheck::rulings::Ruled;
//! use yokecheck::statistics::Statistics;
//!
//! // Files to raw tables to outlets.
//! let found = ingest::find(&[PathBuf::from("sample-data/schedules")]);
//! let options = LoadOptions { mappings: &[], progress: &|_| {} };
//! let loaded = mapping::load(&found, &options).expect("the built-in mappings are sound");
//!
//! // Outlets to findings and tallies.
//! let selection = Selection::new(&["mounting".to_owned()], &[]).expect("a defect type");
//! let audit = audit::run(loaded.outlets, loaded.texts, &Options::of(&selection));
//! assert!(audit.has_violations());
//!
//! // Findings to figures to reports.
//! let statistics = Statistics::of(&audit).expect("figures of so few rows");
//! let context = Context {
//!     project: "Campus".to_owned(),
//!     date: jiff::civil::date(2026, 3, 31),
//!     version: env!("CARGO_PKG_VERSION").to_owned(),
//!     options: Vec::new(),
//! };
//! let report = Report {
//!     audit: &audit,
//!     account: &loaded.account,
//!     statistics: &statistics,
//!     context: &context,
//!     rulings: &Ruled::default(),
//! };
//! let mut csv = Vec::new();
//! findings_csv::write(&report, &mut csv).expect("memory takes every byte");
//! assert!(csv.starts_with(b"rule,verdict,grade"));
//! ```
//!
//! A rule is written once, for known facts; what missing ones do to its verdict follows from the
//! possible worlds of [`rules::world`]. To look up where a thing belongs, see the map in DEVELOPERS.md.

pub mod audit;
pub mod cli;
pub mod code;
pub mod compare;
pub mod ingest;
pub mod mapping;
pub mod outlet;
pub mod report;
pub mod rules;
pub mod rulings;
pub mod sampling;
pub mod statistics;
pub mod survey;
