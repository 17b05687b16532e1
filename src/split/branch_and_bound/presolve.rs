//! Presolve: columns that propagation fixes are taken out of the model before
//! branch and bound starts. A sub-program around a plan fixes most of its
//! columns, and every node walks over all that are left.

use super::node::Node;
use super::node_relaxation::{OpenModel, open_model};
use super::propagate::Propagator;
use crate::program::{Model, Sum};

/// The open part of a model.
pub(super) struct Presolved {
    small: OpenModel,
    node: Node,
}

/// Propagates the model's rows and the cutoff; `None` if no point is left.
pub(super) fn presolve(model: &Model, known: Option<f64>) -> Option<Presolved> {
    let mut node = Node::root(model);
    let mut rows = Propagator::new(model);
    if let Some(known) = known {
        rows.cutoff = known - model.objective.constant;
    }
    if !rows.all(&mut node) {
        return None;
    }
    let mut small = open_model(model, &node)?;
    for (c, column) in model.columns.iter().enumerate() {
        if let Some(at) = small.at(c) {
            small.model.columns[at].whole = column.whole;
        }
    }
    for sum in &model.sums {
        let settled = sum.terms.iter().filter(|(c, _)| node.fixed(*c));
        let constant: f64 = settled.map(|(c, k)| k * node.low[*c]).sum();
        let open = sum.terms.iter().filter_map(|(c, k)| small.at(*c).map(|at| (at, *k)));
        let terms: Vec<_> = open.collect();
        // The rest of a whole sum is whole if its fixed part is.
        if terms.len() > 1 && (constant - constant.round()).abs() < 1e-9 {
            small.model.sums.push(Sum { terms, priority: sum.priority });
        }
    }
    Some(Presolved { small, node })
}

impl Presolved {
    pub fn model(&self) -> &Model {
        &self.small.model
    }
    /// Values of all columns from those of the open part.
    pub fn full(&self, values: &[f64]) -> Vec<f64> {
        self.small.full(&self.node, values)
    }
}
