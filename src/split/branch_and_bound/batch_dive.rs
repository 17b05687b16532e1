//! A diving heuristic in batches: columns are fixed a quarter at a time, those
//! nearest to whole first, with propagation after each and the relaxation
//! solved again after every batch.

use super::node::Node;
use super::node_relaxation::NodeRelaxation;
use super::tree::Tree;

/// The most relaxations of one dive.
const MOST: usize = 40;

impl Tree<'_, '_> {
    /// Dives from the node; keeps the point if it is better.
    pub(super) fn batch_dive(&mut self, node: &Node, values: &[f64]) {
        let mut node = node.clone();
        let mut values = values.to_vec();
        for _ in 0..MOST {
            if self.over() {
                return;
            }
            let mut open: Vec<(f64, usize)> = (0..self.model.columns.len())
                .filter(|&c| self.model.columns[c].whole && !node.fixed(c))
                .map(|c| ((values[c] - values[c].round()).abs(), c))
                .collect();
            // Of two as near, a column at one settles more than one at zero.
            open.sort_by(|a, b| {
                let there = |c: usize| values[c] < 0.5;
                (a.0, there(a.1), a.1)
                    .partial_cmp(&(b.0, there(b.1), b.1))
                    .unwrap_or(std::cmp::Ordering::Equal)
            });
            let handful = (open.len() / 4).max(3);
            for (_, c) in open.into_iter().take(handful) {
                if !node.fixed(c) && !self.rows.fix(&mut node, c, values[c]) {
                    return;
                }
            }
            let NodeRelaxation::Point { objective, values: point } = self.relax(&mut node) else {
                return;
            };
            if objective > self.target() {
                return;
            }
            if self.whole(&point) {
                self.found(point);
                return;
            }
            values = point;
        }
    }
}
