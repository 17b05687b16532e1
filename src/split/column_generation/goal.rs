//! A goal that is an objective of the coarse program, decomposed: the bound,
//! and better plans on the way to it.

use super::classes::Classes;
use super::dive::dive;
use super::generate::{Effort, first, generate};
use super::integer_master::{FEW_LOADS, FEW_TO_PLAN, MANY_LOADS, every, solve};
use super::knapsack_neighbourhood::{KnapsackNeighbourhood, Patience};
use super::master::{Master, MasterObjective};
use super::pricing::Prices;
use super::targets::{loads_of, targets};
use super::{Report, Task};
use crate::load::GoalKind;
use crate::program::{bound_value, step};

/// Node limits of the integer master over the loads that were generated, and
/// over all that matter.
const PLAN_NODES: u64 = 100;
const PROOF_NODES: u64 = 3_000;
/// Tries without improvement of the knapsack neighbourhood: before loads are
/// generated, and after.
const BRIEF: Patience = Patience { tries: 700, memory: 1 };
const LONG: Patience = Patience { tries: 12_000, memory: 200 };

/// The bound as an objective; plans are offered as they are found.
pub(super) fn goal(task: &mut Task, classes: &Classes, report: &mut Report) -> Option<f64> {
    let (facts, kind) = (task.program.facts, task.kind);
    let step = step(facts, kind);
    let value = |b: f64| bound_value(facts, kind, b, false);
    let mut master = Master::new(task.program, classes, MasterObjective::Goal);
    for (class, load) in loads_of(facts, classes, &task.plan) {
        master.add(class, load);
    }
    let mut effort = Effort { rounds: 150, steps: 3_000_000_000 };
    let proven = |task: &Task, bound: f64| value(bound) == value(task.known);
    let enough = |task: &Task, bound: f64| {
        proven(task, bound) || task.good_enough(bound) || task.clock.over()
    };
    let rounds = first(facts, &master, &mut effort, task.clock);
    let mut bound = rounds.bound().max(task.low);
    if enough(task, bound) {
        return Some(bound);
    }
    if let (GoalKind::Wants, Some(best)) = (kind, &rounds.best) {
        improve_by_knapsacks(task, classes, &best.prices, bound, BRIEF, report);
        if enough(task, bound) {
            return Some(bound);
        }
    }
    let known = value(task.known);
    let near = task.gap / 4.0 * task.known.abs();
    let rounds = generate(facts, &mut master, &mut effort, task.clock, true, |bound, point| {
        let there = value(bound) == known || value(bound) == value(point);
        there || point - bound < near
    });
    report.generation(&rounds, &master);
    let bounded = rounds.best.as_ref()?;
    bound = bound.max(bounded.lagrangian.bound);
    if enough(task, bound) {
        return Some(bound);
    }
    // All loads that a better plan can have, if those are few.
    let target = |task: &Task| task.known - step;
    let few = every(
        task.program,
        classes,
        MasterObjective::Goal,
        bounded,
        target(task),
        FEW_LOADS,
        task.clock,
    );
    if let Some(all) = few {
        return Some(bound.max(prove(task, &all, step, report)));
    }
    let mut refilled = false;
    if kind == GoalKind::Wants {
        refilled = improve_by_knapsacks(task, classes, &bounded.prices, bound, LONG, report);
        if enough(task, bound) {
            return Some(bound);
        }
    }
    // A plan from the loads there are, and one from a dive.
    if master.patterns.len() <= FEW_TO_PLAN {
        let solved = solve(&master, Some(task.known), step, PLAN_NODES, task.clock);
        report.whole("loads so far", &solved, &master);
        if let Some(values) = solved.values {
            task.offer(targets(task.program, &master, &values));
        }
    }
    if enough(task, bound) {
        return Some(bound);
    }
    // Where the knapsack neighbourhood finds nothing, a dive seldom does.
    let dived = if refilled { None } else { dive(facts, &master, &mut effort, task.clock) };
    if let Some((values, master)) = dived {
        task.offer(targets(task.program, &master, &values));
        report.notes.push(format!("dived to {:.4}", task.known));
    }
    if enough(task, bound) {
        return Some(bound);
    }
    let all = every(
        task.program,
        classes,
        MasterObjective::Goal,
        bounded,
        target(task),
        MANY_LOADS,
        task.clock,
    );
    if let Some(all) = all {
        bound = bound.max(prove(task, &all, step, report));
    }
    Some(bound)
}

/// Solves the integer master over every load that a better plan could have.
fn prove(task: &mut Task, all: &Master, step: f64, report: &mut Report) -> f64 {
    let known = task.known;
    let solved = solve(all, Some(known), step, PROOF_NODES, task.clock);
    report.whole("every load", &solved, all);
    if let Some(values) = &solved.values {
        task.offer(targets(task.program, all, values));
    }
    if solved.infeasible || solved.best && solved.values.is_none() {
        return known;
    }
    // A plan that is not better than the incumbent need not be a point here.
    solved.bound.map_or(f64::NEG_INFINITY, |b| b.min(known))
}

/// Improves the wanted things by the knapsack neighbourhood, up to what the
/// bound leaves to gain; whether there is anything of that kind.
fn improve_by_knapsacks(
    task: &mut Task,
    classes: &Classes,
    prices: &Prices,
    bound: f64,
    patience: Patience,
    report: &mut Report,
) -> bool {
    let Some(mut refill) = KnapsackNeighbourhood::new(task.program, classes, &task.plan) else {
        return false;
    };
    let to_gain = task.known - bound - task.gap * task.known.abs();
    let to_gain = to_gain.ceil().max(1.0) as u64;
    let gained = refill.run(prices, to_gain, patience, task.seed, task.clock);
    report.notes.push(format!("refilled for {gained} more"));
    if gained > 0 {
        task.offer(refill.targets());
    }
    true
}
