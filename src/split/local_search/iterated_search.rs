//! Iterated local search: first-improvement descent over moves, exchanges and
//! chains, and from a local optimum a few random moves to go on from.

use super::construct::spots;
use super::score::Score;
use super::state::{Spot, State, Step, ends};
use super::walk::{Budget, Walk};
use crate::facts::KitIx;
use crate::load::{GoalKind, Measure, Way};
use crate::options::Clock;

/// The most chains tried from one unit in one sweep.
const CHAINS: u64 = 600;
pub(super) struct IteratedSearch<'s, 'f, 'o> {
    pub walk: Walk<'s, 'f, 'o>,
}

/// Improves `state` for the goal; the result is never worse.
pub(crate) fn iterated_search(
    state: &mut State,
    kind: GoalKind,
    budget: &Budget,
    clock: &Clock,
) -> Score {
    let mut search = IteratedSearch { walk: Walk::new(state, kind, budget, clock) };
    search.run();
    search.walk.score
}

impl IteratedSearch<'_, '_, '_> {
    fn run(&mut self) {
        self.descend();
        self.walk.keep();
        while !self.walk.done() {
            self.shake();
            self.descend();
            self.walk.settle();
        }
    }

    pub(super) fn done(&self) -> bool {
        self.walk.done()
    }

    /// Tries the steps and keeps them if they score better.
    pub(super) fn attempt(&mut self, steps: &[Step]) -> bool {
        self.walk.attempt(steps, |before, after| after.better_than(before))
    }

    /// Sweeps over everything that is carried, and everything that is left,
    /// until a whole sweep finds nothing better.
    fn descend(&mut self) {
        loop {
            let before = self.walk.score;
            let mut units: Vec<(usize, Spot)> =
                self.walk.state.placed().map(|(i, s, _)| (i, s)).collect();
            self.walk.random.shuffle(&mut units);
            if self.walk.score.penalty > 0 {
                // Units that hold the goal back first.
                let whole = |s: &Spot| {
                    let (a, b) = ends(*s);
                    let hurts =
                        |c: KitIx| self.walk.state.on[c].penalty + self.walk.state.on[c].broken > 0;
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
            if self.done() || !self.walk.score.better_than(&before) {
                return;
            }
        }
    }

    fn is_at(&self, item: usize, spot: Spot) -> bool {
        match spot {
            Spot::One(c, way) => {
                self.walk.state.on[c].entries.iter().any(|e| e.item == item && e.way == way)
            }
            Spot::Pair(a, b) => self.walk.state.on[a].pairs.contains(&(item, a, b)),
        }
    }

    /// Elsewhere, left behind, or in exchange for another thing.
    fn move_one(&mut self, item: usize, spot: Spot) -> bool {
        let party = self.walk.state.party_of(spot);
        let from = Some(spot);
        if self.attempt(&[Step { item, from, to: None }]) {
            return true;
        }
        let mut places = spots(self.walk.state, item, party);
        self.walk.random.shuffle(&mut places);
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
        let facts = self.walk.state.facts;
        let mut theirs: Vec<(KitIx, Way, usize)> = Vec::new();
        for &d in facts.by_party[party].iter().filter(|d| **d != c) {
            let other = self.walk.state.on[d].entries.iter().filter(|e| e.item != item);
            theirs.extend(other.map(|e| (d, e.way, e.item)));
        }
        self.walk.random.shuffle(&mut theirs);
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

    /// An ejection chain: to somebody who hands a thing on to a third. Only for
    /// units that hold the goal back: there are many chains.
    fn chain(&mut self, item: usize, spot: Spot, party: usize) -> bool {
        if !self.hurts(item, spot) {
            return false;
        }
        let from = Some(spot);
        let mut tries = CHAINS;
        let mut places = spots(self.walk.state, item, party);
        self.walk.random.shuffle(&mut places);
        for to in places {
            let Spot::One(d, _) = to else { continue };
            if ends(spot).0 == d || ends(spot).1 == Some(d) {
                continue;
            }
            if self.walk.kind == GoalKind::Keeper && self.walk.state.facts.misplaced(item, d) {
                continue;
            }
            let mut theirs: Vec<(usize, Way)> =
                self.walk.state.on[d].entries.iter().map(|e| (e.item, e.way)).collect();
            self.walk.random.shuffle(&mut theirs);
            for (other, way) in theirs.into_iter().filter(|(other, _)| *other != item) {
                let mut on = spots(self.walk.state, other, party);
                self.walk.random.shuffle(&mut on);
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

    /// Whether the current goal is held back by this unit.
    pub(super) fn hurts(&self, item: usize, spot: Spot) -> bool {
        let facts = self.walk.state.facts;
        let (a, b) = ends(spot);
        match self.walk.kind {
            GoalKind::Keeper => {
                facts.misplaced(item, a) && b.is_none_or(|b| facts.misplaced(item, b))
            }
            GoalKind::Even => {
                let share = |c: KitIx| {
                    let f = &facts.carriers[c];
                    (f.burden + self.walk.state.on[c].mass) as f64 / f.limit.max(1) as f64
                };
                share(a) >= self.walk.score.goal - 1e-9
            }
            GoalKind::Hands => !matches!(spot, Spot::One(_, way) if way != Way::Hand),
            GoalKind::Changes => facts.before.as_ref().is_some_and(|before| {
                let new = |c: KitIx| self.walk.state.count_on(item, c) > before.on[c.0][item];
                new(a) || b.is_some_and(new) || self.walk.score.penalty > 0
            }),
            // Of another that counts something, any unit may be what is counted.
            other => other.measure() == Measure::Count || self.walk.score.penalty > 0,
        }
    }

    /// With a thing that is left.
    fn replace(&mut self, item: usize, spot: Spot) -> bool {
        let facts = self.walk.state.facts;
        let Spot::One(c, way) = spot else { return false };
        let mut left: Vec<usize> = self.useful_left(self.walk.state.party_of(spot));
        self.walk.random.shuffle(&mut left);
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
        let (state, asked) = (&*self.walk.state, &self.walk.state.facts.useful[party]);
        let useful = |i: &usize| state.loose[party][*i] < asked[*i] && state.left(*i) > 0;
        (0..asked.len()).filter(useful).collect()
    }

    /// Takes one more of what is left, where that scores better.
    fn take_more(&mut self) {
        let facts = self.walk.state.facts;
        for party in (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store()) {
            let mut left = self.useful_left(party);
            self.walk.random.shuffle(&mut left);
            for item in left {
                let mut places = spots(self.walk.state, item, party);
                self.walk.random.shuffle(&mut places);
                for to in places {
                    if self.done() || self.walk.state.left(item) == 0 {
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
        for _ in 0..2 + self.walk.random.below(3) {
            let units: Vec<(usize, Spot)> =
                self.walk.state.placed().map(|(i, s, _)| (i, s)).collect();
            self.walk.spend(1);
            if units.is_empty() {
                break;
            }
            let (item, spot) = units[self.walk.random.below(units.len())];
            let party = self.walk.state.party_of(spot);
            let places = spots(self.walk.state, item, party);
            let to = places[self.walk.random.below(places.len())];
            self.walk.force(&[Step { item, from: Some(spot), to: Some(to) }]);
        }
    }
}
