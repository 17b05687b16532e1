//! good_lp with HiGHS, for large moves: feature `highs`.
//!
//! good_lp builds the model; the bound and the gap are not among what it
//! gives back, so the solve itself goes through the `highs` crate. Always one
//! thread and `parallel = off`: the parallel search has been seen to overrun
//! its time limit many times over, and results must not hang on timing.

use super::microlp::{constraints, expression, variables};
use super::{Ask, Solved};
use good_lp::SolverModel;
use highs::HighsModelStatus as Status;

pub(super) fn solve(ask: Ask) -> Solved {
    let (vars, columns) = variables(&ask.model);
    let objective = &ask.model.objective;
    let mut problem =
        vars.minimise(expression(&objective.terms, 0.0, &columns)).using(good_lp::highs);
    for c in constraints(&ask.model, &columns) {
        problem = problem.with(c);
    }
    let Ok(mut model) = problem.try_into_inner() else { return Solved::Nothing };
    model.set_option("output_flag", false);
    model.set_option("parallel", "off");
    model.set_option("threads", 1);
    model.set_option("random_seed", 1);
    model.set_option("time_limit", ask.time.as_secs_f64());
    model.set_option("mip_rel_gap", ask.gap);
    model.set_option("mip_abs_gap", 0.0);
    model.set_option("mip_feasibility_tolerance", 1e-7);
    model.set_option("primal_feasibility_tolerance", 1e-8);
    let Ok(solved) = model.try_solve() else { return Solved::Nothing };
    let status = solved.status();
    if status == Status::Infeasible {
        return Solved::Infeasible;
    }
    let point = solved.get_solution();
    let values = point.columns().to_vec();
    if values.len() != columns.len() {
        return Solved::Nothing;
    }
    let value = objective.value(&values);
    let gap = solved.mip_gap();
    match status {
        Status::Optimal if gap <= 0.0 => Solved::Best { values, objective: value },
        Status::Optimal | Status::ReachedTimeLimit if gap.is_finite() => {
            // HiGHS: gap = |bound - value| / |value|, without the constant.
            let own = value - objective.constant;
            Solved::Point { values, bound: Some(own - gap * own.abs() + objective.constant) }
        }
        _ => Solved::Nothing,
    }
}
