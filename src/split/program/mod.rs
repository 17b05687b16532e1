//! The mixed-integer program: counts, limits, needs, rules and goals as columns
//! and rows.

mod bound;
mod brings;
mod build;
mod changes;
mod counts_relaxation;
mod goals;
mod limits;
mod model;
mod needs;
mod read;
mod robust;
mod rules;
mod sub_program;
mod symmetry;
mod teams;
mod totals;

pub(super) use bound::{bound_value, step};
pub(super) use build::Program;
pub(super) use model::{Affine, Col, Column, Model, Row, RowIx, Sum};
pub(super) use sub_program::FixedRest;
pub(super) use teams::{Team, TeamIx, by_duty, coarse, singles};
