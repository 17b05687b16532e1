//! Presolve: an upper bound on the count of each item that is of use in a
//! party.
//!
//! Why it is valid: what a party has beyond it is only a burden; with the
//! surplus put down every need, want, requirement and fixed rule holds as
//! before, and no goal is worse. So where everything may stay, no program need
//! look further.
//!
//! Where there was a plan before, what a party had by it comes on top, and what
//! that requires: to keep it may save a change. Of more than that, some carrier
//! has more than it had and than is fixed to it, so that putting it down there
//! adds no change.

use super::Facts;
use crate::load::{Brings, NeedNode, Way};

/// Rounds in which requirements pass on what they ask for; what still grows
/// after them goes round in a circle and counts as asked for without end.
const ROUNDS: usize = 40;

/// What the needs of a party name.
#[derive(Default)]
struct Leaves {
    /// (item, count).
    items: Vec<(usize, u32)>,
    supplies: Vec<usize>,
}

impl Leaves {
    fn of(facts: &Facts, party: usize) -> Self {
        let mut leaves = Leaves::default();
        let needs = facts.order.needs().iter().filter(|n| n.party.0 == party);
        needs.for_each(|n| leaves.take(&n.node));
        leaves
    }
    fn take(&mut self, node: &NeedNode) {
        match node {
            NeedNode::Item { item, count } => self.items.push((item.0, *count)),
            NeedNode::Supply(d) => self.supplies.push(d.supply.0),
            NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
                of.iter().for_each(|n| self.take(n));
            }
        }
    }
}

impl Facts<'_> {
    /// Per party and item: the most loose ones that are of any use there.
    pub(super) fn useful_counts(&self) -> Vec<Vec<u32>> {
        let held = || self.items.iter().map(|f| f.held).collect::<Vec<u32>>();
        let always = self.always_useful();
        (0..self.by_party.len())
            .map(|p| if self.store() == Some(p) { held() } else { self.useful_by(p, &always) })
            .collect()
    }

    /// Items that are better away from the store: those that may not stay, and
    /// those that use there what the store itself has a need of.
    fn always_useful(&self) -> Vec<bool> {
        let n = self.items.len();
        let Some(store) = self.store() else { return vec![false; n] };
        let beds = &self.by_party[store];
        let mut always: Vec<bool> =
            (0..n).map(|i| beds.iter().all(|&c| !self.may(i, c, Way::Bed))).collect();
        for s in Leaves::of(self, store).supplies {
            self.users[s].iter().for_each(|&i| always[i] = true);
        }
        always
    }

    fn brought_by(&self, party: usize) -> impl Iterator<Item = &Brings> {
        self.order.brings().iter().filter(move |b| b.party.0 == party)
    }

    fn useful_by(&self, party: usize, always: &[bool]) -> Vec<u32> {
        let n = self.items.len();
        let leaves = Leaves::of(self, party);
        // How many there, loose or in cases, are of use.
        let mut there = vec![0u64; n];
        let mut up = |i: usize, count: u32| there[i] = there[i].max(count.into());
        leaves.items.iter().for_each(|&(i, count)| up(i, count));
        let wants = self.order.wants().iter().filter(|w| w.party.0 == party);
        wants.for_each(|w| up(w.item.0, w.up_to));
        let mut fixed = vec![0u64; n];
        for &(i, count, _) in self.rules.fixed.iter().filter(|f| self.carriers[f.2].party == party)
        {
            fixed[i] += u64::from(count);
        }
        for &(item, count) in self.brought_by(party).flat_map(|b| &b.any) {
            fixed[item.0] = fixed[item.0].max(count.into());
        }
        let endless: Vec<bool> = self
            .items
            .iter()
            .zip(always)
            .map(|(f, a)| *a || f.supplies.iter().any(|(s, _)| leaves.supplies.contains(s)))
            .collect();
        let most = |there: &[u64], i: usize| {
            let f = &self.items[i];
            if endless[i] {
                return f.held;
            }
            let inside = f.inside.iter().map(|&(x, n)| there[x].div_ceil(u64::from(n).max(1)));
            let useful = inside.max().unwrap_or(0).max(fixed[i]);
            let useful = useful.saturating_add(self.had(i, party));
            useful.min(f.held.into()) as u32
        };
        let mut asked: Vec<u32> = (0..n).map(|i| most(&there, i)).collect();
        for round in 0.. {
            let found = |i: usize| {
                let cases = self.found_in[i].iter();
                cases.map(|&(c, n)| u64::from(asked[c]) * u64::from(n)).sum::<u64>()
            };
            let mut grown = Vec::new();
            for r in &self.requires {
                let each = r.each.iter().map(|&(i, n)| found(i).saturating_mul(n.into()));
                let shared = r.shared.iter().any(|&i| found(i) > 0);
                let ask = each.fold(0, u64::saturating_add).max(shared.into());
                if ask > there[r.required] {
                    there[r.required] = if round < ROUNDS { ask } else { u64::MAX };
                    grown.push(r.required);
                }
            }
            if grown.is_empty() {
                return asked;
            }
            for &i in &grown {
                for &(case, _) in &self.found_in[i] {
                    asked[case] = most(&there, case);
                }
            }
        }
        asked
    }
}
