//! What the rules and the needs say of items and carriers.

use super::{Facts, KitIx};
use crate::load::{ItemIx, RuleKind, Way};

/// The rules on what is on one carrier. Items and kit carriers are positions in
/// [`Facts::items`] and [`Facts::carriers`].
#[derive(Debug, Default)]
pub(crate) struct RuleFacts {
    pub apart: Vec<Vec<usize>>,
    pub together: Vec<Vec<usize>>,
    pub at_most: Vec<AtMost>,
    /// (item, count, kit carrier).
    pub fixed: Vec<(usize, u32, KitIx)>,
}

/// At most so many of these on each of those.
#[derive(Debug, Clone)]
pub(crate) struct AtMost {
    pub count: u32,
    pub items: Vec<usize>,
    pub carriers: Vec<KitIx>,
}

impl RuleFacts {
    /// Whether they say the same of both carriers, and nothing of one alone.
    pub fn are_alike(&self, a: KitIx, b: KitIx) -> bool {
        let alone = |c| self.fixed.iter().any(|(_, _, to)| *to == c);
        let binds = |r: &AtMost, c| r.carriers.contains(&c);
        !alone(a) && !alone(b) && self.at_most.iter().all(|r| binds(r, a) == binds(r, b))
    }
}

impl Facts<'_> {
    pub(super) fn take_rules(&mut self) {
        let plain = |items: &[ItemIx]| -> Vec<usize> {
            let mut v: Vec<usize> = items.iter().map(|i| i.0).collect();
            v.sort_unstable();
            v.dedup();
            v
        };
        for rule in self.order.rules() {
            match &rule.kind {
                RuleKind::Apart { items } => self.rules.apart.push(plain(items)),
                RuleKind::Together { items } => self.rules.together.push(plain(items)),
                RuleKind::AtMost { count, items, carriers } => self.rules.at_most.push(AtMost {
                    count: *count,
                    items: plain(items),
                    carriers: self
                        .kit()
                        .filter(|&c| carriers.contains(&self.carriers[c].ix))
                        .collect(),
                }),
                RuleKind::Fixed { item, count, carrier } => {
                    if let Some(c) = self.carriers.iter().position(|f| f.ix == *carrier).map(KitIx)
                    {
                        // Said twice, it holds once.
                        match self.rules.fixed.iter_mut().find(|f| (f.0, f.2) == (item.0, c)) {
                            Some(f) => f.1 = f.1.max(*count),
                            None => self.rules.fixed.push((item.0, *count, c)),
                        }
                    }
                }
                // In `may`, `hands` and `usable` already.
                RuleKind::KeepOff { .. }
                | RuleKind::HandsFree { .. }
                | RuleKind::Reserve { .. } => {}
            }
        }
    }

    /// How many of an item rules fix to somebody in the party. A pair's thing
    /// is on both its bearers, so that one may serve two such rules.
    pub fn fixed_in(&self, item: usize, party: usize) -> u64 {
        let here = self.rules.fixed.iter().filter(|f| f.0 == item);
        let counts = here.filter(|f| self.carriers[f.2].party == party).map(|f| u64::from(f.1));
        if self.order.item(ItemIx(item)).ways.has(Way::Pair) {
            return counts.max().unwrap_or(0);
        }
        counts.sum()
    }

    pub(super) fn ruled(&self) -> Vec<bool> {
        let mut ruled = vec![false; self.items.len()];
        let at_most = self.rules.at_most.iter().map(|r| &r.items);
        self.rules.apart.iter().chain(at_most).flatten().for_each(|i| ruled[*i] = true);
        self.rules.fixed.iter().for_each(|f| ruled[f.0] = true);
        ruled
    }

    /// Only where one vehicle alone could keep all of it: what several keep
    /// between them has to be packed.
    pub(super) fn store_has_room(&self) -> bool {
        let Some(store) = self.store() else { return true };
        let keeps_all = |c: &KitIx| {
            let f = &self.carriers[*c];
            f.usable.saturating_sub(f.burden) >= self.held_mass + self.held_deviation()
                && f.room.is_none_or(|room| room >= self.held_bulk)
        };
        !self.store_ruled && self.by_party[store].iter().any(keeps_all)
    }

    pub(super) fn rules_name_the_store(&self) -> bool {
        let store = |c: KitIx| self.carriers[c].store;
        let barred = |c: KitIx| (0..self.items.len()).any(|i| !self.may(i, c, Way::Bed));
        self.rules.fixed.iter().any(|f| store(f.2))
            || self.rules.at_most.iter().any(|r| r.carriers.iter().any(|&c| store(c)))
            || self.kit().any(|c| store(c) && barred(c))
    }
}
