//! Repairs counts: what a party lacks is met in the cheapest way at hand, by
//! what is left, or else by what another party has over.

use super::need_cost::{BORROWED, DEEP};
use super::party_counts::PartyCounts;
use super::penalty;
use crate::load::NeedNode;

/// The most suppliers tried for one that lessens what is lacking.
const SUPPLIERS: usize = 30;
/// How deep others are repaired in turn for what they give up.
const DEEPEST: u8 = 2;
/// Rounds over all parties.
const ROUNDS: usize = 4;

impl PartyCounts<'_, '_> {
    /// First what every plan has to meet, so that no choice uses it up.
    pub(super) fn repair(&mut self) {
        let facts = self.state.facts;
        let parties: Vec<usize> = self.parties().collect();
        for &(item, count, c) in &facts.rules.fixed {
            let p = facts.carriers[c].party;
            while Some(p) != facts.store() && self.state.loose[p][item] < count {
                if !self.get(item, p) {
                    break;
                }
            }
        }
        for need in facts.order.needs() {
            if Some(need.party.0) != facts.store() {
                self.meet(&need.node, need.party.0, true, 0);
            }
        }
        for deep in 0..=DEEPEST {
            for _ in 0..ROUNDS {
                // Supplies last: many things give them, and some of those are
                // the only ones of use elsewhere.
                parties.iter().for_each(|&p| self.repair_choices(p, deep));
                parties.iter().for_each(|&p| self.repair_party(p, deep));
                if self.done() || parties.iter().all(|&p| self.state.party_penalty[p] == 0) {
                    return;
                }
            }
        }
    }

    /// By what is left and what others have over; `deep`: also by what others
    /// can do without in another way.
    fn repair_party(&mut self, p: usize, deep: u8) {
        self.repair_choices(p, deep);
        if self.state.party_penalty[p] > 0 && !self.done() {
            self.supplies(p, deep);
            self.requirements(p, deep);
        }
    }

    /// As [`PartyCounts::repair_party`], but for supplies.
    fn repair_choices(&mut self, p: usize, deep: u8) {
        if self.state.party_penalty[p] == 0 || self.done() {
            return;
        }
        self.requirements(p, deep);
        let facts = self.state.facts;
        for &k in &facts.needs[p].plain {
            if self.state.need_penalty[k] > 0 {
                self.meet(&facts.order.needs()[k].node, p, false, deep);
            }
        }
        if self.state.supply_penalty[p] > 0 {
            for &k in &facts.needs[p].supplied {
                self.meet(&facts.order.needs()[k].node, p, false, deep);
            }
        }
        self.requirements(p, deep);
    }

    /// Meets the node, by its cheapest branches; `musts`: only what has no
    /// choice in it.
    fn meet(&mut self, node: &NeedNode, p: usize, musts: bool, deep: u8) {
        let count = match node {
            NeedNode::Item { item, count } => {
                self.bring(item.0, p, u64::from(*count), deep);
                return;
            }
            // All demands of a party are met together.
            NeedNode::Supply(_) => return,
            NeedNode::All(of) => of.len(),
            NeedNode::Any(_) => 1,
            NeedNode::AtLeast { count, .. } => *count as usize,
        };
        let (NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. }) = node else {
            return;
        };
        if musts && count < of.len() {
            return;
        }
        let mut branches: Vec<(u64, usize)> =
            of.iter().enumerate().map(|(k, n)| (self.need_cost(n, p), k)).collect();
        branches.sort_unstable();
        let mut met = 0;
        for &(_, k) in &branches {
            let mark = self.mark();
            self.meet(&of[k], p, musts, deep);
            if penalty::lacks(&self.state, &of[k], p) == 0 {
                met += 1;
            } else if count < of.len() {
                // Half a branch is of no use where there is a choice.
                self.back_to(mark);
            }
            if met == count {
                return;
            }
        }
    }

    /// Brings the party to `count` of the item, as far as there are any.
    fn bring(&mut self, item: usize, p: usize, count: u64, deep: u8) {
        loop {
            let there = penalty::there(&self.state, item, p);
            if there >= count || !self.one_more(item, p, count - there, deep) {
                return;
            }
        }
    }

    /// One more of the item, by itself or in a case, where `short` are lacking.
    fn one_more(&mut self, item: usize, p: usize, short: u64, deep: u8) -> bool {
        if let Some(case) = self.provider(item, p, short) {
            self.add(case, p);
            return true;
        }
        let facts = self.state.facts;
        facts.found_in[item].iter().any(|&(case, _)| self.get_from_others(case, p, deep))
    }

    /// One more of the item itself.
    fn get(&mut self, item: usize, p: usize) -> bool {
        if self.state.left(item) > 0 {
            self.add(item, p);
            return true;
        }
        self.get_from_others(item, p, 0)
    }

    /// From a party that lacks nothing without it; `deep`: or that can be
    /// repaired by what is left.
    fn get_from_others(&mut self, item: usize, p: usize, deep: u8) -> bool {
        for q in self.parties().filter(|q| *q != p) {
            if self.state.loose[q][item] == 0 || self.done() {
                continue;
            }
            let (before, mark) = (self.lacks(q), self.mark());
            self.remove(item, q);
            // Nobody is to take it but for whom it is.
            self.add(item, p);
            if deep > 0 && self.lacks(q) > before {
                self.repair_party(q, deep - 1);
            }
            if self.lacks(q) <= before {
                return true;
            }
            self.back_to(mark);
        }
        false
    }

    /// What is there gets what it requires. Each round follows requirements
    /// one step further.
    fn requirements(&mut self, p: usize, deep: u8) {
        let facts = self.state.facts;
        for _ in 0..facts.requires.len() {
            let before = self.mark();
            for r in 0..facts.requires.len() {
                while self.state.require_penalty[p][r] > 0 && !self.done() {
                    let lacking = self.state.require_penalty[p][r];
                    if !self.one_more(facts.requires[r].required, p, 1, deep)
                        || self.state.require_penalty[p][r] >= lacking
                    {
                        // None to be had, or it asks for as much again.
                        if deep == 0 || !self.give_up_askers(r, p, deep) {
                            break;
                        }
                    }
                }
            }
            if self.mark() == before || self.done() {
                return;
            }
        }
    }

    /// Puts down what asks for something that is not to be had, if the party
    /// finds another way without it.
    fn give_up_askers(&mut self, r: usize, p: usize, deep: u8) -> bool {
        let facts = self.state.facts;
        let askers = &facts.requires[r];
        let askers = askers.each.iter().map(|e| e.0).chain(askers.shared.iter().copied());
        for asker in askers.collect::<Vec<_>>() {
            for &(case, _) in &facts.found_in[asker] {
                let (before, mark) = (self.lacks(p), self.mark());
                // One after the other: one that is shared by all serves to the last.
                for _ in 0..self.state.loose[p][case] {
                    if self.done() {
                        return false;
                    }
                    self.remove(case, p);
                    let after_removal = self.mark();
                    self.banned = Some((case, p));
                    for &k in &facts.dependents[p][case].needs {
                        if self.state.need_penalty[k] > 0 {
                            self.meet(&facts.order.needs()[k].node, p, false, deep);
                        }
                    }
                    // Another way can use more of a supply, and require more.
                    self.requirements(p, 0);
                    self.supplies(p, 0);
                    self.banned = None;
                    if self.lacks(p) < before {
                        return true;
                    }
                    self.back_to(after_removal);
                }
                self.back_to(mark);
            }
        }
        false
    }

    /// Supplies by what gives most of what is lacking for its mass.
    fn supplies(&mut self, p: usize, deep: u8) {
        let facts = self.state.facts;
        while let Some(&(supply, short)) = penalty::lacking(&self.state, p).first() {
            if self.done() {
                return;
            }
            // With what it requires: that can be what is scarce.
            let worth = |&(i, amount): &(usize, u64)| {
                let price = self.item_cost(i, p, 1, DEEP).max(1);
                (price < BORROWED, amount.min(short) as f64 / price as f64)
            };
            let left = facts.suppliers[supply].iter().filter(|(i, _)| self.state.left(*i) > 0);
            let mut best: Vec<((bool, f64), usize)> = left.map(|s| (worth(s), s.0)).collect();
            best.sort_by(|(a, i), (b, j)| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(i.cmp(j)));
            let met = best.into_iter().take(SUPPLIERS).any(|(_, item)| {
                let (before, mark) = (self.lacks(p), self.mark());
                self.add(item, p);
                self.requirements(p, 0);
                let better = self.lacks(p) < before;
                if !better {
                    self.back_to(mark);
                }
                better
            });
            let others = || facts.suppliers[supply].iter().map(|s| s.0);
            let borrowed = !met && deep > 0 && others().any(|i| self.get_from_others(i, p, 0));
            if !met && !borrowed {
                return;
            }
        }
    }
}
