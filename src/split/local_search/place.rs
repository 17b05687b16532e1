//! Placing counts: every unit of every party to somebody, by some way.
//!
//! Longest processing time first (Graham 1969): the heaviest first, each to
//! whom it leaves the least burdened. What rules look at goes before the rest,
//! while there is room to obey them.

use super::construct::{best, spots};
use super::party_counts::Counts;
use super::state::{Spot, State, Step};
use crate::facts::KitIx;
use crate::load::{GoalKind, ItemIx, Way};
use crate::options::Clock;
use std::cmp::Reverse;

/// Places the counts. What fits nowhere is left if nothing lacks it; else what
/// is only wanted makes room for it, or it goes where it breaks the least.
pub(crate) fn place(state: &mut State, counts: &Counts, kind: GoalKind, clock: &Clock) {
    state.hold_parties();
    place_all(state, counts, kind, clock);
    state.refresh();
    // What makes room can be missed later: once more from the start.
    for _ in 0..ROUNDS {
        let lacking: Vec<usize> =
            (0..counts.len()).filter(|&p| state.party_penalty[p] > 0).collect();
        for party in lacking {
            make_up(state, &counts[party], party, clock);
        }
    }
}

/// Rounds over the parties that lack something.
const ROUNDS: usize = 3;

/// Places what the party was to have and has not, where that could be what it
/// lacks: the heaviest first.
fn make_up(state: &mut State, counts: &[u32], party: usize, clock: &Clock) {
    let facts = state.facts;
    let mut missing: Vec<usize> =
        (0..counts.len()).filter(|&i| counts[i] > state.loose[party][i]).collect();
    missing.sort_by_key(|&i| (Reverse(facts.items[i].mass), i));
    for item in missing {
        // One alone need not be enough: whatever has a part in what is lacking.
        while state.loose[party][item] < counts[item]
            && state.left(item) > 0
            && state.could_repair(item, party)
            && !clock.over()
        {
            if make_room(state, item, party) {
                continue;
            }
            let all = spots(state, item, party);
            let Some((to, _)) = best(state, item, &all) else { break };
            state.make(&[Step { item, from: None, to: Some(to) }]);
        }
    }
}

/// Whether a need or a requirement of the party looks at the item.
fn looked_at(state: &State, item: usize, party: usize) -> bool {
    let facts = state.facts;
    !facts.dependents[party][item].needs.is_empty() || !facts.dependent_requires[item].is_empty()
}

/// The most units that one carrier puts down for one that is needed.
const MOST_PUT_DOWN: usize = 6;

/// Puts down what is only wanted, of least value, for a thing that is needed.
fn make_room(state: &mut State, item: usize, party: usize) -> bool {
    let facts = state.facts;
    let mut found: Option<(u64, Vec<Step>)> = None;
    for &c in &facts.by_party[party] {
        let ways = Way::ALL.into_iter().filter(|w| *w != Way::Pair);
        let ways: Vec<Way> = ways.filter(|w| facts.may(item, c, *w)).collect();
        let broken = state.on[c].broken;
        let (mut steps, mut loss) = (Vec::new(), 0);
        while let (false, Some((lost, step))) =
            (ways.is_empty() || steps.len() >= MOST_PUT_DOWN, least_missed(state, c, item))
        {
            state.make(&[step]);
            steps.push(step);
            loss += lost;
            let Some(way) = ways.iter().find(|w| state.fits(item, c, **w)) else { continue };
            let add = Step { item, from: None, to: Some(Spot::One(c, *way)) };
            state.make(&[add]);
            let good = state.on[c].broken <= broken;
            state.undo(&[add]);
            if good && found.as_ref().is_none_or(|(l, _)| loss < *l) {
                let all = steps.iter().copied().chain([add]).collect();
                found = Some((loss, all));
            }
            break;
        }
        steps.iter().rev().for_each(|s| state.undo(&[*s]));
    }
    let Some((_, steps)) = found else { return false };
    state.make(&steps);
    true
}

/// The unit on the carrier that is missed least for its mass, none of `item`, if
/// there is one that no need misses: what its wants lose, and the step.
fn least_missed(state: &mut State, c: KitIx, item: usize) -> Option<(u64, Step)> {
    let facts = state.facts;
    let party = facts.carriers[c].party;
    let mut least: Option<(f64, u64, Step)> = None;
    for e in state.on[c].entries.clone() {
        // In a need that is not met, what one thing is to it shows badly.
        if e.item == item || looked_at(state, e.item, party) {
            continue;
        }
        let step = Step { item: e.item, from: Some(Spot::One(c, e.way)), to: None };
        let before = (state.party_penalty[party], state.party_wants[party]);
        let broken = state.on[c].broken;
        state.make(&[step]);
        let spared = state.party_penalty[party] <= before.0 && state.on[c].broken <= broken;
        let loss = before.1 - state.party_wants[party];
        state.undo(&[step]);
        let each = loss as f64 / facts.items[e.item].mass.max(1) as f64;
        if spared && least.as_ref().is_none_or(|(l, ..)| each < *l) {
            least = Some((each, loss, step));
        }
    }
    least.map(|(_, loss, step)| (loss, step))
}

/// Places units, the heaviest first, and before them those that rules look at,
/// as far as they fit.
fn place_all(state: &mut State, counts: &Counts, kind: GoalKind, clock: &Clock) {
    let facts = state.facts;
    let mut order: Vec<(usize, usize, u32)> = Vec::new();
    for (p, items) in counts.iter().enumerate().filter(|(p, _)| Some(*p) != facts.store()) {
        order.extend(items.iter().enumerate().filter(|(_, n)| **n > 0).map(|(i, n)| (i, p, *n)));
    }
    order.sort_by_key(|&(i, p, _)| (!facts.watched[i], Reverse(facts.items[i].mass), i, p));
    for (item, party, count) in order {
        for _ in 0..count {
            if clock.over() {
                return;
            }
            match free_spot(state, item, party, kind) {
                Some(to) => state.make(&[Step { item, from: None, to: Some(to) }]),
                None => break,
            }
        }
    }
}

/// A spot that breaks no limit and no rule.
pub(super) fn free_spot(
    state: &mut State,
    item: usize,
    party: usize,
    kind: GoalKind,
) -> Option<Spot> {
    if !state.facts.watched[item] {
        return least_burdened(state, item, party, kind);
    }
    let all = spots(state, item, party);
    best(state, item, &all).filter(|(_, worse)| !worse).map(|(spot, _)| spot)
}

/// Of those who have the room, the slots and the hands for it, whoever is
/// least burdened with it: one, or two as a pair. Vehicles whose share nobody
/// looks at come first.
fn least_burdened(state: &State, item: usize, party: usize, kind: GoalKind) -> Option<Spot> {
    let facts = state.facts;
    let f = &facts.items[item];
    let share = |c: KitIx, mass: u64, bulk: u64| {
        let carrier = &facts.carriers[c];
        let load = (carrier.burden + state.on[c].mass + mass) as f64;
        let full = carrier.room.map_or(0.0, |r| (state.on[c].bulk + bulk) as f64 / r.max(1) as f64);
        if kind == GoalKind::Even {
            let looked_at = carrier.even || !facts.somebody_even;
            // A full pack has no room for what is light. One party alone is
            // balanced better from even loads.
            let full = if facts.by_party.len() > 2 { full } else { 0.0 };
            let share = full.max(load / carrier.limit.max(1) as f64);
            return if looked_at { share } else { load * 1e-18 };
        }
        let astray = kind == GoalKind::Keeper && facts.misplaced(item, c);
        // Vector packing: mass and room are both to last (Panigrahy et al.
        // 2011).
        let worst = full.max(load / carrier.usable.max(1) as f64);
        worst + if astray { 4.0 } else { 0.0 } - if carrier.person { 0.0 } else { 2.0 }
    };
    let here = &facts.by_party[party];
    let mut found: Option<(f64, Spot)> = None;
    for &c in here {
        // What takes no room comes first, but for hands.
        let ways = [Way::Bed, Way::Belt, Way::Shoulder, Way::Chest, Way::Back, Way::Hand];
        let fits = |w: &Way| facts.may(item, c, *w) && state.fits(item, c, *w);
        let Some(way) = ways.into_iter().find(fits) else { continue };
        let bulk = if matches!(way, Way::Bed | Way::Back) { f.bulk } else { 0 };
        let value = share(c, f.mass, bulk);
        if found.as_ref().is_none_or(|(v, _)| value < *v) {
            found = Some((value, Spot::One(c, way)));
        }
    }
    if !facts.order.item(ItemIx(item)).ways.has(Way::Pair) {
        return found.map(|(_, spot)| spot);
    }
    let free = |c: KitIx, end: usize| {
        let carrier = &facts.carriers[c];
        facts.may(item, c, Way::Pair)
            && state.on[c].hands < carrier.hands
            && state.on[c].pairs.is_empty()
            && state.most_mass(c) >= carrier.burden + state.on[c].mass + f.pair[end]
    };
    let least = |end: usize, but: Option<KitIx>| {
        let ends = here.iter().copied().filter(|&c| Some(c) != but && free(c, end));
        let share = |c: KitIx| share(c, f.pair[end], 0);
        ends.min_by(|&a, &b| share(a).total_cmp(&share(b)))
    };
    let pair = least(0, None).and_then(|a| least(1, Some(a)).map(|b| (a, b)));
    if let Some((a, b)) = pair {
        let value = share(a, f.pair[0], 0).max(share(b, f.pair[1], 0));
        if found.as_ref().is_none_or(|(v, _)| value < *v) {
            found = Some((value, Spot::Pair(a, b)));
        }
    }
    found.map(|(_, spot)| spot)
}
