//! Tables over items and carriers.

use super::KitIx;
use super::{CarrierFact, ItemFact, RequireFact};
use crate::load::{CarrierIx, ItemIx, MoveOrder, Required, RuleKind, Travel, Way, Ways};
use crate::quantity::Mass;

/// Per item and kit carrier: the ways it may take, as a bit per `Way`.
pub(super) fn may(order: &MoveOrder, carriers: &[CarrierFact]) -> Vec<u8> {
    let bits = |ways: Ways| ways.iter().fold(0u8, |bits, w| bits | 1 << w as u8);
    let bed = 1u8 << Way::Bed as u8;
    let mut may = Vec::with_capacity(order.catalogue().len() * carriers.len());
    for (_, item) in order.catalogue().items() {
        let alone = bits(item.ways) & !bed;
        may.extend(carriers.iter().map(|c| if c.person { alone } else { bed }));
    }
    let place = places(order, carriers);
    for rule in order.rules() {
        let RuleKind::KeepOff { items, carriers: off } = &rule.kind else { continue };
        for c in off.iter().filter_map(|c| place[c.0]) {
            items.iter().for_each(|i| may[i.0 * carriers.len() + c.0] = 0);
        }
    }
    may
}

/// Positions of kit carriers, by carrier of the move.
fn places(order: &MoveOrder, carriers: &[CarrierFact]) -> Vec<Option<KitIx>> {
    let mut place = vec![None; order.carriers().len()];
    carriers.iter().enumerate().for_each(|(c, f)| place[f.ix.0] = Some(KitIx(c)));
    place
}

/// Per item and kit carrier: whether it would be away from its keeper there,
/// on foot, in a party where somebody has the duty.
pub(super) fn away(order: &MoveOrder, carriers: &[CarrierFact]) -> Vec<bool> {
    let has = |c: CarrierIx, duty: &str| order.carrier(c).has_duty(duty);
    let mut away = Vec::with_capacity(order.catalogue().len() * carriers.len());
    for (_, item) in order.catalogue().items() {
        let Some(duty) = &item.keeper else {
            away.extend(carriers.iter().map(|_| false));
            continue;
        };
        let kept: Vec<bool> = order
            .parties()
            .iter()
            .map(|p| p.travel == Travel::Foot && p.who.iter().any(|c| has(*c, duty)))
            .collect();
        away.extend(carriers.iter().map(|c| !c.store && kept[c.party] && !has(c.ix, duty)));
    }
    away
}

pub(super) fn item_fact(order: &MoveOrder, i: ItemIx) -> ItemFact {
    let item = order.item(i);
    let inside: Vec<(usize, u32)> =
        order.catalogue().inside(i).iter().map(|(x, n)| (x.0, *n)).collect();
    let mut supplies: Vec<(usize, u64)> = Vec::new();
    for &(x, n) in &inside {
        for (s, a) in &order.item(ItemIx(x)).supplies {
            let add = a.base.saturating_mul(u64::from(n));
            match supplies.iter_mut().find(|(t, _)| *t == s.0) {
                Some((_, sum)) => *sum = sum.saturating_add(add),
                None => supplies.push((s.0, add)),
            }
        }
    }
    let deviation = |m: Mass| order.tolerance().map_or(0, |t| t.deviation(m).mg());
    ItemFact {
        mass: item.mass.mg(),
        bulk: item.bulk.ml(),
        held: item.held,
        hands: u32::from(item.hands),
        pair: [item.pair_burden(0).mg(), item.pair_burden(1).mg()],
        pair_even: item.pair_is_even(),
        deviation: deviation(item.mass),
        pair_deviation: [deviation(item.pair_burden(0)), deviation(item.pair_burden(1))],
        inside,
        supplies,
    }
}

pub(super) fn requirements(order: &MoveOrder) -> Vec<RequireFact> {
    let mut all: Vec<RequireFact> = Vec::new();
    for (i, item) in order.catalogue().items() {
        for r in &item.requires {
            let at = all.iter().position(|f| f.required == r.item.0).unwrap_or_else(|| {
                all.push(RequireFact { required: r.item.0, each: vec![], shared: vec![] });
                all.len() - 1
            });
            match r.count {
                Required::Each(n) => all[at].each.push((i.0, n)),
                Required::Shared => all[at].shared.push(i.0),
            }
        }
    }
    all
}
