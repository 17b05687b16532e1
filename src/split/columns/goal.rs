//! A goal that the coarse program can weigh by itself, decomposed: the bound,
//! and better plans on the way to it.

use super::classes::Classes;
use super::dive::dive;
use super::master::{Aim, Master};
use super::pricing::Prices;
use super::refill::Refill;
use super::rounds::{Effort, first, generate};
use super::whole::{MOST_LOADS, every, solve};
use super::wishes::{loads_of, wishes};
use super::{Report, Task};
use crate::load::GoalKind;
use crate::split::program::{bound_value, step};

/// Nodes over the loads that were generated, and over all that matter.
const PLAN_NODES: u64 = 100;
const PROOF_NODES: u64 = 3_000;

/// The bound as an objective; plans are offered as they are found.
pub(super) fn goal(task: &mut Task, classes: &Classes, report: &mut Report) -> Option<f64> {
    let (facts, kind) = (task.program.facts, task.kind);
    let step = step(facts, kind);
    let value = |b: f64| bound_value(facts, kind, b, false);
    let mut master = Master::new(task.program, classes, Aim::Goal);
    for (class, load) in loads_of(facts, classes, task.plan) {
        master.add(class, load);
    }
    let mut effort = Effort { rounds: 150, steps: 3_000_000_000 };
    let proven = |task: &Task, bound: f64| value(bound) == value(task.known);
    let enough = |task: &Task, bound: f64| {
        proven(task, bound) || task.good_enough(bound) || task.clock.over()
    };
    let rounds = first(facts, &master, &mut effort, task.clock);
    let mut bound = rounds.bound();
    if enough(task, bound) {
        return Some(bound);
    }
    if let (GoalKind::Wants, Some(best)) = (kind, &rounds.best) {
        refill(task, classes, &best.prices, bound, report);
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
    report.rounds(&rounds, &master);
    let bounded = rounds.best.as_ref()?;
    bound = bound.max(bounded.lagrangian.bound);
    if enough(task, bound) {
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
    if !enough(task, bound) {
        if let Some((values, master)) = dive(facts, &master, &mut effort, task.clock) {
            task.offer(wishes(task.program, &master, &values));
        }
    }
    if enough(task, bound) {
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

/// Exchanges what is only wanted, up to what the bound leaves to gain.
fn refill(task: &mut Task, classes: &Classes, prices: &Prices, bound: f64, report: &mut Report) {
    let Some(mut refill) = Refill::new(task.program, classes, task.plan) else { return };
    let to_gain = task.known - bound - task.gap * task.known.abs();
    let to_gain = to_gain.ceil().max(1.0) as u64;
    let gained = refill.run(prices, to_gain, task.seed, task.clock);
    report.notes.push(format!("refilled for {gained} more"));
    if gained > 0 {
        task.offer(refill.wishes());
    }
}
