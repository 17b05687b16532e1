//! What a report of what goes first is about.

use crate::ask::shed::{Crew, Shed};
use crate::load::PartyIx;

/// By what the answer is laid out.
#[derive(Debug, Clone, Copy)]
pub enum By<'a> {
    /// The share of their limits that people on foot may use.
    Limit(&'a Shed),
    /// The number of people of a party.
    People(PartyIx, &'a [Crew]),
}
