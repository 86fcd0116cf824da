//! yokecheck audits the receptacle outlets of buildings from their device schedules.
pub mod ingest;
pub mod outlet;
