//! Consumption of a supply over the time of a demand, computed once.
//!
//! A use by rate is seldom a whole number of base units, and only the sum of a
//! party's demands is rounded up. So uses are kept as whole numbers of parts of
//! a base unit, as many parts as make all uses of a supply whole.

use super::Facts;
use crate::load::{Demand, ItemIx, NeedNode, PartyIx, SupplyIx, Use};
use crate::quantity::{ExactSum, Span};

/// Parts of a base unit at most, so that sums stay within 128 bits. Periods that
/// would need more have uses rounded up to such a part: then the search asks for
/// less than a millionth of a millionth of a base unit too much.
const MOST_PARTS: u64 = 1 << 40;

/// The uses of one supply in one time.
#[derive(Debug, Clone)]
pub(crate) struct Consumption {
    supply: SupplyIx,
    time: Option<Span>,
    /// What one of each item that uses it uses, contents included, in parts.
    pub items: Vec<(usize, u128)>,
    /// What the people of each party use, in parts.
    pub people: Vec<u128>,
}

impl<'a> Facts<'a> {
    /// The parts of each supply, and all uses.
    pub(super) fn consumptions(&self) -> (Vec<u64>, Vec<Consumption>) {
        let mut demands = Vec::new();
        self.order.needs().iter().for_each(|n| take(&n.node, &mut demands));
        let mut all: Vec<Consumption> = Vec::new();
        let mut parts = vec![1u64; self.users.len()];
        for d in &demands {
            for (_, below) in self.all_uses(d.supply).filter_map(|u| used(u, d.time)) {
                let here = &mut parts[d.supply.0];
                let both = u128::from(*here) / gcd((*here).into(), below) * below;
                *here = u64::try_from(both).unwrap_or(u64::MAX).min(MOST_PARTS);
            }
        }
        for d in demands {
            if all.iter().any(|k| k.is_for(d)) {
                continue;
            }
            let parts = u128::from(parts[d.supply.0]);
            let whole = |(above, below): (u128, u128)| above.saturating_mul(parts).div_ceil(below);
            let sum = |uses: &[(SupplyIx, Use)]| {
                let mine = uses.iter().filter(|(s, _)| *s == d.supply);
                let each = mine.filter_map(|(_, u)| used(u, d.time)).map(whole);
                each.fold(0, u128::saturating_add)
            };
            let of = |i: &usize| {
                let inside = self.items[*i].inside.iter();
                let each = inside
                    .map(|&(x, n)| sum(&self.order.item(ItemIx(x)).uses).saturating_mul(n.into()));
                (*i, each.fold(0, u128::saturating_add))
            };
            let items = self.users[d.supply.0].iter().map(of).filter(|u| u.1 > 0).collect();
            let by = |p| self.uses_of_people(p).map(&sum).fold(0, u128::saturating_add);
            let people = (0..self.by_party.len()).map(by).collect();
            all.push(Consumption { supply: d.supply, time: d.time, items, people });
        }
        (parts, all)
    }

    /// The uses that the demand covers.
    pub fn consumption(&self, d: &Demand) -> Option<&Consumption> {
        self.consumptions.iter().find(|k| k.is_for(d))
    }

    /// What a party's demands on one supply ask for at least, what was used up
    /// of it aside: what items use comes on top.
    pub fn least_demand(&self, party: usize, demands: &[&Demand]) -> u64 {
        let mut sum = ExactSum::default();
        for d in demands {
            let times = u128::from(1_000_000 + d.slack.ppm());
            let each = d.per_person.map_or(0, |a| u128::from(a.base));
            let own =
                d.amount.map_or(0, |a| u128::from(a.base)) + each * u128::from(self.people[party]);
            sum.add(own * times, 1_000_000);
            for (_, u) in self.uses_of_people(party).flatten().filter(|(s, _)| *s == d.supply) {
                let Some((above, below)) = used(u, d.time) else { continue };
                // A period has less than 2^27 seconds.
                sum.add(above.saturating_mul(times), below as u64 * 1_000_000);
            }
        }
        let spent = demands.first().map_or(0, |d| self.order.spent_of(PartyIx(party), d.supply));
        sum.ceil().saturating_sub(spent)
    }

    fn uses_of_people(&self, party: usize) -> impl Iterator<Item = &'a [(SupplyIx, Use)]> {
        let order = self.order;
        let who = order.parties()[party].who.iter();
        who.filter_map(|c| order.carrier(*c).person()).map(|p| p.uses.as_slice())
    }

    fn all_uses(&self, supply: SupplyIx) -> impl Iterator<Item = &'a Use> {
        let items = self.order.catalogue().items().flat_map(|(_, item)| &item.uses);
        let people = (0..self.by_party.len()).flat_map(|p| self.uses_of_people(p)).flatten();
        items.chain(people).filter(move |(s, _)| *s == supply).map(|(_, u)| u)
    }
}

impl Consumption {
    fn is_for(&self, d: &Demand) -> bool {
        self.supply == d.supply && self.time == d.time
    }
}

/// What it comes to in base units, in lowest terms: (numerator, denominator).
fn used(u: &Use, time: Option<Span>) -> Option<(u128, u128)> {
    match (u, time) {
        (Use::Once(a), _) => Some((a.base.into(), 1)),
        (Use::Over(r), Some(t)) => {
            let (above, below) = (r.numerator(t), u128::from(r.per.s().max(1)));
            let common = gcd(below, above);
            Some((above / common, below / common))
        }
        (Use::Over(_), None) => None,
    }
}

/// Of two numbers of which the first is not zero.
fn gcd(a: u128, b: u128) -> u128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn take<'n>(node: &'n NeedNode, demands: &mut Vec<&'n Demand>) {
    match node {
        NeedNode::Item { .. } => {}
        NeedNode::Supply(d) => demands.push(d),
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter().for_each(|n| take(n, demands));
        }
    }
}
