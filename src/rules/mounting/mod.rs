//! Receptacle mounting, article 406.5.

pub mod box_fastened;
pub mod box_or_assembly;
pub mod countertop_listing;
pub mod cover_mounted_screws;
pub mod device_screws;
pub mod exposed_terminals;
pub mod face_position;
pub mod face_up_below_sink;
pub mod face_up_seating;
pub mod face_up_surface;
pub mod flush_yoke;
pub mod set_back_yoke;
pub mod work_surface_listing;
