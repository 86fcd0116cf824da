//! yokecheck audits the receptacle outlets of buildings from their device schedules.

pub mod audit;
pub mod cli;
pub mod code;
pub mod ingest;
pub mod mapping;
pub mod outlet;
pub mod report;
pub mod rules;
pub mod statistics;
