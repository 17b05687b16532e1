//! Our own search: builds a plan from counts, mends it, and improves it goal
//! by goal under every limit, need and rule.

mod anneal;
mod construct;
mod draft;
mod fill;
mod improve;
mod mend;
mod penalty;
mod place;
mod price;
mod random;
mod reckon;
mod score;
mod state;
mod trade;
mod write;

pub(super) use anneal::anneal;
pub(super) use construct::{Wish, build};
pub(super) use draft::{Counts, draft};
pub(super) use fill::fill;
pub(super) use improve::{Budget, improve};
pub(super) use place::place;
pub(super) use state::State;
pub(super) use trade::trade;
pub(super) use write::{read, write};

#[cfg(test)]
mod tests;
