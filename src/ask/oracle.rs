//! Whoever asks many small questions asks them here: one deadline for all.

use super::vary;
use crate::load::MoveOrder;
use crate::quantity::Percent;
use crate::split::{Answer, GoalResult, Options, Outcome, Planned, Reason, Watch, split_within};
use std::cell::Cell;
use std::time::{Duration, Instant};

/// Whether a move has a plan, as far as is known.
#[derive(Debug, Clone)]
pub enum Possible {
    /// One that passed the audit. Its goals were not asked for.
    Yes(Box<Planned>),
    /// Proven: none exists.
    No(Reason),
    /// Not settled in the time there was.
    Unknown,
}

impl Possible {
    pub fn is_yes(&self) -> bool {
        matches!(self, Possible::Yes(_))
    }
    pub fn is_no(&self) -> bool {
        matches!(self, Possible::No(_))
    }
}

/// Splits changed moves, all under one deadline.
#[derive(Debug)]
pub struct Oracle<'a> {
    options: Options,
    watch: &'a Watch,
    end: Instant,
    asked: Cell<u64>,
}

impl<'a> Oracle<'a> {
    /// `options.time` is for everything that is asked, together.
    pub fn new(options: &Options, watch: &'a Watch) -> Self {
        // A span too long for the clock is as good as a year.
        let year = Duration::from_secs(365 * 86_400);
        let end = Instant::now() + options.time.min(year);
        Oracle { options: options.clone(), watch, end, asked: Cell::new(0) }
    }
    pub fn left(&self) -> Duration {
        self.end.saturating_duration_since(Instant::now())
    }
    /// Time is up, or somebody asked to stop.
    pub fn over(&self) -> bool {
        self.watch.interrupted() || self.left().is_zero()
    }
    /// How far from the best possible an answer may be.
    pub fn gap(&self) -> Percent {
        self.options.gap
    }
    pub fn watch(&self) -> &'a Watch {
        self.watch
    }
    /// How many moves were split so far.
    pub fn asked(&self) -> u64 {
        self.asked.get()
    }
    /// What is at work, for the progress line.
    pub fn step(&self, text: impl Into<String>) {
        self.watch.set_step(text);
    }

    /// The answer to a move by its own goals, in `most` of the time at most.
    pub fn answer(&self, order: &MoveOrder, most: Duration) -> Answer {
        self.answer_within(order, most, &[])
    }

    /// The same for a move that only tightens another, whose goals came to
    /// `wider`; see [`split_within`].
    pub fn answer_within(&self, order: &MoveOrder, most: Duration, wider: &[GoalResult]) -> Answer {
        self.asked.set(self.asked.get() + 1);
        let time = self.left().min(most);
        split_within(order, &Options { time, ..self.options.clone() }, self.watch, wider)
    }

    /// Whether any plan exists, whatever it is worth, in `most` of the time.
    pub fn possible(&self, order: &MoveOrder, most: Duration) -> Possible {
        match self.answer(&vary::any_plan(order), most).outcome {
            Outcome::Plan(planned) => Possible::Yes(planned),
            Outcome::NoPlan(reason) => Possible::No(reason),
            Outcome::NoneFound => Possible::Unknown,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::common::random_move::small;

    #[test]
    fn what_is_possible_does_not_hang_on_the_goals() {
        let (watch, second) = (Watch::default(), Duration::from_secs(5));
        let oracle = Oracle::new(&Options { time: second * 20, ..Options::default() }, &watch);
        let (mut yes, mut no) = (0, 0);
        for seed in 1..60 {
            let order = small(seed);
            let plan = matches!(oracle.answer(&order, second).outcome, Outcome::Plan(_));
            let possible = oracle.possible(&order, second);
            assert_eq!(possible.is_yes(), plan, "seed {seed}");
            assert_eq!(possible.is_no(), !plan, "seed {seed}");
            *if plan { &mut yes } else { &mut no } += 1;
        }
        assert!(yes > 5 && no > 5, "{yes} {no}");
    }
}
