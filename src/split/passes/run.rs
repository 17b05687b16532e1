//! The passes themselves.

use super::solves::{Counts, Infeasible};
use super::values::{at_best, loosened, score, tighter, trivial};
use super::{Best, Passes};
use crate::load::{Goal, GoalKind, GoalValue};
use crate::split::answer::{GoalResult, Outcome, Planned, Reason, Status};
use crate::split::audit::audit;
use crate::split::options::Progress;
use crate::split::pins::Pins;
use crate::split::program::{Team, by_duty};
use crate::split::search::{self, Budget, Wish};
use std::time::Duration;

/// Tries of one search in a large move, where each takes longer and a draft
/// comes near by itself.
const LARGE_TRIES: u64 = 60_000;

/// What a search starts from, the best plan so far aside.
#[derive(Clone, Copy)]
enum Start<'a> {
    Best,
    Wishes(&'a [Wish]),
    /// A draft of counts, from a bare program's or from none.
    Draft(Option<&'a search::Counts>),
}

impl Counts {
    fn has_start(&self) -> bool {
        self.wishes.is_some() || self.totals.is_some()
    }
    fn start(&self) -> Start<'_> {
        match (&self.wishes, &self.totals) {
            (Some(wishes), _) => Start::Wishes(wishes),
            (None, Some(totals)) => Start::Draft(Some(totals)),
            (None, None) => Start::Best,
        }
    }
}

impl Passes<'_, '_> {
    pub(super) fn run(&mut self) -> Outcome {
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
        if let (true, Some(goal)) = (self.large, goals.first()) {
            self.search("first plan", goal.kind, &Pins::default(), Start::Draft(None), None, 1);
            return Ok(());
        }
        let mut pins = Pins::default();
        let mut last: Option<Counts> = None;
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
            let reached = counts.reached;
            if counts.has_start() {
                last = Some(counts);
            }
            let Some(reached) = reached else { break };
            pins.hold(self.facts, goal.kind, loosened(reached));
        }
        let (Some(counts), Some(goal)) = (last, goals.first()) else { return Ok(()) };
        let none = Pins::default();
        self.search("first plan", goal.kind, &none, counts.start(), None, 1);
        if self.best.is_none() {
            self.settled(goal.kind, &none, counts.wishes.as_deref());
        }
        if self.best.is_none() {
            self.search("first plan", goal.kind, &none, Start::Draft(None), None, 1);
        }
        if self.best.is_none() {
            self.search("first plan", goal.kind, &none, counts.start(), None, 20);
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
        // A glance is all there is to prove a large move by: it gets its time.
        let share = if self.large { 1.0 } else { share };
        let time = self.clock.left().mul_f64(share);
        let mut bound = Some(floor);
        if (self.best.is_some() || self.large) && matches!(kind, GoalKind::Keeper | GoalKind::Hands)
        {
            // Nothing away from its keeper, no hand in use: often to be had,
            // and then there is nothing to prove.
            self.search("search", kind, pins, Start::Best, bound, 1);
            if self.reached(kind, bound) {
                return Ok(bound);
            }
        }
        if self.large && matches!(kind, GoalKind::Keeper | GoalKind::Hands) {
            // A bare program knows neither keepers nor hands.
            self.cut_short |= self.clock.over();
            return Ok(bound);
        }
        let teams = self.coarse.clone();
        let part = if self.large { 0.5 } else { 0.4 };
        self.look("coarse program", &teams, kind, pins, &mut bound, time.mul_f64(part))?;
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
            let start = counts.start();
            self.search("search", kind, pins, start, *bound, 1);
        }
        Ok(())
    }

    /// Improves the best plan so far, and one from another start.
    fn search(
        &mut self,
        name: &'static str,
        kind: GoalKind,
        pins: &Pins,
        start: Start,
        bound: Option<GoalValue>,
        effort: u64,
    ) {
        let from = self.clock.elapsed();
        let units: u64 = self.facts.items.iter().map(|f| u64::from(f.held).min(50)).sum();
        let budget = Budget {
            tries: if self.large { LARGE_TRIES } else { (4_000 + 200 * units.min(2_000)) * effort },
            target: bound.map_or(f64::NEG_INFINITY, score),
            seed: self.options.seed,
        };
        let mut states = Vec::new();
        if let Some(best) = &self.best {
            states.push(search::read(self.facts, &best.plan, pins.clone()));
            if self.large && !matches!(kind, GoalKind::Wants | GoalKind::Lightest) {
                // What is taken is settled: who carries it, from the start.
                let mut state = search::State::new(self.facts, pins.clone());
                let counts = self.counts_of_plan(&best.plan);
                search::place(&mut state, &counts, kind, &self.clock);
                states.push(state);
            }
        }
        match start {
            Start::Best => {}
            Start::Wishes(wishes) => {
                let mut state = search::State::new(self.facts, pins.clone());
                search::build(&mut state, wishes, &self.clock);
                states.push(state);
            }
            Start::Draft(totals) => {
                let mut state = search::State::new(self.facts, pins.clone());
                let counts = search::draft(self.facts, totals, &self.clock);
                search::place(&mut state, &counts, kind, &self.clock);
                // Wants that are held are taken, and more is only to be had
                // where more is better.
                let wanted =
                    if kind == GoalKind::Wants { u64::MAX } else { pins.wants.unwrap_or(0) };
                search::fill(&mut state, totals, wanted, kind, &self.clock);
                states.push(state);
            }
        }
        for mut state in states {
            if self.large {
                search::trade(&mut state, kind, &self.clock);
            }
            let score = search::improve(&mut state, kind, &budget, &self.clock);
            let wanders = !matches!(kind, GoalKind::Wants | GoalKind::Lightest);
            // Good enough for what is asked is not worth wandering for.
            let enough = budget.target + budget.target.abs() * self.asked_gap() / 2.0;
            if wanders && (score.penalty > 0 || score.goal > enough) {
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
}

/// What the cheap checks did not see, the program did.
fn no_plan() -> Reason {
    let text = "the needs, limits and rules of this move cannot all hold at once; the whole \
                program shows it, so no single cause is named";
    Reason { text: text.into(), place: None }
}
