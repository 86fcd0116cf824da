//! Ground-fault and arc-fault protection, articles 210.8 and 210.12.
//!
//! `place` says which places an edition names for ground-fault protection, `rating` which circuits;
//! both rules of 210.8 ask the same questions in `ground_fault`.

pub mod afci;
pub mod gfci_dwelling;
pub mod gfci_other;
mod ground_fault;
mod place;
mod rating;
