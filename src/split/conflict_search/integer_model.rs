//! A model in whole numbers.
//!
//! Programs are written in kg, L and thousands of base units, for the sake of
//! linear solvers; each row and each continuous column says of which part of
//! its unit everything in it is a whole multiple (its grain). A row that does
//! not come out whole, or is too large for 64 bits, is left out: that only
//! relaxes the model, so what has no point here has none there. Points are to
//! be audited.

use crate::program::Model;

/// `Σ weight · column ≤ most`.
#[derive(Debug, Clone)]
pub(crate) struct IntegerRow {
    pub terms: Vec<(usize, i64)>,
    pub most: i64,
}

/// Whole columns with bounds, and rows.
#[derive(Debug, Clone, Default)]
pub(crate) struct IntegerModel {
    pub low: Vec<i64>,
    pub high: Vec<i64>,
    /// How many of the column's own whole numbers make one of its unit.
    pub grain: Vec<f64>,
    pub rows: Vec<IntegerRow>,
    /// To be minimised, without its constant, in its own grains.
    pub objective: Vec<(usize, i64)>,
    /// `objective in grains = (value - constant) · grain`.
    pub constant: f64,
    /// Zero: the objective does not come out whole, and only feasibility can be
    /// asked.
    pub objective_grain: f64,
}

/// The most that a row may reach, so that sums stay within 64 bits.
const MOST: f64 = (1u64 << 60) as f64;

impl IntegerModel {
    /// The model in whole numbers; `None` if a column has no grain.
    pub fn of(model: &Model) -> Option<Self> {
        let mut whole = IntegerModel::default();
        for c in &model.columns {
            let grain = if c.whole { 1.0 } else { c.grain };
            if grain <= 0.0 || !c.low.is_finite() || !c.high.is_finite() {
                return None;
            }
            // Outwards for what floats lose.
            let (low, high) = (c.low * grain, c.high * grain);
            if low.abs() > MOST || high.abs() > MOST {
                return None;
            }
            whole.low.push((low - edge(low)).ceil() as i64);
            whole.high.push((high + edge(high)).floor() as i64);
            whole.grain.push(grain);
        }
        for row in &model.rows {
            let ends = [(row.high, 1.0), (-row.low, -1.0)];
            for (most, sign) in ends.into_iter().filter(|(most, _)| most.is_finite()) {
                if let Some(row) = whole.row(&row.terms, sign, row.grain, most) {
                    whole.rows.push(row);
                }
            }
        }
        let grain = model.objective_grain;
        whole.constant = model.objective.constant;
        if let Some(terms) = whole.weights(&model.objective.terms, 1.0, grain)
            && grain > 0.0
        {
            whole.objective = terms;
            whole.objective_grain = grain;
        }
        Some(whole)
    }

    /// Whether the objective can be given a cutoff.
    pub fn has_objective(&self) -> bool {
        self.objective_grain > 0.0
    }

    fn row(&self, terms: &[(usize, f64)], sign: f64, grain: f64, most: f64) -> Option<IntegerRow> {
        let mut terms = self.weights(terms, sign, grain)?;
        let most = most * grain;
        if most.abs() > MOST {
            return None;
        }
        let mut most = (most + edge(most)).floor() as i64;
        // What all weights share, the end is a multiple of too.
        let shared = terms.iter().fold(0u64, |g, t| gcd(g, t.1.unsigned_abs())) as i64;
        if shared > 1 {
            terms.iter_mut().for_each(|t| t.1 /= shared);
            most = most.div_euclid(shared);
        }
        Some(IntegerRow { terms, most })
    }

    /// The terms in grains, if they come out whole and small enough.
    fn weights(&self, terms: &[(usize, f64)], sign: f64, grain: f64) -> Option<Vec<(usize, i64)>> {
        let mut out = Vec::with_capacity(terms.len());
        let mut reach = 0.0;
        for &(c, k) in terms {
            let weight = sign * k * grain / self.grain[c];
            let near = weight.round();
            // A whole multiple, but for what floats lose of products and sums.
            if (weight - near).abs() > 1e-6 + weight.abs() * 1e-13 {
                return None;
            }
            reach +=
                near.abs() * self.low[c].unsigned_abs().max(self.high[c].unsigned_abs()) as f64;
            if near != 0.0 {
                out.push((c, near as i64));
            }
        }
        (reach < MOST).then_some(out)
    }

    /// The objective in grains that a value of its unit stands for, rounded down.
    pub fn grains(&self, value: f64) -> i64 {
        let grains = (value - self.constant) * self.objective_grain;
        (grains + edge(grains)).floor() as i64
    }

    /// The point in the model's own units.
    pub fn values(&self, point: &[i64]) -> Vec<f64> {
        point.iter().zip(&self.grain).map(|(v, g)| *v as f64 / g).collect()
    }
}

/// How far a float that stands for a whole number may be off.
fn edge(v: f64) -> f64 {
    1e-6 + v.abs() * 1e-13
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
