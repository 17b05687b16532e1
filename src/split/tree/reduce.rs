//! What the rows settle by themselves is taken out of the model before the
//! tree is climbed: a program around a plan holds most of its columns, and
//! every node walks over all that there are.

use super::node::Node;
use super::propagate::Propagator;
use crate::split::program::{Affine, Column, Model, Row, Sum};

/// The open part of a model.
pub(super) struct Reduced {
    pub model: Model,
    /// Per column of the whole model: where it is in the open part.
    place: Vec<Option<usize>>,
    /// Values of the columns that are settled.
    settled: Vec<f64>,
}

/// Narrows the model by its rows, and by an objective that is known; `None` if
/// no point is left.
pub(super) fn reduce(model: &Model, known: Option<f64>) -> Option<Reduced> {
    let mut node = Node::root(model);
    let mut rows = Propagator::new(model);
    if let Some(known) = known {
        rows.cutoff = known - model.objective.constant;
    }
    if !rows.all(&mut node) {
        return None;
    }
    let mut small = Model::default();
    let mut place = vec![None; model.columns.len()];
    for (c, column) in model.columns.iter().enumerate() {
        if !node.fixed(c) {
            place[c] = Some(small.columns.len());
            let (low, high) = (node.low[c], node.high[c]);
            small.columns.push(Column { low, high, ..*column });
        }
    }
    let split = |terms: &[(usize, f64)]| {
        let mut open = Vec::with_capacity(terms.len());
        let mut constant = 0.0;
        for &(c, k) in terms {
            match place[c] {
                Some(at) => open.push((at, k)),
                None => constant += k * node.low[c],
            }
        }
        (open, constant)
    };
    for row in &model.rows {
        let (terms, constant) = split(&row.terms);
        let ends = |pick: fn(f64, f64) -> f64| {
            let end = |(c, k): &(usize, f64)| {
                let column: &Column = &small.columns[*c];
                pick(k * column.low, k * column.high)
            };
            terms.iter().map(end).sum::<f64>()
        };
        let (low, high) = (row.low - constant, row.high - constant);
        // A row that cannot be broken any more is no row.
        let low = if ends(f64::min) >= low - 1e-9 { f64::NEG_INFINITY } else { low };
        let high = if ends(f64::max) <= high + 1e-9 { f64::INFINITY } else { high };
        if low == f64::NEG_INFINITY && high == f64::INFINITY {
            continue;
        }
        if terms.is_empty() {
            // Off by more than rounding: nothing keeps it.
            if low > 1e-6 || high < -1e-6 {
                return None;
            }
            continue;
        }
        small.rows.push(Row { terms, low, high });
    }
    for sum in &model.sums {
        let (terms, constant) = split(&sum.terms);
        // What is left of a whole sum is whole if what is settled of it is.
        if terms.len() > 1 && (constant - constant.round()).abs() < 1e-9 {
            small.sums.push(Sum { terms, priority: sum.priority });
        }
    }
    let (terms, constant) = split(&model.objective.terms);
    small.objective = Affine { terms, constant: model.objective.constant + constant };
    Some(Reduced { model: small, place, settled: node.low })
}

impl Reduced {
    /// Values of all columns from those of the open part.
    pub fn whole(&self, values: &[f64]) -> Vec<f64> {
        let of = |(at, settled): (&Option<usize>, &f64)| at.map_or(*settled, |at| values[at]);
        self.place.iter().zip(&self.settled).map(of).collect()
    }
}
