//! Damp and wet locations, tubs and showers, and places where children are, articles 406.9 and 406.12.

pub mod bath_shower_zone;
pub mod damp_cover;
pub mod tamper_resistant;
pub mod weather_resistant;
pub mod wet_cover;
