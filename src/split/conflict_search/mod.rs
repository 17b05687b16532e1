//! Conflict-driven search with learned clauses over bounds of whole columns:
//! lazy clause generation (Ohrimenko, Stuckey and Codish 2009, "Propagation via
//! lazy clause generation", Constraints 14(3); from memory).
//!
//! Branch and bound is strong where masses decide, and weak where rules bind
//! each other: a move that is tight because its store is too full, while
//! `together` and `apart` hold the same things, leaves every relaxation
//! feasible. Here a decision narrows a column, propagation narrows the others,
//! and conflict analysis turns every failure into a clause that keeps the
//! search from running into it again. It works in whole numbers throughout, so
//! what it refutes is refuted exactly; its work is counted, not timed.
//!
//! Where propagation row by row is at rest, the linear relaxation looks at all
//! rows at once: its duals say which sum of rows to add (`relaxation.rs`).
//!
//! `integer_model.rs` has the model in whole numbers, `trail.rs` the bounds and
//! why they moved, `rows.rs`, `clauses.rs` and `relaxation.rs` what propagates,
//! `analysis.rs` conflict analysis, `activity.rs` the branching order. The
//! search itself: `search.rs` decides and restarts, `propagation.rs` narrows,
//! `backjump.rs` learns and goes back, `question.rs` changes what is asked,
//! `work.rs` counts.

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
