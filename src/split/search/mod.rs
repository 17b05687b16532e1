//! Our own search: builds a plan from counts, mends it, and improves it goal
//! by goal under every limit, need and rule.

mod adjust;
mod anneal;
mod barter;
mod bundles;
mod construct;
mod deviation;
mod draft;
mod fill;
mod improve;
mod level;
mod mend;
mod offers;
mod packed;
mod parties;
mod penalty;
mod place;
mod polish;
mod price;
mod random;
mod reckon;
mod rehand;
mod score;
mod shed;
mod state;
mod strip;
mod trade;
mod waits;
mod walk;
mod write;

pub(super) use adjust::adjust;
pub(super) use barter::barter;
pub(super) use construct::{Wish, build};
pub(super) use draft::{Counts, draft};
pub(super) use fill::fill;
pub(super) use improve::improve;
pub(super) use packed::packed;
pub(super) use place::place;
pub(super) use polish::polish;
pub(super) use random::Random;
pub(super) use score::Score;
pub(super) use state::State;
pub(super) use walk::Budget;
pub(super) use write::{read, write};

#[cfg(test)]
mod draft_tests;
#[cfg(test)]
mod tests;
