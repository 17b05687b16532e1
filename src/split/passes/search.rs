//! The search within a pass: from the best plan and from counts, a core each.

use super::solves::Looser;
use super::values::score;
use super::{Best, Passes};
use crate::audit::audit;
use crate::load::{GoalKind, GoalValue};
use crate::options::Clock;
use crate::pins::Pins;
use crate::search::{self, Budget, Score, State, Wish};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// How hard to search: tries are counted by this.
#[derive(Debug, Clone, Copy)]
pub(super) enum Effort {
    Quick = 1,
    Long = 10,
}

/// What a search starts from, the best plan so far aside.
#[derive(Clone, Copy)]
pub(super) enum Start<'a> {
    Best,
    Wishes(&'a [Wish]),
    /// A draft of counts, from a bare program's or from none.
    Draft(Option<&'a search::Counts>),
}

/// Tries of one search in a large move, where each takes longer and a draft
/// comes near by itself.
const LARGE_TRIES: u64 = 60_000;
/// Of a move with a tolerance, so many times fewer.
const SLOWER: u64 = 2;
/// Tries for one plan of many.
pub(super) const QUICK_TRIES: u64 = 6_000;

impl Looser {
    pub(super) fn has_start(&self) -> bool {
        self.wishes.is_some() || self.totals.is_some()
    }
    pub(super) fn start(&self) -> Start<'_> {
        match (&self.wishes, &self.totals) {
            (Some(wishes), _) => Start::Wishes(wishes),
            (None, Some(totals)) => Start::Draft(Some(totals)),
            (None, None) => Start::Best,
        }
    }
}

impl<'f, 'o> Passes<'f, 'o> {
    /// Improves the best plan so far, and one from another start; where there
    /// is only one of them, that one from two seeds.
    pub(super) fn search(
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
            states.push(search::read(facts, &best.plan, pins.clone()));
            if self.large && !matches!(kind, GoalKind::Wants | GoalKind::Lightest) {
                // What is taken is settled: who carries it, from the start.
                let mut state = State::new(facts, pins.clone());
                let counts = self.counts_of_plan(&best.plan);
                search::place(&mut state, &counts, kind, &self.clock);
                states.push(state);
            }
        }
        if kind == GoalKind::Changes || self.best.is_none() {
            states.extend(search::packed(facts, pins));
        }
        match start {
            Start::Best => {}
            Start::Wishes(wishes) => {
                let mut state = State::new(facts, pins.clone());
                search::build(&mut state, wishes, &self.clock);
                states.push(state);
            }
            Start::Draft(totals) => {
                let mut state = State::new(facts, pins.clone());
                let counts = search::draft(facts, totals, &self.clock);
                search::place(&mut state, &counts, kind, &self.clock);
                // Wants that are held are taken, and more is only to be had
                // where more is better.
                let wanted =
                    if kind == GoalKind::Wants { u64::MAX } else { pins.wants.unwrap_or(0) };
                search::fill(&mut state, totals, wanted, kind, &self.clock);
                states.push(state);
                if let (Some(best), Some(totals)) = (&self.best, totals) {
                    // Where most can stay where it is, it does.
                    let mut state = search::read(facts, &best.plan, pins.clone());
                    search::adjust(&mut state, totals, kind);
                    states.push(state);
                }
            }
        }
        if let [only] = states.as_slice() {
            states.push(only.clone());
        }
        let units: u64 = facts.items.iter().map(|f| u64::from(f.held).min(50)).sum();
        let tries = if self.large {
            // To level many takes more.
            let many = if kind == GoalKind::Even { facts.carriers.len() as u64 / 200 } else { 1 };
            LARGE_TRIES * many.clamp(1, 3)
        } else {
            // A worst load takes many times longer to weigh than a load.
            let slow = if facts.order.tolerance().is_some() { SLOWER } else { 1 };
            (2_000 + 100 * units.min(400) + 10 * units.min(4_000)) * effort as u64 / slow
        };
        let target = bound.map_or(f64::NEG_INFINITY, score);
        // Good enough for what is asked is not worth more work.
        let enough = target + target.abs() * self.asked_gap() / 4.0;
        let polished = self.polished(states, kind, &Budget { tries, target, seed: 0 }, enough);
        if self.best.is_none() {
            let nearest = polished.iter().min_by_key(|s| Score::of(s, kind).penalty);
            self.nearest = nearest.map(search::write);
        }
        for state in polished {
            let plan = search::write(&state);
            let findings = audit(facts.order, &plan);
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
    }

    /// Polishes each state in a thread of its own, each with its seed. Once the
    /// first is good enough, the others are not waited for: it comes before
    /// them whatever they find, so that the answer does not hang on timing.
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
                search::barter(state, kind, clock);
            }
            search::polish(state, kind, budget, enough, clock);
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
