//! Branch and bound of our own over a [`Model`](super::program::Model).
//!
//! The default build's solver is pure Rust and has neither cuts nor
//! propagation, and moves are full of rows (limits, pins, needs) that settle
//! most columns once a few are known. So the tree is ours: at every node the
//! rows narrow each other's columns until nothing moves, and only what is left
//! goes to the solver as a linear relaxation. A good plan from the search cuts
//! the tree from the start.

mod branch;
mod cuts;
mod glance;
mod grid;
mod node;
mod plunge;
mod propagate;
mod reduce;
mod relax;
mod root;
mod warm;

#[cfg(test)]
mod tests;

pub(super) use branch::{Climbed, Limits, climb};
pub(super) use glance::{Glance, glance};
