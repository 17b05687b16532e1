//! Trading for wants: a carrier puts a few wanted things back and takes a few
//! others that are worth more and fit; between trades, carriers swap bundles so
//! that one is full to the brim and the room of the other comes together.

use super::bundles::{Bundles, Unit, under};
use super::improve::Budget;
use super::random::Random;
use super::score::Score;
use super::state::{Spot, State, Step};
use crate::load::{GoalKind, Way};
use crate::split::options::Clock;

/// Things looked at on either side; of more, some are picked at random.
const MANY: usize = 40;
/// With so many at most, three are traded at once.
const FEW: usize = 14;
/// Trades tried of one carrier before it is left.
const TRADES: usize = 4;
/// Offers walked past that count as one try.
const WALK: u64 = 64;

/// Trades for more value; the result is never worse.
pub(in crate::split) fn trade(state: &mut State, budget: &Budget, clock: &Clock) -> Score {
    let score = Score::of(state, GoalKind::Wants);
    let mut trade = Trade {
        value: worth(state),
        state,
        score,
        best: score,
        random: Random::new(budget.seed ^ 0x7ead_e000),
        left: budget.tries,
        target: budget.target,
        clock,
        journal: Vec::new(),
    };
    trade.run();
    trade.best
}

/// Per party: what it wants, by item; what one is worth, and up to how many.
fn worth(state: &State) -> Vec<Vec<(usize, u64, u32)>> {
    let facts = state.facts;
    let mut value = vec![Vec::new(); facts.by_party.len()];
    for w in &facts.order.wants {
        value[w.party.0].push((w.item.0, u64::from(w.value), w.up_to));
    }
    value.iter_mut().for_each(|v| v.sort_unstable());
    value
}

/// Up to three things that are given or taken together.
#[derive(Debug, Clone, Copy)]
struct Offer {
    mass: u64,
    value: u64,
    units: [u16; 3],
}

const NONE: u16 = u16::MAX;

struct Trade<'s, 'f, 'o> {
    value: Vec<Vec<(usize, u64, u32)>>,
    state: &'s mut State<'f, 'o>,
    score: Score,
    best: Score,
    random: Random,
    left: u64,
    target: f64,
    clock: &'s Clock,
    /// Steps since the best state.
    journal: Vec<Step>,
}

impl Trade<'_, '_, '_> {
    fn run(&mut self) {
        let facts = self.state.facts;
        let mut walkers: Vec<usize> =
            (0..facts.carriers.len()).filter(|&c| !facts.carriers[c].store).collect();
        if walkers.is_empty() {
            return;
        }
        self.random.shuffle(&mut walkers);
        walkers.iter().for_each(|c| self.improve(*c));
        self.settle();
        while !self.done() {
            let c = walkers[self.random.below(walkers.len())];
            if self.random.below(4) == 0 {
                self.kick(c);
            }
            let touched = self.gather(c);
            for c in touched.into_iter().flatten() {
                self.improve(c);
            }
            self.settle();
        }
        if self.best.better_than(&self.score) {
            self.take_back();
        }
    }

    fn done(&self) -> bool {
        let there = self.score.penalty == 0 && self.score.goal <= self.target;
        self.left == 0 || there || self.clock.over()
    }

    /// Keeps what is as good, takes back what got worse; a few steps of grace.
    fn settle(&mut self) {
        let same = self.score.penalty == self.best.penalty && self.score.goal == self.best.goal;
        if same || self.score.better_than(&self.best) {
            self.journal.clear();
            self.best = self.score;
        } else if self.journal.len() > 60 || self.random.below(4) == 0 {
            self.take_back();
        }
    }

    fn take_back(&mut self) {
        let steps: Vec<Step> = self.journal.drain(..).collect();
        for s in steps.iter().rev() {
            self.state.make(&[Step { item: s.item, from: s.to, to: s.from }]);
        }
        self.score = self.best;
    }

    /// Spare mass of a carrier in mg.
    fn spare(&self, c: usize) -> u64 {
        let f = &self.state.facts.carriers[c];
        self.state.most_mass(c).saturating_sub(f.burden + self.state.on[c].mass)
    }

    /// Makes the steps and keeps them if nothing breaks, and if `more` only
    /// where that is worth more.
    fn attempt(&mut self, steps: &[Step], more: bool) -> bool {
        self.left = self.left.saturating_sub(1);
        self.state.make(steps);
        let score = Score::of(self.state, GoalKind::Wants);
        let kept = if more {
            (score.penalty, score.goal) < (self.score.penalty, self.score.goal)
        } else {
            score.penalty <= self.score.penalty && score.goal <= self.score.goal
        };
        if kept {
            self.score = score;
            self.journal.extend_from_slice(steps);
        } else {
            self.state.undo(steps);
        }
        kept
    }

    /// Trades with what is left, as long as that gains.
    fn improve(&mut self, c: usize) {
        while !self.done() && self.best_trade(c) {}
    }

    fn best_trade(&mut self, c: usize) -> bool {
        let (given, taken) = (self.given(c), self.taken(c));
        let Some(most) = taken.1.last() else { return false };
        let most = most.mass;
        self.left = self.left.saturating_sub(1 + (given.1.len() + taken.1.len()) as u64 / WALK);
        // The best that can be taken under each mass.
        let mut best_under: Vec<usize> = Vec::with_capacity(taken.1.len());
        for (k, o) in taken.1.iter().enumerate() {
            let last = best_under.last().copied();
            best_under.push(last.filter(|l| taken.1[*l].value >= o.value).unwrap_or(k));
        }
        let spare = self.spare(c);
        let mut found: Vec<(u64, usize, usize)> = Vec::new();
        for (g, given) in given.1.iter().enumerate() {
            let room = (spare + given.mass).min(most);
            let n = taken.1.partition_point(|o| o.mass <= room);
            let Some(&t) = n.checked_sub(1).map(|n| &best_under[n]) else { continue };
            let gain = taken.1[t].value.saturating_sub(given.value);
            if gain == 0 {
                continue;
            }
            let at = found.partition_point(|f| f.0 >= gain);
            if at < TRADES {
                found.insert(at, (gain, g, t));
                found.truncate(TRADES);
            }
        }
        let facts = self.state.facts;
        for (_, g, t) in found {
            let mut steps = Vec::new();
            for u in given.1[g].units.iter().filter(|u| **u != NONE) {
                let unit = &given.0[usize::from(*u)];
                let from = Some(Spot::One(c, unit.way));
                steps.push(Step { item: unit.item, from, to: None });
            }
            for u in taken.1[t].units.iter().filter(|u| **u != NONE) {
                let item = taken.0[usize::from(*u)].item;
                let may = |w: &Way| *w != Way::Pair && facts.may(item, c, *w);
                let free = |w: &Way| may(w) && self.state.has_place(item, c, *w);
                let way = Way::ALL.into_iter().find(free);
                let Some(way) = way.or_else(|| Way::ALL.into_iter().find(may)) else { break };
                steps.push(Step { item, from: None, to: Some(Spot::One(c, way)) });
            }
            if self.attempt(&steps, true) {
                return true;
            }
        }
        false
    }

    /// What the carrier could put back: wanted things, the empty offer first.
    fn given(&mut self, c: usize) -> (Vec<Unit>, Vec<Offer>) {
        let facts = self.state.facts;
        let party = facts.carriers[c].party;
        let value = |i: usize| {
            let wanted = &self.value[party];
            let Ok(at) = wanted.binary_search_by_key(&i, |w| w.0) else { return 0 };
            let (_, value, up_to) = wanted[at];
            if self.state.loose[party][i] <= up_to { value } else { 0 }
        };
        let mut units: Vec<(Unit, u64)> = Vec::new();
        for e in &self.state.on[c].entries {
            let unit = (Unit::new(facts, e.item, e.way), value(e.item));
            units.extend((0..e.count.min(2)).map(|_| unit));
        }
        self.random.shuffle(&mut units);
        units.truncate(MANY);
        let offers = offers(facts, &units);
        (units.into_iter().map(|u| u.0).collect(), offers)
    }

    /// What the carrier could take of what is left.
    fn taken(&mut self, c: usize) -> (Vec<Unit>, Vec<Offer>) {
        let facts = self.state.facts;
        let party = facts.carriers[c].party;
        let mut units: Vec<(Unit, u64)> = Vec::new();
        for &(i, value, up_to) in &self.value[party] {
            let more = up_to.saturating_sub(self.state.loose[party][i]).min(self.state.left(i));
            let may = Way::ALL.into_iter().any(|w| w != Way::Pair && facts.may(i, c, w));
            if value > 0 && may {
                let unit = (Unit::new(facts, i, Way::Back), value);
                units.extend((0..more.min(2)).map(|_| unit));
            }
        }
        self.random.shuffle(&mut units);
        units.truncate(MANY);
        let offers = offers(facts, &units);
        (units.into_iter().map(|u| u.0).collect(), offers)
    }

    /// Fills the carrier to the brim by a swap with another, or the other by a
    /// swap with it: the room of one grows.
    fn gather(&mut self, c: usize) -> [Option<usize>; 2] {
        let here = &self.state.facts.by_party[self.state.facts.carriers[c].party];
        if here.len() < 2 {
            return [Some(c), None];
        }
        let other = here[self.random.below(here.len())];
        if other == c {
            return [Some(c), None];
        }
        let (from, to) = (c, other);
        let room = self.spare(to);
        let a = Bundles::of(self.state, from, &mut self.random);
        let b = Bundles::of(self.state, to, &mut self.random);
        self.left = self.left.saturating_sub(1 + (a.len() + b.len()) as u64 / WALK);
        for (i, j) in under(&a, &b, room as i64, TRADES) {
            let facts = self.state.facts;
            let mut steps = Vec::new();
            let whole = |list: Vec<Unit>, from: usize, to: usize, steps: &mut Vec<Step>| {
                for u in list {
                    let may = |w: &Way| *w != Way::Pair && facts.may(u.item, to, *w);
                    let Some(way) = [u.way].into_iter().chain(Way::ALL).find(may) else {
                        return false;
                    };
                    let (from, to) = (Some(Spot::One(from, u.way)), Some(Spot::One(to, way)));
                    steps.push(Step { item: u.item, from, to });
                }
                true
            };
            if whole(a.units(i).collect(), from, to, &mut steps)
                && whole(b.units(j).collect(), to, from, &mut steps)
                && self.attempt(&steps, false)
            {
                break;
            }
        }
        [Some(from), Some(to)]
    }

    /// Puts one or two things of a carrier back, whatever they are worth.
    fn kick(&mut self, c: usize) {
        for _ in 0..1 + self.random.below(2) {
            let entries = &self.state.on[c].entries;
            if entries.is_empty() {
                break;
            }
            let e = entries[self.random.below(entries.len())];
            let step = [Step { item: e.item, from: Some(Spot::One(c, e.way)), to: None }];
            self.left = self.left.saturating_sub(1);
            self.state.make(&step);
            self.journal.extend_from_slice(&step);
        }
        self.score = Score::of(self.state, GoalKind::Wants);
    }
}

/// All offers of up to two of the units, of few up to three, by mass; the first
/// is none of them.
fn offers(facts: &crate::split::facts::Facts, units: &[(Unit, u64)]) -> Vec<Offer> {
    let n = units.len();
    let mass = |k: usize| facts.items[units[k].0.item].mass;
    let mut all = vec![Offer { mass: 0, value: 0, units: [NONE; 3] }];
    for a in 0..n {
        let one = Offer { mass: mass(a), value: units[a].1, units: [a as u16, NONE, NONE] };
        all.push(one);
        for b in a + 1..n {
            let two = Offer {
                mass: one.mass + mass(b),
                value: one.value + units[b].1,
                units: [a as u16, b as u16, NONE],
            };
            all.push(two);
            if n <= FEW {
                all.extend((b + 1..n).map(|c| Offer {
                    mass: two.mass + mass(c),
                    value: two.value + units[c].1,
                    units: [a as u16, b as u16, c as u16],
                }));
            }
        }
    }
    all.sort_by_key(|o| (o.mass, std::cmp::Reverse(o.value), o.units));
    all
}
