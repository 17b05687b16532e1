//! From a state to a plan, and back.

use super::state::{Spot, State, Step};
use crate::facts::{Facts, KitIx};
use crate::load::{Bearer, CarrierIx, ItemIx, Placement, Plan, Way};
use crate::pins::Pins;
use std::cmp::Reverse;

/// The plan of a state; what stays is assigned to the store's vehicles.
pub(crate) fn write(state: &State) -> Plan {
    let facts = state.facts;
    let ix = |c: KitIx| facts.carriers[c].ix;
    let mut placements: Vec<Placement> = state
        .placed()
        .map(|(item, spot, count)| {
            let by = match spot {
                Spot::One(c, way) => Bearer::One { carrier: ix(c), way },
                Spot::Pair(a, b) => Bearer::Pair { first: ix(a), second: ix(b) },
            };
            Placement { by, item: ItemIx(item), count }
        })
        .collect();
    if let Some(store) = facts.store() {
        for (item, c, count) in stow(state, store) {
            let by = Bearer::One { carrier: ix(c), way: Way::Bed };
            placements.push(Placement { by, item: ItemIx(item), count });
        }
    }
    Plan::new(placements)
}

/// A vehicle of the store while it is loaded.
struct Bed {
    carrier: KitIx,
    mass: i128,
    room: i128,
    on: Vec<u32>,
}

impl Bed {
    fn new(facts: &Facts, carrier: KitIx) -> Self {
        let f = &facts.carriers[carrier];
        Bed {
            carrier,
            mass: i128::from(f.usable) - i128::from(f.burden),
            room: f.room.map_or(i128::MAX, i128::from),
            on: vec![0; facts.items.len()],
        }
    }
    fn put(&mut self, facts: &Facts, item: usize) {
        self.on[item] += 1;
        self.mass -= i128::from(at_most(facts, item));
        self.room -= i128::from(facts.items[item].bulk);
    }
    fn fits(&self, facts: &Facts, item: usize) -> bool {
        let f = &facts.items[item];
        self.mass >= i128::from(at_most(facts, item)) && self.room >= i128::from(f.bulk)
    }
    fn allows(&self, facts: &Facts, item: usize) -> bool {
        facts.may(item, self.carrier, Way::Bed)
            && facts
                .rules
                .at_most
                .iter()
                .filter(|r| r.items.contains(&item) && r.carriers.contains(&self.carrier))
                .all(|r| r.items.iter().map(|x| self.on[*x]).sum::<u32>() < r.count)
    }
}

/// mg of one, as heavy as it may be: that more kinds are so than need be at
/// once errs on the safe side.
fn at_most(facts: &Facts, item: usize) -> u64 {
    facts.items[item].mass + facts.items[item].deviation
}

/// First what rules fix, then the heaviest first, each to the vehicle with the
/// most spare mass that may take it and has the room.
fn stow(state: &State, store: usize) -> Vec<(usize, KitIx, u32)> {
    let facts = state.facts;
    let carriers = &facts.by_party[store];
    let mut left: Vec<u32> = (0..facts.items.len()).map(|i| state.left(i)).collect();
    if let [only] = carriers.as_slice() {
        return left.into_iter().enumerate().map(|(i, n)| (i, *only, n)).collect();
    }
    let mut beds: Vec<Bed> = carriers.iter().map(|&c| Bed::new(facts, c)).collect();
    for &(item, count, c) in &facts.rules.fixed {
        if let Some(bed) = beds.iter_mut().find(|b| b.carrier == c) {
            let n = count.min(left[item]);
            (0..n).for_each(|_| bed.put(facts, item));
            left[item] -= n;
        }
    }
    let mut order: Vec<usize> = (0..facts.items.len()).collect();
    order.sort_by_key(|&i| (Reverse(facts.items[i].mass), i));
    for i in order {
        for _ in 0..left[i] {
            // Where nothing fits it is placed all the same: the audit finds the
            // fault, and a program looks for better.
            let key =
                |b: &&mut Bed| (b.allows(facts, i), b.fits(facts, i), b.mass, Reverse(b.carrier));
            if let Some(bed) = beds.iter_mut().max_by_key(key) {
                bed.put(facts, i);
            }
        }
    }
    let counts = |b: Bed| b.on.into_iter().enumerate().map(move |(i, n)| (i, b.carrier, n));
    beds.into_iter().flat_map(counts).collect()
}

/// The state of a plan.
pub(crate) fn read<'f, 'o>(facts: &'f Facts<'o>, plan: &Plan, pins: Pins) -> State<'f, 'o> {
    let mut state = State::new(facts, pins);
    state.hold_parties();
    let mut place = vec![None; facts.order.carriers().len()];
    facts.carriers.iter().enumerate().for_each(|(c, f)| place[f.ix.0] = Some(KitIx(c)));
    let at = |ix: CarrierIx| place.get(ix.0).copied().flatten();
    for p in plan.placements() {
        let spot = match p.by {
            Bearer::One { carrier, way } => at(carrier).map(|c| Spot::One(c, way)),
            Bearer::Pair { first, second } => {
                at(first).zip(at(second)).map(|(a, b)| Spot::Pair(a, b))
            }
        };
        let Some(spot) = spot else { continue };
        if Some(state.party_of(spot)) == facts.store() {
            continue;
        }
        for _ in 0..p.count {
            state.make(&[Step { item: p.item.0, from: None, to: Some(spot) }]);
        }
    }
    state.refresh();
    state
}
