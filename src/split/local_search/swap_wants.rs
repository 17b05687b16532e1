//! Swaps of wants: one that is taken for one that is left, anywhere in the
//! move, where that is worth more or weighs less. And before that, putting down
//! the surplus. For large moves, where the sweeps of the iterated search over
//! every unit and spot take too long.

use super::drop_surplus::drop_surplus;
use super::fill::with_requirements;
use super::penalty;
use super::score::Score;
use super::state::{Spot, State, Step};
use crate::load::GoalKind;
use crate::options::Clock;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Swaps tried for one want that is left.
const TRIES_EACH: usize = 10;
/// Wants that could go, looked at for one that is left.
const LOOKS_EACH: usize = 4_000;
/// Swaps tried in all; for `lightest`, where there is little else.
const TRIES: usize = 6_000;
const LIGHTEST_TRIES: usize = 60_000;
/// Rounds over all wants that are left.
const ROUNDS: usize = 3;

/// A want with a unit taken, or one with a unit left.
#[derive(Clone, Copy)]
struct Stake {
    item: usize,
    party: usize,
    value: u64,
    mass: u64,
}

/// Puts down and swaps while that scores better.
pub(crate) fn swap_wants(state: &mut State, kind: GoalKind, clock: &Clock) {
    let mut score = Score::of(state, kind);
    if kind == GoalKind::Lightest {
        drop_surplus(state);
        score = Score::of(state, kind);
    }
    let mut tries = if kind == GoalKind::Lightest { LIGHTEST_TRIES } else { TRIES };
    for _ in 0..ROUNDS {
        let before = score;
        if kind == GoalKind::Even {
            hand_on(state, &mut score, &mut tries, clock);
        }
        round(state, kind, &mut score, &mut tries, clock);
        if kind == GoalKind::Lightest {
            two_for_one(state, &mut score, &mut tries, clock);
        }
        if clock.over() || tries == 0 || !score.better_than(&before) {
            return;
        }
    }
}

fn round(
    state: &mut State,
    kind: GoalKind,
    score: &mut Score,
    left_tries: &mut usize,
    clock: &Clock,
) {
    let each = if kind == GoalKind::Lightest { 6 * TRIES_EACH } else { TRIES_EACH };
    let facts = state.facts;
    let wants = facts.order.wants().iter().filter(|w| Some(w.party.0) != facts.store());
    let stakes: Vec<(Stake, u64)> = wants
        .map(|w| {
            let (item, party) = (w.item.0, w.party.0);
            let (value, mass) = (u64::from(w.value), facts.items[item].mass);
            (Stake { item, party, value, mass }, u64::from(w.up_to))
        })
        .collect();
    let mut left: Vec<(Stake, u64)> = stakes.clone();
    let worth = |s: &Stake| s.value as f64 / s.mass.max(1) as f64;
    left.sort_by(|(a, _), (b, _)| {
        worth(b).total_cmp(&worth(a)).then((a.item, a.party).cmp(&(b.item, b.party)))
    });
    // The heaviest go first where less is better, else those worth least.
    let mut taken = stakes;
    match kind {
        GoalKind::Wants => taken.sort_by_key(|(s, _)| (s.value, Reverse(s.mass), s.item, s.party)),
        _ => taken.sort_by_key(|(s, _)| (Reverse(s.mass), s.value, s.item, s.party)),
    }
    for (add, up_to) in left {
        if clock.over() || *left_tries == 0 {
            return;
        }
        let open = state.left(add.item) > 0
            && state.loose[add.party][add.item] < facts.most_in(add.item, add.party)
            && penalty::there(state, add.item, add.party) < up_to;
        if !open {
            continue;
        }
        let value: u64 = state.party_wants.iter().sum();
        let spare = value.saturating_sub(state.pins.wants.unwrap_or(value));
        let short = state.pins.wants.unwrap_or(0) > value;
        let mut tries = each.min(*left_tries);
        for &(out, _) in taken.iter().take(LOOKS_EACH) {
            let gains = if kind == GoalKind::Wants || short {
                add.value > out.value && (short || add.party == out.party)
            } else {
                add.mass < out.mass && add.value + spare >= out.value
            };
            let same = (out.item, out.party) == (add.item, add.party);
            if !gains || same || state.loose[out.party][out.item] == 0 {
                continue;
            }
            if one(state, out, add, kind, score) {
                break;
            }
            tries -= 1;
            *left_tries -= 1;
            if tries == 0 {
                break;
            }
        }
    }
}

/// A heavy thing for two that weigh less together and are worth as much: of
/// each value the lightest that is left.
fn two_for_one(state: &mut State, score: &mut Score, tries: &mut usize, clock: &Clock) {
    let facts = state.facts;
    let mut taken: Vec<(Stake, u64)> = Vec::new();
    for w in facts.order.wants().iter().filter(|w| Some(w.party.0) != facts.store()) {
        let (item, party) = (w.item.0, w.party.0);
        let (value, mass) = (u64::from(w.value), facts.items[item].mass);
        taken.push((Stake { item, party, value, mass }, u64::from(w.up_to)));
    }
    taken.sort_by_key(|(s, _)| (Reverse(s.mass), s.value, s.item, s.party));
    let mut by_value: BTreeMap<u64, Vec<(Stake, u64)>> = BTreeMap::new();
    for &(stake, up_to) in taken.iter().rev() {
        by_value.entry(stake.value).or_default().push((stake, up_to));
    }
    for &(out, _) in &taken {
        if clock.over() || *tries == 0 {
            return;
        }
        if state.loose[out.party][out.item] == 0 {
            continue;
        }
        let open = |(s, up_to): &&(Stake, u64)| {
            (s.item, s.party) != (out.item, out.party)
                && state.left(s.item) > 0
                && state.loose[s.party][s.item] < facts.most_in(s.item, s.party)
                && penalty::there(state, s.item, s.party) < *up_to
        };
        // Two of each value, should both be of the same.
        let lightest: Vec<Stake> = by_value
            .values()
            .flat_map(|of| of.iter().filter(open).take(2).map(|(s, _)| *s))
            .collect();
        let value: u64 = state.party_wants.iter().sum();
        let spare = value.saturating_sub(state.pins.wants.unwrap_or(value));
        let mut pairs: Vec<(u64, usize, usize)> = Vec::new();
        for (i, a) in lightest.iter().enumerate() {
            for (j, b) in lightest.iter().enumerate().skip(i + 1) {
                let mass = a.mass + b.mass;
                if mass < out.mass && a.value + b.value + spare >= out.value {
                    pairs.push((mass, i, j));
                }
            }
        }
        pairs.sort_unstable();
        for &(_, i, j) in pairs.iter().take(TRIES_EACH.min(*tries)) {
            *tries -= 1;
            if swap(state, out, &[lightest[i], lightest[j]], GoalKind::Lightest, score) {
                break;
            }
        }
    }
}

/// What is wanted in two parties goes from the fuller to the emptier one.
fn hand_on(state: &mut State, score: &mut Score, tries: &mut usize, clock: &Clock) {
    let facts = state.facts;
    let share = |state: &State, p: usize| {
        let even = facts.by_party[p].iter().filter(|c| facts.carriers[**c].even);
        let (load, limit) = even.fold((0, 0), |(load, limit), &c| {
            let f = &facts.carriers[c];
            (load + f.burden + state.on[c].mass, limit + f.limit)
        });
        load as f64 / limit.max(1) as f64
    };
    let mut by_item: Vec<Vec<(usize, u64)>> = vec![Vec::new(); facts.items.len()];
    for w in facts.order.wants().iter().filter(|w| Some(w.party.0) != facts.store()) {
        by_item[w.item.0].push((w.party.0, u64::from(w.value)));
    }
    let mut order: Vec<usize> = (0..facts.items.len()).filter(|&i| by_item[i].len() > 1).collect();
    order.sort_by_key(|&i| (Reverse(facts.items[i].mass), i));
    for item in order {
        let stake = |&(party, value): &(usize, u64)| Stake {
            item,
            party,
            value,
            mass: facts.items[item].mass,
        };
        for out in by_item[item].iter().map(stake) {
            for add in by_item[item].iter().map(stake).filter(|a| a.party != out.party) {
                let emptier = share(state, add.party) < share(state, out.party);
                let open = state.loose[add.party][item] < facts.most_in(item, add.party);
                if emptier && open && state.loose[out.party][item] > 0 {
                    if clock.over() || *tries == 0 {
                        return;
                    }
                    *tries -= 1;
                    one(state, out, add, GoalKind::Even, score);
                }
            }
        }
    }
}

/// One of `out` for one of `add`, if that scores better.
fn one(state: &mut State, out: Stake, add: Stake, kind: GoalKind, score: &mut Score) -> bool {
    swap(state, out, &[add], kind, score)
}

/// One of `out` for one of each of `add`, if that scores better.
fn swap(state: &mut State, out: Stake, add: &[Stake], kind: GoalKind, score: &mut Score) -> bool {
    let here = &state.facts.by_party[out.party];
    let spot = here.iter().find_map(|&c| {
        let entry = state.on[c].entries.iter().find(|e| e.item == out.item)?;
        Some(Spot::One(c, entry.way))
    });
    let Some(spot) = spot else { return false };
    let leave = Step { item: out.item, from: Some(spot), to: None };
    state.make(&[leave]);
    let mut made: Vec<Step> = Vec::new();
    let all = add.iter().all(|add| {
        let steps = with_requirements(state, add.item, add.party, kind);
        made.extend(steps.iter().flatten());
        steps.is_some()
    });
    if all {
        let now = Score::of(state, kind);
        if now.better_than(score) {
            *score = now;
            return true;
        }
    }
    made.iter().rev().for_each(|s| state.undo(&[*s]));
    state.undo(&[leave]);
    false
}
