//! Branch and bound of our own over a [`Model`](super::program::Model).
//!
//! The default build's linear solver is pure Rust and has neither cuts nor
//! propagation, and moves are full of rows (limits, pins, needs) that fix most
//! columns once a few are known. So the tree is ours: at every node bounds are
//! propagated until nothing moves, and only what is left goes to a linear
//! relaxation. A good incumbent from the local search prunes the tree from the
//! start.

mod batch_dive;
mod branching;
mod cuts;
mod interior_dive;
mod limits;
mod node;
mod node_relaxation;
mod objective_grid;
mod presolve;
mod probing;
mod propagate;
mod root;
mod tree;
mod warm_start;

#[cfg(test)]
mod tests;

pub(super) use interior_dive::{InteriorDive, interior_dive};
pub(super) use limits::{Limits, TreeResult};
pub(super) use tree::solve_tree;
