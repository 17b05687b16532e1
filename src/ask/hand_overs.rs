//! Who gives what to whom: from the plan before to the plan now.

use crate::load::{Bearer, CarrierIx, ItemIx, MoveOrder, Packed, PartyIx, Plan};
use std::collections::BTreeMap;

/// Who has a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holder {
    /// Somebody of the plan before whom the move does not know, by their place
    /// in [`Packed::strangers`].
    Stranger(usize),
    /// Somebody of the move.
    Carrier(CarrierIx),
    /// The store; without one, what is left.
    Store,
}

/// Units of an item that change hands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HandOver {
    /// What changes hands.
    pub item: ItemIx,
    /// How many units of it.
    pub count: u32,
    /// `None` where nobody gives it up: it is borne with another now.
    pub from: Option<Holder>,
    /// Who has them now.
    pub to: Holder,
}

/// Every unit that changes hands, by giver, taker and item. Several may have
/// given what several took: then strangers give first, then those in no party,
/// then the others in the order of the carriers, the store last; and they take
/// in that order too.
///
/// As many units as the goal `changes` counts.
pub fn hand_overs(order: &MoveOrder, packed: &Packed, plan: &Plan) -> Vec<HandOver> {
    let mut had = Counts::of(order, &packed.before.plan);
    for (s, stranger) in packed.strangers.iter().enumerate() {
        for &(item, n) in &stranger.items {
            had.add(item, Holder::Stranger(s), n);
            had.away[item.0] = had.away[item.0].saturating_add(n.into());
        }
    }
    let has = Counts::of(order, plan);
    let mut all = Vec::new();
    for (item, thing) in order.catalogue().items() {
        let mut losers: Vec<(Holder, u32)> = Vec::new();
        let mut gainers: Vec<(Holder, u32)> = Vec::new();
        let holders = had.on[item.0].keys().chain(has.on[item.0].keys());
        let mut holders: Vec<Holder> = holders.copied().collect();
        holders.sort_by_key(|h| (belongs(order, *h), *h));
        holders.dedup();
        for holder in holders {
            let of = |counts: &Counts| counts.on[item.0].get(&holder).copied().unwrap_or(0);
            sort(holder, of(&had), of(&has), &mut losers, &mut gainers);
        }
        let rest = |counts: &Counts| {
            let left = u64::from(thing.held).saturating_sub(counts.away[item.0]);
            u32::try_from(left).unwrap_or(u32::MAX)
        };
        sort(Holder::Store, rest(&had), rest(&has), &mut losers, &mut gainers);
        let mut losers = losers.into_iter();
        let mut giver = losers.next();
        for (to, mut count) in gainers {
            while count > 0 {
                let (from, n) = match giver {
                    Some((from, n)) => (Some(from), n.min(count)),
                    None => (None, count),
                };
                all.push(HandOver { item, count: n, from, to });
                count -= n;
                giver =
                    giver.and_then(
                        |(from, left)| {
                            if left > n { Some((from, left - n)) } else { losers.next() }
                        },
                    );
            }
        }
    }
    all.sort_by_key(|h| (h.from.is_none(), h.from, h.to, h.item));
    all
}

fn sort(
    holder: Holder,
    had: u32,
    has: u32,
    losers: &mut Vec<(Holder, u32)>,
    gainers: &mut Vec<(Holder, u32)>,
) {
    if had > has {
        losers.push((holder, had - has));
    } else if has > had {
        gainers.push((holder, has - had));
    }
}

/// Whether somebody is in a party.
fn belongs(order: &MoveOrder, holder: Holder) -> bool {
    matches!(holder, Holder::Carrier(c) if order.party_of(c).is_some())
}

/// Who has how many outside the store, by item.
struct Counts {
    on: Vec<BTreeMap<Holder, u32>>,
    /// Units that are not in the store, a pair's once.
    away: Vec<u64>,
}

impl Counts {
    fn of(order: &MoveOrder, plan: &Plan) -> Self {
        let n = order.catalogue().len();
        let mut counts = Counts { on: vec![BTreeMap::new(); n], away: vec![0; n] };
        let party: Vec<Option<PartyIx>> =
            (0..order.carriers().len()).map(|c| order.party_of(CarrierIx(c))).collect();
        for p in plan.placements() {
            let (first, second) = match p.by {
                Bearer::One { carrier, .. } => (carrier, None),
                Bearer::Pair { first, second } => (first, Some(second)),
            };
            if order.store().is_some() && party[first.0] == order.store() {
                continue;
            }
            counts.away[p.item.0] += u64::from(p.count);
            for c in [Some(first), second].into_iter().flatten() {
                counts.add(p.item, Holder::Carrier(c), p.count);
            }
        }
        counts
    }

    fn add(&mut self, item: ItemIx, holder: Holder, n: u32) {
        let sum = self.on[item.0].entry(holder).or_insert(0);
        *sum = sum.saturating_add(n);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::common::cases::cases;
    use crate::common::repacked::repacked;
    use crate::load::{GoalKind, GoalValue, Stranger};
    use crate::split::{Options, Outcome, Watch, split};

    /// As many units as the audit counts, whatever changed.
    #[test]
    fn the_hand_overs_add_up_to_the_goal() {
        let mut met = 0;
        for seed in 0..cases(40, 120) {
            let order = repacked(seed);
            let before = order.before().expect("a plan before").clone();
            let items = before.astray.clone();
            let strangers = vec![Stranger { id: "x".into(), name: "X".into(), items }];
            let packed = Packed { before, strangers, ..Packed::default() };
            let Outcome::Plan(planned) =
                split(&order, &Options::default(), &Watch::default()).outcome
            else {
                continue;
            };
            let all = hand_overs(&order, &packed, &planned.plan);
            let units: u64 = all.iter().map(|h| u64::from(h.count)).sum();
            let goal = planned.findings.goals.iter().find(|g| g.0 == GoalKind::Changes);
            assert_eq!(goal.map(|g| g.1), Some(GoalValue::Count(units)), "seed {seed}: {all:?}");
            met += usize::from(units > 0);
        }
        assert!(met > cases(10, 30), "{met}");
    }
}
