//! What was used up since people packed: it is gone from the plan, and what it
//! supplied counts as met.

use super::hand_overs::Holder;
use super::vary;
use crate::load::{
    Bearer, CarrierIx, ItemIx, MoveOrder, Packed, PartyIx, Placement, Plan, SupplyIx,
};
use std::collections::BTreeMap;

/// Units said to be used up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Used {
    /// What was used up.
    pub item: ItemIx,
    /// How many units.
    pub count: u32,
    /// Who had them; without a word, whoever comes first of those who drop
    /// out, the others outside the store, and the store.
    pub by: Option<CarrierIx>,
}

/// Units used up, and whose they were.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsedUp {
    /// What was used up.
    pub item: ItemIx,
    /// How many units, whoever had them.
    pub count: u32,
    /// Who had how many of them.
    pub from: Vec<(Holder, u32)>,
}

/// More is said to be used up than there was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UsedTooMuch {
    /// What is said to be used up.
    pub used: Used,
    /// Units that there were.
    pub have: u64,
}

/// Takes them out of the plan before and of what is held, and notes what of
/// each supply is met by them in the party of whoever had them.
pub(super) fn take(
    order: &mut MoveOrder,
    packed: &mut Packed,
    used: &[Used],
    without: &[CarrierIx],
) -> Result<Vec<UsedUp>, UsedTooMuch> {
    let mut placements: Vec<Placement> = packed.before.plan.placements().to_vec();
    let mut spent: BTreeMap<(PartyIx, SupplyIx), u64> = BTreeMap::new();
    let mut all = Vec::new();
    for &one in used {
        let mut from: BTreeMap<Holder, u32> = BTreeMap::new();
        let mut left = one.count;
        let mut mine: Vec<usize> = (0..placements.len())
            .filter(|&k| placements[k].item == one.item)
            .filter(|&k| one.by.is_none_or(|c| bearers(placements[k].by).contains(&Some(c))))
            .collect();
        mine.sort_by_key(|&k| {
            let first = bearers(placements[k].by)[0].unwrap_or(CarrierIx(usize::MAX));
            let stays = order.store().is_some() && order.party_of(first) == order.store();
            (stays, !without.contains(&first), first, k)
        });
        for k in mine {
            let p = &mut placements[k];
            let n = p.count.min(left);
            let who = one.by.or(bearers(p.by)[0]).unwrap_or(CarrierIx(usize::MAX));
            let party = order.party_of(who);
            let stays = order.store().is_some() && party == order.store();
            let holder = if stays { Holder::Store } else { Holder::Carrier(who) };
            if n > 0 {
                p.count -= n;
                left -= n;
                *from.entry(holder).or_insert(0) += n;
                if let Some(party) = party {
                    supplied(order, one.item, n, party, &mut spent);
                }
            }
        }
        if left > 0 && one.by.is_none() && order.store().is_none() {
            // What is left lies there to be used too.
            let placed: u64 =
                placements.iter().filter(|p| p.item == one.item).map(|p| u64::from(p.count)).sum();
            let held = u64::from(order.item(one.item).held);
            let there = held.saturating_sub(placed + u64::from(one.count - left));
            let n = u64::from(left).min(there) as u32;
            if n > 0 {
                left -= n;
                *from.entry(Holder::Store).or_insert(0) += n;
            }
        }
        if left > 0 {
            return Err(UsedTooMuch { used: one, have: u64::from(one.count - left) });
        }
        let held = order.item(one.item).held.saturating_sub(one.count);
        *order = vary::with_held(order, one.item, held);
        let from = from.into_iter().collect();
        all.push(UsedUp { item: one.item, count: one.count, from });
    }
    packed.before.plan = Plan::new(placements);
    note(order, spent);
    Ok(all)
}

/// Takes units that were used up before a plan was made out of what is held, and
/// notes what of each supply they met. `from`: who had had them, the store or
/// what is left where nobody is named.
pub fn taken(order: &mut MoveOrder, item: ItemIx, from: &[(Option<CarrierIx>, u32)]) {
    let mut spent: BTreeMap<(PartyIx, SupplyIx), u64> = BTreeMap::new();
    for &(who, count) in from {
        if let Some(party) = who.map_or(order.store(), |who| order.party_of(who)) {
            supplied(order, item, count, party, &mut spent);
        }
    }
    let count = from.iter().map(|(_, n)| *n).fold(0, u32::saturating_add);
    *order = vary::with_held(order, item, order.item(item).held.saturating_sub(count));
    note(order, spent);
}

fn note(order: &mut MoveOrder, spent: BTreeMap<(PartyIx, SupplyIx), u64>) {
    let spent = spent.into_iter().map(|((party, supply), n)| (party, supply, n));
    *order = vary::changed(order, |parts| parts.spent.extend(spent));
}

fn bearers(by: Bearer) -> [Option<CarrierIx>; 2] {
    match by {
        Bearer::One { carrier, .. } => [Some(carrier), None],
        Bearer::Pair { first, second } => [Some(first), Some(second)],
    }
}

/// Adds what so many of the item supply, contents included.
fn supplied(
    order: &MoveOrder,
    item: ItemIx,
    n: u32,
    party: PartyIx,
    spent: &mut BTreeMap<(PartyIx, SupplyIx), u64>,
) {
    for (inner, each) in order.catalogue().inside(item) {
        for (supply, amount) in &order.item(*inner).supplies {
            let sum = amount.base.saturating_mul(u64::from(*each)).saturating_mul(n.into());
            let entry = spent.entry((party, *supply)).or_insert(0);
            *entry = entry.saturating_add(sum);
        }
    }
}
