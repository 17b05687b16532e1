//! The tree: best bound first, with a dive from each node that is opened.

use super::limits::{Limits, TreeResult};
use super::node::{BranchOn, Node};
use super::node_relaxation::NodeRelaxation;
use super::objective_grid::ObjectiveGrid;
use super::presolve::presolve;
use super::propagate::Propagator;
use super::root::strengthen;
use super::warm_start::WarmSimplex;
use crate::program::Model;
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::sync::atomic::Ordering::Relaxed;
use std::time::Instant;

/// Nodes between two batch dives.
const BATCH_DIVE_EVERY: u64 = 100;

/// Open nodes by bound, then deepest first, then oldest: always one order.
struct Open(Node, u64);

impl PartialEq for Open {
    fn eq(&self, o: &Self) -> bool {
        self.cmp(o) == Ordering::Equal
    }
}
impl Eq for Open {}
impl PartialOrd for Open {
    fn partial_cmp(&self, o: &Self) -> Option<Ordering> {
        Some(self.cmp(o))
    }
}
impl Ord for Open {
    fn cmp(&self, o: &Self) -> Ordering {
        let bound = o.0.bound.partial_cmp(&self.0.bound).unwrap_or(Ordering::Equal);
        bound.then(self.0.depth.cmp(&o.0.depth)).then(o.1.cmp(&self.1))
    }
}

pub(super) struct Tree<'m, 'a> {
    pub(super) model: &'m Model,
    limits: &'a Limits<'a>,
    pub(super) grid: ObjectiveGrid,
    pub(super) rows: Propagator<'m>,
    warm: WarmSimplex<'m>,
    open: BinaryHeap<Open>,
    best: Option<Vec<f64>>,
    relaxed: Option<Vec<f64>>,
    /// Objective of the incumbent, given or found.
    value: f64,
    /// The lowest bound of a node dropped because the gap allows it, or because
    /// its relaxation was not solved.
    pub(super) given_up: f64,
    pub(super) nodes: u64,
    /// Nodes at the last batch dive.
    batch_dived: u64,
    /// Pseudocosts: per column and sum the gain per unit of branching down and
    /// up, and how often it was seen.
    pub(super) pseudocosts: Vec<[(f64, u32); 2]>,
}

/// Minimises the model.
pub(crate) fn solve_tree(model: &Model, limits: &Limits) -> TreeResult {
    let Some(presolved) = presolve(model, limits.known) else {
        let bound = Some(limits.known.unwrap_or(f64::INFINITY));
        return TreeResult { values: None, bound, complete: true, relaxed: None, nodes: 0 };
    };
    // The whole model's: presolve may have moved a part of the objective into
    // the constant.
    let grid = ObjectiveGrid { base: model.objective.constant, step: limits.step };
    let mut model = presolved.model().clone();
    let rounds = strengthen(&mut model, limits);
    let model = &model;
    let mut tree = Tree {
        model,
        limits,
        grid,
        rows: Propagator::new(model),
        warm: WarmSimplex::new(model),
        open: BinaryHeap::new(),
        best: None,
        relaxed: None,
        value: limits.known.map_or(f64::INFINITY, |v| grid.at_or_above(v)),
        given_up: f64::INFINITY,
        nodes: rounds,
        batch_dived: 0,
        pseudocosts: vec![[(0.0, 0); 2]; model.columns.len() + model.sums.len()],
    };
    let complete = tree.run();
    let lowest = tree.open.iter().map(|o| o.0.bound).fold(f64::INFINITY, f64::min);
    let bound = lowest.min(tree.given_up).min(tree.value);
    TreeResult {
        values: tree.best.map(|v| presolved.full(&v)),
        relaxed: tree.relaxed.map(|v| presolved.full(&v)),
        bound: (bound > f64::NEG_INFINITY).then_some(bound),
        complete,
        nodes: tree.nodes,
    }
}

impl Tree<'_, '_> {
    /// True if the tree was searched to the end.
    fn run(&mut self) -> bool {
        self.set_cutoff();
        let mut root = Node::root(self.model);
        if self.rows.all(&mut root) && self.probe(&mut root) {
            match self.relaxed(&mut root) {
                Some(values) => {
                    self.relaxed = Some(values.clone());
                    self.dive(root, values);
                }
                None => return true,
            }
        }
        while let Some(Open(mut node, _)) = self.open.pop() {
            if self.over() {
                self.open.push(Open(node, self.nodes));
                return false;
            }
            if self.prune(node.bound) || !self.rows.all(&mut node) {
                continue;
            }
            if let Some(values) = self.relaxed(&mut node) {
                self.dive(node, values);
            }
        }
        true
    }

    pub(super) fn over(&self) -> bool {
        self.nodes >= self.limits.nodes
            || self.limits.stop.load(Relaxed)
            || Instant::now() >= self.limits.end
    }

    /// The cutoff: what the objective of a better point must not exceed,
    /// constant included.
    pub(super) fn target(&self) -> f64 {
        self.grid.below(self.value)
    }

    fn set_cutoff(&mut self) {
        if self.value < f64::INFINITY {
            self.rows.cutoff = self.target() - self.model.objective.constant;
        }
    }

    /// Whether a node with this bound can be pruned; remembers the bounds of
    /// those that only the gap prunes.
    fn prune(&mut self, bound: f64) -> bool {
        if self.value == f64::INFINITY {
            return false;
        }
        if bound > self.target() + 1e-9 {
            return true;
        }
        let near = bound >= self.value - self.limits.gap * self.value.abs();
        if near && self.limits.gap > 0.0 {
            self.given_up = self.given_up.min(bound);
        }
        near && self.limits.gap > 0.0
    }

    /// Solves the relaxation; gives its point if the node is not pruned.
    fn relaxed(&mut self, node: &mut Node) -> Option<Vec<f64>> {
        match self.relax(node) {
            NodeRelaxation::Infeasible => None,
            NodeRelaxation::Unknown => self.midpoints(node),
            NodeRelaxation::Point { objective, values } => {
                node.bound = node.bound.max(self.grid.at_or_above(objective));
                if self.prune(node.bound) { None } else { Some(values) }
            }
        }
    }

    /// The relaxation of a node, with reduced-cost fixing; counts as one node.
    pub(super) fn relax(&mut self, node: &mut Node) -> NodeRelaxation {
        self.nodes += 1;
        let mut moved = Vec::new();
        let target = self.target();
        let relaxed = self.warm.relax(node, target, &mut moved);
        if !moved.is_empty() && !self.rows.after_all(node, &moved) {
            return NodeRelaxation::Infeasible;
        }
        relaxed
    }

    /// Where the linear solver failed: midpoints to branch on all the same.
    /// Continuous columns alone cannot be settled so; then the node's bound
    /// stands.
    fn midpoints(&mut self, node: &Node) -> Option<Vec<f64>> {
        let open = |c: usize| self.model.columns[c].whole && !node.fixed(c);
        if !(0..node.low.len()).any(open) {
            self.given_up = self.given_up.min(node.bound);
            return None;
        }
        let half = |c: usize| {
            if open(c) { ((node.low[c] + node.high[c]) / 2.0).floor() + 0.5 } else { node.low[c] }
        };
        Some((0..node.low.len()).map(half).collect())
    }

    /// Follows the better child down, leaving the other open.
    fn dive(&mut self, mut node: Node, mut values: Vec<f64>) {
        loop {
            if self.over() {
                self.open.push(Open(node, self.nodes));
                return;
            }
            let Some((on, value)) = self.next(&node, &mut values) else {
                self.found(values);
                return;
            };
            if self.batch_dived == 0 || self.nodes >= self.batch_dived + BATCH_DIVE_EVERY {
                self.batch_dive(&node, &values);
                self.batch_dived = self.nodes.max(1);
                if self.prune(node.bound) {
                    return;
                }
            }
            let mut children: Vec<(Node, Vec<f64>)> = Vec::with_capacity(2);
            for up in [false, true] {
                let at = if up { value.ceil() } else { value.floor() };
                let mut child = node.child(on, at, up);
                let alive = match on {
                    BranchOn::Column(c) => self.rows.after(&mut child, c),
                    BranchOn::Sum(s) => self.rows.after_sum(&mut child, s),
                };
                if !alive {
                    continue;
                }
                let before = node.bound;
                if let Some(v) = self.relaxed(&mut child) {
                    self.update_pseudocost(on, up, (value - at).abs(), child.bound - before);
                    children.push((child, v));
                }
            }
            // The lower bound first; the other is solved again when it is
            // opened, if it ever is.
            children.sort_by(|a, b| b.0.bound.partial_cmp(&a.0.bound).unwrap_or(Ordering::Equal));
            let Some((next, point)) = children.pop() else { return };
            if let Some((other, _)) = children.pop() {
                self.open.push(Open(other, self.nodes));
            }
            (node, values) = (next, point);
            if self.prune(node.bound) {
                return;
            }
        }
    }

    /// Makes a point the incumbent if it is better by as much as plans can
    /// differ.
    ///
    /// A relaxation's point can lie between two steps: no plan has such an
    /// objective, so all that the point shows of the plans below its node is
    /// that they have the next step at best. It counts as that.
    pub(super) fn found(&mut self, mut values: Vec<f64>) {
        for (v, c) in values.iter_mut().zip(&self.model.columns).filter(|(_, c)| c.whole) {
            *v = v.round().clamp(c.low, c.high);
        }
        let value = self.grid.at_or_above(self.model.objective.value(&values));
        if value <= self.target() + 0.5 * self.grid.tolerance(value) {
            self.value = value;
            self.best = Some(values);
            self.set_cutoff();
        }
    }
}
