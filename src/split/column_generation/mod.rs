//! Decomposition (Dantzig and Wolfe 1960; Gilmore and Gomory 1961): one column
//! for each load that a carrier might bear, generated as it is wanted.
//!
//! The coarse program lets a party share its limits, and so bounds a plan
//! poorly where a thing fills a large part of what one person may bear. Here
//! each carrier bears a whole load within its own limits.

mod classes;
mod dive;
mod generate;
mod goal;
mod integer_master;
mod knapsack;
mod knapsack_neighbourhood;
mod knapsack_table;
mod lagrangian;
mod master;
mod peak_share;
mod pricing;
#[cfg(test)]
mod sample;
mod targets;
#[cfg(test)]
mod tests;

use super::backend::Solved;
use super::facts::Facts;
use super::local_search::Target;
use super::options::Clock;
use super::pins::Pins;
use super::program::{Program, Team};
use crate::load::{GoalKind, Plan, Share};
use classes::Classes;
use generate::Generation;
use master::Master;

/// From wishes to the best plan there is then, and its objective.
type TryPlan<'t> = dyn FnMut(&[Target]) -> Option<(Plan, f64)> + 't;

/// What is decomposed, and what is known of it.
pub(crate) struct Task<'t, 'f, 'o> {
    /// The coarse program, pinned, and aimed unless the goal is `even`.
    pub program: &'t Program<'f, 'o>,
    pub kind: GoalKind,
    pub pins: &'t Pins,
    /// The best plan so far and its objective.
    pub plan: Plan,
    pub known: f64,
    /// A bound on the objective that holds already.
    pub low: f64,
    /// The relative gap that is good enough.
    pub gap: f64,
    pub seed: u64,
    pub clock: &'t Clock,
    /// Builds, mends and audits a plan; gives the best plan and its objective.
    pub try_plan: &'t mut TryPlan<'t>,
}

impl Task<'_, '_, '_> {
    fn offer(&mut self, targets: Vec<Target>) {
        if let Some((plan, value)) = (self.try_plan)(&targets).filter(|(_, v)| *v < self.known) {
            (self.plan, self.known) = (plan, value);
        }
    }

    fn good_enough(&self, bound: f64) -> bool {
        self.known - bound <= self.gap * self.known.abs().max(bound.abs())
    }
}

/// What was done, for who asks for the stages.
#[derive(Debug, Clone, Default)]
pub(crate) struct Report {
    pub notes: Vec<String>,
}

impl Report {
    fn generation(&mut self, rounds: &Generation, master: &Master) {
        let (n, loads) = (rounds.rounds, master.patterns.len());
        self.notes.push(format!("{n} rounds, {loads} loads, bound {:.4}", rounds.bound()));
    }
    fn whole(&mut self, what: &str, solved: &Solved, master: &Master) {
        let bound = solved.bound.map_or("unknown".into(), |b| format!("{b:.4}"));
        let (nodes, loads) = (solved.nodes, master.patterns.len());
        self.notes.push(format!("{what}: {loads}, {nodes} nodes, bound {bound}"));
    }
}

/// The most links, families and classes that are priced, and links of all
/// families.
const MOST_LINKS: usize = 1_500;
const MOST_CLASSES: usize = 400;
const MOST_PRICED: usize = 40_000;

/// Whether the move is of a size that is quickly priced, and each carrier for
/// itself says more than all together.
pub(crate) fn applies(facts: &Facts, teams: &[Team]) -> bool {
    let items = facts.items.iter().filter(|f| f.held > 0).count();
    let several = teams.iter().any(|t| t.members.len() > 1 && !t.store);
    if !several || items * teams.len() > MOST_LINKS {
        return false;
    }
    let program = Program::new(facts, teams.to_vec());
    let classes = Classes::new(&program, &Pins::default());
    classes.classes.len() <= MOST_CLASSES
        && classes.links.len() * classes.families.len() <= MOST_PRICED
}

/// Decomposes a goal that the coarse program weighs: `wants` and `lightest`.
/// Gives a bound on the objective.
pub(crate) fn goal(task: &mut Task, report: &mut Report) -> Option<f64> {
    let classes = Classes::new(task.program, task.pins);
    goal::goal(task, &classes, report)
}

/// Decomposes the goal `even`: no plan has a lower peak share than this.
pub(crate) fn even(task: &mut Task, low: Share, best: Share, report: &mut Report) -> Option<Share> {
    peak_share::even(task, low, best, report)
}
