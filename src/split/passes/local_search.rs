//! Local search within a pass: from the incumbent and from counts, one thread
//! each.

use super::memory::Relaxation;
use super::values::score;
use super::{Incumbent, Passes};
use crate::audit::audit;
use crate::load::{GoalKind, GoalValue};
use crate::local_search::{self, Budget, Score, State, Target};
use crate::options::Clock;
use crate::pins::Pins;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Factor on the number of tries.
#[derive(Debug, Clone, Copy)]
pub(super) enum Effort {
    Quick = 1,
    Long = 10,
}

/// Where a local search starts besides the incumbent.
#[derive(Clone, Copy)]
pub(super) enum Start<'a> {
    Best,
    Targets(&'a [Target]),
    /// Counts of each party, from the counts-only relaxation or from none.
    Counts(Option<&'a local_search::Counts>),
}

/// Tries of one search in a large move, where each takes longer and the greedy
/// start is near by itself.
const LARGE_TRIES: u64 = 60_000;
/// With uncertain weights so many times fewer tries.
const SLOWER: u64 = 2;
/// Tries for one of many plans, as in a neighbourhood.
pub(super) const QUICK_TRIES: u64 = 6_000;

impl Relaxation {
    pub(super) fn has_start(&self) -> bool {
        self.targets.is_some() || self.totals.is_some()
    }
    pub(super) fn start(&self) -> Start<'_> {
        match (&self.targets, &self.totals) {
            (Some(targets), _) => Start::Targets(targets),
            (None, Some(totals)) => Start::Counts(Some(totals)),
            (None, None) => Start::Best,
        }
    }
}

impl<'f, 'o> Passes<'f, 'o> {
    /// Improves the incumbent, and a plan from another start; where there is
    /// only one of them, that one from two seeds.
    pub(super) fn local_search(
        &mut self,
        name: &'static str,
        kind: GoalKind,
        pins: &Pins,
        start: Start,
        bound: Option<GoalValue>,
        effort: Effort,
    ) {
        if self.best.is_some() && self.clock.over() {
            self.cut_short = true;
            return;
        }
        let from = self.clock.elapsed();
        self.stage = name;
        let facts = self.facts;
        let mut states = Vec::new();
        if let Some(best) = &self.best {
            states.push(local_search::read(facts, &best.plan, pins.clone()));
            if self.large && !matches!(kind, GoalKind::Wants | GoalKind::Lightest) {
                // With what is taken fixed, who carries it is placed from
                // scratch.
                let mut state = State::new(facts, pins.clone());
                let counts = self.counts_of_plan(&best.plan);
                local_search::place(&mut state, &counts, kind, &self.clock);
                states.push(state);
            }
        }
        if kind == GoalKind::Changes || self.best.is_none() {
            states.extend(local_search::from_plan_before(facts, pins));
        }
        match start {
            Start::Best => {}
            Start::Targets(targets) => {
                let mut state = State::new(facts, pins.clone());
                local_search::build(&mut state, targets, &self.clock);
                states.push(state);
            }
            Start::Counts(totals) => {
                let mut state = State::new(facts, pins.clone());
                let counts = local_search::choose_counts(facts, totals, &self.clock);
                local_search::place(&mut state, &counts, kind, &self.clock);
                // Wants are filled up to the pin, and beyond it only where more
                // wants are the goal.
                let wanted =
                    if kind == GoalKind::Wants { u64::MAX } else { pins.wants.unwrap_or(0) };
                local_search::fill(&mut state, totals, wanted, kind, &self.clock);
                states.push(state);
                if let (Some(best), Some(totals)) = (&self.best, totals) {
                    // The incumbent changed to the relaxation's counts, where
                    // most stays where it is.
                    let mut state = local_search::read(facts, &best.plan, pins.clone());
                    local_search::adjust_counts(&mut state, totals, kind);
                    states.push(state);
                }
            }
        }
        if let [only] = states.as_slice() {
            states.push(only.clone());
        }
        let units: u64 = facts.items.iter().map(|f| u64::from(f.held).min(50)).sum();
        let tries = if self.large {
            // Balancing many carriers takes more.
            let many = if kind == GoalKind::Even { facts.carriers.len() as u64 / 200 } else { 1 };
            LARGE_TRIES * many.clamp(1, 3)
        } else {
            // The worst load under uncertain weights takes many times longer to
            // compute.
            let slow = if facts.order.tolerance().is_some() { SLOWER } else { 1 };
            (2_000 + 100 * units.min(400) + 10 * units.min(4_000)) * effort as u64 / slow
        };
        let target = bound.map_or(f64::NEG_INFINITY, score);
        // Within the gap asked for, more work is not worth it.
        let enough = target + target.abs() * self.asked_gap() / 4.0;
        let polished = self.polished(states, kind, &Budget { tries, target, seed: 0 }, enough);
        if self.best.is_none() {
            let nearest = polished.iter().min_by_key(|s| Score::of(s, kind).penalty);
            self.nearest = nearest.map(local_search::write);
        }
        for state in polished {
            let plan = local_search::write(&state);
            let findings = audit(facts.order, &plan);
            if findings.faults.is_empty() {
                self.offer(Incumbent { plan, findings }, kind, pins);
            }
            if self.reached(kind, bound) {
                break;
            }
        }
        let value = self.best.as_ref().map(|b| b.value(kind));
        let note = value.map_or("no plan yet".into(), |v| format!("value {}", v.number()));
        self.note(name, kind, note, self.clock.elapsed().saturating_sub(from));
    }

    /// Improves each state in a thread of its own, each with its seed. Once the
    /// first is good enough, the others are not waited for: it takes precedence
    /// whatever they find, so that the answer does not depend on timing.
    fn polished(
        &mut self,
        mut states: Vec<State<'f, 'o>>,
        kind: GoalKind,
        budget: &Budget,
        enough: f64,
    ) -> Vec<State<'f, 'o>> {
        let stop = Arc::new(AtomicBool::new(false));
        let clocks: Vec<Clock> = (0..states.len())
            .map(|k| if k == 0 { self.clock.clone() } else { self.clock.stopped_by(&stop) })
            .collect();
        let seeds: Vec<u64> = (0..states.len() as u64)
            .map(|k| self.options.seed.wrapping_add((self.searches * 64 + k) << 20))
            .collect();
        self.searches += 1;
        let large = self.large;
        let polish = |state: &mut State, budget: &Budget, clock: &Clock| {
            if large {
                local_search::swap_wants(state, kind, clock);
            }
            local_search::polish(state, kind, budget, enough, clock);
        };
        let polish = &polish;
        std::thread::scope(|scope| {
            let mut works = states.iter_mut().zip(&clocks).zip(seeds);
            let first = works.next();
            for ((state, clock), seed) in works {
                let budget = Budget { seed, ..budget.clone() };
                scope.spawn(move || polish(state, &budget, clock));
            }
            if let Some(((state, clock), seed)) = first {
                let budget = Budget { seed, ..budget.clone() };
                polish(state, &budget, clock);
                let score = Score::of(state, kind);
                if score.penalty == 0 && score.goal <= enough {
                    stop.store(true, Ordering::Relaxed);
                }
            }
        });
        let good = stop.load(Ordering::Relaxed);
        states.truncate(if good { 1 } else { states.len() });
        states
    }
}
