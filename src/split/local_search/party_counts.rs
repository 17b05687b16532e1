//! Greedy choice of counts: how many of each item each party has, before
//! anybody carries anything. Needs, supplies, requirements and wants depend on
//! counts alone, so they are settled here, on running sums, and the units
//! placed afterwards (`place.rs`).

use super::State;
use super::penalty;
use crate::facts::Facts;
use crate::load::NeedNode;
use crate::options::Clock;
use crate::pins::Pins;
use std::cmp::Reverse;

/// Units by party and item.
pub(crate) type Counts = Vec<Vec<u32>>;

/// Counts from a relaxation's (`relaxed`), or from none.
///
/// Where a trial ends with something lacking, what was scarce gets a higher
/// cost in the next one, and the parties that lacked it come first (squeaky
/// wheel optimisation: Joslin and Clements 1999).
pub(crate) fn choose_counts(facts: &Facts, relaxed: Option<&Counts>, clock: &Clock) -> Counts {
    let mut scarcity = vec![0; facts.items.len()];
    let mut first: Vec<usize> = Vec::new();
    let mut best: Option<(i64, Counts)> = None;
    let mut left = MOST_CHANGES;
    for _ in 0..MOST_TRIALS {
        let mut trial = PartyCounts::new(facts, scarcity.clone(), &first, left, clock.clone());
        if let Some(relaxed) = relaxed {
            trial.take(relaxed);
        }
        trial.repair();
        trial.prune();
        // What was put down can be what somebody else lacks.
        trial.repair();
        let lacking: i64 = trial.state.party_penalty.iter().sum();
        for p in trial.parties().filter(|&p| trial.state.party_penalty[p] > 0) {
            trial.scarce(p).into_iter().for_each(|i| scarcity[i] += SCARCITY);
            first.retain(|q| *q != p);
            first.insert(0, p);
        }
        let done = lacking == 0 || trial.done();
        left = trial.left;
        if best.as_ref().is_none_or(|(l, _)| lacking < *l) {
            best = Some((lacking, trial.state.loose));
        }
        if done {
            break;
        }
    }
    best.map_or_else(Vec::new, |(_, counts)| counts)
}

/// The most trials for one start.
const MOST_TRIALS: usize = 16;
/// Each time that it is lacking raises a thing's cost by so many mg.
const SCARCITY: u64 = 20_000_000;
/// The most units that one trial adds and removes, all in all.
const MOST_CHANGES: u64 = 600_000;

pub(super) struct PartyCounts<'f, 'o> {
    pub state: State<'f, 'o>,
    /// mg of cost that a unit of each item has beside its mass.
    pub scarcity: Vec<u64>,
    /// Parties outside the store, in the order in which they choose.
    pub order: Vec<usize>,
    /// What was added (true) and removed, to take it back.
    log: Vec<(usize, usize, bool)>,
    /// What a party is to do without for now: (item, party).
    pub banned: Option<(usize, usize)>,
    /// Changes that may still be made.
    left: u64,
    clock: Clock,
}

impl<'f, 'o> PartyCounts<'f, 'o> {
    fn new(
        facts: &'f Facts<'o>,
        scarcity: Vec<u64>,
        first: &[usize],
        left: u64,
        clock: Clock,
    ) -> Self {
        let state = State::new(facts, Pins::default());
        let others = (0..facts.by_party.len()).filter(|p| !first.contains(p));
        let order = first.iter().copied().chain(others);
        let order = order.filter(|p| Some(*p) != facts.store()).collect();
        PartyCounts { state, scarcity, order, log: Vec::new(), banned: None, left, clock }
    }

    /// Whether to leave it at that.
    pub fn done(&self) -> bool {
        self.left == 0 || self.clock.over()
    }

    pub fn add(&mut self, item: usize, party: usize) {
        self.left = self.left.saturating_sub(1);
        self.state.tally(item, party, true);
        self.log.push((item, party, true));
    }

    pub fn remove(&mut self, item: usize, party: usize) {
        self.left = self.left.saturating_sub(1);
        self.state.tally(item, party, false);
        self.log.push((item, party, false));
    }

    /// A point to come back to.
    pub fn mark(&self) -> usize {
        self.log.len()
    }

    pub fn back_to(&mut self, mark: usize) {
        while self.log.len() > mark {
            let Some((item, party, added)) = self.log.pop() else { return };
            self.state.tally(item, party, !added);
        }
    }

    /// What the party and the store lack.
    pub fn lacks(&self, party: usize) -> i64 {
        let store = self.state.facts.store().map_or(0, |s| self.state.party_penalty[s]);
        self.state.party_penalty[party] + store
    }

    pub fn parties(&self) -> impl Iterator<Item = usize> + use<'f, 'o> {
        self.order.clone().into_iter()
    }

    /// The items that the party lacks, loose or in cases.
    fn scarce(&self, p: usize) -> Vec<usize> {
        let facts = self.state.facts;
        let mut items = Vec::new();
        for &k in &facts.needs[p].plain {
            if self.state.need_penalty[k] > 0 {
                short_leaves(&self.state, &facts.order.needs()[k].node, p, &mut items);
            }
        }
        for (r, lacking) in self.state.require_penalty[p].iter().enumerate() {
            if *lacking > 0 {
                items.push(facts.requires[r].required);
            }
        }
        items
    }

    fn take(&mut self, relaxed: &Counts) {
        for p in self.parties() {
            for (i, &n) in relaxed[p].iter().enumerate() {
                // What is scarce is left to those who cannot do without.
                let n = if self.scarcity[i] > 0 { 0 } else { n };
                let n = n.min(self.state.facts.most_in(i, p)).min(self.state.left(i));
                (0..n).for_each(|_| self.add(i, p));
            }
        }
    }

    /// Puts down, the heaviest first, whatever nothing in its party misses.
    fn prune(&mut self) {
        let facts = self.state.facts;
        let mut order: Vec<usize> = (0..facts.items.len()).collect();
        order.sort_by_key(|&i| (Reverse(facts.items[i].mass), i));
        for p in self.parties() {
            for &i in &order {
                if self.done() {
                    return;
                }
                let least = facts.fixed_in(i, p).min(u32::MAX.into()) as u32;
                while self.state.loose[p][i] > least {
                    let before = (self.lacks(p), self.state.party_wants[p]);
                    let mark = self.mark();
                    self.remove(i, p);
                    if self.lacks(p) > before.0 || self.state.party_wants[p] < before.1 {
                        self.back_to(mark);
                        break;
                    }
                }
            }
        }
    }
}

/// Items of leaves that are not met.
fn short_leaves(state: &State, node: &NeedNode, p: usize, items: &mut Vec<usize>) {
    match node {
        NeedNode::Item { item, count } => {
            if penalty::there(state, item.0, p) < u64::from(*count) {
                items.push(item.0);
            }
        }
        NeedNode::Supply(_) => {}
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter().for_each(|n| short_leaves(state, n, p, items));
        }
    }
}
