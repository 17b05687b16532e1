//! The linear relaxation of a node: what is still open, as a small program.

use super::node::Node;
use crate::split::backend::{Relaxed, relax};
use crate::split::program::{Affine, Column, Model, Row};

pub(super) enum Relaxation {
    /// Its least objective, and values of all columns of the model.
    Point {
        objective: f64,
        values: Vec<f64>,
    },
    Infeasible,
    /// The solver could not say.
    Unknown,
}

pub(super) fn relaxation(model: &Model, node: &Node) -> Relaxation {
    let mut small = Model::default();
    let mut place = vec![usize::MAX; model.columns.len()];
    for (c, at) in place.iter_mut().enumerate() {
        if !node.fixed(c) {
            *at = small.columns.len();
            let (low, high) = (node.low[c], node.high[c]);
            small.columns.push(Column { low, high, whole: false });
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
        // A row that cannot be broken any more is no row.
        let low = if least >= low - 1e-9 { f64::NEG_INFINITY } else { low };
        let high = if most <= high + 1e-9 { f64::INFINITY } else { high };
        if low > f64::NEG_INFINITY || high < f64::INFINITY {
            small.rows.push(Row { terms: left, low, high });
        }
    };
    for r in &model.rows {
        row(&r.terms, r.low, r.high);
    }
    for (s, sum) in model.sums.iter().enumerate() {
        row(&sum.terms, node.sum_low[s], node.sum_high[s]);
    }
    let mut objective = Affine::default();
    for &(c, k) in &model.objective.terms {
        match place[c] {
            usize::MAX => objective.constant += k * node.low[c],
            at => objective.add(at, k),
        }
    }
    // What is settled wholly needs no solver; rows hold, by propagation.
    let full = |values: &[f64]| {
        let of = |c: usize| if place[c] == usize::MAX { node.low[c] } else { values[place[c]] };
        (0..model.columns.len()).map(of).collect::<Vec<f64>>()
    };
    if small.columns.is_empty() {
        let broken = small.rows.iter().any(|r| r.low > 1e-7 || r.high < -1e-7);
        if broken {
            return Relaxation::Infeasible;
        }
        return Relaxation::Point { objective: objective.constant, values: full(&[]) };
    }
    if small.rows.iter().any(|r| r.terms.is_empty()) {
        return Relaxation::Infeasible;
    }
    small.objective = objective;
    match relax(&small) {
        Relaxed::Point(values) => {
            Relaxation::Point { objective: small.objective.value(&values), values: full(&values) }
        }
        Relaxed::Infeasible => Relaxation::Infeasible,
        Relaxed::Unknown => Relaxation::Unknown,
    }
}
