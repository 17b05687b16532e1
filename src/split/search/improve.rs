//! Local search: change after change that scores better, and from a standstill
//! a few random ones to climb on from.

use super::construct::spots;
use super::random::Random;
use super::score::Score;
use super::state::{Spot, State, Step, ends};
use crate::load::{GoalKind, Way};
use crate::split::options::Clock;

/// What the search may spend. It counts tries, not time, so that the same
/// move gives the same plan; only the clock's deadline cuts it short.
#[derive(Debug, Clone)]
pub(in crate::split) struct Budget {
    pub tries: u64,
    /// Goal value (negated where more is better) that nothing can beat.
    pub target: f64,
    pub seed: u64,
}

/// The most chains tried from one unit in one sweep.
const CHAINS: u64 = 600;
/// The most exchanges tried with other parties from one unit in one sweep.
const ACROSS: u64 = 200;
/// The most spots tried in another party.
const HANDED: usize = 8;

struct Search<'s, 'f, 'o> {
    state: &'s mut State<'f, 'o>,
    kind: GoalKind,
    score: Score,
    random: Random,
    left: u64,
    target: f64,
    clock: &'s Clock,
}

/// Improves `state` for the goal; the result is never worse.
pub(in crate::split) fn improve(
    state: &mut State,
    kind: GoalKind,
    budget: &Budget,
    clock: &Clock,
) -> Score {
    let score = Score::of(state, kind);
    let mut search = Search {
        state,
        kind,
        score,
        random: Random::new(budget.seed),
        left: budget.tries,
        target: budget.target,
        clock,
    };
    search.run();
    search.score
}

impl<'f, 'o> Search<'_, 'f, 'o> {
    fn run(&mut self) {
        self.descend();
        let mut best: (State<'f, 'o>, Score) = (self.state.clone(), self.score);
        while !self.done() {
            self.shake();
            self.descend();
            if best.1.better_than(&self.score) {
                *self.state = best.0.clone();
                self.score = best.1;
            } else {
                best = (self.state.clone(), self.score);
            }
        }
    }

    fn done(&self) -> bool {
        let there = self.score.penalty == 0 && self.score.goal <= self.target;
        self.left == 0 || there || self.clock.over()
    }

    /// Tries the steps and keeps them if they score better.
    fn attempt(&mut self, steps: &[Step]) -> bool {
        self.left = self.left.saturating_sub(1);
        self.state.make(steps);
        let score = Score::of(self.state, self.kind);
        if score.better_than(&self.score) {
            self.score = score;
            return true;
        }
        self.state.undo(steps);
        false
    }

    /// Sweeps over everything that is carried, and everything that is left,
    /// until a whole sweep finds nothing better.
    fn descend(&mut self) {
        loop {
            let before = self.score;
            let mut units: Vec<(usize, Spot)> =
                self.state.placed().map(|(i, s, _)| (i, s)).collect();
            self.random.shuffle(&mut units);
            if self.score.penalty > 0 {
                // Where it hurts first.
                let whole = |s: &Spot| {
                    let (a, b) = ends(*s);
                    let hurts = |c: usize| self.state.on[c].penalty + self.state.on[c].broken > 0;
                    !hurts(a) && !b.is_some_and(hurts)
                };
                units.sort_by_key(|(_, s)| whole(s));
            }
            for (item, spot) in units {
                if self.done() {
                    return;
                }
                if self.is_at(item, spot) {
                    self.move_one(item, spot);
                }
            }
            self.take_more();
            if self.done() || !self.score.better_than(&before) {
                return;
            }
        }
    }

    fn is_at(&self, item: usize, spot: Spot) -> bool {
        match spot {
            Spot::One(c, way) => {
                self.state.on[c].entries.iter().any(|e| e.item == item && e.way == way)
            }
            Spot::Pair(a, b) => self.state.on[a].pairs.contains(&(item, a, b)),
        }
    }

    /// Elsewhere, left behind, or in exchange for another thing.
    fn move_one(&mut self, item: usize, spot: Spot) -> bool {
        let party = self.state.party_of(spot);
        let from = Some(spot);
        if self.attempt(&[Step { item, from, to: None }]) {
            return true;
        }
        let mut places = spots(self.state, item, party);
        self.random.shuffle(&mut places);
        for to in places.into_iter().filter(|s| *s != spot) {
            if self.done() {
                return false;
            }
            if self.attempt(&[Step { item, from, to: Some(to) }]) {
                return true;
            }
        }
        self.exchange(item, spot, party)
            || self.hand_over(item, spot, party)
            || self.across(item, spot, party)
            || self.replace(item, spot)
            || self.chain(item, spot, party)
    }

    /// With a thing that somebody else in the party carries.
    fn exchange(&mut self, item: usize, spot: Spot, party: usize) -> bool {
        let Spot::One(c, way) = spot else { return false };
        let facts = self.state.facts;
        let mut theirs: Vec<(usize, Way, usize)> = Vec::new();
        for &d in facts.by_party[party].iter().filter(|d| **d != c) {
            let other = self.state.on[d].entries.iter().filter(|e| e.item != item);
            theirs.extend(other.map(|e| (d, e.way, e.item)));
        }
        self.random.shuffle(&mut theirs);
        for (d, other_way, other) in theirs {
            if self.done() {
                return false;
            }
            // Each takes the other's way if it can, else its own if that is free.
            let to = [other_way, way].into_iter().find(|w| facts.may(item, d, *w));
            let back = [way, other_way].into_iter().find(|w| facts.may(other, c, *w));
            let (Some(to), Some(back)) = (to, back) else { continue };
            let steps = [
                Step { item, from: Some(spot), to: Some(Spot::One(d, to)) },
                Step {
                    item: other,
                    from: Some(Spot::One(d, other_way)),
                    to: Some(Spot::One(c, back)),
                },
            ];
            if self.attempt(&steps) {
                return true;
            }
        }
        false
    }

    /// To somebody who hands a thing on to a third. Only from where it hurts:
    /// there are many chains.
    fn chain(&mut self, item: usize, spot: Spot, party: usize) -> bool {
        if !self.hurts(item, spot) {
            return false;
        }
        let from = Some(spot);
        let mut tries = CHAINS;
        let mut places = spots(self.state, item, party);
        self.random.shuffle(&mut places);
        for to in places {
            let Spot::One(d, _) = to else { continue };
            if ends(spot).0 == d || ends(spot).1 == Some(d) {
                continue;
            }
            if self.kind == GoalKind::Keeper && self.state.facts.misplaced(item, d) {
                continue;
            }
            let mut theirs: Vec<(usize, Way)> =
                self.state.on[d].entries.iter().map(|e| (e.item, e.way)).collect();
            self.random.shuffle(&mut theirs);
            for (other, way) in theirs.into_iter().filter(|(other, _)| *other != item) {
                let mut on = spots(self.state, other, party);
                self.random.shuffle(&mut on);
                for next in on.into_iter().filter(|s| ends(*s).0 != d && ends(*s).1 != Some(d)) {
                    if self.done() || tries == 0 {
                        return false;
                    }
                    tries -= 1;
                    let steps = [
                        Step { item, from, to: Some(to) },
                        Step { item: other, from: Some(Spot::One(d, way)), to: Some(next) },
                    ];
                    if self.attempt(&steps) {
                        return true;
                    }
                }
            }
        }
        false
    }

    /// Whether the goal at work is held back by this unit.
    fn hurts(&self, item: usize, spot: Spot) -> bool {
        let facts = self.state.facts;
        let (a, b) = ends(spot);
        match self.kind {
            GoalKind::Keeper => {
                facts.misplaced(item, a) && b.is_none_or(|b| facts.misplaced(item, b))
            }
            GoalKind::Even => {
                let share = |c: usize| {
                    let f = &facts.carriers[c];
                    (f.burden + self.state.on[c].mass) as f64 / f.limit.max(1) as f64
                };
                share(a) >= self.score.goal - 1e-9
            }
            GoalKind::Hands => !matches!(spot, Spot::One(_, way) if way != Way::Hand),
            GoalKind::Wants | GoalKind::Lightest => self.score.penalty > 0,
        }
    }

    /// To another party, one that lacks something.
    fn hand_over(&mut self, item: usize, spot: Spot, party: usize) -> bool {
        let facts = self.state.facts;
        if self.score.penalty == 0 {
            return false;
        }
        let lacks = |s: &State, p: usize| {
            p != party && s.party_penalty[p] > 0 && s.loose[p][item] < facts.asked[p][item]
        };
        let others: Vec<usize> = (0..facts.by_party.len())
            .filter(|p| Some(*p) != facts.store() && lacks(self.state, *p))
            .collect();
        for other in others {
            let mut places = spots(self.state, item, other);
            places.retain(|s| matches!(*s, Spot::One(c, way) if self.state.fits(item, c, way)));
            self.random.shuffle(&mut places);
            for to in places.into_iter().take(HANDED) {
                if self.done() {
                    return false;
                }
                if self.attempt(&[Step { item, from: Some(spot), to: Some(to) }]) {
                    return true;
                }
            }
        }
        false
    }

    /// To another party, alone or for a thing of theirs: for `even`, where one
    /// party's people bear more than another's.
    fn across(&mut self, item: usize, spot: Spot, party: usize) -> bool {
        let Spot::One(c, _) = spot else { return false };
        if self.kind != GoalKind::Even || self.score.penalty > 0 || !self.hurts(item, spot) {
            return false;
        }
        let facts = self.state.facts;
        let foot = |d: &usize| facts.carriers[*d].party != party && !facts.carriers[*d].store;
        let mut others: Vec<usize> = (0..facts.carriers.len()).filter(foot).collect();
        self.random.shuffle(&mut others);
        let mut tries = ACROSS;
        let way = |item: usize, to: usize| {
            Way::ALL.into_iter().find(|w| *w != Way::Pair && facts.may(item, to, *w))
        };
        for d in others {
            let Some(to) = way(item, d).map(|w| Spot::One(d, w)) else { continue };
            let give = Step { item, from: Some(spot), to: Some(to) };
            if self.attempt(&[give]) {
                return true;
            }
            let mut theirs: Vec<(usize, Way)> =
                self.state.on[d].entries.iter().map(|e| (e.item, e.way)).collect();
            self.random.shuffle(&mut theirs);
            for (other, other_way) in theirs {
                if self.done() || tries == 0 {
                    return false;
                }
                // Only a lighter thing is worth having for it.
                let Some(back) = way(other, c) else { continue };
                if facts.items[other].mass >= facts.items[item].mass {
                    continue;
                }
                tries -= 1;
                let from = Some(Spot::One(d, other_way));
                let take = Step { item: other, from, to: Some(Spot::One(c, back)) };
                if self.attempt(&[give, take]) {
                    return true;
                }
            }
        }
        false
    }

    /// With a thing that is left.
    fn replace(&mut self, item: usize, spot: Spot) -> bool {
        let facts = self.state.facts;
        let Spot::One(c, way) = spot else { return false };
        let mut left: Vec<usize> = self.useful_left(self.state.party_of(spot));
        self.random.shuffle(&mut left);
        for other in left.into_iter().filter(|o| *o != item) {
            if self.done() {
                return false;
            }
            let ways = Way::ALL.into_iter();
            let to = [way].into_iter().chain(ways).find(|w| facts.may(other, c, *w));
            let Some(to) = to.filter(|w| *w != Way::Pair) else { continue };
            let steps = [
                Step { item, from: Some(spot), to: None },
                Step { item: other, from: None, to: Some(Spot::One(c, to)) },
            ];
            if self.attempt(&steps) {
                return true;
            }
        }
        false
    }

    /// Items left that the party could do with more of.
    fn useful_left(&self, party: usize) -> Vec<usize> {
        let (state, asked) = (&*self.state, &self.state.facts.asked[party]);
        let useful = |i: &usize| state.loose[party][*i] < asked[*i] && state.left(*i) > 0;
        (0..asked.len()).filter(useful).collect()
    }

    /// Takes one more of what is left, where that scores better.
    fn take_more(&mut self) {
        let facts = self.state.facts;
        for party in (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store()) {
            let mut left = self.useful_left(party);
            self.random.shuffle(&mut left);
            for item in left {
                let mut places = spots(self.state, item, party);
                self.random.shuffle(&mut places);
                for to in places {
                    if self.done() || self.state.left(item) == 0 {
                        return;
                    }
                    if self.attempt(&[Step { item, from: None, to: Some(to) }]) {
                        break;
                    }
                }
            }
        }
    }

    /// Two to four random moves, good or bad.
    fn shake(&mut self) {
        for _ in 0..2 + self.random.below(3) {
            let units: Vec<(usize, Spot)> = self.state.placed().map(|(i, s, _)| (i, s)).collect();
            self.left = self.left.saturating_sub(1);
            if units.is_empty() {
                break;
            }
            let (item, spot) = units[self.random.below(units.len())];
            let party = self.state.party_of(spot);
            let places = spots(self.state, item, party);
            let to = places[self.random.below(places.len())];
            self.state.make(&[Step { item, from: Some(spot), to: Some(to) }]);
        }
        self.score = Score::of(self.state, self.kind);
    }
}
