//! The mixed-integer program: counts, limits, needs, rules and goals as rows.

mod bare;
mod bound;
mod brings;
mod build;
mod changes;
mod goals;
mod limits;
mod model;
mod needs;
mod read;
mod rules;
mod standing;
mod symmetry;
mod teams;
mod totals;
mod uncertain;

pub(super) use bound::{bound_value, step};
pub(super) use build::Program;
pub(super) use model::{Affine, Col, Column, Model, Row, Sum};
pub(super) use standing::Standing;
pub(super) use teams::{Team, by_duty, coarse, singles};
