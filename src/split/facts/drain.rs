//! What uses a supply over the time of a demand, reckoned once.

use super::Facts;
use crate::load::{Demand, NeedNode, SupplyIx};
use crate::quantity::Span;

/// The uses of one supply in one time.
#[derive(Debug, Clone)]
pub(in crate::split) struct Drain {
    supply: SupplyIx,
    time: Option<Span>,
    /// What one of each item that uses it uses, contents included.
    pub items: Vec<(usize, u64)>,
    /// What the people of each party use.
    pub people: Vec<u64>,
}

impl Facts<'_> {
    pub(super) fn drains(&self) -> Vec<Drain> {
        let mut demands = Vec::new();
        self.order.needs.iter().for_each(|n| take(&n.node, &mut demands));
        let mut all: Vec<Drain> = Vec::new();
        for d in demands {
            if all.iter().any(|k| k.is_for(d)) {
                continue;
            }
            let of = |i: &usize| (*i, self.use_of(*i, d.supply, d.time));
            let items = self.users[d.supply.0].iter().map(of).filter(|u| u.1 > 0).collect();
            let parties = 0..self.by_party.len();
            let people = parties.map(|p| self.use_by_people(p, d.supply, d.time)).collect();
            all.push(Drain { supply: d.supply, time: d.time, items, people });
        }
        all
    }

    /// The uses that the demand covers.
    pub fn drain(&self, d: &Demand) -> Option<&Drain> {
        self.drains.iter().find(|k| k.is_for(d))
    }
}

impl Drain {
    fn is_for(&self, d: &Demand) -> bool {
        self.supply == d.supply && self.time == d.time
    }
}

fn take<'n>(node: &'n NeedNode, demands: &mut Vec<&'n Demand>) {
    match node {
        NeedNode::Item { .. } => {}
        NeedNode::Supply(d) => demands.push(d),
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter().for_each(|n| take(n, demands));
        }
    }
}
