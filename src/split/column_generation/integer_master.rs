//! The integer master by branch and bound: over the loads that were generated,
//! for a plan; over every load that a better plan could have, for a proof
//! (Baldacci, Christofides and Mingozzi 2008).

use super::classes::Classes;
use super::generate::Bounded;
use super::ix::ClassIx;
use super::knapsack::Knapsack;
use super::master::{Master, MasterObjective};
use crate::backend::{self, Ask, Solved};
use crate::options::Clock;
use crate::program::Program;

/// The most loads for which it is solved for a plan alone.
pub(super) const FEW_TO_PLAN: usize = 150;
/// So many loads are solved quickly for a proof, and so many at all.
pub(super) const FEW_LOADS: usize = 1_000;
pub(super) const MANY_LOADS: usize = 5_000;
/// Node limit of the enumeration of one class's loads.
const MOST_NODES: u64 = 100_000;

/// The master with every load that a plan at or under `target` could have, and
/// its columns cropped to what such a plan could have: by reduced cost beside
/// the Lagrangian bound. Nothing if there are too many.
pub(super) fn every<'c>(
    program: &Program,
    classes: &'c Classes,
    aim: MasterObjective,
    bounded: &Bounded,
    target: f64,
    most: usize,
    clock: &Clock,
) -> Option<Master<'c>> {
    let facts = program.facts;
    let Bounded { lagrangian, prices, priced, .. } = bounded;
    // Lagrangian bounds are lowered by their rounding already.
    let gap = (target - lagrangian.bound).max(0.0);
    let steps = (gap / prices.unit).ceil().min(1e18) as u64;
    let mut master = Master::new(program, classes, aim);
    let mut left = most;
    for (k, class) in classes.classes.iter().enumerate() {
        if clock.over() {
            return None;
        }
        let family = &classes.families[class.family];
        let things = family.things(facts, classes, prices);
        let least = priced[k].bound.saturating_sub(steps);
        let loads =
            Knapsack::new(&things, &family.sides, class.limit).all(least, left, MOST_NODES)?;
        left -= loads.len();
        for load in loads {
            master.add(ClassIx(k), load);
        }
    }
    for (column, d) in master.model.columns.iter_mut().zip(&lagrangian.reduced) {
        // Over by 1e-6 of a unit, so that no rounding crops what may be.
        let far = gap / d.abs() + 1e-6;
        let far = if column.whole { far.floor() } else { far };
        if *d > 0.0 {
            column.high = column.high.min(column.low + far);
        } else if *d < 0.0 {
            column.low = column.low.max(column.high - far);
        }
    }
    Some(master)
}

/// Solves the integer master; `known` is the incumbent's objective.
pub(super) fn solve(
    master: &Master,
    known: Option<f64>,
    step: f64,
    nodes: u64,
    clock: &Clock,
) -> Solved {
    let time = clock.left();
    let model = master.model.clone();
    let ask =
        Ask { model, known, start: Vec::new(), step, gap: 0.0, nodes, time, interior_dive: false };
    backend::solve(ask, clock)
}
