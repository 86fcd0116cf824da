//! Grounding of receptacles and of their replacements, articles 250.146 and 406.4.

pub mod device_bonding;
pub mod grounding_type;
pub mod replacement_grounding;
