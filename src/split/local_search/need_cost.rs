//! What meeting a need would cost a party: the mass that it would add, with all
//! that is required, and more where it takes what is scarce.

use super::party_counts::PartyCounts;
use super::penalty;
use crate::load::NeedNode;

/// Added to a branch's cost where others would have to give something up.
pub(super) const BORROWED: u64 = 1_000_000_000_000;
/// A branch that nothing at hand can meet.
const NONE: u64 = u64::MAX / 1_000_000;
/// How deep requirements of requirements are followed for a cost.
pub(super) const DEEP: u32 = 4;

impl PartyCounts<'_, '_> {
    /// mg that meeting the node would add to the party.
    pub(super) fn need_cost(&self, node: &NeedNode, p: usize) -> u64 {
        let of = |of: &[NeedNode], count: usize| {
            let mut prices: Vec<u64> = of.iter().map(|n| self.need_cost(n, p)).collect();
            prices.sort_unstable();
            prices.iter().take(count).fold(0, |a, b| (a + b).min(NONE))
        };
        match node {
            NeedNode::Item { item, count } => {
                let there = penalty::there(&self.state, item.0, p);
                self.item_cost(item.0, p, u64::from(*count).saturating_sub(there), DEEP)
            }
            NeedNode::Supply(_) => 0,
            NeedNode::All(all) => of(all, all.len()),
            NeedNode::Any(any) => of(any, 1),
            NeedNode::AtLeast { count, of: some } => of(some, *count as usize),
        }
    }

    /// mg of so many more of the item, loose or in cases, with all that is
    /// required by it and not there yet.
    pub(super) fn item_cost(&self, item: usize, p: usize, count: u64, deep: u32) -> u64 {
        if count == 0 {
            return 0;
        }
        let facts = self.state.facts;
        let Some(case) = self.provider(item, p, count) else {
            let elsewhere = |case: usize| self.state.outside[case] > self.state.loose[p][case];
            let some = facts.found_in[item].iter().any(|f| elsewhere(f.0));
            return if some { BORROWED } else { NONE };
        };
        let each = facts.found_in[item].iter().find(|(c, _)| *c == case).map_or(1, |f| f.1);
        let units = count.div_ceil(u64::from(each).max(1));
        let each = facts.items[case].mass.saturating_add(self.scarcity[item]);
        let mut sum = units.saturating_mul(each).min(NONE);
        if deep == 0 {
            return sum;
        }
        for &r in &facts.dependent_requires[case] {
            let r = &facts.requires[r];
            let there = penalty::there(&self.state, r.required, p);
            let each = r.each.iter().find(|(i, _)| *i == case).map(|(_, n)| u64::from(*n));
            let lacking = match each {
                Some(n) => n.saturating_mul(units),
                None if r.shared.contains(&case) && there == 0 => 1,
                None => continue,
            };
            sum = (sum + self.item_cost(r.required, p, lacking, deep - 1)).min(NONE);
        }
        sum
    }

    /// The lightest way to `count` of the item by what is left: itself or a
    /// case that holds it.
    pub(super) fn provider(&self, item: usize, p: usize, count: u64) -> Option<usize> {
        let facts = self.state.facts;
        let may = |case: usize| self.state.left(case) > 0 && self.banned != Some((case, p));
        let left = facts.found_in[item].iter().filter(|(c, _)| may(*c));
        let price = |&(c, n): &(usize, u32)| {
            let units = count.div_ceil(u64::from(n).max(1));
            let enough = u64::from(self.state.left(c)) >= units;
            (!enough, facts.items[c].mass.saturating_mul(units), c)
        };
        left.copied().min_by_key(|f| price(f)).map(|f| f.0)
    }
}
