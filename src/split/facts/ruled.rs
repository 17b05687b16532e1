//! What the rules come to for an item, a party or the store.

use super::{Facts, KitIx};
use crate::load::{ItemIx, Way};

impl Facts<'_> {
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
