//! A plan as JSON, each key typed once: `tumpline split --format json` fills these
//! records in and writes them, and [`read_plan`](crate::read_plan) reads the same
//! ones back.
//!
//! What is read is not all that is written: fields with `skip_deserializing` are let
//! pass whatever they hold, and so are keys that are not known.

pub mod causes;
mod checked;
pub mod conditions;
mod document;
pub mod number;
mod records;

pub use checked::FORMAT;
pub(crate) use checked::Version;
pub use document::*;
pub use records::*;
