//! The Lagrangian bound (Geoffrion 1974): valid at any prices.
//!
//! The rows of the coarse program are relaxed at their duals, and the linking
//! rows of the units that go alone at the links' prices. What remains of the
//! coarse program is a sum over columns, each between its ends; what remains of
//! the carriers is the best load of each. The sum of the two is a lower bound
//! on every plan.

use super::ix::LinkIx;
use super::pricing::{Priced, Prices};
use crate::program::{Model, RowIx};

/// Rounding in a sum of terms, as a part of the sum of their sizes: 2^-45
/// covers a hundred roundings of each.
const ROUNDING: f64 = 1.0 / (1u64 << 45) as f64;

/// Of which rows are links, and how large the classes are.
pub(super) struct Parts<'a> {
    /// The master without its loads.
    pub base: &'a Model,
    /// Per link its row: units less what is left over ≤ 0 here.
    pub links: &'a [RowIx],
    pub sizes: &'a [usize],
}

/// The bound and the reduced cost of each column of the base: the objective
/// rises by so much for each unit by which the column leaves its better end.
#[derive(Debug, Clone)]
pub(super) struct Lagrangian {
    pub bound: f64,
    pub reduced: Vec<f64>,
}

/// The bound at the duals of the base's rows and the prices of the links.
pub(super) fn lagrangian(
    parts: &Parts,
    duals: &[f64],
    prices: &Prices,
    priced: &[Priced],
) -> Option<Lagrangian> {
    let Parts { base, links, sizes } = parts;
    let mut dual: Vec<f64> = duals[..base.rows.len()].to_vec();
    links.iter().enumerate().for_each(|(k, r)| dual[r.0] = -prices.real(LinkIx(k)));
    let mut bound = base.objective.constant;
    // The sizes of everything that was summed.
    let mut sizes_sum = bound.abs();
    let mut reduced = vec![0.0; base.columns.len()];
    let mut sized = vec![0.0; base.columns.len()];
    for (c, k) in &base.objective.terms {
        reduced[*c] += k;
        sized[*c] += k.abs();
    }
    for (row, y) in base.rows.iter().zip(&dual) {
        let end = if *y > 0.0 { row.low } else { row.high };
        // A dual on an end that does not exist is rounding: none.
        if *y == 0.0 || !end.is_finite() || !y.is_finite() {
            continue;
        }
        bound += y * end;
        sizes_sum += (y * end).abs();
        for (c, k) in &row.terms {
            reduced[*c] -= y * k;
            sized[*c] += (y * k).abs();
        }
    }
    for ((column, d), size) in base.columns.iter().zip(&reduced).zip(&sized) {
        // A column of zero reduced cost.
        let end = if *d > 0.0 { column.low } else { column.high };
        let far = column.low.abs().max(column.high.abs());
        if *size == 0.0 {
            continue;
        }
        if !far.is_finite() {
            return None;
        }
        bound += d * end;
        sizes_sum += size * far;
    }
    for (p, n) in priced.iter().zip(*sizes) {
        let worth = p.bound as f64 * prices.unit * *n as f64;
        bound -= worth;
        sizes_sum += worth;
    }
    let bound = bound - sizes_sum * ROUNDING;
    bound.is_finite().then_some(Lagrangian { bound, reduced })
}
