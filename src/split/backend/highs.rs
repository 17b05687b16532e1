//! good_lp with HiGHS, for large moves: feature `highs`.
//!
//! good_lp builds the model; the bound and the gap are not among what it gives
//! back, so the solve itself goes through the `highs` crate. Always one thread
//! and `parallel = off`: the parallel search has been seen to overrun its time
//! limit many times over, and results must not depend on timing.

use super::linear::{constraints, expression, variables};
use super::{Ask, Solved};
use crate::program::{Affine, Model};
use good_lp::SolverModel;
use highs::HighsModelStatus as Status;

pub(super) fn solve(mut ask: Ask) -> Solved {
    if ask.model.columns.is_empty() {
        // Nothing to decide: HiGHS has a status of its own for that.
        let bound = Some(ask.model.objective.constant);
        let values = Some(Vec::new());
        return Solved { values, bound, best: true, cut_short: false, ..Solved::NOTHING };
    }
    whole_sums(&mut ask.model);
    let (vars, columns) = variables(&ask.model);
    let objective = &ask.model.objective;
    let mut problem =
        vars.minimise(expression(&objective.terms, 0.0, &columns)).using(good_lp::highs);
    for c in constraints(&ask.model, &columns) {
        problem = problem.with(c);
    }
    let Ok(mut model) = problem.try_into_inner() else { return Solved::NOTHING };
    model.set_option("output_flag", false);
    model.set_option("parallel", "off");
    model.set_option("threads", 1);
    model.set_option("random_seed", 1);
    model.set_option("time_limit", ask.time.as_secs_f64());
    model.set_option("mip_rel_gap", ask.gap);
    model.set_option("mip_abs_gap", 0.0);
    model.set_option("mip_feasibility_tolerance", 1e-7);
    model.set_option("primal_feasibility_tolerance", 1e-8);
    if !ask.start.is_empty() {
        let mut start: Vec<f64> = ask.model.columns.iter().map(|c| c.low).collect();
        ask.start.iter().for_each(|(c, v)| start[*c] = *v);
        // Helper columns are not in the start: HiGHS completes or drops it.
        let _ = model.try_set_solution(Some(&start), None, None, None);
    }
    let Ok(solved) = model.try_solve() else { return Solved::NOTHING };
    let status = solved.status();
    if status == Status::Infeasible {
        return Solved { infeasible: true, cut_short: false, ..Solved::NOTHING };
    }
    let values = solved.get_solution().columns().to_vec();
    let gap = solved.mip_gap();
    if values.len() != columns.len() || !gap.is_finite() {
        return Solved::NOTHING;
    }
    // HiGHS: gap = |bound - value| / |value|, without the constant.
    let value = objective.value(&values);
    let own = value - objective.constant;
    match status {
        Status::Optimal | Status::ReachedTimeLimit => Solved {
            values: Some(values),
            bound: Some(own - gap * own.abs() + objective.constant),
            best: status == Status::Optimal && gap <= 0.0,
            cut_short: status != Status::Optimal,
            ..Solved::NOTHING
        },
        _ => Solved::NOTHING,
    }
}

/// HiGHS knows whole columns only: a sum that must be whole becomes one.
fn whole_sums(model: &mut Model) {
    for sum in std::mem::take(&mut model.sums) {
        let whole = sum.terms.iter().all(|(c, _)| model.columns[*c].whole);
        if !whole {
            let mut row = Affine { terms: sum.terms, constant: 0.0 };
            let col = model.whole(i32::MAX as u64);
            row.add(col, -1.0);
            model.row(&row, 0.0, 0.0);
        }
    }
}
