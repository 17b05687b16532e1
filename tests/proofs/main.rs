//! Plans, bounds and causes against the enumeration of every plan, and against what is
//! known of hard moves.

#[path = "../common/mod.rs"]
mod common;

mod enumeration;
mod impossible;
mod settled;
mod shedding;
mod survive;
mod uncertain;
