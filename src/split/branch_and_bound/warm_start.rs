//! Warm-started relaxations: the dual simplex goes on from the basis of the
//! last node, with bounds and refutations that rounding cannot make false.

use super::node::Node;
use super::node_relaxation::{NodeRelaxation, relaxation};
use crate::backend::{Ended, Simplex, activity, safe_bound};
use crate::program::Model;

pub(super) struct WarmSimplex<'m> {
    model: &'m Model,
    /// Nothing if the model is too large for a tableau.
    simplex: Option<Simplex>,
    /// Activity bounds of each row and whole sum, slightly widened.
    activity: Vec<(f64, f64)>,
}

impl<'m> WarmSimplex<'m> {
    pub fn new(model: &'m Model) -> Self {
        let terms: Vec<&[(usize, f64)]> = terms(model).collect();
        let boxed = model.columns.iter().all(|c| c.low.is_finite() && c.high.is_finite());
        let fits = boxed && Simplex::fits(model.columns.len(), terms.len());
        let activity = terms
            .iter()
            .map(|t| activity(t, |c| (model.columns[c].low, model.columns[c].high)).0)
            .collect();
        let (n, costs) = (model.columns.len(), &model.objective.terms);
        WarmSimplex { model, simplex: fits.then(|| Simplex::new(n, &terms, costs)), activity }
    }

    /// The relaxation of a node, with reduced-cost fixing: integer columns that
    /// no point with an objective of `target` or less can have elsewhere are
    /// narrowed and added to `moved`.
    pub fn relax(
        &mut self,
        node: &mut Node,
        target: f64,
        moved: &mut Vec<usize>,
    ) -> NodeRelaxation {
        let Some(simplex) = &mut self.simplex else { return relaxation(self.model, node) };
        let Some(ends) = ends(self.model, &self.activity, node) else {
            return NodeRelaxation::Infeasible;
        };
        let columns = node.low.iter().zip(&node.high).map(|(l, h)| (*l, h.max(*l)));
        simplex.bound(columns, ends.iter().copied());
        let rows = |y: Vec<f64>| terms(self.model).zip(ends.iter().copied()).zip(y);
        match simplex.solve() {
            Ended::Optimal => {
                let objective = &self.model.objective;
                let (bound, costs) =
                    safe_bound(objective, rows(simplex.duals()), &node.low, &node.high);
                let values = simplex.values();
                let Some(bound) = bound else { return NodeRelaxation::Unknown };
                if target.is_finite() {
                    reduced_cost_fixing(self.model, node, &costs, target - bound, moved);
                }
                NodeRelaxation::Point { objective: bound, values }
            }
            Ended::Infeasible { row, below } => {
                let none = Default::default();
                let weights = rows(simplex.refutation(row, below));
                let (over, _) = safe_bound(&none, weights, &node.low, &node.high);
                // The aggregated row's least activity is above its upper end.
                if over.is_some_and(|v| v > 0.0) {
                    NodeRelaxation::Infeasible
                } else {
                    NodeRelaxation::Unknown
                }
            }
            Ended::Unknown => NodeRelaxation::Unknown,
        }
    }
}

fn terms(model: &Model) -> impl Iterator<Item = &[(usize, f64)]> {
    let rows = model.rows.iter().map(|r| r.terms.as_slice());
    rows.chain(model.sums.iter().map(|s| s.terms.as_slice()))
}

/// Both ends of every row and sum at a node; nothing if some row is infeasible.
fn ends(model: &Model, activity: &[(f64, f64)], node: &Node) -> Option<Vec<(f64, f64)>> {
    let rows = model.rows.iter().map(|r| (r.low, r.high));
    let sums = node.sum_low.iter().zip(&node.sum_high).map(|(l, h)| (*l, *h));
    let end = |((low, high), (least, most)): ((f64, f64), &(f64, f64))| {
        let (low, high) = (f64::max(low, *least), f64::min(high, *most));
        (low <= high).then_some((low, high))
    };
    rows.chain(sums).zip(activity).map(end).collect()
}

/// Narrows integer columns by their reduced costs, given the room up to the
/// cutoff.
fn reduced_cost_fixing(
    model: &Model,
    node: &mut Node,
    costs: &[f64],
    spare: f64,
    moved: &mut Vec<usize>,
) {
    for (c, &cost) in costs.iter().enumerate() {
        let width = node.high[c] - node.low[c];
        if !model.columns[c].whole || width < 0.5 || cost.abs() < 1e-7 {
            continue;
        }
        let steps = (spare.max(0.0) / cost.abs() + 1e-6).floor();
        if steps < width - 0.5 {
            if cost > 0.0 {
                node.high[c] = node.low[c] + steps;
            } else {
                node.low[c] = node.high[c] - steps;
            }
            moved.push(c);
        }
    }
}
