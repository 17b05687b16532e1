//! One pass a goal, in the order the move asks for them.
//!
//! Each pass solves a looser program for a bound and for counts to start
//! from, lets the search find and improve a plan, and turns to the full program
//! where the two are too far apart. What was reached is pinned, and the next
//! goal follows.

use super::answer::{Answer, GoalResult, Outcome, Planned, Reason, Stage, Status, Stop};
use super::audit::audit;
use super::facts::Facts;
use super::findings::Findings;
use super::options::{Clock, Options, Progress, Watch};
use super::pins::Pins;
use super::precheck;
use super::program::{Team, by_duty, coarse};
use super::search::{self, Budget, Wish};
use super::solves::{Counts, Infeasible};
use super::values::{at_best, better, loosened, score, tighter, trivial};
use crate::load::{Goal, GoalKind, GoalValue, MoveOrder, Plan};
use std::time::Duration;

/// Answers a move order. Every plan in the answer has passed the audit.
pub fn split(order: &MoveOrder, options: &Options, watch: &Watch) -> Answer {
    let clock = Clock::new(options.time, watch);
    let facts = Facts::new(order);
    let mut passes = Passes {
        facts: &facts,
        options,
        watch,
        clock: clock.clone(),
        coarse: coarse(&facts),
        memory: Vec::new(),
        stages: Vec::new(),
        best: None,
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
    let stopped = match (asked, clock.interrupted(), passes.cut_short) {
        (true, ..) => None,
        (_, true, _) => Some(Stop::Interrupt),
        (_, _, true) => Some(Stop::Deadline),
        _ => None,
    };
    Answer { outcome, stopped, elapsed: clock.elapsed(), stages: passes.stages }
}

/// A plan that passed the audit.
#[derive(Clone)]
pub(super) struct Best {
    pub plan: Plan,
    pub findings: Findings,
}

impl Best {
    pub fn value(&self, kind: GoalKind) -> GoalValue {
        let found = self.findings.goals.iter().find(|(k, _)| *k == kind);
        found.map_or(GoalValue::Count(0), |(_, v)| *v)
    }
}

pub(super) struct Passes<'f, 'o> {
    pub facts: &'f Facts<'o>,
    options: &'f Options,
    watch: &'f Watch,
    pub clock: Clock,
    /// All people of a party as one.
    coarse: Vec<Team>,
    /// Looser programs that were solved to the end.
    pub memory: Vec<(&'static str, GoalKind, Pins, Counts)>,
    stages: Vec<Stage>,
    pub best: Option<Best>,
    /// A stage that was to prove something was stopped by the clock.
    pub cut_short: bool,
}

impl Passes<'_, '_> {
    fn run(&mut self) -> Outcome {
        let goals = self.facts.order.goals.clone();
        let mut pins = Pins::default();
        let mut results: Vec<GoalResult> = Vec::new();
        if self.first(&goals).is_err() {
            return Outcome::NoPlan(no_plan());
        }
        for (k, goal) in goals.iter().enumerate() {
            let share = 1.0 / (goals.len() - k) as f64;
            let Ok(bound) = self.pass(goal.kind, &pins, share) else {
                return Outcome::NoPlan(no_plan());
            };
            let Some(best) = &self.best else { return Outcome::NoneFound };
            let value = best.value(goal.kind);
            let trivial = trivial(goal.kind, self.facts);
            let bound = at_best(value, bound.map_or(trivial, |b| tighter(b, trivial)));
            results.push(GoalResult { goal: goal.kind, value, reached: value, bound });
            pins.hold(self.facts, goal.kind, value);
        }
        self.planned(results)
    }

    fn planned(&mut self, mut results: Vec<GoalResult>) -> Outcome {
        let Some(best) = self.best.take() else { return Outcome::NoneFound };
        // A goal that may give a little can end off what its pass reached.
        results.iter_mut().for_each(|r| r.value = best.value(r.goal));
        let within = |r: &GoalResult| r.gap_percent() <= self.asked_gap() * 100.0;
        let status = if results.iter().all(GoalResult::proven) {
            Status::ProvenBest
        } else if results.iter().all(within) {
            Status::WithinGap
        } else {
            Status::Feasible
        };
        let Best { plan, findings } = best;
        Outcome::Plan(Box::new(Planned { plan, findings, goals: results, status }))
    }

    /// A first plan: the coarse program, goal after goal, gives counts that are
    /// good for all of them at once.
    fn first(&mut self, goals: &[Goal]) -> Result<(), Infeasible> {
        let mut pins = Pins::default();
        let mut last: Option<Vec<Wish>> = None;
        for goal in goals {
            // What no program sees any difference in, gives no counts.
            if self.is_trivial(goal.kind) && goals.len() > 1 {
                continue;
            }
            let time = self.clock.left().mul_f64(0.2);
            let teams = self.coarse.clone();
            let counts = match self.looser("coarse program", &teams, goal.kind, &pins, time) {
                Ok(counts) => counts,
                Err(Infeasible) if last.is_none() => return Err(Infeasible),
                Err(Infeasible) => break,
            };
            let (Some(wishes), Some(reached)) = (counts.wishes, counts.reached) else { break };
            pins.hold(self.facts, goal.kind, loosened(reached));
            last = Some(wishes);
        }
        let (Some(wishes), Some(goal)) = (last, goals.first()) else { return Ok(()) };
        let none = Pins::default();
        self.search("first plan", goal.kind, &none, Some(&wishes), None, 1);
        if self.best.is_none() {
            self.settled(goal.kind, &none, Some(&wishes));
        }
        if self.best.is_none() {
            self.search("first plan", goal.kind, &none, Some(&wishes), None, 20);
        }
        Ok(())
    }

    /// Whether every plan is as good as any other for this goal.
    fn is_trivial(&self, kind: GoalKind) -> bool {
        match kind {
            GoalKind::Wants => self.facts.order.wants.is_empty(),
            GoalKind::Keeper => {
                let (n, m) = (self.facts.items.len(), self.facts.carriers.len());
                (0..n).all(|i| (0..m).all(|c| !self.facts.misplaced(i, c)))
            }
            _ => false,
        }
    }

    /// Improves the best plan for one goal; gives the bound that was proven.
    fn pass(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        share: f64,
    ) -> Result<Option<GoalValue>, Infeasible> {
        let floor = trivial(kind, self.facts);
        if self.is_trivial(kind) && self.best.is_some() || self.reached(kind, Some(floor)) {
            return Ok(self.best.as_ref().map(|b| b.value(kind)));
        }
        if self.best.is_some() && self.clock.over() {
            self.cut_short = true;
            return Ok(None);
        }
        let time = self.clock.left().mul_f64(share);
        let mut bound = Some(floor);
        if self.best.is_some() && matches!(kind, GoalKind::Keeper | GoalKind::Hands) {
            // Nothing away from its keeper, no hand in use: often to be had,
            // and then there is nothing to prove.
            self.search("search", kind, pins, None, bound, 1);
            if self.reached(kind, bound) {
                return Ok(bound);
            }
        }
        let teams = self.coarse.clone();
        self.look("coarse program", &teams, kind, pins, &mut bound, time.mul_f64(0.4))?;
        if self.best.is_some() && !self.near(kind, bound) {
            self.settled(kind, pins, None);
        }
        if kind == GoalKind::Keeper && !self.near(kind, bound) {
            let teams = by_duty(self.facts);
            self.look("program by duty", &teams, kind, pins, &mut bound, time.mul_f64(0.3))?;
        }
        if self.best.is_none() || !self.near(kind, bound) {
            bound = self.full(kind, pins, bound, time)?;
        }
        Ok(bound)
    }

    /// Takes a looser program's bound, and unless that is reached lets the
    /// search try for it.
    fn look(
        &mut self,
        name: &'static str,
        teams: &[Team],
        kind: GoalKind,
        pins: &Pins,
        bound: &mut Option<GoalValue>,
        time: Duration,
    ) -> Result<(), Infeasible> {
        let counts = match self.looser(name, teams, kind, pins, time) {
            Ok(counts) => counts,
            // Pinned at a plan that exists, only rounding can say so.
            Err(Infeasible) if self.best.is_some() => return Ok(()),
            Err(Infeasible) => return Err(Infeasible),
        };
        *bound = match (*bound, counts.bound) {
            (Some(a), Some(b)) => Some(tighter(a, b)),
            (a, b) => a.or(b),
        };
        if !self.reached(kind, *bound) {
            self.search("search", kind, pins, counts.wishes.as_deref(), *bound, 1);
        }
        Ok(())
    }

    /// Improves the best plan so far, and one built from wishes.
    fn search(
        &mut self,
        name: &'static str,
        kind: GoalKind,
        pins: &Pins,
        wishes: Option<&[Wish]>,
        bound: Option<GoalValue>,
        effort: u64,
    ) {
        let from = self.clock.elapsed();
        let units: u64 = self.facts.items.iter().map(|f| u64::from(f.held).min(50)).sum();
        let budget = Budget {
            tries: (4_000 + 200 * units.min(2_000)) * effort,
            target: bound.map_or(f64::NEG_INFINITY, score),
            seed: self.options.seed,
        };
        let mut states = Vec::new();
        if let Some(best) = &self.best {
            states.push(search::read(self.facts, &best.plan, pins.clone()));
        }
        if let Some(wishes) = wishes {
            let mut state = search::State::new(self.facts, pins.clone());
            search::build(&mut state, wishes);
            states.push(state);
        }
        for mut state in states {
            let score = search::improve(&mut state, kind, &budget, &self.clock);
            let wanders = !matches!(kind, GoalKind::Wants | GoalKind::Lightest);
            if wanders && (score.penalty > 0 || score.goal > budget.target) {
                let tries = budget.tries * 6;
                let (target, seed) = (budget.target, budget.seed);
                search::anneal(&mut state, kind, tries, target, seed, &self.clock);
            }
            let plan = search::write(&state);
            let findings = audit(self.facts.order, &plan);
            if findings.faults.is_empty() {
                self.offer(Best { plan, findings }, kind, pins);
            }
            if self.reached(kind, bound) {
                break;
            }
        }
        let value = self.best.as_ref().map(|b| b.value(kind));
        let note = value.map_or("no plan yet".into(), |v| format!("value {}", v.number()));
        self.note(name, kind, note, self.clock.elapsed().saturating_sub(from));
        self.watch.tell(Progress { goal: Some(kind), value, bound });
    }

    /// Takes an audited plan if it keeps the pins and is better.
    pub fn offer(&mut self, found: Best, kind: GoalKind, pins: &Pins) {
        let value = found.value(kind);
        let first_or_better = self.best.as_ref().is_none_or(|best| better(value, best.value(kind)));
        if first_or_better && pins.kept_by(self.facts, &found.findings) {
            self.best = Some(found);
        }
    }

    pub fn note(&mut self, name: &'static str, kind: GoalKind, note: String, took: Duration) {
        self.stages.push(Stage { name, goal: Some(kind), note, seconds: took.as_secs_f64() });
    }

    /// The relative gap that is good enough.
    pub fn asked_gap(&self) -> f64 {
        self.options.gap.ppm() as f64 / 1e6
    }

    /// Whether the best plan is within the gap that was asked for.
    fn near(&self, kind: GoalKind, bound: Option<GoalValue>) -> bool {
        let (Some(best), Some(bound)) = (&self.best, bound) else { return false };
        let value = best.value(kind);
        let result = GoalResult { goal: kind, value, reached: value, bound };
        result.gap_percent() <= self.asked_gap() * 100.0
    }
}

/// What the cheap checks did not see, the program did.
fn no_plan() -> Reason {
    let text = "the needs, limits and rules of this move cannot all hold at once; no single one \
                of them is to blame";
    Reason { text: text.into(), place: None }
}
