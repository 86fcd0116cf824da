//! Patient care, article 517.

pub mod bed_receptacle_count;
pub mod hospital_grade;
