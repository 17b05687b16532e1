//! Uncertain weights: what is on a carrier at worst.

use super::state::State;
use crate::facts::KitIx;

impl State<'_, '_> {
    /// mg that what is on the carrier, and one more of `extra` if given, could
    /// weigh more than the catalogue says, at worst.
    pub(super) fn deviation(&self, c: KitIx, extra: Option<usize>) -> u64 {
        let facts = self.facts;
        if !facts.uncertain() {
            return 0;
        }
        let b = &self.on[c];
        let mut kinds: Vec<(usize, u64)> = Vec::with_capacity(b.entries.len() + 2);
        let mut add = |item: usize, mg: u64| match kinds.iter_mut().find(|k| k.0 == item) {
            Some(kind) => kind.1 += mg,
            None => kinds.push((item, mg)),
        };
        for e in &b.entries {
            add(e.item, facts.items[e.item].deviation * u64::from(e.count));
        }
        for &(item, first, _) in &b.pairs {
            add(item, facts.items[item].pair_deviation[usize::from(first != c)]);
        }
        if let Some(item) = extra {
            add(item, facts.items[item].deviation);
        }
        facts.worst(kinds.into_iter().map(|k| k.1).collect())
    }

    /// mg that the carrier bears at worst, what is worn included.
    pub(super) fn worst_load(&self, c: KitIx) -> u64 {
        self.facts.carriers[c].burden + self.on[c].mass + self.on[c].deviation
    }

    /// Whether the carrier bears one more of `item` whatever weighs more.
    pub(super) fn bears_more(&self, c: KitIx, item: usize) -> bool {
        let (f, more) = (&self.facts.carriers[c], self.facts.items[item].mass);
        let nominal = f.burden + self.on[c].mass + more;
        nominal <= self.most_mass(c)
            && (!self.facts.uncertain() || nominal + self.deviation(c, Some(item)) <= f.usable)
    }

    /// mg that the store's vehicles, taken as one, bear more at worst.
    pub(super) fn stored_deviation(&self) -> u64 {
        let facts = self.facts;
        if !facts.uncertain() || facts.all_may_stay {
            return 0;
        }
        let kept = facts.items.iter().enumerate();
        facts.worst(kept.map(|(i, f)| f.deviation * u64::from(self.left(i))).collect())
    }
}
