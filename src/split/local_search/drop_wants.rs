//! Drops wants from overloaded carriers, the least worth for its mass first. A
//! start from counts can ask for more than fits.

use super::score::Score;
use super::state::{Entry, Spot, State, Step};
use crate::load::GoalKind;

/// Puts down wanted things until nobody is over a limit or none is left to put
/// down; what a need or a rule asks for stays.
pub(crate) fn drop_wants(state: &mut State) {
    let facts = state.facts;
    let mut value = vec![vec![0u64; facts.items.len()]; facts.by_party.len()];
    for w in facts.order.wants() {
        value[w.party.0][w.item.0] = w.value.into();
    }
    for c in facts.kit() {
        let party = facts.carriers[c].party;
        let mut entries: Vec<Entry> = state.on[c].entries.clone();
        // Value by mass as a fraction, without a division.
        entries.sort_by(|a, b| {
            let worth = |e: &Entry, other: &Entry| {
                u128::from(value[party][e.item]) * u128::from(facts.items[other.item].mass)
            };
            worth(a, b).cmp(&worth(b, a)).then(a.item.cmp(&b.item))
        });
        for e in entries {
            for _ in 0..e.count {
                if state.on[c].penalty == 0 {
                    break;
                }
                let before = Score::of(state, GoalKind::Wants);
                let step = [Step { item: e.item, from: Some(Spot::One(c, e.way)), to: None }];
                state.make(&step);
                if Score::of(state, GoalKind::Wants).penalty >= before.penalty {
                    state.undo(&step);
                    break;
                }
            }
        }
    }
}
