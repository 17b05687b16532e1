//! Exchanges of wants on one carrier: it puts a few wanted things back and
//! takes a few others that are worth more and fit; between exchanges, carriers
//! swap bundles so that one is filled completely and the spare room of the
//! other is in one piece.

use super::bundles::{Bundles, Unit, under};
use super::offers::{Offers, best};
use super::score::Score;
use super::state::{Spot, State, Step};
use super::walk::{Budget, Walk};
use crate::facts::KitIx;
use crate::load::{GoalKind, Way};
use crate::options::Clock;

/// Things looked at on either side; of more, some are picked at random.
const MANY: usize = 40;
/// Exchanges tried of one carrier before it is left.
const TRADES: usize = 4;
/// Offers walked past that count as one try.
const WALK: u64 = 64;
/// Steps that may be worse before they are undone.
const GRACE: usize = 60;

/// Exchanges for more value; the result is never worse.
pub(crate) fn exchange_wants(state: &mut State, budget: &Budget, clock: &Clock) -> Score {
    let budget = Budget { seed: budget.seed ^ 0x7ead_e000, ..budget.clone() };
    let value = worth(state);
    let mut trade =
        WantExchange { value, walk: Walk::new(state, GoalKind::Wants, &budget, clock), worse: 0 };
    trade.run();
    trade.walk.score
}

/// Per party: what it wants, by item; what one is worth, and up to how many.
fn worth(state: &State) -> Vec<Vec<(usize, u64, u32)>> {
    let facts = state.facts;
    let mut value = vec![Vec::new(); facts.by_party.len()];
    for w in facts.order.wants() {
        value[w.party.0].push((w.item.0, u64::from(w.value), w.up_to));
    }
    value.iter_mut().for_each(|v| v.sort_unstable());
    value
}

struct WantExchange<'s, 'f, 'o> {
    value: Vec<Vec<(usize, u64, u32)>>,
    walk: Walk<'s, 'f, 'o>,
    /// Rounds since it was as good as the best.
    worse: usize,
}

impl WantExchange<'_, '_, '_> {
    fn run(&mut self) {
        let facts = self.walk.state.facts;
        let mut walkers: Vec<KitIx> = facts.kit().filter(|&c| !facts.carriers[c].store).collect();
        if walkers.is_empty() {
            return;
        }
        self.walk.random.shuffle(&mut walkers);
        walkers.iter().for_each(|c| self.improve(*c));
        self.settle();
        while !self.walk.done() {
            let c = walkers[self.walk.random.below(walkers.len())];
            if self.walk.random.below(4) == 0 {
                self.kick(c);
            }
            let other = self.gather(c);
            for c in [Some(c), other].into_iter().flatten() {
                self.improve(c);
            }
            self.settle();
        }
        self.walk.settle();
    }

    /// Keeps what is as good, undoes what stays worse for some rounds.
    fn settle(&mut self) {
        let walk = &mut self.walk;
        let same = walk.score.penalty == walk.best.penalty && walk.score.goal == walk.best.goal;
        if same || walk.score.better_than(&walk.best) {
            walk.keep();
            self.worse = 0;
        } else if self.worse > GRACE || walk.random.below(4) == 0 {
            walk.take_back();
            self.worse = 0;
        } else {
            self.worse += 1;
        }
    }

    /// Spare mass of a carrier in mg.
    fn spare(&self, c: KitIx) -> u64 {
        let state = &self.walk.state;
        let f = &state.facts.carriers[c];
        let spare = state.most_mass(c).saturating_sub(f.burden + state.on[c].mass);
        spare.min(f.usable.saturating_sub(state.worst_load(c)))
    }

    /// Exchanges with what is left, as long as that gains.
    fn improve(&mut self, c: KitIx) {
        while !self.walk.done() && self.best_trade(c) {}
    }

    fn best_trade(&mut self, c: KitIx) -> bool {
        let (given, taken) = (self.given(c), self.taken(c));
        self.walk.spend(1 + (given.len() + taken.len()) as u64 / WALK);
        for (g, t) in best(&given, &taken, self.spare(c), TRADES) {
            let state = &self.walk.state;
            let back = given.units(g).map(|u| {
                let from = Some(Spot::One(c, u.way));
                Some(Step { item: u.item, from, to: None })
            });
            let more = taken.units(t).map(|u| {
                let way = state.way_to(u.item, c, None)?;
                Some(Step { item: u.item, from: None, to: Some(Spot::One(c, way)) })
            });
            let Some(steps) = back.chain(more).collect::<Option<Vec<_>>>() else { continue };
            let gains = |a: &Score, b: &Score| (b.penalty, b.goal) < (a.penalty, a.goal);
            if self.walk.attempt(&steps, gains) {
                return true;
            }
        }
        false
    }

    /// What the carrier could put back: worth something or not.
    fn given(&mut self, c: KitIx) -> Offers {
        let state = &self.walk.state;
        let facts = state.facts;
        let party = facts.carriers[c].party;
        let wanted = &self.value[party];
        let value = |i: usize| match wanted.binary_search_by_key(&i, |w| w.0) {
            Ok(at) if state.loose[party][i] <= wanted[at].2 => wanted[at].1,
            _ => 0,
        };
        let mut units: Vec<(Unit, u64)> = Vec::new();
        for e in &state.on[c].entries {
            let unit = (Unit::new(facts, e.item, e.way), value(e.item));
            units.extend((0..e.count.min(2)).map(|_| unit));
        }
        self.walk.random.shuffle(&mut units);
        units.truncate(MANY);
        Offers::new(facts, units)
    }

    /// What the carrier could take of what is left.
    fn taken(&mut self, c: KitIx) -> Offers {
        let state = &self.walk.state;
        let facts = state.facts;
        let party = facts.carriers[c].party;
        let mut units: Vec<(Unit, u64)> = Vec::new();
        for &(i, value, up_to) in &self.value[party] {
            let more = up_to.saturating_sub(state.loose[party][i]).min(state.left(i));
            if value > 0 && more > 0 && state.way_to(i, c, None).is_some() {
                let unit = (Unit::new(facts, i, Way::Back), value);
                units.extend((0..more.min(2)).map(|_| unit));
            }
        }
        self.walk.random.shuffle(&mut units);
        units.truncate(MANY);
        Offers::new(facts, units)
    }

    /// Fills some other of the party to the brim by a swap with the carrier,
    /// whose room grows; gives who that was.
    fn gather(&mut self, c: KitIx) -> Option<KitIx> {
        let facts = self.walk.state.facts;
        let here = &facts.by_party[facts.carriers[c].party];
        let other = here[self.walk.random.below(here.len())];
        if other == c {
            return None;
        }
        let room = self.spare(other);
        let a = Bundles::of(self.walk.state, c, &mut self.walk.random);
        let b = Bundles::of(self.walk.state, other, &mut self.walk.random);
        self.walk.spend(1 + (a.len() + b.len()) as u64 / WALK);
        for (i, j) in under(&a, &b, room as i64, TRADES) {
            let state = &self.walk.state;
            let there = a.units(i).map(|u| u.step(state, c, other));
            let back = b.units(j).map(|u| u.step(state, other, c));
            let Some(steps) = there.chain(back).collect::<Option<Vec<_>>>() else { continue };
            let no_worse = |a: &Score, b: &Score| b.penalty <= a.penalty && b.goal <= a.goal;
            if self.walk.attempt(&steps, no_worse) {
                break;
            }
        }
        Some(other)
    }

    /// Puts one or two things of a carrier back, whatever they are worth.
    fn kick(&mut self, c: KitIx) {
        for _ in 0..1 + self.walk.random.below(2) {
            let entries = &self.walk.state.on[c].entries;
            if entries.is_empty() {
                return;
            }
            let e = entries[self.walk.random.below(entries.len())];
            self.walk.force(&[Step { item: e.item, from: Some(Spot::One(c, e.way)), to: None }]);
        }
    }
}
