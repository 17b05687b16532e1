//! What depends on the count of an item in a party: so that a step re-evaluates
//! only that.

use super::Facts;
use crate::load::{MoveOrder, NeedNode};

/// The needs, wants and other terms that depend on the count of an item in a
/// party, contents included.
#[derive(Debug, Clone, Default)]
pub(crate) struct Dependents {
    /// Needs of the party without a supply in them, by their place in the order.
    pub needs: Vec<usize>,
    /// Wants of the party, by their place in the order.
    pub wants: Vec<usize>,
    /// What the party has to bring, by its place in the order.
    pub brings: Vec<usize>,
    /// Whether the party's needs with supplies look at it.
    pub supplied: bool,
}

/// Needs of a party, those with a supply in them apart: supplies are used up,
/// so those are evaluated together.
#[derive(Debug, Clone, Default)]
pub(crate) struct Needs {
    pub plain: Vec<usize>,
    pub supplied: Vec<usize>,
}

pub(super) fn needs(order: &MoveOrder) -> Vec<Needs> {
    let mut all = vec![Needs::default(); order.parties().len()];
    for (k, need) in order.needs().iter().enumerate() {
        let here = &mut all[need.party.0];
        let plain = supplies(&need.node).is_empty();
        if plain { here.plain.push(k) } else { here.supplied.push(k) }
    }
    all
}

impl Facts<'_> {
    /// By party and item.
    pub(super) fn dependents(&self) -> Vec<Vec<Dependents>> {
        let mut all = vec![vec![Dependents::default(); self.items.len()]; self.by_party.len()];
        for (p, here) in all.iter_mut().enumerate() {
            for &k in &self.needs[p].plain {
                for item in items(&self.order.needs()[k].node) {
                    self.found_in[item].iter().for_each(|(case, _)| here[*case].needs.push(k));
                }
            }
            for (k, w) in self.order.wants().iter().enumerate().filter(|(_, w)| w.party.0 == p) {
                self.found_in[w.item.0].iter().for_each(|(case, _)| here[*case].wants.push(k));
            }
            for &k in &self.needs[p].supplied {
                let node = &self.order.needs()[k].node;
                for item in items(node) {
                    self.found_in[item].iter().for_each(|(case, _)| here[*case].supplied = true);
                }
                for s in supplies(node) {
                    self.users[s].iter().for_each(|i| here[*i].supplied = true);
                    self.suppliers[s].iter().for_each(|(i, _)| here[*i].supplied = true);
                }
            }
            for (k, b) in self.order.brings().iter().enumerate().filter(|(_, b)| b.party.0 == p) {
                b.any.iter().for_each(|(item, _)| here[item.0].brings.push(k));
            }
            for all in here {
                all.needs.sort_unstable();
                all.needs.dedup();
            }
        }
        all
    }

    /// Per item: the requirements that one more of it could change.
    pub(super) fn dependent_requires(&self) -> Vec<Vec<usize>> {
        let mut all = vec![Vec::new(); self.items.len()];
        for (k, r) in self.requires.iter().enumerate() {
            let askers = r.each.iter().map(|e| e.0).chain(r.shared.iter().copied());
            for item in askers.chain([r.required]) {
                self.found_in[item].iter().for_each(|(case, _)| all[*case].push(k));
            }
        }
        all.iter_mut().for_each(|ks: &mut Vec<usize>| {
            ks.sort_unstable();
            ks.dedup();
        });
        all
    }
}

fn items(node: &NeedNode) -> Vec<usize> {
    match node {
        NeedNode::Item { item, .. } => vec![item.0],
        NeedNode::Supply(_) => Vec::new(),
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter().flat_map(items).collect()
        }
    }
}

fn supplies(node: &NeedNode) -> Vec<usize> {
    match node {
        NeedNode::Item { .. } => Vec::new(),
        NeedNode::Supply(d) => vec![d.supply.0],
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter().flat_map(supplies).collect()
        }
    }
}
