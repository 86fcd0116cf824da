//! Boxes and covers, articles 314 and 406.6.

pub mod box_cover;
pub mod box_fill;
pub mod box_set_back;
pub mod faceplate_seat;
mod fill;
pub mod floor_box_listing;
pub mod pendant_box;
pub mod wall_gap;
