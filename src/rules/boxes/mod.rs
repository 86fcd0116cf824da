//! Boxes and covers, articles 314 and 406.6.

pub mod box_set_back;
