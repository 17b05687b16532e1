//! What the rules say of items and carriers.

use super::kit::{CarrierFact, KitIx};
use crate::load::{ItemIx, MoveOrder, RuleKind};

/// The rules on what is on one carrier. Items and kit carriers are positions in
/// `Facts::items` and `Facts::carriers`.
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

    /// Of the rules of a move, over its carriers that can take kit.
    pub fn new(order: &MoveOrder, kit: &[CarrierFact]) -> Self {
        let mut rules = RuleFacts::default();
        let plain = |items: &[ItemIx]| -> Vec<usize> {
            let mut v: Vec<usize> = items.iter().map(|i| i.0).collect();
            v.sort_unstable();
            v.dedup();
            v
        };
        for rule in order.rules() {
            match &rule.kind {
                RuleKind::Apart { items } => rules.apart.push(plain(items)),
                RuleKind::Together { items } => rules.together.push(plain(items)),
                RuleKind::AtMost { count, items, carriers } => rules.at_most.push(AtMost {
                    count: *count,
                    items: plain(items),
                    carriers: (0..kit.len())
                        .filter(|&c| carriers.contains(&kit[c].ix))
                        .map(KitIx)
                        .collect(),
                }),
                RuleKind::Fixed { item, count, carrier } => {
                    if let Some(c) = kit.iter().position(|f| f.ix == *carrier).map(KitIx) {
                        // Said twice, it holds once.
                        match rules.fixed.iter_mut().find(|f| (f.0, f.2) == (item.0, c)) {
                            Some(f) => f.1 = f.1.max(*count),
                            None => rules.fixed.push((item.0, *count, c)),
                        }
                    }
                }
                // In `may`, `hands` and `usable` already.
                RuleKind::KeepOff { .. }
                | RuleKind::HandsFree { .. }
                | RuleKind::Reserve { .. } => {}
            }
        }
        rules
    }
}
