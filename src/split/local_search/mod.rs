//! Local search: builds a plan from counts, repairs it, and improves it goal by
//! goal under every limit, need and rule. `polish.rs` says which neighbourhoods
//! a goal gets.

mod adjust_counts;
mod anneal;
mod balance;
mod between_parties;
mod bottleneck;
mod bundles;
mod construct;
mod convert;
mod deviation;
mod drop_surplus;
mod drop_wants;
mod exchange_wants;
mod fill;
mod iterated_search;
mod need_cost;
mod offers;
mod party_counts;
mod party_penalty;
mod penalty;
mod place;
mod plan_before;
mod polish;
mod random;
mod repair_counts;
mod ruin_and_recreate;
mod score;
mod state;
mod steps;
mod swap_wants;
mod walk;

pub(super) use adjust_counts::adjust_counts;
pub(super) use construct::{Target, build};
pub(super) use convert::{read, write};
pub(super) use fill::fill;
pub(super) use iterated_search::iterated_search;
pub(super) use party_counts::{Counts, choose_counts};
pub(super) use place::place;
pub(super) use plan_before::from_plan_before;
pub(super) use polish::polish;
pub(super) use random::Random;
pub(super) use score::Score;
pub(super) use state::State;
pub(super) use swap_wants::swap_wants;
pub(super) use walk::Budget;

#[cfg(test)]
mod party_counts_tests;
#[cfg(test)]
mod tests;
