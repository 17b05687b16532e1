//! Choosing what to branch on: whole sums before columns, by pseudocosts.

use super::node::{BranchOn, Node};
use super::tree::Tree;
use crate::program::Column;

/// Integrality tolerance; and the one where rounding makes a difference to the
/// objective.
const NEAR: f64 = 1e-6;
const NEARER: f64 = 1e-9;

impl Tree<'_, '_> {
    /// Whether the point is integral.
    pub(super) fn whole(&self, values: &[f64]) -> bool {
        self.branching(values, NEAR).is_none()
    }

    /// What to branch on; nothing if the rounded point settles the node.
    ///
    /// A value within tolerance counts as whole. Where steps are fine, rounding
    /// can change the objective by more than a step: then the node may have
    /// better points than the rounded one, and is branched on all the same, or
    /// its bound stands.
    pub(super) fn next(&mut self, node: &Node, values: &mut [f64]) -> Option<(BranchOn, f64)> {
        if let Some(next) = self.branching(values, NEAR) {
            return Some(next);
        }
        let whole = |(v, c): (&f64, &Column)| if c.whole { v.round() } else { *v };
        let rounded: Vec<f64> = values.iter().zip(&self.model.columns).map(whole).collect();
        let value = self.grid.at_or_above(self.model.objective.value(&rounded));
        if value <= node.bound + self.grid.tolerance(value) {
            return None;
        }
        for (c, v) in values.iter_mut().enumerate() {
            *v = v.clamp(node.low[c], node.high[c].max(node.low[c]));
        }
        let next = self.branching(values, NEARER);
        if next.is_none() {
            self.given_up = self.given_up.min(node.bound);
        }
        next
    }

    fn key(&self, on: BranchOn) -> usize {
        match on {
            BranchOn::Column(c) => c,
            BranchOn::Sum(s) => self.model.columns.len() + s,
        }
    }

    pub(super) fn update_pseudocost(&mut self, on: BranchOn, up: bool, distance: f64, gain: f64) {
        if distance > 1e-6 && gain.is_finite() {
            let key = self.key(on);
            let (sum, n) = &mut self.pseudocosts[key][usize::from(up)];
            *sum += gain.max(0.0) / distance;
            *n += 1;
        }
    }

    /// The fractional sum or column with the best pseudocost score, sums before
    /// columns.
    fn branching(&self, values: &[f64], near: f64) -> Option<(BranchOn, f64)> {
        let sums = self.model.sums.iter().enumerate().map(|(s, sum)| {
            let value = sum.terms.iter().map(|(c, k)| k * values[*c]).sum::<f64>();
            (BranchOn::Sum(s), value, sum.priority)
        });
        let columns = self.model.columns.iter().enumerate();
        let columns =
            columns.filter(|(_, c)| c.whole).map(|(c, _)| (BranchOn::Column(c), values[c], 0));
        let mut best: Option<(u8, f64, BranchOn, f64)> = None;
        for (on, value, priority) in sums.chain(columns) {
            let part = value - value.floor();
            if !(near..=1.0 - near).contains(&part) {
                continue;
            }
            let gain = |up: usize, distance: f64| {
                let (sum, n) = self.pseudocosts[self.key(on)][up];
                let each = if n > 0 { sum / f64::from(n) } else { 1e-3 };
                (each * distance).max(1e-7)
            };
            let score = gain(0, part) * gain(1, 1.0 - part);
            let better = best.as_ref().is_none_or(|(p, s, ..)| {
                priority > *p || (priority == *p && score > *s * (1.0 + 1e-9))
            });
            if better {
                best = Some((priority, score, on, value));
            }
        }
        best.map(|(_, _, on, value)| (on, value))
    }
}
