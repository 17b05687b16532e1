//! Probing (Savelsbergh 1994; from memory): each column of the root is tried at
//! either end, and what holds either way is kept.

use super::node::{BranchOn, Node};
use super::tree::Tree;

impl Tree<'_, '_> {
    /// Probes each open column at its lower bound and above it; a side that is
    /// infeasible is cut off for good. False if nothing is left.
    pub(super) fn probe(&mut self, root: &mut Node) -> bool {
        for round in 0..2 {
            let mut moved = false;
            for c in 0..self.model.columns.len() {
                if self.over() {
                    return true;
                }
                if !self.model.columns[c].whole || root.fixed(c) {
                    continue;
                }
                let (low, high) = (root.low[c], root.high[c]);
                let mut down = root.child(BranchOn::Column(c), low, false);
                let mut up = root.child(BranchOn::Column(c), low + 1.0, true);
                let can_down = self.rows.after(&mut down, c);
                let can_up = self.rows.after(&mut up, c);
                let other = match (can_down, can_up) {
                    (false, false) => return false,
                    (true, true) => {
                        moved |= hull(root, &down, &up);
                        continue;
                    }
                    (true, false) => down,
                    (false, true) => up,
                };
                moved = true;
                debug_assert!(other.low[c] >= low && other.high[c] <= high);
                let depth = root.depth;
                *root = other;
                root.depth = depth;
            }
            if !moved || round == 1 {
                break;
            }
        }
        true
    }
}

/// Bounds that hold on both sides hold.
fn hull(root: &mut Node, a: &Node, b: &Node) -> bool {
    let mut moved = false;
    for c in 0..root.low.len() {
        let (low, high) = (a.low[c].min(b.low[c]), a.high[c].max(b.high[c]));
        if low > root.low[c] + 0.5 {
            root.low[c] = low;
            moved = true;
        }
        if high < root.high[c] - 0.5 {
            root.high[c] = high;
            moved = true;
        }
    }
    moved
}
