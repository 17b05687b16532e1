//! The linear relaxation by Clarabel, an interior point solver in pure Rust: a
//! point in the middle of the optimal face, and the duals.

use super::linear::{expression, real_variables};
use crate::program::Model;
use good_lp::constraint::ConstraintReference;
use good_lp::{Constraint, DualValues, Solution, SolutionWithDual, SolverModel};
use std::time::Duration;

/// The optimum of a linear relaxation, as near as an interior point comes.
#[derive(Debug, Clone)]
pub(crate) struct Interior {
    pub values: Vec<f64>,
    /// The duals: by how much the optimum rises for each unit by which a row's
    /// bound rises: not negative for `≥`, not positive for `≤`, either for `=`
    /// and for rows with two ends. Good to a solver's tolerance only: a bound
    /// must be computed from them, not read off `objective`.
    pub duals: Vec<f64>,
    #[allow(dead_code, reason = "the decomposition takes it")]
    pub objective: f64,
}

/// Solves the model with every column continuous; nothing if it has no optimum
/// or the solver fails.
#[allow(dead_code, reason = "the decomposition takes it")]
pub(crate) fn interior(model: &Model) -> Option<Interior> {
    interior_within(model, 1e-8, Duration::from_secs(u32::MAX.into()))
}

/// As [`interior`], to a relative gap of `tolerance`: sooner and less exact.
/// Nothing if it takes longer than `time`.
pub(crate) fn interior_within(model: &Model, tolerance: f64, time: Duration) -> Option<Interior> {
    let (vars, columns) = real_variables(model);
    let objective = &model.objective;
    let mut problem =
        vars.minimise(expression(&objective.terms, 0.0, &columns)).using(good_lp::clarabel);
    let settings = problem.settings();
    settings.tol_gap_abs(tolerance).tol_gap_rel(tolerance).tol_feas(tolerance.min(1e-7));
    settings.time_limit(time.as_secs_f64());
    let mut ends: Vec<(usize, ConstraintReference)> = Vec::with_capacity(model.rows.len());
    for (r, row) in model.rows.iter().enumerate() {
        let e = || expression(&row.terms, 0.0, &columns);
        let mut add = |c: Constraint| ends.push((r, problem.add_constraint(c)));
        if row.low == row.high {
            add(e().eq(row.low));
            continue;
        }
        if row.high.is_finite() {
            add(e().leq(row.high));
        }
        if row.low.is_finite() {
            add(e().geq(row.low));
        }
    }
    let mut solution = problem.solve().ok()?;
    // good_lp takes an unbounded program for solved; Clarabel gives it no value.
    if !solution.inner().obj_val.is_finite() {
        return None;
    }
    let values: Vec<f64> = columns.iter().map(|v| solution.value(*v)).collect();
    let prices = solution.compute_dual();
    let mut duals = vec![0.0; model.rows.len()];
    ends.into_iter().for_each(|(r, c)| duals[r] += prices.dual(c));
    let objective = objective.value(&values);
    let finite = values.iter().chain(&duals).all(|v| v.is_finite()) && objective.is_finite();
    finite.then_some(Interior { values, duals, objective })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::program::Affine;

    fn affine(terms: &[(usize, f64)]) -> Affine {
        Affine { terms: terms.to_vec(), constant: 0.0 }
    }

    /// Dantzig's product mix, as in Hillier and Lieberman, Introduction to
    /// Operations Research (Wyndor Glass; from memory): most of 3x + 5y with x
    /// ≤ 4, 2y ≤ 12, 3x + 2y ≤ 18 is 36 at (2, 6), and the duals are 0, 3/2 and
    /// 1.
    #[test]
    fn rows_are_worth_what_the_textbook_says() {
        let mut model = Model::default();
        let x = model.real(0.0, f64::INFINITY);
        let y = model.whole(100);
        model.at_most(&affine(&[(x, 1.0)]), 4.0);
        model.at_most(&affine(&[(y, 2.0)]), 12.0);
        model.at_most(&affine(&[(x, 3.0), (y, 2.0)]), 18.0);
        model.minimise(&affine(&[(x, -3.0), (y, -5.0)]));
        let found = interior(&model).unwrap();
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-5, "{a} is not {b}");
        near(found.objective, -36.0);
        near(found.values[x], 2.0);
        near(found.values[y], 6.0);
        [0.0, -1.5, -1.0].into_iter().zip(&found.duals).for_each(|(want, d)| near(*d, want));
    }

    #[test]
    fn the_signs_follow_the_ends() {
        // Least of 2x + 3y, x + y = 4, 1 ≤ x - y ≤ 2, y ≥ 1: at (3, 1). One
        // more in all costs 2.5, one more between the two costs -0.5.
        let mut model = Model::default();
        let (x, y) = (model.real(0.0, 50.0), model.real(0.5, 50.0));
        model.row(&affine(&[(x, 1.0), (y, 1.0)]), 4.0, 4.0);
        model.row(&affine(&[(x, 1.0), (y, -1.0)]), 1.0, 2.0);
        model.at_least(&affine(&[(x, 1.0)]), 1.0);
        model.minimise(&affine(&[(x, 2.0), (y, 3.0)]));
        let found = interior(&model).unwrap();
        let want = [2.5, -0.5, 0.0];
        for (d, want) in found.duals.iter().zip(want) {
            assert!((d - want).abs() < 1e-5, "{:?}", found.duals);
        }
        // The other way round the other end holds.
        model.minimise(&affine(&[(x, 3.0), (y, 2.0)]));
        let found = interior(&model).unwrap();
        assert!((found.duals[1] - 0.5).abs() < 1e-5, "{:?}", found.duals);
    }

    #[test]
    fn without_an_optimum_there_is_none() {
        let mut model = Model::default();
        let x = model.real(0.0, f64::INFINITY);
        model.at_least(&affine(&[(x, 1.0)]), 1.0);
        model.minimise(&affine(&[(x, -1.0)]));
        assert!(interior(&model).is_none(), "unbounded");
        model.minimise(&affine(&[(x, 1.0)]));
        model.at_most(&affine(&[(x, 1.0)]), 0.5);
        assert!(interior(&model).is_none(), "infeasible");
    }
}
