//! What every other part of tumpline stands on: quantities, the domain, and the
//! one way to make text that somebody typed inert. Depends on nothing.

#![deny(missing_docs, unnameable_types)]

pub mod load;
pub mod quantity;
pub mod sentence;
pub mod text;
