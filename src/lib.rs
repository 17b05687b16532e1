//! Who carries what: split a field crew's kit between people and vehicles.
//!
//! | module | what it holds |
//! |---|---|
//! | [`quantity`] | masses, volumes, lengths, times: exact in, exact out |
//! | [`kit`] | reading kit files: equipment, carriers, moves, and their faults |
//! | [`load`] | the domain: items, carriers, parties, needs, rules, plans |
//! | [`split`] | the optimiser and the audit |
//!
//! Imports run downwards only: `cli → report → split → load → quantity`, and
//! `kit → load`.

pub mod kit;
pub mod load;
pub mod quantity;
pub mod split;
