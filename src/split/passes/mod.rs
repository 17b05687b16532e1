//! Lexicographic optimisation: one pass for each goal, in the order in which
//! the move asks for them.
//!
//! Each pass solves relaxations for a bound and for counts to start from, lets
//! the local search and large neighbourhoods improve the incumbent, and turns
//! to the full program where the two are too far apart. What was reached is
//! pinned, and the next goal follows.

mod carriers_neighbourhood;
mod column_generation;
mod conflict_search;
mod counts;
mod counts_neighbourhood;
mod full_program;
mod lexicographic;
mod local_search;
mod memory;
mod neighbourhood_rounds;
mod pass;
mod program_size;
mod relaxations;
mod side_by_side;
mod solving;
mod values;

#[cfg(test)]
mod tests;

use super::answer::{Answer, GoalResult, Origin, Outcome, Stage, Status, Stop};
use super::facts::Facts;
use super::findings::Findings;
use super::options::{Clock, Options, Progress, Watch};
use super::pins::Pins;
use super::precheck;
use super::program::{Team, coarse};
use crate::load::{GoalKind, GoalValue, MoveOrder, Plan};
use memory::{KeptSearch, Relaxation};
use std::time::Duration;
pub(super) use values::better;

/// Answers a move order within `options.time`, or until `watch` is interrupted from
/// another thread. Every plan in the answer has passed the [`audit`](crate::audit).
///
/// ```
/// use tumpline_kit::read_move_text;
/// use tumpline_split::{Options, Outcome, Status, Watch, audit, split};
///
/// // Invented. The cloth goes with Ann, who can take it; the lamp is too heavy for her.
/// let order = read_move_text("camp.move.yaml", "
/// move: Lamp and cloth
/// equipment: [{id: lamp, mass: 8 kg}, {id: cloth, mass: 1200 g}]
/// carriers: {people: [{id: ann, limit: 5 kg}, {id: bo, limit: 9 kg}]}
/// parties: {camp: {travel: foot, who: [ann, bo]}}
/// needs: {camp: [{need: light, item: lamp}, {need: floor, item: cloth}]}
/// ")?.order;
/// let answer = split(&order, &Options::default(), &Watch::default());
/// match answer.outcome {
///     Outcome::Plan(planned) => {
///         assert_eq!(planned.status, Status::ProvenBest);
///         assert_eq!(planned.plan.placements().len(), 2);
///         assert!(audit(&order, &planned.plan).faults.is_empty());
///     }
///     Outcome::NoPlan(reason) => panic!("proven: no plan exists: {}", reason.text),
///     Outcome::NoneFound => panic!("none was found in the time given"),
/// }
/// # Ok::<(), tumpline_kit::Diagnostics>(())
/// ```
pub fn split(order: &MoveOrder, options: &Options, watch: &Watch) -> Answer {
    answer(order, options, watch, &[], false)
}

/// The same for a move that only tightens another: every plan of this one is a
/// plan of the other, with the same values. `wider` has the results of the
/// other's goals; its bounds hold here too as long as no goal ends worse. Once
/// one is proven to be worse, little is done for the goals after it.
pub fn split_within(
    order: &MoveOrder,
    options: &Options,
    watch: &Watch,
    wider: &[GoalResult],
) -> Answer {
    answer(order, options, watch, wider, false)
}

/// `large`: treats the move as large whatever its size, for tests.
fn answer(
    order: &MoveOrder,
    options: &Options,
    watch: &Watch,
    wider: &[GoalResult],
    large: bool,
) -> Answer {
    let clock = Clock::new(options.time, watch);
    let facts = Facts::new(order);
    let mut passes = Passes {
        facts: &facts,
        options,
        watch,
        clock: clock.clone(),
        coarse: coarse(&facts),
        large: large || program_size::coarse_columns(&facts) > program_size::MOST_COARSE,
        counts_only: large || program_size::coarse_columns(&facts) > program_size::MOST_WITH_WAYS,
        memory: Vec::new(),
        kept_searches: Vec::new(),
        conflict_work: 0,
        nearest: None,
        effort: 1,
        wider: wider.to_vec(),
        decided: false,
        stages: Vec::new(),
        origins: Vec::new(),
        stage: "first plan",
        bound: None,
        found: ("first plan", 0.0),
        bounded: ("the move itself", 0.0),
        nodes: 0,
        decomposable: None,
        best: None,
        searches: 0,
        cut_short: false,
    };
    let outcome = match precheck::first_reason(&facts) {
        Some(reason) => Outcome::NoPlan(reason),
        None => passes.run(),
    };
    let asked = match &outcome {
        Outcome::NoPlan(_) => true,
        Outcome::Plan(p) => p.status != Status::Feasible,
        Outcome::NoneFound => false,
    };
    let stopped = match (asked, clock.interrupted(), passes.cut_short || clock.over()) {
        (true, ..) => None,
        (_, true, _) => Some(Stop::Interrupt),
        (_, _, true) => Some(Stop::Deadline),
        _ => Some(Stop::Unsettled),
    };
    Answer {
        outcome,
        stopped,
        elapsed: clock.elapsed(),
        stages: passes.stages,
        origins: passes.origins,
    }
}

/// The incumbent: the best plan so far, audited.
#[derive(Clone)]
struct Incumbent {
    plan: Plan,
    findings: Findings,
}

impl Incumbent {
    fn value(&self, kind: GoalKind) -> GoalValue {
        let found = self.findings.goals.iter().find(|(k, _)| *k == kind);
        found.map_or(GoalValue::Count(0), |(_, v)| *v)
    }
}

struct Passes<'f, 'o> {
    facts: &'f Facts<'o>,
    options: &'f Options,
    watch: &'f Watch,
    clock: Clock,
    /// The teams of the coarse program: all people of a party are one, all its
    /// vehicles another.
    coarse: Vec<Team>,
    /// Too many columns for that: the relaxation has counts only, no ways.
    counts_only: bool,
    /// Too large to branch on: there is only the counts-only relaxation, solved
    /// by an interior point method with one dive.
    large: bool,
    /// Relaxations that were solved to the end.
    memory: Vec<(&'static str, GoalKind, Pins, Relaxation)>,
    /// Conflict-driven searches that were stopped by their work limit.
    kept_searches: Vec<KeptSearch<'f, 'o>>,
    /// Work of the conflict-driven search in its last turn.
    conflict_work: u64,
    /// While there is no plan: the state with the least penalty, as a plan.
    nearest: Option<Plan>,
    /// Factor on every stage's work limit: 1 in the first round, growing from
    /// round to round.
    effort: u64,
    /// Results of the goals of a wider move, as far as its bounds hold here.
    wider: Vec<GoalResult>,
    /// A goal is proven to be worse than in the wider move: incumbents are
    /// still looked for, but no bounds.
    decided: bool,
    stages: Vec<Stage>,
    origins: Vec<Origin>,
    /// The stage that runs now, for the statistics.
    stage: &'static str,
    /// The bound of the current goal.
    bound: Option<GoalValue>,
    /// The stage that found the best plan, and that proved the bound; when, in
    /// seconds.
    found: (&'static str, f64),
    bounded: (&'static str, f64),
    /// Branch-and-bound nodes so far.
    nodes: u64,
    /// Whether column generation applies to the move, once that was asked.
    decomposable: Option<bool>,
    best: Option<Incumbent>,
    /// Local searches so far: each has a seed of its own.
    searches: u64,
    /// A stage that was to prove something was stopped by the clock.
    cut_short: bool,
}

impl Passes<'_, '_> {
    /// Makes an audited plan the incumbent if it keeps the pins and is better.
    fn offer(&mut self, found: Incumbent, kind: GoalKind, pins: &Pins) {
        let value = found.value(kind);
        let first_or_better = self.best.as_ref().is_none_or(|best| better(value, best.value(kind)));
        if first_or_better && pins.kept_by(self.facts, &found.findings) {
            self.best = Some(found);
            self.found = (self.stage, self.clock.elapsed().as_secs_f64());
            let bound = self.bound;
            self.watch.tell(Progress { goal: Some(kind), value: Some(value), bound });
        }
    }

    /// Takes a bound proven by the current stage if it is tighter.
    fn tighten(&mut self, kind: GoalKind, bound: &mut Option<GoalValue>, new: Option<GoalValue>) {
        let Some(new) = new else { return };
        if bound.is_none_or(|old| better(old, new)) {
            *bound = Some(new);
            self.bounded = (self.stage, self.clock.elapsed().as_secs_f64());
        }
        self.bound = *bound;
        let value = self.best.as_ref().map(|b| b.value(kind));
        self.watch.tell(Progress { goal: Some(kind), value, bound: *bound });
    }

    /// Whether a result needs no more work: proven, or within the gap asked
    /// for.
    fn enough(&self, result: &GoalResult) -> bool {
        result.gap_percent() <= self.asked_gap() * 100.0
    }

    fn reached(&self, kind: GoalKind, bound: Option<GoalValue>) -> bool {
        match (&self.best, bound) {
            (Some(best), Some(bound)) => !better(bound, best.value(kind)),
            _ => false,
        }
    }

    fn note(&mut self, name: &'static str, kind: GoalKind, note: String, took: Duration) {
        self.stages.push(Stage { name, goal: Some(kind), note, seconds: took.as_secs_f64() });
    }

    /// The relative gap that is good enough.
    fn asked_gap(&self) -> f64 {
        self.options.gap.ppm() as f64 / 1e6
    }

    /// Whether the incumbent is within the gap that was asked for.
    fn near(&self, kind: GoalKind, bound: Option<GoalValue>) -> bool {
        let (Some(best), Some(bound)) = (&self.best, bound) else { return false };
        let value = best.value(kind);
        let result = GoalResult { goal: kind, value, reached: value, bound };
        self.enough(&result)
    }
}
