//! What everybody had by the plan before, as tables.

use super::Facts;
use super::KitIx;
use crate::load::{Bearer, GoalKind};

/// Who had what.
#[derive(Debug, Clone)]
pub(crate) struct BeforeFact {
    /// By kit carrier and item, no more than are held now; of carriers of the
    /// store it is nothing.
    pub on: Vec<Vec<u32>>,
    /// By item: what the store had (what was left, without one) of those held
    /// now.
    pub stayed: Vec<u32>,
}

impl Facts<'_> {
    /// Nothing where changes do not count: then a plan before is but a start, and
    /// people whom nothing else tells apart are alike.
    pub(super) fn before(&self) -> Option<BeforeFact> {
        let before = self.order.before()?;
        if self.order.goals().iter().all(|g| g.kind != GoalKind::Changes) {
            return None;
        }
        let n = self.items.len();
        let mut on = vec![vec![0u32; n]; self.carriers.len()];
        let mut away = vec![0u32; n];
        let at = |ix| self.carriers.iter().position(|f| f.ix == ix).map(KitIx);
        let stored =
            |ix| self.order.store().is_some() && self.order.party_of(ix) == self.order.store();
        let add = |sum: &mut u32, count: u32| *sum = sum.saturating_add(count);
        for p in before.plan.placements().iter().filter(|p| p.item.0 < n) {
            let (first, second) = match p.by {
                Bearer::One { carrier, .. } => (carrier, None),
                Bearer::Pair { first, second } => (first, Some(second)),
            };
            if stored(first) {
                continue;
            }
            add(&mut away[p.item.0], p.count);
            for c in [Some(first), second].into_iter().flatten().filter_map(at) {
                if !self.carriers[c].store {
                    add(&mut on[c.0][p.item.0], p.count);
                }
            }
        }
        for had in &mut on {
            had.iter_mut().zip(&self.items).for_each(|(n, f)| *n = (*n).min(f.held));
        }
        let astray = before.astray.iter().filter(|(i, _)| i.0 < n);
        astray.for_each(|(i, count)| add(&mut away[i.0], *count));
        let stayed = self.items.iter().zip(&away).map(|(f, away)| f.held.saturating_sub(*away));
        Some(BeforeFact { on, stayed: stayed.collect() })
    }

    /// Units of the item that the kit carriers of the party had, a pair's thing
    /// on both.
    pub(super) fn had(&self, item: usize, party: usize) -> u64 {
        let Some(before) = &self.before else { return 0 };
        self.by_party[party].iter().map(|&c| u64::from(before.on[c.0][item])).sum()
    }
}
