//! A model as good_lp's, and its linear relaxation by microlp: pure Rust,
//! needs nothing but cargo.

use crate::program::{Column, Model};
use good_lp::{
    Constraint, Expression, ProblemVariables, ResolutionError, Solution, SolverModel, Variable,
    variable,
};

/// The result of a linear relaxation.
pub(crate) enum Relaxed {
    Point(Vec<f64>),
    Infeasible,
    /// The solver failed.
    Unknown,
}

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

/// As [`variables`], all of them continuous.
pub(super) fn real_variables(model: &Model) -> (ProblemVariables, Vec<Variable>) {
    let mut vars = ProblemVariables::new();
    let real = |c: &Column| variable().min(c.low).max(c.high);
    let columns = model.columns.iter().map(|c| vars.add(real(c))).collect();
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

/// The linear relaxation: every column continuous.
///
/// The solver can fail on nearly dependent rows; reordered and rescaled, the
/// same rows mostly work.
pub(crate) fn relax(model: &Model) -> Relaxed {
    match relax_once(model) {
        Relaxed::Unknown => relax_once(&turned(model)),
        known => known,
    }
}

fn relax_once(model: &Model) -> Relaxed {
    let (vars, columns) = variables(model);
    let objective = &model.objective;
    let mut problem =
        vars.minimise(expression(&objective.terms, 0.0, &columns)).using(good_lp::microlp);
    for c in constraints(model, &columns) {
        problem = problem.with(c);
    }
    match problem.solve() {
        Ok(s) => Relaxed::Point(columns.iter().map(|v| s.value(*v)).collect()),
        Err(ResolutionError::Infeasible) => Relaxed::Infeasible,
        Err(_) => Relaxed::Unknown,
    }
}

/// The same program, its rows in another order and each with 1 as its largest
/// coefficient.
fn turned(model: &Model) -> Model {
    let mut turned = model.clone();
    turned.rows.reverse();
    for row in &mut turned.rows {
        let largest = row.terms.iter().map(|(_, k)| k.abs()).fold(0.0, f64::max);
        if largest > 0.0 {
            row.terms.iter_mut().for_each(|t| t.1 /= largest);
            row.low /= largest;
            row.high /= largest;
        }
    }
    turned
}
