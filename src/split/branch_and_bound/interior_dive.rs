//! For a program too large to branch on: its linear relaxation by an interior
//! point method, the bound that the duals prove, and one dive towards whole
//! counts.

use super::node::Node;
use super::node_relaxation::{OpenModel, open_model};
use super::propagate::Propagator;
use crate::backend::{dual_bound, interior_within};
use crate::program::{Column, Model};
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};
use std::time::{Duration, Instant};

/// What came of it.
#[derive(Debug, Clone)]
pub(crate) enum InteriorDive {
    /// No point satisfies the rows.
    Infeasible,
    /// A point near the optimum, integral as far as the dive came, and a bound
    /// on every point's objective.
    Point { values: Vec<f64>, bound: f64 },
    /// The solver failed.
    Unknown,
}

/// The most relaxations of one dive.
const DIVES: usize = 120;
/// Relative gap of the relaxations: what is lost of the bound by it is less.
const TOLERANCE: f64 = 1e-5;
/// The finest division of a batch that fails as a whole.
const FINEST: usize = 1_000;
/// Integrality tolerance: interior points are less exact.
const NEAR: f64 = 1e-3;
/// The part of a pin by which a dive may miss it.
const GIVE: f64 = 0.02;
/// Penalty for missing it in the first relaxation, in largest objective
/// coefficients.
const PRICE: f64 = 10.0;
/// Penalty after that, in multiples of the pin's dual.
const OVER: f64 = 2.0;
/// Of the integral columns this part stays free for the next relaxation, and at
/// least so many columns, and so many for each fractional one.
const KEPT: f64 = 0.12;
const LEAST_KEPT: usize = 300;
const KEPT_EACH: f64 = 1.5;
/// Where little is integral, one in so many is fixed, and so many at least.
const ONE_IN: usize = 6;
const LEAST: usize = 5;

/// Propagates, solves the rest as a linear program by an interior point method,
/// and dives as long as there is time.
pub(crate) fn interior_dive(model: &Model, end: Instant, stop: &AtomicBool) -> InteriorDive {
    let mut node = Node::root(model);
    if !Propagator::new(model).all(&mut node) {
        return InteriorDive::Infeasible;
    }
    // Every point of the model is a point of the softened model with no slack
    // used, at the same cost: a bound on that holds for both.
    let from = Instant::now();
    let softened = softened(model);
    for c in &softened.columns[model.columns.len()..] {
        node.low.push(c.low);
        node.high.push(c.high);
    }
    let Some(small) = open_model(&softened, &node) else { return InteriorDive::Infeasible };
    let Some(point) = solved(&small, &node, end) else { return InteriorDive::Unknown };
    let (took, bound) = (from.elapsed(), point.bound);
    let own = model.columns.len();
    let softened = penalised(softened, own, &point);
    let rows = Propagator::new(&softened);
    let dive = Dive { model: &softened, rows, own, end, stop };
    let mut values = dive.down(node, point, took);
    values.truncate(own);
    InteriorDive::Point { values, bound }
}

/// The relaxation's optimum at a node.
struct Point {
    values: Vec<f64>,
    /// Reduced costs, and the sum of the sizes of all that makes them up.
    costs: Vec<f64>,
    sizes: Vec<f64>,
    bound: f64,
}

impl Point {
    /// Distance to the nearest whole number.
    fn off(&self, c: usize) -> f64 {
        (self.values[c] - self.values[c].round()).abs()
    }

    /// The relative change of prices needed before the column moves.
    fn firm(&self, c: usize) -> f64 {
        (self.costs[c].abs() / self.sizes[c].max(1e-12)).min(1.0)
    }
}

struct Dive<'m> {
    /// The model with softened pins.
    model: &'m Model,
    rows: Propagator<'m>,
    /// How many of its columns are the model's own.
    own: usize,
    end: Instant,
    stop: &'m AtomicBool,
}

impl Dive<'_> {
    /// Values as far integral as the dive came.
    fn down(&self, mut node: Node, mut point: Point, mut took: Duration) -> Vec<f64> {
        let mut part = 1;
        for _ in 0..DIVES {
            let open = self.in_order(&node, &point);
            // No time for another relaxation.
            let late = Instant::now() + took >= self.end;
            let Some(&first) = open.first().filter(|_| !late && !self.stop.load(Relaxed)) else {
                break;
            };
            let from = Instant::now();
            let mut next = node.clone();
            self.settle(&mut next, &point, &open, part);
            let found = self.relaxed(&next).map(|point| (next, point));
            took = from.elapsed();
            let found = match found {
                // Too large a batch.
                None if part < FINEST => {
                    part *= 4;
                    continue;
                }
                // A single column that cannot be at either neighbour of its
                // value.
                None => self.elsewhere(&node, first, point.values[first]),
                found => {
                    part = (part / 4).max(1);
                    found
                }
            };
            let Some(found) = found else { break };
            (node, point) = found;
        }
        point.values
    }

    fn relaxed(&self, node: &Node) -> Option<Point> {
        solved(&open_model(self.model, node)?, node, self.end)
    }

    /// The column one further to either side.
    fn elsewhere(&self, node: &Node, c: usize, value: f64) -> Option<(Node, Point)> {
        let near = value.round().clamp(node.low[c], node.high[c]);
        let step = if value > near { 1.0 } else { -1.0 };
        [near + step, near - step].into_iter().find_map(|at| {
            let within = at > node.low[c] - 0.5 && at < node.high[c] + 0.5;
            let mut next = node.clone();
            (next.low[c], next.high[c]) = (at, at);
            if !within || !self.rows.all(&mut next) {
                return None;
            }
            self.relaxed(&next).map(|point| (next, point))
        })
    }

    /// Open integer columns: integral ones first, the firmest first, then the
    /// nearest to integral.
    fn in_order(&self, node: &Node, point: &Point) -> Vec<usize> {
        let open = |c: &usize| self.model.columns[*c].whole && !node.fixed(*c);
        let mut open: Vec<usize> = (0..self.own).filter(open).collect();
        let key = |c: usize| match point.off(c) {
            off if off <= NEAR => (false, -point.firm(c)),
            off => (true, off),
        };
        open.sort_by(|&a, &b| {
            let (x, y) = (key(a), key(b));
            x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)).then(a.cmp(&b))
        });
        open
    }

    /// Fixes a batch, divided by `part`, at or next to its values, with
    /// propagation.
    fn settle(&self, node: &mut Node, point: &Point, open: &[usize], part: usize) {
        let near = open.iter().take_while(|c| point.off(**c) <= NEAR).count();
        // What is integral by chance may have to move for the rest.
        let times = |n: usize, part: f64| (n as f64 * part) as usize;
        let kept = times(open.len(), KEPT).max(times(open.len() - near, KEPT_EACH));
        let clear = near.min(open.len().saturating_sub(kept.max(LEAST_KEPT)));
        let ripe = (clear.max(open.len() / ONE_IN).max(LEAST) / part).max(1);
        self.fix(node, &point.values, &open[..ripe.min(open.len())]);
    }

    /// Rounds columns all at once where propagation allows that, else half and
    /// half.
    fn fix(&self, node: &mut Node, values: &[f64], columns: &[usize]) {
        match columns {
            [] => {}
            &[c] if node.fixed(c) => {}
            // What can be neither is left to the repair heuristic.
            &[c] => _ = self.rows.fix(node, c, values[c]),
            _ => {
                let mut next = node.clone();
                for &c in columns {
                    let at = values[c].round().clamp(next.low[c], next.high[c]);
                    (next.low[c], next.high[c]) = (at, at);
                }
                if self.rows.all(&mut next) {
                    *node = next;
                    return;
                }
                let (first, second) = columns.split_at(columns.len() / 2);
                self.fix(node, values, first);
                self.fix(node, values, second);
            }
        }
    }
}

/// Softens the pins at a penalty: whole counts seldom keep them to the point,
/// and a small miss is easier to repair than a dive that is stuck.
fn softened(model: &Model) -> Model {
    let mut softened = model.clone();
    let largest = model.objective.terms.iter().map(|t| t.1.abs()).fold(0.0, f64::max);
    for &r in &model.pins {
        let row = &mut softened.rows[r];
        let (end, sign) = if row.low.is_finite() { (row.low, 1.0) } else { (row.high, -1.0) };
        if row.low.is_finite() == row.high.is_finite() || end.abs() < 1.0 {
            continue;
        }
        row.terms.push((softened.columns.len(), sign));
        softened.objective.add(softened.columns.len(), PRICE * largest);
        softened.columns.push(Column {
            low: 0.0,
            high: end.abs() * GIVE,
            whole: false,
            grain: 0.0,
        });
    }
    softened
}

/// Penalises each pin at somewhat more than its dual: the penalty, less its
/// slack's reduced cost at the optimum.
fn penalised(mut softened: Model, own: usize, point: &Point) -> Model {
    for (c, price) in softened.objective.terms.iter_mut().filter(|t| t.0 >= own) {
        let worth = *price - point.costs[*c];
        *price = (worth * OVER).clamp(*price * 1e-4, *price);
    }
    softened
}

/// The relaxation's point and its proven bound.
fn solved(small: &OpenModel, node: &Node, end: Instant) -> Option<Point> {
    let n = node.low.len();
    if small.model.columns.is_empty() {
        let (values, bound) = (small.full(node, &[]), small.model.objective.constant);
        return Some(Point { values, costs: vec![0.0; n], sizes: vec![0.0; n], bound });
    }
    let left = end.saturating_duration_since(Instant::now());
    let found = interior_within(&small.model, TOLERANCE, left)?;
    let (bound, costs) = dual_bound(&small.model, &found.duals);
    // An interior point can be a little outside the box.
    let columns = small.model.columns.iter();
    let values: Vec<f64> =
        found.values.iter().zip(columns).map(|(v, c)| v.clamp(c.low, c.high)).collect();
    let mut sizes = vec![0.0; small.model.columns.len()];
    small.model.objective.terms.iter().for_each(|&(c, k)| sizes[c] += k.abs());
    for (row, y) in small.model.rows.iter().zip(&found.duals) {
        row.terms.iter().for_each(|&(c, k)| sizes[c] += (k * y).abs());
    }
    let of = |all: &[f64]| (0..n).map(|c| small.at(c).map_or(0.0, |at| all[at])).collect();
    let (costs, sizes) = (of(&costs), of(&sizes));
    Some(Point { values: small.full(node, &values), costs, sizes, bound: bound? })
}
