//! The linear relaxation of a node, as a smaller model of its open columns.

use super::node::Node;
use crate::backend::{Relaxed, relax};
use crate::program::{Affine, Column, Model, Row};

pub(super) enum NodeRelaxation {
    /// Its least objective, and values of all columns of the model.
    Point {
        objective: f64,
        values: Vec<f64>,
    },
    Infeasible,
    /// The solver failed.
    Unknown,
}

/// The open part of a model at a node: columns that are not fixed, rows that
/// can be broken.
pub(super) struct OpenModel {
    pub model: Model,
    /// Per column of the model its place in the open part; `usize::MAX`: fixed.
    place: Vec<usize>,
}

impl OpenModel {
    /// The place of a column in the open part.
    pub fn at(&self, column: usize) -> Option<usize> {
        Some(self.place[column]).filter(|at| *at != usize::MAX)
    }
    /// Values of all columns of the model.
    pub fn full(&self, node: &Node, values: &[f64]) -> Vec<f64> {
        let of = |c: usize| match self.place[c] {
            usize::MAX => node.low[c],
            at => values[at],
        };
        (0..self.place.len()).map(of).collect()
    }
}

/// The open part of the model at a node; nothing if a row without open columns
/// is broken.
pub(super) fn open_model(model: &Model, node: &Node) -> Option<OpenModel> {
    let mut small = Model::default();
    let mut place = vec![usize::MAX; model.columns.len()];
    for (c, at) in place.iter_mut().enumerate() {
        if !node.fixed(c) {
            *at = small.columns.len();
            let (low, high) = (node.low[c], node.high[c]);
            small.columns.push(Column { low, high, whole: false, grain: 0.0 });
        }
    }
    let mut row = |terms: &[(usize, f64)], low: f64, high: f64| {
        let mut left = Vec::with_capacity(terms.len());
        let (mut constant, mut least, mut most) = (0.0, 0.0, 0.0);
        for &(c, k) in terms {
            if place[c] == usize::MAX {
                constant += k * node.low[c];
                continue;
            }
            left.push((place[c], k));
            least += (k * node.low[c]).min(k * node.high[c]);
            most += (k * node.low[c]).max(k * node.high[c]);
        }
        let (low, high) = (low - constant, high - constant);
        // A row that is redundant within the bounds is left out.
        let low = if least >= low - 1e-9 { f64::NEG_INFINITY } else { low };
        let high = if most <= high + 1e-9 { f64::INFINITY } else { high };
        if low > f64::NEG_INFINITY || high < f64::INFINITY {
            small.rows.push(Row { terms: left, low, high, grain: 0.0 });
        }
    };
    for r in &model.rows {
        row(&r.terms, r.low, r.high);
    }
    for (s, sum) in model.sums.iter().enumerate() {
        row(&sum.terms, node.sum_low[s], node.sum_high[s]);
    }
    let mut objective = Affine::constant(model.objective.constant);
    for &(c, k) in &model.objective.terms {
        match place[c] {
            usize::MAX => objective.constant += k * node.low[c],
            at => objective.add(at, k),
        }
    }
    small.objective = objective;
    let broken = |r: &Row| r.terms.is_empty() && (r.low > 1e-7 || r.high < -1e-7);
    if small.rows.iter().any(broken) {
        return None;
    }
    small.rows.retain(|r| !r.terms.is_empty());
    Some(OpenModel { model: small, place })
}

pub(super) fn relaxation(model: &Model, node: &Node) -> NodeRelaxation {
    let Some(small) = open_model(model, node) else { return NodeRelaxation::Infeasible };
    // Where everything is fixed no solver is needed: propagation has checked
    // the rows.
    if small.model.columns.is_empty() {
        let objective = small.model.objective.constant;
        return NodeRelaxation::Point { objective, values: small.full(node, &[]) };
    }
    match relax(&small.model) {
        Relaxed::Point(values) => NodeRelaxation::Point {
            objective: small.model.objective.value(&values),
            values: small.full(node, &values),
        },
        Relaxed::Infeasible => NodeRelaxation::Infeasible,
        Relaxed::Unknown => NodeRelaxation::Unknown,
    }
}
