//! Whoever asks many small questions asks them here: one deadline for all.

use super::vary;
use crate::load::MoveOrder;
use crate::quantity::Percent;
use crate::split::{
    Answer, GoalResult, Options, Outcome, Planned, Reason, Status, Stop, Watch, split_within,
};
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
    /// Whether a plan was found.
    pub fn is_yes(&self) -> bool {
        matches!(self, Possible::Yes(_))
    }
    /// Whether it is proven that there is none.
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
    /// The time that is left for all further questions.
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
    /// Through which it is watched and stopped.
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

    /// Goes on from an earlier answer to the same move: the search starts from
    /// its plan, and its bounds hold. What comes out is never worse than that.
    pub fn go_on(&self, order: &MoveOrder, earlier: &Answer, most: Duration) -> Answer {
        let later = match &earlier.outcome {
            Outcome::NoPlan(_) => return earlier.clone(),
            Outcome::NoneFound => self.answer(order, most),
            Outcome::Plan(planned) if order.before().is_some() => {
                self.answer_within(order, most, &planned.goals)
            }
            Outcome::Plan(planned) => {
                let from = vary::starting_from(order, &planned.plan);
                self.answer_within(&from, most, &planned.goals)
            }
        };
        let elapsed = earlier.elapsed + later.elapsed;
        let best = if falls_behind(&later, earlier) { earlier.clone() } else { later };
        Answer { elapsed, ..best }
    }

    /// So many questions one after the other, each in an equal part of the time
    /// that is left; then those that are `open` once more with what time the
    /// others left, as long as that is more than they had before. `ask` gets the
    /// number of the question, what is known of it, and the time.
    pub fn in_turn<T>(
        &self,
        count: usize,
        mut ask: impl FnMut(usize, Option<&T>, Duration) -> T,
        open: impl Fn(&T) -> bool,
    ) -> Vec<T> {
        let (mut found, mut had) = (Vec::new(), Vec::new());
        for k in 0..count {
            let time = self.left() / (count - k) as u32;
            found.push(ask(k, None, time));
            had.push(time);
        }
        loop {
            let mut waiting = found.iter().filter(|t| open(t)).count() as u32;
            let mut asked = false;
            for k in 0..count {
                if !open(&found[k]) {
                    continue;
                }
                let time = (self.left() / waiting.max(1)).max(had[k] * 2).min(self.left());
                waiting = waiting.saturating_sub(1);
                // The same in no more time comes to the same.
                if self.over() || time <= had[k] {
                    continue;
                }
                found[k] = ask(k, Some(&found[k]), time);
                (had[k], asked) = (time, true);
            }
            if !asked {
                return found;
            }
        }
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

/// Whether it has no plan where the earlier one had one, or a worse one by the
/// goals in their order.
fn falls_behind(later: &Answer, earlier: &Answer) -> bool {
    let (Outcome::Plan(new), Outcome::Plan(old)) = (&later.outcome, &earlier.outcome) else {
        // A plan is not lost.
        let had = matches!(earlier.outcome, Outcome::Plan(_));
        return had || matches!(later.outcome, Outcome::NoneFound);
    };
    let proven = |status| match status {
        Status::ProvenBest => 2,
        Status::WithinGap => 1,
        Status::Feasible => 0,
    };
    match worse(&new.goals, &old.goals) {
        Some(worse) => worse,
        None => proven(new.status) < proven(old.status),
    }
}

/// Whether the first goal that came to something else came to less; `None`: all
/// are the same.
pub fn worse(new: &[GoalResult], old: &[GoalResult]) -> Option<bool> {
    let goals = new.iter().zip(old);
    let pairs = goals.map(|(n, o)| (n.goal.up(), n.reached.number(), o.reached.number()));
    let first = pairs.into_iter().find(|(_, n, o)| n != o);
    first.map(|(up, n, o)| if up { n < o } else { n > o })
}

/// Whether more time may say more of it.
pub fn open(answer: &Answer) -> bool {
    let unsettled = match &answer.outcome {
        Outcome::Plan(planned) => planned.status == Status::Feasible,
        Outcome::NoPlan(_) => false,
        Outcome::NoneFound => true,
    };
    unsettled && answer.stopped != Some(Stop::Unsettled)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::common::cases::cases;
    use crate::common::random_move::small;

    #[test]
    fn what_is_possible_does_not_hang_on_the_goals() {
        let (watch, second) = (Watch::default(), Duration::from_secs(5));
        let oracle = Oracle::new(&Options { time: second * 20, ..Options::default() }, &watch);
        let (mut yes, mut no) = (0, 0);
        for seed in 1..cases(30, 60) {
            let order = small(seed);
            let plan = matches!(oracle.answer(&order, second).outcome, Outcome::Plan(_));
            let possible = oracle.possible(&order, second);
            assert_eq!(possible.is_yes(), plan, "seed {seed}");
            assert_eq!(possible.is_no(), !plan, "seed {seed}");
            *if plan { &mut yes } else { &mut no } += 1;
        }
        assert!(yes > 5 && no > 5, "{yes} {no}");
    }

    #[test]
    fn what_is_open_gets_the_time_that_others_left() {
        let watch = Watch::default();
        let time = Duration::from_secs(1000);
        let oracle = Oracle::new(&Options { time, ..Options::default() }, &watch);
        // Only the second of four needs more than its part.
        let needed = [1, 600, 1, 1].map(Duration::from_secs);
        let ask = |k: usize, known: Option<&(bool, u32)>, time: Duration| {
            (time >= needed[k], known.map_or(1, |(_, n)| n + 1))
        };
        let found = oracle.in_turn(4, ask, |(settled, _)| !settled);
        assert_eq!(found, [(true, 1), (true, 2), (true, 1), (true, 1)]);
        // What no time settles comes to an end by itself.
        let found = oracle.in_turn(2, |_, _, _| (), |()| true);
        assert_eq!(found.len(), 2);
    }

    #[test]
    fn going_on_is_never_worse() {
        let watch = Watch::default();
        let time = Duration::from_secs(100);
        let oracle = Oracle::new(&Options { time, ..Options::default() }, &watch);
        for seed in 1..cases(20, 40) {
            let order = small(seed);
            let first = oracle.answer(&order, Duration::from_secs(5));
            let later = oracle.go_on(&order, &first, Duration::from_secs(5));
            assert!(!falls_behind(&later, &first), "seed {seed}");
            let whole = |a: &Answer| match &a.outcome {
                Outcome::Plan(p) => Some((p.status, p.goals.clone())),
                _ => None,
            };
            // Both are proven of the same move.
            let proven = |a: &Option<(Status, _)>| {
                a.as_ref().is_some_and(|(status, _)| *status == Status::ProvenBest)
            };
            let (first, later) = (whole(&first), whole(&later));
            assert_eq!(first.is_some(), later.is_some(), "seed {seed}");
            if proven(&first) && proven(&later) {
                assert_eq!(first, later, "seed {seed}");
            }
        }
    }
}
