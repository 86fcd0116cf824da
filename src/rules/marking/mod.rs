//! Labels and marks, articles 406.3 and 406.4.

pub mod controlled_mark;
pub mod isolated_ground_mark;
pub mod replacement_labels;
