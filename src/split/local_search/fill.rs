//! Greedy filling: wants go where there is room for them, those worth most for
//! their mass first, each with all that it requires.

use super::party_counts::Counts;
use super::penalty;
use super::place::free_spot;
use super::state::{State, Step};
use crate::load::GoalKind;
use crate::options::Clock;

/// Takes wants until they reach `wanted` or nothing more fits: at first as many
/// of each as the relaxation has (`targets`), then any.
pub(crate) fn fill(
    state: &mut State,
    targets: Option<&Counts>,
    wanted: u64,
    kind: GoalKind,
    clock: &Clock,
) {
    let facts = state.facts;
    let mut order: Vec<(usize, usize, usize)> = Vec::new();
    let mut worth = vec![0.0; facts.order.wants().len()];
    for (w, want) in facts.order.wants().iter().enumerate() {
        // By the lightest way to one more of it.
        let cases = facts.found_in[want.item.0].iter().map(|(case, _)| *case);
        let held = cases.filter(|&c| facts.items[c].held > 0);
        let Some(case) = held.min_by_key(|&c| (facts.items[c].mass, c)) else { continue };
        worth[w] = f64::from(want.value) / facts.items[case].mass.max(1) as f64;
        if Some(want.party.0) != facts.store() {
            order.push((w, case, want.party.0));
        }
    }
    order.sort_by(|a, b| worth[b.0].total_cmp(&worth[a.0]).then(a.0.cmp(&b.0)));
    for targets in [targets, None] {
        for &(w, case, p) in &order {
            let most = facts.most_in(case, p);
            let most = targets.map_or(most, |counts| counts[p][case].min(most));
            let want = &facts.order.wants()[w];
            while state.party_wants.iter().sum::<u64>() < wanted
                && !clock.over()
                && state.loose[p][case] < most
                && state.left(case) > 0
                && penalty::there(state, want.item.0, p) < want.up_to.into()
            {
                if with_requirements(state, case, p, kind).is_none() {
                    break;
                }
            }
        }
    }
}

/// One more of the item, and what it requires and uses, if all of it fits:
/// the steps made.
pub(super) fn with_requirements(
    state: &mut State,
    item: usize,
    party: usize,
    kind: GoalKind,
) -> Option<Vec<Step>> {
    let before = (state.party_penalty[party], state.penalty());
    let mut made: Vec<Step> = Vec::new();
    let mut next = Some(item);
    while let Some(item) = next {
        let Some(to) = free_spot(state, item, party, kind) else { break };
        let step = Step { item, from: None, to: Some(to) };
        state.make(&[step]);
        made.push(step);
        // What is taken now may lack something in turn.
        let more = state.party_penalty[party] > before.0 && made.len() < MOST_REQUIRED;
        next = if more { state.lacking(item, party) } else { None };
    }
    let kept = state.party_penalty[party] <= before.0 && state.penalty() <= before.1;
    if !made.is_empty() && kept {
        return Some(made);
    }
    made.iter().rev().for_each(|s| state.undo(&[*s]));
    None
}

/// The most things that one want is followed to.
const MOST_REQUIRED: usize = 12;
