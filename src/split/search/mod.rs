//! Our own search: builds a plan from counts, mends it, and improves it goal
//! by goal under every limit, need and rule.

mod anneal;
mod construct;
mod improve;
mod penalty;
mod random;
mod score;
mod state;
mod write;

pub(super) use anneal::anneal;
pub(super) use construct::{Wish, build};
pub(super) use improve::{Budget, improve};
pub(super) use random::Random;
pub(super) use state::State;
pub(super) use write::{read, write};
