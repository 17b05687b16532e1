//! One pass a goal, in the order the move asks for them.
//!
//! Each pass solves the merged program for a bound and for counts to start
//! from, lets the search find and improve a plan, and turns to the full program
//! where the two are too far apart. What was reached is pinned, and the next
//! goal follows.

use super::answer::{Answer, GoalResult, Outcome, Planned, Reason, Stage, Status, Stop};
use super::audit::audit;
use super::backend::{self, Ask};
use super::facts::Facts;
use super::findings::Findings;
use super::options::{Clock, Options, Progress, Watch};
use super::pins::Pins;
use super::precheck;
use super::program::{Program, Team, bound_value, coarse, singles};
use super::search::{self, Budget, Wish};
use crate::load::{Goal, GoalKind, GoalValue, MoveOrder, Plan, Way};
use crate::quantity::Percent;
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
        teams: coarse(&facts),
        stages: Vec::new(),
        best: None,
        cut_short: false,
    };
    let outcome = match precheck::first_reason(&facts) {
        Some(reason) => Outcome::NoPlan(reason),
        None => passes.run(),
    };
    let settled = match &outcome {
        Outcome::NoPlan(_) => true,
        Outcome::Plan(p) => p.status == Status::ProvenBest,
        Outcome::NoneFound => false,
    };
    let stopped = match (settled, clock.interrupted(), passes.cut_short) {
        (true, ..) => None,
        (_, true, _) => Some(Stop::Interrupt),
        (_, _, true) => Some(Stop::Deadline),
        _ => None,
    };
    Answer { outcome, stopped, elapsed: clock.elapsed(), stages: passes.stages }
}

/// A plan that passed the audit.
#[derive(Clone)]
struct Best {
    plan: Plan,
    findings: Findings,
}

impl Best {
    fn value(&self, kind: GoalKind) -> GoalValue {
        let found = self.findings.goals.iter().find(|(k, _)| *k == kind);
        found.map_or(GoalValue::Count(0), |(_, v)| *v)
    }
}

/// What a solve of a program came to, in the goal's own terms.
struct Settled {
    values: Option<Vec<f64>>,
    bound: Option<GoalValue>,
    /// The solver says that its point is the best there is.
    best: bool,
}

struct Passes<'f, 'o> {
    facts: &'f Facts<'o>,
    options: &'f Options,
    watch: &'f Watch,
    clock: Clock,
    teams: Vec<Team>,
    stages: Vec<Stage>,
    best: Option<Best>,
    /// Some stage was stopped by the clock.
    cut_short: bool,
}

/// No point satisfies the rows.
struct Infeasible;

impl<'f, 'o> Passes<'f, 'o> {
    fn run(&mut self) -> Outcome {
        let goals = self.facts.order.goals.clone();
        let mut pins = Pins::default();
        let mut results: Vec<GoalResult> = Vec::new();
        if self.first(&goals).is_err() {
            return Outcome::NoPlan(self.no_plan());
        }
        for (k, goal) in goals.iter().enumerate() {
            let share = 1.0 / (goals.len() - k) as f64;
            let Ok(bound) = self.pass(goal.kind, &pins, share) else {
                return Outcome::NoPlan(self.no_plan());
            };
            let Some(best) = &self.best else { return Outcome::NoneFound };
            let value = best.value(goal.kind);
            let bound = bound.unwrap_or(trivial(goal.kind, self.facts));
            results.push(GoalResult {
                reached: value,
                goal: goal.kind,
                value,
                bound: tidy(goal.kind, value, bound),
            });
            pins.hold(self.facts, goal.kind, value);
        }
        self.planned(results)
    }

    fn planned(&mut self, mut results: Vec<GoalResult>) -> Outcome {
        let Some(best) = self.best.take() else { return Outcome::NoneFound };
        // A goal that may give a little can end off what its pass reached.
        results.iter_mut().for_each(|r| r.value = best.value(r.goal));
        let within = |r: &GoalResult| r.gap_percent() <= percent(self.options.gap);
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

    fn no_plan(&self) -> Reason {
        Reason {
            text: "the needs, limits and rules of this move cannot all hold at once; each of \
                   them can by itself"
                .into(),
            place: None,
        }
    }

    /// A first plan: the merged program, goal after goal, gives counts that
    /// are good for all of them at once.
    fn first(&mut self, goals: &[Goal]) -> Result<(), Infeasible> {
        if self.is_full() {
            return Ok(());
        }
        let mut pins = Pins::default();
        let mut last: Option<Vec<Wish>> = None;
        for goal in goals {
            if self.is_trivial(goal.kind) {
                continue;
            }
            let mut program = Program::new(self.facts, self.teams.clone());
            program.pin(&pins);
            program.aim(goal.kind);
            let time = self.clock.left().mul_f64(0.15);
            let settled = match self.solve("first counts", &program, goal.kind, None, time) {
                Ok(s) => s,
                Err(Infeasible) if last.is_none() => return Err(Infeasible),
                Err(Infeasible) => break,
            };
            let Some(values) = settled.values else { break };
            let reached = bound_value(
                goal.kind,
                program.model.objective.value(&values),
                program.step(goal.kind),
            );
            pins.hold(self.facts, goal.kind, loosened(reached));
            last = Some(wishes(&program, &values));
        }
        if let (Some(wishes), Some(goal)) = (last, goals.first()) {
            self.search("first plan", goal.kind, &Pins::default(), Some(&wishes), None);
        }
        Ok(())
    }

    fn is_full(&self) -> bool {
        self.teams.iter().all(|t| t.size() == 1)
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
        if self.is_trivial(kind) && self.best.is_some() {
            return Ok(self.best.as_ref().map(|b| b.value(kind)));
        }
        let mut bound: Option<GoalValue> = None;
        let time = self.clock.left().mul_f64(share);
        if !self.is_full() && !self.reached(kind, Some(trivial(kind, self.facts))) {
            let mut program = Program::new(self.facts, self.teams.clone());
            program.pin(pins);
            program.aim(kind);
            match self.solve("merged program", &program, kind, None, time.mul_f64(0.4)) {
                Ok(settled) => {
                    bound = settled.bound;
                    if !self.reached(kind, bound) {
                        let wishes = settled.values.map(|v| wishes(&program, &v));
                        self.search("search", kind, pins, wishes.as_deref(), bound);
                    }
                }
                // Pinned at a plan that exists, only rounding can say so.
                Err(Infeasible) if self.best.is_none() => return Err(Infeasible),
                Err(Infeasible) => {}
            }
        } else if self.best.is_some() {
            self.search("search", kind, pins, None, Some(trivial(kind, self.facts)));
        }
        if self.best.is_none() || !self.near(kind, bound) {
            bound = self.full(kind, pins, bound, time)?;
        }
        Ok(bound)
    }

    /// The full program: every carrier for itself.
    fn full(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
        time: Duration,
    ) -> Result<Option<GoalValue>, Infeasible> {
        if self.reached(kind, Some(trivial(kind, self.facts))) {
            return Ok(Some(trivial(kind, self.facts)));
        }
        if self.clock.over() {
            self.cut_short = true;
            return Ok(bound);
        }
        let mut program = Program::new(self.facts, singles(self.facts));
        program.pin(pins);
        program.aim(kind);
        let start = self.best.as_ref().map(|b| program.start(&b.plan));
        let time = time.min(self.clock.left());
        let settled = match self.solve("full program", &program, kind, start, time) {
            Ok(s) => s,
            Err(Infeasible) if self.best.is_none() => return Err(Infeasible),
            Err(Infeasible) => return Ok(bound),
        };
        let mut proven = settled.bound;
        if settled.best && settled.values.is_none() {
            proven = self.best.as_ref().map(|b| b.value(kind));
        }
        if let Some(values) = settled.values {
            let plan = program.plan(&values);
            let findings = audit(self.facts.order, &plan);
            let good = findings.faults.is_empty();
            let found = Best { plan, findings };
            if settled.best && good {
                // The best there is, in exact numbers.
                proven = Some(found.value(kind));
            }
            if good {
                self.offer(found, kind, pins);
            }
        }
        Ok(match (proven, bound) {
            (Some(a), Some(b)) => Some(tighter(kind, a, b)),
            (a, b) => a.or(b),
        })
    }

    fn solve(
        &mut self,
        name: &'static str,
        program: &Program,
        kind: GoalKind,
        start: Option<Vec<(usize, f64)>>,
        time: Duration,
    ) -> Result<Settled, Infeasible> {
        let from = self.clock.elapsed();
        // Shares can be any fraction: proving the last of them is slow, and
        // the merged program's last digit is not the plan's.
        let gap = match kind {
            GoalKind::Even if program.teams.iter().any(|t| t.size() > 1) => {
                self.options.gap.ppm() as f64 / 1e6 / 5.0
            }
            GoalKind::Even => self.options.gap.ppm() as f64 / 1e6,
            _ => 0.0,
        };
        let known =
            start.as_ref().and_then(|_| self.best.as_ref()).map(|b| objective_of(b.value(kind)));
        let ask = Ask {
            model: program.model.clone(),
            known,
            start: start.unwrap_or_default(),
            step: program.step(kind),
            gap,
            time,
        };
        let solved = backend::solve(ask, &self.clock);
        self.cut_short |= solved.cut_short;
        let took = self.clock.elapsed().saturating_sub(from);
        let word = match &solved {
            s if s.infeasible => "no point exists",
            s if s.best && s.values.is_none() => "nothing better exists",
            s if s.best => "the best",
            s if s.values.is_some() => "a point",
            _ => "nothing better in time",
        };
        self.stages.push(Stage {
            name,
            goal: Some(kind),
            note: format!(
                "{}: {word}, bound {}; {} nodes, {} columns, {} rows",
                backend::NAME,
                solved.bound.map_or("unknown".into(), |b| format!("{b:.4}")),
                solved.nodes,
                program.model.columns.len(),
                program.model.rows.len()
            ),
            seconds: took.as_secs_f64(),
        });
        if solved.infeasible {
            return Err(Infeasible);
        }
        let bound = solved.bound.map(|b| bound_value(kind, b, program.step(kind)));
        Ok(Settled { values: solved.values, bound, best: solved.best })
    }

    /// Builds from wishes, improves that and the best plan so far.
    fn search(
        &mut self,
        name: &'static str,
        kind: GoalKind,
        pins: &Pins,
        wishes: Option<&[Wish]>,
        bound: Option<GoalValue>,
    ) {
        let from = self.clock.elapsed();
        let units: u64 = self.facts.items.iter().map(|f| u64::from(f.held).min(50)).sum();
        let budget = Budget {
            tries: 4_000 + 200 * units.min(2_000),
            target: bound.map_or(f64::NEG_INFINITY, |b| target(kind, b)),
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
            search::improve(&mut state, kind, &budget, &self.clock);
            let plan = search::write(&state);
            let findings = audit(self.facts.order, &plan);
            if findings.faults.is_empty() {
                self.offer(Best { plan, findings }, kind, pins);
            }
            if self.reached(kind, bound) {
                break;
            }
        }
        if self.clock.over() {
            self.cut_short = true;
        }
        let value = self.best.as_ref().map(|b| b.value(kind));
        let note = value.map_or("no plan yet".into(), |v| format!("value {}", v.number()));
        let seconds = self.clock.elapsed().saturating_sub(from).as_secs_f64();
        self.stages.push(Stage { name, goal: Some(kind), note, seconds });
        self.watch.tell(Progress { goal: Some(kind), value, bound });
    }

    /// Takes an audited plan if it keeps the pins and is better.
    fn offer(&mut self, found: Best, kind: GoalKind, pins: &Pins) {
        if !keeps(self.facts, &found, pins) {
            return;
        }
        let better = match &self.best {
            None => true,
            Some(best) => less(kind, found.value(kind), best.value(kind)),
        };
        if better {
            self.best = Some(found);
        }
    }

    fn reached(&self, kind: GoalKind, bound: Option<GoalValue>) -> bool {
        match (&self.best, bound) {
            (Some(best), Some(bound)) => result(kind, best.value(kind), bound).proven(),
            _ => false,
        }
    }

    /// Whether the best plan is within the gap that was asked for.
    fn near(&self, kind: GoalKind, bound: Option<GoalValue>) -> bool {
        match (&self.best, bound) {
            (Some(best), Some(bound)) => {
                let r = result(kind, best.value(kind), bound);
                r.gap_percent() <= percent(self.options.gap)
            }
            _ => false,
        }
    }
}

fn result(goal: GoalKind, value: GoalValue, bound: GoalValue) -> GoalResult {
    GoalResult { goal, value, reached: value, bound }
}

fn percent(p: Percent) -> f64 {
    p.ppm() as f64 / 1e4
}

/// A bound that holds for every plan of every move.
fn trivial(kind: GoalKind, facts: &Facts) -> GoalValue {
    use crate::load::Share;
    use crate::quantity::Mass;
    match kind {
        GoalKind::Wants => {
            let most = facts.order.wants.iter().map(|w| u64::from(w.value) * u64::from(w.up_to));
            GoalValue::Points(most.fold(0, u64::saturating_add))
        }
        GoalKind::Lightest => GoalValue::Mass(Mass::ZERO),
        GoalKind::Even => {
            let even = facts.carriers.iter().filter(|c| c.even);
            let share = even
                .map(|c| Share { load: Mass::from_mg(c.burden), limit: Mass::from_mg(c.limit) });
            GoalValue::Share(share.max().unwrap_or(Share::ZERO))
        }
        GoalKind::Keeper | GoalKind::Hands => GoalValue::Count(0),
    }
}

fn less(kind: GoalKind, a: GoalValue, b: GoalValue) -> bool {
    match (a, b) {
        (GoalValue::Points(a), GoalValue::Points(b)) => a > b,
        (GoalValue::Mass(a), GoalValue::Mass(b)) => a < b,
        (GoalValue::Share(a), GoalValue::Share(b)) => a < b,
        (GoalValue::Count(a), GoalValue::Count(b)) => a < b,
        _ => {
            debug_assert!(false, "two values of {kind}");
            false
        }
    }
}

/// The bound that says more.
fn tighter(kind: GoalKind, a: GoalValue, b: GoalValue) -> GoalValue {
    if less(kind, a, b) { b } else { a }
}

/// A bound never passes the value: where rounding makes it so, they are equal.
fn tidy(kind: GoalKind, value: GoalValue, bound: GoalValue) -> GoalValue {
    if less(kind, value, bound) { value } else { bound }
}

/// A value that the merged program reached, loosened by more than a solver's
/// tolerance, to pin the merged program itself.
fn loosened(value: GoalValue) -> GoalValue {
    use crate::load::Share;
    use crate::quantity::Mass;
    match value {
        GoalValue::Mass(m) => GoalValue::Mass(Mass::from_mg(m.mg() + 2)),
        GoalValue::Share(s) => {
            let load = Mass::from_mg(s.load.mg() + s.load.mg() / 1_000);
            GoalValue::Share(Share { load, limit: s.limit })
        }
        same => same,
    }
}

fn target(kind: GoalKind, bound: GoalValue) -> f64 {
    match (kind, bound) {
        (GoalKind::Wants, v) => -v.number(),
        (_, GoalValue::Mass(m)) => m.mg() as f64,
        (_, v) => v.number(),
    }
}

/// A goal's value as the objective that programs minimise.
fn objective_of(value: GoalValue) -> f64 {
    match value {
        GoalValue::Points(n) => -(n as f64),
        GoalValue::Mass(m) => m.mg() as f64 / 1e6,
        GoalValue::Share(s) => s.ratio(),
        GoalValue::Count(n) => n as f64,
    }
}

fn keeps(facts: &Facts, found: &Best, pins: &Pins) -> bool {
    let sums = &found.findings;
    let count = |kind, most: Option<u64>| match (most, found.value(kind)) {
        (Some(most), GoalValue::Count(n)) => n <= most,
        _ => true,
    };
    pins.wants.is_none_or(|least| sums.wants_value >= least)
        && pins.lightest.is_none_or(|most| sums.total_carried.mg() <= most)
        && count(GoalKind::Keeper, pins.keeper)
        && count(GoalKind::Hands, pins.hands)
        && pins.even.as_ref().is_none_or(|caps| {
            facts.carriers.iter().zip(caps).all(|(f, cap)| {
                let found = sums.carriers.iter().find(|c| c.carrier == f.ix);
                found.is_none_or(|c| c.load.mg() <= *cap)
            })
        })
}

/// The counts of a merged program's point.
fn wishes(program: &Program, values: &[f64]) -> Vec<Wish> {
    let count = |col: usize| values[col].round().max(0.0) as u32;
    let members = |t: usize| program.teams[t].members.clone();
    let alone = program.alone.iter().filter(|a| !program.teams[a.team].store).map(|a| Wish {
        item: a.item,
        count: count(a.col),
        way: a.way,
        carriers: members(a.team),
        second: Vec::new(),
    });
    let between = program.between.iter().map(|b| Wish {
        item: b.item,
        count: count(b.col),
        way: Way::Pair,
        carriers: members(b.first),
        second: members(b.second),
    });
    alone.chain(between).collect()
}
