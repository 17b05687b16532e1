//! Our own search: builds a plan from counts, mends it, and improves it goal
//! by goal under every limit, need and rule.

mod anneal;
mod bundles;
mod construct;
mod improve;
mod level;
mod penalty;
mod polish;
mod random;
mod score;
mod shed;
mod state;
mod trade;
mod write;

pub(super) use construct::{Wish, build};
pub(super) use improve::{Budget, improve};
pub(super) use polish::polish;
pub(super) use random::Random;
pub(super) use score::Score;
pub(super) use state::State;
pub(super) use write::{read, write};
