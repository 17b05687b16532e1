//! A goal that the coarse program can weigh by itself, decomposed: the bound,
//! and better plans on the way to it.

use super::classes::Classes;
use super::dive::dive;
use super::master::{Aim, Master};
use super::rounds::{Effort, generate};
use super::whole::{MOST_LOADS, every, solve};
use super::wishes::{loads_of, wishes};
use super::{Report, Task};
use crate::load::GoalValue;
use crate::split::program::{bound_value, step};

/// Nodes over the loads that were generated, and over all that matter.
const PLAN_NODES: u64 = 100;
const PROOF_NODES: u64 = 3_000;

/// The bound as an objective; plans are offered as they are found.
pub(super) fn goal(task: &mut Task, classes: &Classes, report: &mut Report) -> Option<f64> {
    let (facts, kind) = (task.program.facts, task.kind);
    let step = step(facts, kind);
    let value = |b: f64| bound_value(facts, kind, b, false);
    let same = |a: GoalValue, b: GoalValue| a == b;
    let mut master = Master::new(task.program, classes, Aim::Goal);
    for (class, load) in loads_of(facts, classes, task.plan) {
        master.add(class, load);
    }
    let known = value(task.known);
    let mut effort = Effort { rounds: 150, steps: 3_000_000_000 };
    let rounds = generate(facts, &mut master, &mut effort, task.clock, |bound, point| {
        same(value(bound), known) || same(value(bound), value(point))
    });
    report.rounds(&rounds, &master);
    let bounded = rounds.best.as_ref()?;
    let mut bound = bounded.lagrangian.bound;
    let proven = |task: &Task, bound: f64| same(value(bound), value(task.known));
    if proven(task, bound) || task.good_enough(bound) {
        return Some(bound);
    }
    // A plan from what there is.
    if master.patterns.len() <= MOST_LOADS / 4 {
        let solved = solve(facts, &master, Some(task.known), step, PLAN_NODES, task.clock);
        report.whole("loads so far", &solved, &master);
        if let Some(values) = solved.values {
            task.offer(wishes(task.program, &master, &values));
        }
    }
    if !proven(task, bound) && !task.good_enough(bound) {
        if let Some((values, master)) = dive(facts, &master, &mut effort, task.clock) {
            task.offer(wishes(task.program, &master, &values));
        }
    }
    if proven(task, bound) || task.good_enough(bound) || task.clock.over() {
        return Some(bound);
    }
    // Every load of a better plan.
    let target = task.known - step;
    if let Some(master) = every(task.program, classes, Aim::Goal, bounded, target) {
        let solved = solve(facts, &master, Some(task.known), step, PROOF_NODES, task.clock);
        report.whole("every load", &solved, &master);
        if let Some(values) = &solved.values {
            task.offer(wishes(task.program, &master, values));
        }
        if solved.infeasible || solved.best && solved.values.is_none() {
            bound = bound.max(task.known);
        } else if let Some(b) = solved.bound {
            bound = bound.max(b);
        }
    }
    Some(bound)
}
