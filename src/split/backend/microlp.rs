//! good_lp with microlp: pure Rust, needs nothing but cargo.

use super::super::program::Model;
use super::{Ask, Solved};
use good_lp::{
    Constraint, Expression, ProblemVariables, ResolutionError, Solution, SolutionStatus,
    SolverModel, Variable, WithInitialSolution, WithMipGap, WithTimeLimit, variable,
};

/// The model's columns as good_lp's, in the same order.
pub(super) fn variables(model: &Model) -> (ProblemVariables, Vec<Variable>) {
    let mut vars = ProblemVariables::new();
    let columns = model
        .columns
        .iter()
        .map(|c| {
            let v = variable().min(c.low).max(c.high);
            vars.add(if c.whole { v.integer() } else { v })
        })
        .collect();
    (vars, columns)
}

pub(super) fn expression(terms: &[(usize, f64)], constant: f64, vars: &[Variable]) -> Expression {
    let mut e = Expression::with_capacity(terms.len());
    e += constant;
    for (c, k) in terms {
        e.add_mul(*k, vars[*c]);
    }
    e
}

/// A row is one constraint, or two if it has both ends and they differ.
pub(super) fn constraints(model: &Model, vars: &[Variable]) -> Vec<Constraint> {
    let mut all = Vec::with_capacity(model.rows.len());
    for row in &model.rows {
        let e = || expression(&row.terms, 0.0, vars);
        if row.low == row.high {
            all.push(e().eq(row.low));
            continue;
        }
        if row.high.is_finite() {
            all.push(e().leq(row.high));
        }
        if row.low.is_finite() {
            all.push(e().geq(row.low));
        }
    }
    all
}

pub(super) fn solve(ask: Ask) -> Solved {
    let (vars, columns) = variables(&ask.model);
    let objective = &ask.model.objective;
    let mut problem = vars
        .minimise(expression(&objective.terms, objective.constant, &columns))
        .using(good_lp::microlp);
    for c in constraints(&ask.model, &columns) {
        problem = problem.with(c);
    }
    let problem = match problem.with_mip_gap(ask.gap as f32) {
        Ok(p) => p.with_time_limit(ask.time.as_secs_f64()),
        Err(_) => return Solved::Nothing,
    };
    let problem = if ask.start.is_empty() {
        problem
    } else {
        problem.with_initial_solution(ask.start.iter().map(|(c, v)| (columns[*c], *v)))
    };
    match problem.solve() {
        Ok(solution) => {
            let values: Vec<f64> = columns.iter().map(|v| solution.value(*v)).collect();
            if matches!(solution.status(), SolutionStatus::Optimal) {
                let objective = objective.value(&values);
                return Solved::Best { values, objective };
            }
            // microlp leaves the objective's constant out of its own sums.
            let bound = solution.into_inner().stats().best_bound;
            Solved::Point { values, bound: bound.map(|b| b + objective.constant) }
        }
        Err(ResolutionError::Infeasible) => Solved::Infeasible,
        Err(_) => Solved::Nothing,
    }
}
