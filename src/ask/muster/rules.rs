//! Rules of a move over cases of one kind that differ.

use crate::load::{ItemIx, Rule, RuleKind};
use std::collections::BTreeMap;

/// The rule over the sorts of what it names.
pub(super) fn rule(
    rule: &Rule,
    several: &BTreeMap<ItemIx, Vec<(ItemIx, u32)>>,
    narrowed: &mut bool,
) -> Vec<Rule> {
    if !several.keys().any(|i| rule.kind.names_item(*i)) {
        return vec![rule.clone()];
    }
    let sorts = |i: &ItemIx| match several.get(i) {
        Some(list) => list.iter().map(|(i, _)| *i).collect(),
        None => vec![*i],
    };
    let all = |items: &[ItemIx]| items.iter().flat_map(sorts).collect::<Vec<ItemIx>>();
    let one = |kind: RuleKind| Rule { kind, place: rule.place.clone() };
    match &rule.kind {
        // Sorts of one kind may be on one carrier, so pair by pair.
        RuleKind::Apart { items } => {
            let mut out = Vec::new();
            for (k, a) in items.iter().enumerate() {
                for b in items.iter().skip(k + 1) {
                    for a in sorts(a) {
                        for b in sorts(b) {
                            out.push(one(RuleKind::Apart { items: vec![a, b] }));
                        }
                    }
                }
            }
            out
        }
        RuleKind::Fixed { item, count, carrier } => {
            let list = several.get(item).map(Vec::as_slice).unwrap_or_default();
            let there: u32 = list.iter().map(|(_, n)| n).sum();
            *narrowed |= *count < there;
            if *count > there {
                // More than there are: as impossible as it was written.
                return vec![rule.clone()];
            }
            let (mut left, mut out) = (*count, Vec::new());
            for (item, n) in list {
                let count = left.min(*n);
                left -= count;
                if count > 0 {
                    out.push(one(RuleKind::Fixed { item: *item, count, carrier: *carrier }));
                }
            }
            out
        }
        kind => match all(kind.items()) {
            // Alone it is with itself.
            items if items.len() < 2 && matches!(kind, RuleKind::Together { .. }) => Vec::new(),
            items if items.is_empty() => Vec::new(),
            items => vec![one(kind.clone().with_items(items))],
        },
    }
}
