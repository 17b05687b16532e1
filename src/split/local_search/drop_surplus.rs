//! Drops the surplus: everything that can stay behind without violating
//! anything does, the heaviest first.

use super::state::{Spot, State, Step};

/// Leaves behind what nothing lacks; the penalty never grows.
pub(crate) fn drop_surplus(state: &mut State) {
    let mass = |s: &State, item: usize| s.facts.items[item].mass;
    let mut placed: Vec<(usize, Spot, u32)> = state.placed().collect();
    placed.sort_by_key(|&(item, spot, _)| (std::cmp::Reverse(mass(state, item)), item, spot));
    let mut penalty = state.penalty();
    for (item, spot, count) in placed {
        for _ in 0..count {
            let step = [Step { item, from: Some(spot), to: None }];
            state.make(&step);
            let then = state.penalty();
            if then > penalty {
                state.undo(&step);
                break;
            }
            penalty = then;
        }
    }
}
