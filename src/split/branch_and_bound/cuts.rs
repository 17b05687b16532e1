//! Cuts: rows that every whole point keeps and the relaxation's point breaks.
//!
//! Mixed-integer rounding (Nemhauser and Wolsey 1990; Marchand and Wolsey
//! 2001) of single rows: needs met by a few kinds of drum, bottle or battery,
//! and limits filled with things of a few masses, leave gaps that a relaxation
//! does not see.

use super::node::Node;
use crate::program::{Model, Row};

/// The most cuts taken in one round.
const MOST: usize = 40;
/// Fractions nearer to whole than this give weak and numerically poor cuts.
const EDGE: f64 = 0.02;

/// Cuts that `values` violates, the most violated first.
pub(super) fn cuts(model: &Model, node: &Node, values: &[f64]) -> Vec<Row> {
    let mut found: Vec<(f64, Row)> = Vec::new();
    for row in &model.rows {
        if row.low > f64::NEG_INFINITY {
            found.extend(best(model, node, values, &row.terms, row.low, 1.0));
        }
        if row.high < f64::INFINITY {
            found.extend(best(model, node, values, &row.terms, -row.high, -1.0));
        }
    }
    found.sort_by(|a, b| b.0.partial_cmp(&a.0).unwrap_or(std::cmp::Ordering::Equal));
    found.into_iter().take(MOST).map(|(_, row)| row).collect()
}

/// A column seen from the bound it is nearer to: `x = low + u`, or
/// `x = high - u`.
struct Seen {
    col: usize,
    coefficient: f64,
    whole: bool,
    flipped: bool,
    value: f64,
}

/// The most violated cut of `sign · terms ≥ least`.
fn best(
    model: &Model,
    node: &Node,
    values: &[f64],
    terms: &[(usize, f64)],
    least: f64,
    sign: f64,
) -> Option<(f64, Row)> {
    let mut seen = Vec::with_capacity(terms.len());
    let mut rest = least;
    for &(col, k) in terms {
        let k = k * sign;
        let (low, high) = (node.low[col], node.high[col]);
        let flipped = high - values[col] < values[col] - low;
        let at = if flipped { high } else { low };
        if !at.is_finite() {
            return None;
        }
        rest -= k * at;
        seen.push(Seen {
            col,
            coefficient: if flipped { -k } else { k },
            whole: model.columns[col].whole,
            flipped,
            value: (values[col] - at).abs(),
        });
    }
    let mut sizes: Vec<f64> = seen
        .iter()
        .filter(|s| s.whole && s.value > 1e-6 && s.coefficient.abs() > 1e-6)
        .map(|s| s.coefficient.abs())
        .collect();
    sizes.sort_by(|a, b| b.partial_cmp(a).unwrap_or(std::cmp::Ordering::Equal));
    sizes.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    sizes.truncate(10);
    let mut top: Option<(f64, Row)> = None;
    for size in sizes {
        for divide in [1.0, 2.0, 3.0] {
            let cut = rounded(node, &seen, rest, size / divide);
            if let Some((broken, row)) = cut
                && top.as_ref().is_none_or(|t| broken > t.0)
            {
                top = Some((broken, row));
            }
        }
    }
    top
}

/// The mixed-integer rounding of the row divided by `size`, and its violation.
fn rounded(node: &Node, seen: &[Seen], rest: f64, size: f64) -> Option<(f64, Row)> {
    let b = rest / size;
    let part = b - b.floor();
    if !(EDGE..=1.0 - EDGE).contains(&part) {
        return None;
    }
    let mut terms = Vec::with_capacity(seen.len());
    let mut low = b.ceil();
    let (mut left, mut norm) = (0.0, 0.0);
    for s in seen {
        let a = s.coefficient / size;
        let k = if s.whole {
            // A coefficient just under a whole number is that number.
            let floor = (a + 1e-9).floor();
            floor + ((a - floor).max(0.0) / part).min(1.0)
        } else {
            a.max(0.0) / part
        };
        if k.abs() < 1e-9 {
            continue;
        }
        left += k * s.value;
        norm += k * k;
        if s.flipped {
            low -= k * node.high[s.col];
            terms.push((s.col, -k));
        } else {
            low += k * node.low[s.col];
            terms.push((s.col, k));
        }
    }
    let ends = terms.iter().map(|(_, k)| k.abs());
    let (small, large) = ends.fold((f64::INFINITY, 0.0f64), |(s, l), k| (s.min(k), l.max(k)));
    let broken = (b.ceil() - left) / f64::sqrt(norm);
    if terms.is_empty() || large / small > 1e4 || broken < 1e-3 {
        return None;
    }
    terms.sort_by_key(|t| t.0);
    Some((broken, Row { terms, low: low - 1e-7, high: f64::INFINITY, grain: 0.0 }))
}
