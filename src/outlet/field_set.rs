//! A set of fields, in sixteen bytes.

use super::field::Field;

/// A set of fields.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub struct FieldSet(u128);

impl FieldSet {
    /// Adds a field.
    pub const fn add(&mut self, field: Field) {
        self.0 |= 1 << field as u8;
    }

    /// Whether a field is in the set.
    pub const fn contains(self, field: Field) -> bool {
        self.0 & (1 << field as u8) != 0
    }

    /// Whether no field is in the set.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }
}

impl FromIterator<Field> for FieldSet {
    fn from_iter<T: IntoIterator<Item = Field>>(fields: T) -> Self {
        let mut set = Self::default();
        fields.into_iter().for_each(|field| set.add(field));
        set
    }
}
