//! From the cells of a schedule to the facts of outlets.
//!
//! Owns what a schedule writes: its headers, words and units, and what each means in the model. It
//! must not decide whether an outlet is right: that is the business of the rules. A way of writing a
//! value is added in [`read`], a word of the trade in [`vocabulary`].

pub mod read;
pub mod vocabulary;
