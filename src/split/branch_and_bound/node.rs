//! A node: how far each column and each whole sum has been narrowed.

use crate::program::Model;

#[derive(Debug, Clone)]
pub(super) struct Node {
    pub low: Vec<f64>,
    pub high: Vec<f64>,
    /// Bounds of the model's whole sums.
    pub sum_low: Vec<f64>,
    pub sum_high: Vec<f64>,
    /// No point of this node is below it.
    pub bound: f64,
    pub depth: u32,
}

impl Node {
    pub fn root(model: &Model) -> Self {
        let n = model.sums.len();
        Node {
            low: model.columns.iter().map(|c| c.low).collect(),
            high: model.columns.iter().map(|c| c.high).collect(),
            sum_low: vec![f64::NEG_INFINITY; n],
            sum_high: vec![f64::INFINITY; n],
            bound: f64::NEG_INFINITY,
            depth: 0,
        }
    }
    pub fn fixed(&self, col: usize) -> bool {
        self.high[col] - self.low[col] <= 1e-9
    }
}

/// What is branched on: a column or a whole sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BranchOn {
    Column(usize),
    Sum(usize),
}

impl Node {
    /// This node with `on` at most `value`, or at least, if `up`.
    pub fn child(&self, on: BranchOn, value: f64, up: bool) -> Node {
        let mut child = self.clone();
        child.depth += 1;
        let (low, high) = match on {
            BranchOn::Column(c) => (&mut child.low[c], &mut child.high[c]),
            BranchOn::Sum(s) => (&mut child.sum_low[s], &mut child.sum_high[s]),
        };
        if up {
            *low = low.max(value);
        } else {
            *high = high.min(value);
        }
        child
    }
}
