//! Levelling: swaps of a few units between a fuller and an emptier carrier of
//! a party, until no two of them can be brought nearer to each other; then a
//! few random swaps to go on from. For `even`, and for a crew that is over its
//! limits.

use super::bundles::{Bundles, Unit, nearest};
use super::improve::Budget;
use super::random::Random;
use super::score::Score;
use super::state::{Spot, State, Step};
use crate::load::{GoalKind, Way};
use crate::split::options::Clock;

/// Swaps tried between two carriers before the next two.
const SWAPS: usize = 4;
/// Bundles walked past that count as one try.
const WALK: u64 = 64;

/// Levels the loads; the result is never worse.
pub(in crate::split) fn level(
    state: &mut State,
    kind: GoalKind,
    budget: &Budget,
    clock: &Clock,
) -> Score {
    let score = Score::of(state, kind);
    let bundles = vec![None; state.on.len()];
    let mut level = Level {
        state,
        kind,
        score,
        best: score,
        random: Random::new(budget.seed ^ 0x1e7e_11ed),
        left: budget.tries,
        target: budget.target,
        clock,
        bundles,
        journal: Vec::new(),
    };
    level.run();
    level.best
}

struct Level<'s, 'f, 'o> {
    state: &'s mut State<'f, 'o>,
    kind: GoalKind,
    score: Score,
    best: Score,
    random: Random,
    left: u64,
    target: f64,
    clock: &'s Clock,
    /// What each carrier could give, while it is as it was.
    bundles: Vec<Option<Bundles>>,
    /// Steps since the best state.
    journal: Vec<Step>,
}

impl Level<'_, '_, '_> {
    fn run(&mut self) {
        let parties: Vec<usize> = (0..self.state.facts.by_party.len()).collect();
        for p in parties {
            let all = self.state.facts.by_party[p].clone();
            self.settle(&all);
        }
        self.keep();
        while !self.done() {
            let moved = self.kick();
            if moved.is_empty() {
                return;
            }
            self.settle(&moved);
            if self.best.better_than(&self.score) {
                self.take_back();
            } else {
                self.keep();
            }
        }
        if self.best.better_than(&self.score) {
            self.take_back();
        }
    }

    fn done(&self) -> bool {
        let there = self.score.penalty == 0 && self.score.goal <= self.target;
        self.left == 0 || there || self.clock.over()
    }

    fn keep(&mut self) {
        self.journal.clear();
        self.best = self.score;
    }

    /// Back to the best state.
    fn take_back(&mut self) {
        let steps: Vec<Step> = self.journal.drain(..).collect();
        for s in steps.iter().rev() {
            let back = [Step { item: s.item, from: s.to, to: s.from }];
            self.state.make(&back);
            self.forget(&back);
        }
        self.score = self.best;
    }

    fn forget(&mut self, steps: &[Step]) {
        for spot in steps.iter().flat_map(|s| [s.from, s.to]).flatten() {
            let (a, b) = super::state::ends(spot);
            self.bundles[a] = None;
            if let Some(b) = b {
                self.bundles[b] = None;
            }
        }
    }

    /// What fills a carrier: its share for `even`, else what its limit takes.
    fn fill(&self, c: usize) -> (f64, f64) {
        let f = &self.state.facts.carriers[c];
        let whole = match self.kind {
            GoalKind::Even => f.limit,
            _ => self.state.most_mass(c).min(f.limit),
        };
        ((f.burden + self.state.on[c].mass) as f64, whole.max(1) as f64)
    }

    fn share(&self, c: usize) -> f64 {
        let (load, whole) = self.fill(c);
        load / whole
    }

    /// Until no carrier of `moved` and one of its party can come nearer to
    /// each other; the fullest first.
    fn settle(&mut self, moved: &[usize]) {
        let mut waiting: Vec<usize> = moved.to_vec();
        while !waiting.is_empty() && !self.done() {
            let full = |x: &(usize, &usize)| self.share(*x.1);
            let fullest = waiting.iter().enumerate().max_by(|a, b| full(a).total_cmp(&full(b)));
            let Some((at, _)) = fullest else { return };
            let c = waiting.swap_remove(at);
            let mut others = self.state.facts.by_party[self.state.facts.carriers[c].party].clone();
            others.retain(|o| *o != c);
            // Those whom it is furthest from can gain the most.
            let here = self.share(c);
            let mut far: Vec<(f64, usize)> =
                others.into_iter().map(|o| ((self.share(o) - here).abs(), o)).collect();
            far.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            for (_, other) in far {
                if self.done() {
                    return;
                }
                if self.between(c, other) {
                    for x in [c, other] {
                        if !waiting.contains(&x) {
                            waiting.push(x);
                        }
                    }
                    break;
                }
            }
        }
    }

    /// Brings two carriers nearer to each other.
    fn between(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = if self.share(a) >= self.share(b) { (a, b) } else { (b, a) };
        let ((on_a, whole_a), (on_b, whole_b)) = (self.fill(a), self.fill(b));
        let wanted = (on_a * whole_b - on_b * whole_a) / (whole_a + whole_b);
        if wanted < 1.0 {
            self.left = self.left.saturating_sub(1);
            return false;
        }
        for c in [a, b] {
            if self.bundles[c].is_none() {
                let bundles = Bundles::of(self.state, c, &mut self.random);
                self.left = self.left.saturating_sub(bundles.len() as u64 * 2 / WALK);
                self.bundles[c] = Some(bundles);
            }
        }
        let (Some(from), Some(to)) = (&self.bundles[a], &self.bundles[b]) else { return false };
        self.left = self.left.saturating_sub(1 + (from.len() + to.len()) as u64 / WALK);
        let swaps: Vec<(Vec<Unit>, Vec<Unit>)> = nearest(from, to, wanted as i64, SWAPS)
            .into_iter()
            .map(|(i, j)| (from.units(i).collect(), to.units(j).collect()))
            .collect();
        for (given, taken) in swaps {
            let mut steps = Vec::with_capacity(given.len() + taken.len());
            let there = given.iter().all(|u| self.step(u, a, b, &mut steps))
                && taken.iter().all(|u| self.step(u, b, a, &mut steps));
            if there && self.attempt(&steps) {
                return true;
            }
        }
        false
    }

    /// The step of a unit from one to another, the way it goes if that can be.
    fn step(&self, unit: &Unit, from: usize, to: usize, steps: &mut Vec<Step>) -> bool {
        let facts = self.state.facts;
        let may = |w: &Way| *w != Way::Pair && facts.may(unit.item, to, *w);
        let free = |w: &Way| may(w) && self.state.has_place(unit.item, to, *w);
        let ways = || [unit.way].into_iter().chain(Way::ALL);
        let Some(way) = ways().find(free).or_else(|| ways().find(may)) else { return false };
        let (from, to) = (Some(Spot::One(from, unit.way)), Some(Spot::One(to, way)));
        steps.push(Step { item: unit.item, from, to });
        true
    }

    /// Makes the steps and keeps them if they level out without breaking
    /// anything.
    fn attempt(&mut self, steps: &[Step]) -> bool {
        self.left = self.left.saturating_sub(1);
        self.state.make(steps);
        let score = Score::of(self.state, self.kind);
        // Levelling two carriers may leave the peak with a third.
        let by_spread = score.penalty <= self.score.penalty
            && (score.goal <= self.score.goal || self.kind != GoalKind::Even)
            && score.tie < self.score.tie * (1.0 - 1e-12);
        if score.better_than(&self.score) || by_spread {
            self.score = score;
            self.journal.extend_from_slice(steps);
            self.forget(steps);
            return true;
        }
        self.state.undo(steps);
        false
    }

    /// Moves a few units of the fullest carrier and of two or three others of
    /// its party around; gives whom it touched.
    fn kick(&mut self) -> Vec<usize> {
        let facts = self.state.facts;
        let even = |c: &usize| !facts.carriers[*c].store;
        let Some(peak) = (0..facts.carriers.len())
            .filter(even)
            .max_by(|a, b| self.share(*a).total_cmp(&self.share(*b)))
        else {
            return Vec::new();
        };
        let mut others = facts.by_party[facts.carriers[peak].party].clone();
        others.retain(|c| *c != peak);
        if others.is_empty() {
            return Vec::new();
        }
        self.random.shuffle(&mut others);
        let first = if self.random.below(2) == 0 { Some(peak) } else { None };
        let ring: Vec<usize> =
            first.into_iter().chain(others).take(2 + self.random.below(2)).collect();
        let mut steps = Vec::new();
        for k in 0..ring.len() {
            let (c, next) = (ring[k], ring[(k + 1) % ring.len()]);
            let entries = &self.state.on[c].entries;
            if entries.is_empty() {
                continue;
            }
            let e = entries[self.random.below(entries.len())];
            let unit = Unit::new(facts, e.item, e.way);
            self.step(&unit, c, next, &mut steps);
        }
        self.left = self.left.saturating_sub(1);
        self.state.make(&steps);
        self.journal.extend_from_slice(&steps);
        self.forget(&steps);
        self.score = Score::of(self.state, self.kind);
        ring
    }
}
