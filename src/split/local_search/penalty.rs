//! The penalty of a state: how far it is from keeping every limit, need and
//! rule; zero if it does.
//!
//! Whole numbers, so that sums never drift. A step over a limit costs a little
//! at once and more with its size; one thing too many or too few costs `UNIT`.

use super::state::State;
use crate::facts::KitIx;
use crate::load::{Demand, NeedNode, PartyIx, Way};

const UNIT: i64 = 1000;

/// Parts in a thousand over, and a little at once.
fn over(value: u64, most: u64) -> i64 {
    if value <= most {
        return 0;
    }
    let part = u128::from(value - most) * 1000 / u128::from(most.max(1));
    10 + part.min(100_000) as i64
}

fn above(value: u32, most: u32) -> i64 {
    i64::from(value.saturating_sub(most)) * UNIT
}

/// Limits of one carrier.
pub(super) fn carrier(state: &State, c: KitIx) -> i64 {
    let f = &state.facts.carriers[c];
    let b = &state.on[c];
    let mut sum = over(f.burden + b.mass, state.most_mass(c));
    if b.deviation > 0 {
        sum += over(state.worst_load(c), f.usable);
    }
    if let Some(room) = f.room {
        sum += over(b.bulk, room);
    }
    for way in [Way::Back, Way::Chest, Way::Shoulder, Way::Belt] {
        sum += above(b.slots[way as usize], f.slots[way as usize]);
    }
    if f.person {
        sum += above(b.hands, f.hands) + above(b.pairs.len() as u32, 1);
    }
    sum
}

/// Rules on what is on one carrier.
pub(super) fn rules(state: &State, c: KitIx) -> i64 {
    let f = &state.facts.carriers[c];
    let mut sum = 0;
    for items in &state.facts.rules.apart {
        let kinds = items.iter().filter(|i| state.count_on(**i, c) > 0).count();
        sum += above(kinds as u32, 1);
    }
    for rule in state.facts.rules.at_most.iter().filter(|r| r.carriers.contains(&c)) {
        let n = rule.items.iter().map(|i| state.count_on(*i, c)).sum();
        sum += above(n, rule.count);
    }
    if f.store {
        return sum;
    }
    for &(item, count, to) in state.facts.rules.fixed.iter().filter(|f| f.2 == c) {
        sum += above(count, state.count_on(item, to));
    }
    sum
}

/// Units of the group that are away from the carrier who has most of it.
pub(super) fn together(state: &State, group: usize, party: usize) -> i64 {
    if state.facts.store() == Some(party) {
        return 0;
    }
    let items = &state.facts.rules.together[group];
    let all: u32 = items.iter().map(|i| state.loose[party][*i]).sum();
    if all == 0 {
        return 0;
    }
    let on = |c: &KitIx| items.iter().map(|i| state.count_on(*i, *c)).sum::<u32>();
    let most = state.facts.by_party[party].iter().map(on).max().unwrap_or(0);
    i64::from(all.saturating_sub(most)) * UNIT
}

/// Units of the item in the party, those inside cases included.
pub(super) fn there(state: &State, item: usize, party: usize) -> u64 {
    let store = state.facts.store() == Some(party);
    let cases = state.facts.found_in[item].iter();
    cases.fold(0u64, |sum, &(case, n)| {
        let loose = if store { state.left(case) } else { state.loose[party][case] };
        sum + u64::from(loose) * u64::from(n)
    })
}

/// The value of one want as met.
pub(super) fn want(state: &State, want: usize) -> u64 {
    let w = &state.facts.order.wants()[want];
    there(state, w.item.0, w.party.0).min(w.up_to.into()) * u64::from(w.value)
}

/// A need without supplies.
pub(super) fn need(state: &State, need: usize) -> i64 {
    let need = &state.facts.order.needs()[need];
    node(state, &need.node, need.party.0, &mut Vec::new())
}

/// What a node lacks, supplies aside.
pub(super) fn lacks(state: &State, n: &NeedNode, party: usize) -> i64 {
    node(state, n, party, &mut Vec::new())
}

/// What the party lacks of the nearest of what it may bring.
pub(super) fn bring(state: &State, bring: usize) -> i64 {
    let bring = &state.facts.order.brings()[bring];
    let here = &state.loose[bring.party.0];
    let short = bring.any.iter().map(|(item, count)| count.saturating_sub(here[item.0]));
    i64::from(short.min().unwrap_or(0)) * UNIT
}

/// The needs of a party that have supplies in them, taken together.
pub(super) fn supplied(state: &State, party: usize) -> i64 {
    let (mut demands, mut sum) = (Vec::new(), 0);
    for &need in &state.facts.needs[party].supplied {
        sum += node(state, &state.facts.order.needs()[need].node, party, &mut demands);
    }
    sum + supplies(state, party, &demands)
}

/// One requirement in one party.
pub(super) fn require(state: &State, require: usize, party: usize) -> i64 {
    if state.facts.store() == Some(party) {
        return 0;
    }
    let r = &state.facts.requires[require];
    let each = r.each.iter().map(|&(i, n)| there(state, i, party) * u64::from(n)).sum();
    let shared = r.shared.iter().any(|&i| there(state, i, party) > 0);
    let asked: u64 = u64::max(each, u64::from(shared));
    if asked == 0 {
        return 0;
    }
    let short = asked.saturating_sub(there(state, r.required, party));
    short.min(1_000_000) as i64 * UNIT
}

/// What the node lacks, taking the cheapest branches; the supply demands of
/// the branches taken are added to `demands`.
fn node<'n>(state: &State, n: &'n NeedNode, party: usize, demands: &mut Vec<&'n Demand>) -> i64 {
    match n {
        NeedNode::Item { item, count } => {
            let short = u64::from(*count).saturating_sub(there(state, item.0, party));
            short.min(1_000_000) as i64 * UNIT
        }
        NeedNode::Supply(d) => {
            demands.push(d);
            0
        }
        NeedNode::All(of) => of.iter().map(|c| node(state, c, party, demands)).sum(),
        NeedNode::Any(of) => some(state, 1, of, party, demands),
        NeedNode::AtLeast { count, of } => some(state, *count as usize, of, party, demands),
    }
}

fn some<'n>(
    state: &State,
    count: usize,
    of: &'n [NeedNode],
    party: usize,
    demands: &mut Vec<&'n Demand>,
) -> i64 {
    // A branch with a supply in it is costed by what it lacks alone; of equal
    // branches the one without demands wins.
    let mut costs: Vec<(i64, usize, Vec<&Demand>)> = of
        .iter()
        .enumerate()
        .map(|(k, c)| {
            let mut mine = Vec::new();
            let lacks = node(state, c, party, &mut mine);
            let cost = lacks + supplies(state, party, &mine);
            (cost, mine.len() * of.len() + k, mine)
        })
        .collect();
    costs.sort_by_key(|c| (c.0, c.1));
    let mut sum = 0;
    for (cost, _, mine) in costs.into_iter().take(count) {
        // Supplies are evaluated with all others at the end.
        sum += cost - supplies(state, party, &mine);
        demands.extend(mine);
    }
    sum
}

fn supplies(state: &State, party: usize, demands: &[&Demand]) -> i64 {
    let short = |(_, short, asked): (usize, u64, u64)| {
        UNIT + (u128::from(short) * 1000 / u128::from(asked)) as i64 * 2
    };
    shortfalls(state, party, demands).into_iter().map(short).sum()
}

/// What is lacking of supplies in a party, in base units: (supply, amount).
pub(super) fn lacking(state: &State, party: usize) -> Vec<(usize, u64)> {
    let mut demands = Vec::new();
    for &need in &state.facts.needs[party].supplied {
        node(state, &state.facts.order.needs()[need].node, party, &mut demands);
    }
    shortfalls(state, party, &demands).into_iter().map(|(s, short, _)| (s, short)).collect()
}

/// Of each supply that is not enough: (supply, what is lacking, what is asked).
fn shortfalls(state: &State, party: usize, demands: &[&Demand]) -> Vec<(usize, u64, u64)> {
    let facts = state.facts;
    let store = facts.store() == Some(party);
    let loose = |i: usize| u64::from(if store { state.left(i) } else { state.loose[party][i] });
    let mut done: Vec<usize> = Vec::new();
    let mut short = Vec::new();
    for first in demands {
        let supply = first.supply;
        if done.contains(&supply.0) {
            continue;
        }
        done.push(supply.0);
        let of = |sum: u64, &(i, each): &(usize, u64)| sum + each * loose(i);
        let have = facts.suppliers[supply.0].iter().fold(0, of);
        let parts = u128::from(facts.parts[supply.0]);
        let mut asked = 0u128;
        for d in demands.iter().filter(|d| d.supply == supply) {
            let each = d.per_person.map_or(0, |a| a.base);
            let own = d.amount.map_or(0, |a| a.base) + each * u64::from(facts.people[party]);
            let mut own = u128::from(own) * parts;
            if let Some(uses) = facts.consumption(d) {
                let of = |sum: u128, &(i, each): &(usize, u128)| sum + each * u128::from(loose(i));
                own += uses.items.iter().fold(uses.people[party], of);
            }
            asked = asked.saturating_add(own.saturating_mul((1_000_000 + d.slack.ppm()).into()));
        }
        // The sum alone is rounded up.
        let asked = u64::try_from(asked.div_ceil(1_000_000 * parts)).unwrap_or(u64::MAX);
        let asked = asked.saturating_sub(facts.order.spent_of(PartyIx(party), supply));
        if have < asked {
            short.push((supply.0, asked - have, asked));
        }
    }
    short
}

/// What no single carrier or party answers for: pins, and the store's limits.
pub(super) fn whole(state: &State) -> i64 {
    let pins = &state.pins;
    let mut sum = 0;
    if let Some(least) = pins.wants {
        let have: u64 = state.party_wants.iter().sum();
        sum += least.saturating_sub(have).min(1_000_000) as i64 * UNIT;
    }
    if let Some(most) = pins.lightest {
        sum += over(state.carried, most);
    }
    for (kind, most) in &pins.counts {
        let most = i64::try_from(*most).unwrap_or(i64::MAX);
        sum += (state.counted(*kind) - most).clamp(0, 1_000_000) * UNIT;
    }
    if let Some(store) = state.facts.store() {
        sum += stored(state, store);
    }
    sum
}

/// The store's vehicles taken as one: its limits with all that stays.
fn stored(state: &State, store: usize) -> i64 {
    let facts = state.facts;
    let beds = || facts.by_party[store].iter().map(|&c| &facts.carriers[c]);
    let spare = beds().map(|f| f.usable.saturating_sub(f.burden)).sum();
    let mut sum = over(facts.held_mass - state.carried + state.stored_deviation(), spare);
    if let Some(room) = beds().map(|f| f.room).sum() {
        sum += over(facts.held_bulk - state.carried_bulk, room);
    }
    if facts.store_ruled {
        sum += stored_rules(state, store);
    }
    sum
}

/// Rules that name the store's vehicles, taken as one: they are distinguished
/// when what stays is assigned to them.
fn stored_rules(state: &State, store: usize) -> i64 {
    let facts = state.facts;
    let beds = &facts.by_party[store];
    let mut sum = 0;
    for i in 0..facts.items.len() {
        if !beds.iter().any(|&c| facts.may(i, c, Way::Bed)) {
            sum += i64::from(state.left(i)) * UNIT;
        }
    }
    for &(item, count, _) in facts.rules.fixed.iter().filter(|f| beds.contains(&f.2)) {
        sum += above(count, state.left(item));
    }
    for rule in facts.rules.at_most.iter().filter(|r| beds.iter().all(|c| r.carriers.contains(c))) {
        let left = rule.items.iter().map(|i| state.left(*i)).fold(0, u32::saturating_add);
        sum += above(left, rule.count.saturating_mul(beds.len() as u32));
    }
    sum
}
