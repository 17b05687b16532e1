//! Shares of limits as whole milligrams.

use super::bearers;
use crate::ask::vary;
use crate::load::{CarrierIx, MoveOrder, Reserve, Riding, Rule, RuleKind, Share, Way};
use crate::quantity::{Mass, Percent};

/// The largest load whose share of the limit is strictly below `share`; `None`
/// if even a load of nothing is not.
pub(super) fn below(share: Share, limit: Mass) -> Option<Mass> {
    let product = u128::from(share.load.mg()) * u128::from(limit.mg());
    // load / limit < s / t, that is load · t < s · limit.
    let under = u128::from(share.limit.mg().max(1));
    if share.load == Mass::ZERO {
        return None;
    }
    let mg = product.saturating_sub(1) / under;
    Some(Mass::from_mg(u64::try_from(mg).unwrap_or(u64::MAX)))
}

/// The largest load whose share of the limit is at most `share`.
pub(super) fn at(share: Share, limit: Mass) -> Mass {
    let product = u128::from(share.load.mg()) * u128::from(limit.mg());
    let mg = product / u128::from(share.limit.mg().max(1));
    Mass::from_mg(u64::try_from(mg).unwrap_or(u64::MAX))
}

/// None of those whose share counts bears more than `most` gives: beside what
/// rules hold back, not on top. Rounded down to what a load can be, so that a
/// limit is not a milligram off a load, which the solver's floats cannot
/// distinguish.
pub(super) fn capped(order: &MoveOrder, most: impl Fn(CarrierIx) -> Mass) -> MoveOrder {
    let mut rules = Vec::new();
    let grain = grain(order);
    for c in bearers(order) {
        let (usable, most, burden) = (order.usable_limit(c), most(c), order.burden(c));
        let most = match most.mg().checked_sub(burden.mg()) {
            Some(kit) => Mass::from_mg(burden.mg() + kit / grain * grain),
            None => most,
        };
        if most < usable {
            let kind =
                RuleKind::Reserve { reserve: Reserve::Mass(usable - most), carriers: vec![c] };
            rules.push(Rule { kind, place: None });
        }
    }
    vary::changed(order, |parts| parts.rules.extend(rules))
}

/// Every load of kit is a multiple of this, in mg.
fn grain(order: &MoveOrder) -> u64 {
    let mut grain = 0;
    for (_, item) in order.catalogue().items().filter(|(_, i)| i.held > 0) {
        grain = gcd(grain, item.mass.mg());
        if item.ways.has(Way::Pair) {
            grain = [0, 1].iter().fold(grain, |g, end| gcd(g, item.pair_burden(*end).mg()));
        }
    }
    grain.max(1)
}

fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b > 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// The same move for people who may bear up to `most` of their limits: limits
/// are doubled, so that shares stay whole, and what rules hold back is put on
/// the people themselves, so that it stays free whatever the share.
pub(super) fn raised(order: &MoveOrder, most: Percent) -> MoveOrder {
    let people = vary::walkers(order);
    let nobody =
        |r: &Rule| matches!(&r.kind, RuleKind::Reserve { carriers, .. } if carriers.is_empty());
    let raised = vary::changed(order, |parts| {
        for c in &people {
            let kept = order.carrier(*c).limit() - order.usable_limit(*c);
            let carrier = &mut parts.carriers[c.0];
            vary::set_limit(carrier, carrier.limit() * 2);
            if let Riding::Person(p) = &mut carrier.riding {
                p.worn += kept;
            }
        }
        for rule in &mut parts.rules {
            if let RuleKind::Reserve { carriers, .. } = &mut rule.kind {
                carriers.retain(|c| !people.contains(c));
            }
        }
        parts.rules.retain(|r| !nobody(r));
    });
    capped(&raised, |c| most.of_mass_down(order.carrier(c).limit()))
}

/// A share of doubled limits as one of the limits themselves.
pub(super) fn doubled(share: Share) -> Share {
    Share { load: share.load * 2, ..share }
}

pub(super) fn whole() -> Share {
    Share { load: Mass::from_mg(1), limit: Mass::from_mg(1) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn below_is_the_last_milligram_below() {
        let share = |load, limit| Share { load: Mass::from_mg(load), limit: Mass::from_mg(limit) };
        let numbers = [1, 2, 3, 7, 10, 999, 25_200_000, 26_600_001];
        for (load, whole) in numbers.iter().flat_map(|l| numbers.iter().map(move |w| (*l, *w))) {
            for limit in numbers {
                let s = share(load, whole);
                let most = below(s, Mass::from_mg(limit)).expect("there is a load");
                let of = |mg: u64| share(mg, limit);
                // Where not even nothing is below, nothing is what is given.
                assert!(of(most.mg()) < s, "{load}/{whole} of {limit}: {most:?}");
                assert!(of(most.mg() + 1) >= s, "{load}/{whole} of {limit}: {most:?}");
                let most = at(s, Mass::from_mg(limit));
                assert!(of(most.mg()) <= s && of(most.mg() + 1) > s);
            }
        }
        assert_eq!(below(Share::ZERO, Mass::from_mg(5)), None);
    }
}
