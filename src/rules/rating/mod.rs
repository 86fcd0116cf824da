//! Volts, amperes and load, articles 210.21, 220.14 and 406.4.

pub mod circuit_load;
pub mod configuration_voltage;
pub mod receptacle_circuit_rating;
