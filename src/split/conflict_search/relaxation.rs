//! The linear relaxation as a propagator: where every row by itself still holds
//! and their sum does not, it says which multiples of the rows to add up.
//!
//! The simplex works in floats and is not trusted: its multipliers are rounded
//! to whole numbers, and the sum of the rows is made exactly. Any sum of rows
//! with multipliers that are not negative holds where the rows do; whether it
//! is violated or narrows anything, propagation finds by itself. (Conflict
//! analysis of infeasible relaxations: Achterberg 2007; as a propagator beside
//! learned clauses: Perron and others; both from memory.)

use super::integer_model::IntegerModel;
use super::trail::{Side, Trail};
use crate::backend::{Ended, Simplex, activity};

/// A row of the relaxation, and which rows of the search its ends are.
struct Ends {
    /// `Σ ≤ most` and `Σ ≥ -most`, as rows of the search.
    upper: Option<u32>,
    lower: Option<u32>,
    /// Its activity bounds, slightly widened.
    activity: (f64, f64),
    /// The largest that its sum can be in whole numbers.
    size: f64,
}

/// What the relaxation found so far.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct RelaxationStats {
    /// How often it was solved.
    pub solves: u64,
    /// Aggregated rows that were violated at once.
    pub broken: u64,
    /// Aggregated rows that narrowed a column.
    pub narrowing: u64,
}

pub(super) struct LinearRelaxation {
    simplex: Simplex,
    ends: Vec<Ends>,
    /// By column: what one of the simplex's units is in whole numbers.
    unit: Vec<f64>,
    /// What the simplex's objective was divided by; zero: there is none.
    objective_scale: f64,
}

/// Sums stay below this, with room for what rounding adds.
const MOST: f64 = (1u64 << 57) as f64;

impl LinearRelaxation {
    /// Of the model's rows, and its objective as the last row; `None` if it is
    /// too large.
    pub fn new(model: &IntegerModel) -> Option<Self> {
        let n = model.low.len();
        let mut rows: Vec<(Vec<(usize, f64)>, Ends)> = Vec::new();
        let mut make = |terms: &[(usize, i64)], upper| {
            let real: Vec<(usize, f64)> =
                terms.iter().map(|&(c, k)| (c, k as f64 * model.grain[c])).collect();
            let ends = |c: usize| {
                let [low, high] = [model.low[c], model.high[c]].map(|v| v as f64 / model.grain[c]);
                (low, high)
            };
            let (activity, size) = activity(&real, ends);
            rows.push((real, Ends { upper, lower: None, activity, size }));
        };
        for (r, row) in model.rows.iter().enumerate() {
            make(&row.terms, Some(r as u32));
        }
        make(&model.objective, None);
        // A row and its negative are one row with two ends.
        let mut merged: Vec<(Vec<(usize, f64)>, Ends)> = Vec::new();
        for (terms, ends) in rows {
            let negative = merged.last().is_some_and(|(last, e)| {
                e.upper.is_some()
                    && ends.upper.is_some()
                    && e.lower.is_none()
                    && last.len() == terms.len()
                    && last.iter().zip(&terms).all(|(a, b)| a.0 == b.0 && a.1 == -b.1)
            });
            match merged.last_mut().filter(|_| negative) {
                Some((_, e)) => e.lower = ends.upper,
                None => merged.push((terms, ends)),
            }
        }
        if !Simplex::fits(n, merged.len()) {
            return None;
        }
        let costs = &merged.last()?.0;
        let objective_scale = costs.iter().map(|t| t.1.abs()).fold(0.0, f64::max);
        let costs: Vec<(usize, f64)> =
            costs.iter().map(|&(c, k)| (c, k / objective_scale)).collect();
        let terms: Vec<&[(usize, f64)]> = merged.iter().map(|(t, _)| t.as_slice()).collect();
        let simplex = Simplex::new(n, &terms, &costs);
        let ends: Vec<Ends> = merged.into_iter().map(|(_, e)| e).collect();
        let unit = model.grain.clone();
        Some(LinearRelaxation { simplex, ends, unit, objective_scale })
    }

    /// Entries of the tableau gone through.
    pub fn work(&self) -> u64 {
        self.simplex.work
    }

    /// The last row's upper end is this row of the search.
    pub fn set_cut(&mut self, row: u32) {
        if let Some(last) = self.ends.last_mut() {
            last.upper = Some(row);
        }
    }

    /// Solves within the bounds of the trail, and gives rows of the search with
    /// whole multipliers, whose sum may be violated or narrow something.
    /// `most`: by row, its right-hand side.
    pub fn solve(&mut self, trail: &Trail, most: impl Fn(u32) -> i64) -> Option<Vec<(u32, i64)>> {
        let columns = self.unit.iter().enumerate().map(|(c, unit)| {
            let (low, high) = (trail.bound[2 * c], -trail.bound[2 * c + 1]);
            (low as f64 / unit, high as f64 / unit)
        });
        let ends = |e: &Ends| {
            let high = e.upper.map_or(e.activity.1, |r| (most(r) as f64).min(e.activity.1));
            let low = e.lower.map_or(e.activity.0, |r| (-most(r) as f64).max(e.activity.0));
            (low, high.max(low))
        };
        self.simplex.bound(columns, self.ends.iter().map(ends));
        let (weights, objective) = match self.simplex.solve() {
            Ended::Optimal if self.objective_scale == 0.0 => return None,
            Ended::Optimal => {
                let scale = self.objective_scale;
                (self.simplex.duals().into_iter().map(|y| y * scale).collect(), 1.0)
            }
            Ended::Infeasible { row, below } => (self.simplex.refutation(row, below), 0.0),
            Ended::Unknown => return None,
        };
        self.whole(weights, objective, most)
    }

    /// The multipliers in whole numbers, as fine as 64 bits let the sum be.
    fn whole(
        &self,
        weights: Vec<f64>,
        objective: f64,
        most: impl Fn(u32) -> i64,
    ) -> Option<Vec<(u32, i64)>> {
        let mut rows: Vec<(u32, f64)> = Vec::new();
        let mut size = 0.0;
        for (&y, e) in weights.iter().zip(&self.ends) {
            let row = if y > 0.0 { e.lower } else { e.upper };
            let Some(row) = row.filter(|_| y != 0.0 && y.is_finite()) else { continue };
            size += y.abs() * (e.size + (most(row) as f64).abs());
            rows.push((row, y.abs()));
        }
        if objective > 0.0 {
            let last = self.ends.last()?;
            let cut = last.upper?;
            size += objective * (last.size + (most(cut) as f64).abs());
            rows.push((cut, objective));
        }
        if size <= 0.0 {
            return None;
        }
        let largest = rows.iter().map(|r| r.1).fold(0.0, f64::max);
        let factor = (MOST / size).min(f64::from(1 << 30) / largest);
        let rows: Vec<(u32, i64)> = rows
            .into_iter()
            .map(|(r, y)| (r, (y * factor).round() as i64))
            .filter(|r| r.1 > 0)
            .collect();
        (!rows.is_empty()).then_some(rows)
    }

    /// Values of the columns at the relaxation's optimum, in whole numbers,
    /// rounded.
    pub fn rounded(&self) -> impl Iterator<Item = i64> {
        self.simplex.values().into_iter().zip(&self.unit).map(|(v, u)| (v * u).round() as i64)
    }
}

/// The exact sum of rows, `terms` of each by side; `None` if it is too large for
/// 64 bits.
pub(super) fn sum<'r>(
    rows: impl Iterator<Item = (&'r [(Side, i64)], i64, i64)>,
    scratch: &mut [i128],
) -> Option<(Vec<(Side, i64)>, i64)> {
    let mut most = 0i128;
    for (terms, end, times) in rows {
        most += i128::from(end) * i128::from(times);
        for &(side, k) in terms {
            let k = if side % 2 == 0 { k } else { -k };
            scratch[side as usize / 2] += i128::from(k) * i128::from(times);
        }
    }
    let mut terms = Vec::new();
    let mut fits = true;
    for (c, k) in scratch.iter_mut().enumerate().filter(|(_, k)| **k != 0) {
        let side = 2 * c as Side + Side::from(*k < 0);
        match i64::try_from(k.abs()) {
            Ok(k) => terms.push((side, k)),
            Err(_) => fits = false,
        }
        *k = 0;
    }
    let most = i64::try_from(most).ok().filter(|_| fits)?;
    Some((terms, most))
}
