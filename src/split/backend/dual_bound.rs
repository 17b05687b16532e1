//! A dual bound from any row multipliers, good or bad, that holds in spite of
//! rounding.
//!
//! For every point of the boxes and rows and any `y` that is not positive where
//! a row has no lower end and not negative where it has no upper one, `c·x ≥ Σ
//! y·end + Σ min over the box of (c - Aᵀy)·x`. The sum is computed in floats
//! with the error of every step counted against it (Neumaier and Shcherbina
//! 2004; the error of a sum of n terms as in Higham 2002, 3.1).

use crate::program::{Affine, Model};

/// A bound on the model's objective, constant included, and the reduced cost of
/// each column at these multipliers. No bound where a column without an end
/// would have to be at it.
pub(crate) fn dual_bound(model: &Model, duals: &[f64]) -> (Option<f64>, Vec<f64>) {
    let rows = model.rows.iter().map(|r| (r.terms.as_slice(), (r.low, r.high)));
    let low: Vec<f64> = model.columns.iter().map(|c| c.low).collect();
    let high: Vec<f64> = model.columns.iter().map(|c| c.high).collect();
    safe_bound(&model.objective, rows.zip(duals.iter().copied()), &low, &high)
}

/// The same of any rows, each with its ends and its multiplier, in any boxes.
pub(crate) fn safe_bound<'r>(
    objective: &Affine,
    rows: impl Iterator<Item = ((&'r [(usize, f64)], (f64, f64)), f64)>,
    low: &[f64],
    high: &[f64],
) -> (Option<f64>, Vec<f64>) {
    let n = low.len();
    let mut costs = vec![0.0; n];
    // Sum of sizes and number of terms of each cost.
    let mut sizes = vec![(0.0f64, 0u32); n];
    let mut add = |c: usize, v: f64| {
        costs[c] += v;
        sizes[c].0 += v.abs();
        sizes[c].1 += 1;
    };
    objective.terms.iter().for_each(|&(c, k)| add(c, k));
    let mut bound = Sum::default();
    bound.add(objective.constant);
    for ((terms, ends), y) in rows {
        let end = if y > 0.0 { ends.0 } else { ends.1 };
        if y == 0.0 || !y.is_finite() || !end.is_finite() {
            continue;
        }
        bound.add(y * end);
        terms.iter().for_each(|&(c, k)| add(c, -y * k));
    }
    for c in 0..n {
        let off = error(sizes[c].0, sizes[c].1);
        // The cost lies between these two, whatever was rounded.
        let (least, most) = (costs[c] - off, costs[c] + off);
        let at = |cost: f64, end: f64| if cost == 0.0 { 0.0 } else { cost * end };
        let ends = [low[c], high[c]].map(|end| at(least, end).min(at(most, end)));
        let worst = ends[0].min(ends[1]);
        if !worst.is_finite() {
            return (None, costs);
        }
        bound.add(worst);
    }
    (bound.lower(), costs)
}

/// How far a sum of so many rounded products can be off.
fn error(size: f64, terms: u32) -> f64 {
    size * (f64::from(terms) + 3.0) * 1.01 * f64::EPSILON
}

#[derive(Default)]
struct Sum {
    value: f64,
    size: f64,
    terms: u32,
}

impl Sum {
    fn add(&mut self, v: f64) {
        self.value += v;
        self.size += v.abs();
        self.terms += 1;
    }
    fn lower(&self) -> Option<f64> {
        let low = self.value - error(self.size, self.terms);
        low.is_finite().then_some(low)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::program::Affine;

    fn affine(terms: &[(usize, f64)]) -> Affine {
        Affine { terms: terms.to_vec(), constant: 0.0 }
    }

    /// Least of -3x - 5y with x ≤ 4, 2y ≤ 12, 3x + 2y ≤ 18 (Hillier and
    /// Lieberman's Wyndor Glass; from memory) is -36 at (2, 6), by the
    /// multipliers 0, -3/2, -1.
    fn mix() -> Model {
        let mut model = Model::default();
        let (x, y) = (model.whole(100), model.real(0.0, 100.0));
        model.at_most(&affine(&[(x, 1.0)]), 4.0);
        model.at_most(&affine(&[(y, 2.0)]), 12.0);
        model.at_most(&affine(&[(x, 3.0), (y, 2.0)]), 18.0);
        model.minimise(&affine(&[(x, -3.0), (y, -5.0)]));
        model
    }

    #[test]
    fn the_best_values_give_the_optimum() {
        let (bound, costs) = dual_bound(&mix(), &[0.0, -1.5, -1.0]);
        let bound = bound.unwrap();
        assert!(bound <= -36.0 && bound > -36.0 - 1e-9, "{bound}");
        assert!(costs.iter().all(|c| c.abs() < 1e-12), "{costs:?}");
    }

    #[test]
    fn any_values_give_a_bound() {
        let model = mix();
        for k in 0..400 {
            // Every sign, also the wrong ones.
            let at = |s: usize| f64::from((k * (7 + s as u32 * 4)) % 41) / 10.0 - 3.0;
            let (bound, _) = dual_bound(&model, &[at(0), at(1), at(2)]);
            assert!(bound.unwrap() <= -36.0, "{k}: {bound:?}");
        }
    }

    #[test]
    fn a_column_without_an_end_gives_none() {
        let mut model = mix();
        model.columns[1].high = f64::INFINITY;
        assert_eq!(dual_bound(&model, &[0.0, 0.0, 0.0]).0, None);
        // Held by the multipliers, it may be without.
        assert!(dual_bound(&model, &[0.0, -3.0, 0.0]).0.is_some());
    }
}
