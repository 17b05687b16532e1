//! What every local search has in common: the state, the best state so far, and
//! the budget.

use super::random::Random;
use super::score::Score;
use super::state::{State, Step};
use crate::load::GoalKind;
use crate::options::Clock;

/// The budget of a local search. It counts tries, not time, so that the same
/// move gives the same plan; only the deadline cuts it short.
#[derive(Debug, Clone)]
pub(crate) struct Budget {
    pub tries: u64,
    /// Goal value (negated where more is better) that nothing can beat.
    pub target: f64,
    pub seed: u64,
}

pub(super) struct Walk<'s, 'f, 'o> {
    pub state: &'s mut State<'f, 'o>,
    pub kind: GoalKind,
    pub score: Score,
    pub best: Score,
    pub random: Random,
    left: u64,
    target: f64,
    clock: &'s Clock,
    /// Steps since the best state.
    journal: Vec<Step>,
}

impl<'s, 'f, 'o> Walk<'s, 'f, 'o> {
    pub fn new(
        state: &'s mut State<'f, 'o>,
        kind: GoalKind,
        budget: &Budget,
        clock: &'s Clock,
    ) -> Self {
        let score = Score::of(state, kind);
        let random = Random::new(budget.seed);
        let (left, target) = (budget.tries, budget.target);
        Walk { state, kind, score, best: score, random, left, target, clock, journal: Vec::new() }
    }

    /// Whether to leave it at that.
    pub fn done(&self) -> bool {
        let there = self.score.penalty == 0 && self.score.goal <= self.target;
        self.left == 0 || there || self.clock.over()
    }

    /// The goal's value that is enough.
    pub fn target(&self) -> f64 {
        self.target
    }

    pub fn spend(&mut self, tries: u64) {
        self.left = self.left.saturating_sub(tries);
    }

    /// Tries the steps, and keeps them if `good` says so of the score before
    /// and after.
    pub fn attempt(&mut self, steps: &[Step], good: impl Fn(&Score, &Score) -> bool) -> bool {
        self.spend(1);
        self.state.make(steps);
        let score = Score::of(self.state, self.kind);
        if good(&self.score, &score) {
            self.score = score;
            self.journal.extend_from_slice(steps);
            return true;
        }
        self.state.undo(steps);
        false
    }

    /// Makes the steps, good or bad.
    pub fn force(&mut self, steps: &[Step]) {
        self.attempt(steps, |_, _| true);
    }

    /// What there is now is the best from here on.
    pub fn keep(&mut self) {
        self.journal.clear();
        self.best = self.score;
    }

    /// Back to the best state; gives the steps that were taken back.
    pub fn take_back(&mut self) -> Vec<Step> {
        let steps = std::mem::take(&mut self.journal);
        for s in steps.iter().rev() {
            self.state.make(&[Step { item: s.item, from: s.to, to: s.from }]);
        }
        self.score = self.best;
        steps
    }

    /// Keeps what is no worse, else goes back to the best.
    pub fn settle(&mut self) -> Vec<Step> {
        if self.best.better_than(&self.score) {
            return self.take_back();
        }
        self.keep();
        Vec::new()
    }
}
