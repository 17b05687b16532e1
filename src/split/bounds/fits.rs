//! Whether anybody could take one of an item at all.

use crate::facts::{Facts, KitIx};
use crate::load::Way;

/// mg of kit that each kit carrier may take at most.
pub(crate) fn spares(facts: &Facts) -> Vec<u64> {
    facts.carriers.iter().map(|f| f.usable.saturating_sub(f.burden)).collect()
}

/// Whether somebody in the party may take the item, by what it is and by rule.
pub(crate) fn somebody_may(facts: &Facts, item: usize, party: usize) -> bool {
    let here = &facts.by_party[party];
    let pair = here.iter().filter(|&&c| facts.may(item, c, Way::Pair)).count() > 1;
    let alone = |c: &KitIx| Way::ALL.into_iter().any(|w| w != Way::Pair && facts.may(item, *c, w));
    pair || here.iter().any(alone)
}

/// Whether somebody in the party can take one of the item within their room,
/// slots and hands and within `spare` mg, given by kit carrier.
pub(crate) fn somebody_can(facts: &Facts, item: usize, party: usize, spare: &[u64]) -> bool {
    let f = &facts.items[item];
    let here = &facts.by_party[party];
    let end = |c: KitIx, end: usize| may_end(facts, item, c) && f.pair[end] <= spare[c.0];
    here.iter().any(|&c| f.mass <= spare[c.0] && can_alone(facts, item, c))
        || here.iter().any(|&a| end(a, 0) && here.iter().any(|&b| a != b && end(b, 1)))
}

/// Whether the carrier can take one of the item by itself, its mass aside.
pub(super) fn can_alone(facts: &Facts, item: usize, c: KitIx) -> bool {
    let f = &facts.items[item];
    let carrier = &facts.carriers[c];
    Way::ALL.into_iter().any(|way| {
        facts.may(item, c, way)
            && match way {
                Way::Back | Way::Bed => {
                    carrier.room.is_none_or(|r| f.bulk <= r)
                        && (way == Way::Bed || carrier.slots[Way::Back as usize] > 0)
                }
                Way::Hand => f.hands <= carrier.hands,
                Way::Pair => false,
                _ => carrier.slots[way as usize] > 0,
            }
    })
}

/// Whether the carrier can be one of a pair that bears the item, mass aside.
pub(super) fn may_end(facts: &Facts, item: usize, c: KitIx) -> bool {
    facts.may(item, c, Way::Pair) && facts.carriers[c].hands > 0
}
