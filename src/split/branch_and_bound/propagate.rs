//! Bound propagation: rows narrow the bounds of columns until nothing moves.

use super::node::{BranchOn, Node};
use crate::program::Model;

/// How far a row may be off before it counts as broken.
const SLACK: f64 = 1e-7;
/// How close to a whole number counts as one.
const WHOLE: f64 = 1e-6;

/// Rows, whole sums and the objective's cutoff row, with the rows of each
/// column.
pub(super) struct Propagator<'m> {
    model: &'m Model,
    /// Terms of rows, then of sums, then of the objective.
    terms: Vec<&'m [(usize, f64)]>,
    /// Rows of each column.
    of_column: Vec<Vec<u32>>,
    /// The objective, its constant left out, must be at most this.
    pub cutoff: f64,
}

impl<'m> Propagator<'m> {
    pub fn new(model: &'m Model) -> Self {
        let mut terms: Vec<&[(usize, f64)]> = Vec::new();
        terms.extend(model.rows.iter().map(|r| r.terms.as_slice()));
        terms.extend(model.sums.iter().map(|s| s.terms.as_slice()));
        terms.push(&model.objective.terms);
        let mut of_column = vec![Vec::new(); model.columns.len()];
        for (r, t) in terms.iter().enumerate() {
            t.iter().for_each(|(c, _)| of_column[*c].push(r as u32));
        }
        Propagator { model, terms, of_column, cutoff: f64::INFINITY }
    }

    fn range(&self, node: &Node, r: usize) -> (f64, f64) {
        let n = self.model.rows.len();
        if r < n {
            (self.model.rows[r].low, self.model.rows[r].high)
        } else if r < n + self.model.sums.len() {
            (node.sum_low[r - n], node.sum_high[r - n])
        } else {
            (f64::NEG_INFINITY, self.cutoff)
        }
    }

    /// Narrows the node by every row; false if no point is left.
    pub fn all(&self, node: &mut Node) -> bool {
        self.run(node, (0..self.terms.len() as u32).collect())
    }

    /// Narrows the node after `column` moved.
    pub fn after(&self, node: &mut Node, column: usize) -> bool {
        self.run(node, self.of_column[column].clone())
    }

    /// Narrows the node after several columns moved.
    pub fn after_all(&self, node: &mut Node, columns: &[usize]) -> bool {
        let mut queue: Vec<u32> =
            columns.iter().flat_map(|c| self.of_column[*c].iter().copied()).collect();
        queue.sort_unstable();
        queue.dedup();
        self.run(node, queue)
    }

    /// Narrows the node after the bounds of a sum moved.
    pub fn after_sum(&self, node: &mut Node, sum: usize) -> bool {
        self.run(node, vec![(self.model.rows.len() + sum) as u32])
    }

    /// Fixes a column at the whole number nearest to `value`, or failing that
    /// at the next; false if neither can be.
    pub fn fix(&self, node: &mut Node, c: usize, value: f64) -> bool {
        let near = value.round().clamp(node.low[c], node.high[c]);
        let next = if value > near { near + 1.0 } else { near - 1.0 };
        for at in [near, next] {
            if at < node.low[c] - 1e-9 || at > node.high[c] + 1e-9 {
                continue;
            }
            let mut child = node.child(BranchOn::Column(c), at, true);
            child.high[c] = at;
            if self.after(&mut child, c) {
                *node = child;
                return true;
            }
        }
        false
    }

    fn run(&self, node: &mut Node, mut queue: Vec<u32>) -> bool {
        let mut waiting = vec![false; self.terms.len()];
        queue.iter().for_each(|r| waiting[*r as usize] = true);
        // Continuous columns can move by ever smaller amounts: the visits are
        // capped.
        let mut visits = 40 * self.terms.len();
        let mut at = 0;
        while at < queue.len() && visits > 0 {
            let r = queue[at] as usize;
            at += 1;
            visits -= 1;
            waiting[r] = false;
            let mut moved = Vec::new();
            if !self.row(node, r, &mut moved) {
                return false;
            }
            for c in moved {
                for &next in &self.of_column[c] {
                    if !waiting[next as usize] && next as usize != r {
                        waiting[next as usize] = true;
                        queue.push(next);
                    }
                }
            }
        }
        true
    }

    /// Narrows the columns of one row; false if the row cannot hold.
    fn row(&self, node: &mut Node, r: usize, moved: &mut Vec<usize>) -> bool {
        let (low, high) = self.range(node, r);
        if low == f64::NEG_INFINITY && high == f64::INFINITY {
            return true;
        }
        let terms = self.terms[r];
        let (mut least, mut most) = (0.0, 0.0);
        let (mut least_open, mut most_open) = (0u32, 0u32);
        for &(c, k) in terms {
            let (a, b) = ends(node, c, k);
            if a.is_finite() {
                least += a
            } else {
                least_open += 1
            }
            if b.is_finite() { most += b } else { most_open += 1 }
        }
        let slack = SLACK * (1.0 + low.abs().min(high.abs()).min(1e3) * 1e-2);
        if (least_open == 0 && least > high + slack) || (most_open == 0 && most < low - slack) {
            return false;
        }
        let holds_above = most_open == 0 && most <= high;
        let holds_below = least_open == 0 && least >= low;
        if (high == f64::INFINITY || holds_above) && (low == f64::NEG_INFINITY || holds_below) {
            return true;
        }
        for &(c, k) in terms {
            if node.fixed(c) {
                continue;
            }
            let (a, b) = ends(node, c, k);
            let mut changed = false;
            if high < f64::INFINITY {
                // k · x ≤ high - (least of the others)
                let others = match (least_open, a.is_finite()) {
                    (0, _) => Some(least - a),
                    (1, false) => Some(least),
                    _ => None,
                };
                if let Some(others) = others {
                    changed |= self.tighten(node, c, (high - others) / k, k > 0.0);
                }
            }
            if low > f64::NEG_INFINITY {
                let others = match (most_open, b.is_finite()) {
                    (0, _) => Some(most - b),
                    (1, false) => Some(most),
                    _ => None,
                };
                if let Some(others) = others {
                    changed |= self.tighten(node, c, (low - others) / k, k < 0.0);
                }
            }
            if changed {
                if node.low[c] > node.high[c] + SLACK {
                    return false;
                }
                moved.push(c);
                // The row's activity is stale now: the others are narrowed by
                // the old one, which is valid but weaker.
            }
        }
        true
    }

    /// Moves the upper end of a column down, or the lower up, to `value`.
    fn tighten(&self, node: &mut Node, c: usize, value: f64, upper: bool) -> bool {
        let whole = self.model.columns[c].whole;
        if upper {
            let v = if whole { (value + WHOLE).floor() } else { value + SLACK };
            let enough = if whole { 0.5 } else { 1e-3 * (1.0 + node.high[c].abs().min(1e3)) };
            if v < node.high[c] - enough {
                node.high[c] = v;
                return true;
            }
        } else {
            let v = if whole { (value - WHOLE).ceil() } else { value - SLACK };
            let enough = if whole { 0.5 } else { 1e-3 * (1.0 + node.low[c].abs().min(1e3)) };
            if v > node.low[c] + enough {
                node.low[c] = v;
                return true;
            }
        }
        false
    }
}

/// The least and the most that a term can be.
fn ends(node: &Node, c: usize, k: f64) -> (f64, f64) {
    if k > 0.0 { (k * node.low[c], k * node.high[c]) } else { (k * node.high[c], k * node.low[c]) }
}
