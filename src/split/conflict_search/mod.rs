//! Conflict-driven search with learned clauses over bounds of whole columns:
//! lazy clause generation (Ohrimenko, Stuckey and Codish 2009, "Propagation via
//! lazy clause generation", Constraints 14(3); from memory).
//!
//! The tree of linear relaxations is strong where masses decide, and weak where
//! rules bind each other: a move that is tight because its store is too full,
//! while `together` and `apart` hold the same things, leaves every relaxation
//! feasible. Here a decision narrows a column, rows and clauses narrow the
//! others, and every conflict is turned into a clause that keeps the search from
//! running into it again. It works in whole numbers throughout, so what it
//! refutes is refuted exactly; its work is counted, not timed.
//!
//! Where rows one by one have no more to say, the linear relaxation adds them up.
//!
//! `whole.rs` has the model in whole numbers, `trail.rs` what is narrowed and
//! why, `rows.rs`, `clauses.rs` and `relaxation.rs` what narrows, `analysis.rs` what a conflict
//! teaches, `order.rs` what is decided next, `search.rs` the search itself.

mod activity;
mod analysis;
mod backjump;
mod clauses;
mod integer_model;
mod propagation;
mod question;
mod relaxation;
mod rows;
mod search;
mod trail;
mod work;

#[cfg(test)]
mod tests;

pub(super) use integer_model::IntegerModel;
pub(super) use relaxation::RelaxationStats;
pub(super) use search::{ConflictSearch, Verdict};
