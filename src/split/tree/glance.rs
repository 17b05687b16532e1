//! A glance at a program too large to climb: its relaxation once, and the
//! bound that the worth of its rows proves.

use super::node::Node;
use super::propagate::Propagator;
use super::relax::shrunk;
use crate::split::backend::{dual_bound, interior};
use crate::split::program::Model;

/// What a glance shows.
#[derive(Debug, Clone)]
pub(in crate::split) enum Glance {
    /// No point satisfies the rows.
    Infeasible,
    /// A relaxed point near the best, and a bound on every point's objective.
    Seen { values: Vec<f64>, bound: f64 },
    /// The solver could not say.
    Unknown,
}

/// Narrows the columns by the rows, then solves what is left as a linear
/// program by an interior point method.
pub(in crate::split) fn glance(model: &Model) -> Glance {
    let mut root = Node::root(model);
    if !Propagator::new(model).all(&mut root) {
        return Glance::Infeasible;
    }
    let Some(small) = shrunk(model, &root) else { return Glance::Infeasible };
    if small.model.columns.is_empty() {
        return Glance::Seen {
            values: small.full(&root, &[]),
            bound: small.model.objective.constant,
        };
    }
    let Some(found) = interior(&small.model) else { return Glance::Unknown };
    let (Some(bound), _) = dual_bound(&small.model, &found.duals) else { return Glance::Unknown };
    // A point in the middle can be a little outside a box.
    let columns = small.model.columns.iter();
    let values: Vec<f64> =
        found.values.iter().zip(columns).map(|(v, c)| v.clamp(c.low, c.high)).collect();
    Glance::Seen { values: small.full(&root, &values), bound }
}
