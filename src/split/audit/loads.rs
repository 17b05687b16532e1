//! Masses, bulk, ways, hands and pairs.

use super::{Counted, bearers};
use crate::fault::Fault;
use crate::findings::{CarrierFinding, Line};
use crate::load::{
    Bearer, Carrier, CarrierIx, ItemIx, PartyIx, Placement, Reserve, Riding, RuleIx, RuleKind,
    Travel, Way,
};
use crate::quantity::{Bulk, Mass, Percent};

pub(super) fn carriers(counted: &Counted, faults: &mut Vec<Fault>) -> Vec<CarrierFinding> {
    for p in counted.plan.placements() {
        allowed(counted, p, faults);
    }
    let order = counted.order;
    let mut found = Vec::new();
    for (p, party) in order.parties().iter().enumerate() {
        for &c in &party.who {
            let finding = one(counted, PartyIx(p), c);
            // Somebody who rides bears nothing: the seat and the bed do.
            if party.travel == Travel::Foot || order.carrier(c).vehicle().is_some() {
                limits(order.carrier(c), &finding, faults);
                people_limits(counted, c, &finding, faults);
            }
            found.push(finding);
        }
    }
    found
}

/// Whether a placement is of a kind that the move allows.
fn allowed(counted: &Counted, p: &Placement, faults: &mut Vec<Fault>) {
    let order = counted.order;
    let (item, ways) = (p.item, order.item(p.item).ways);
    let party_of = |c: CarrierIx| counted.party.get(c.0).copied().flatten();
    match p.by {
        Bearer::One { carrier, way } => {
            // With nobody of a party: reported already.
            let Some(party) = party_of(carrier) else { return };
            match &order.carrier(carrier).riding {
                Riding::Vehicle(_) if way == Way::Bed => {}
                Riding::Vehicle(_) => faults.push(Fault::BedOnly { item, carrier }),
                Riding::Person(_) if order.party(party).travel == Travel::Vehicle => {
                    faults.push(Fault::Rider { item, carrier });
                }
                Riding::Person(_) => {
                    if way == Way::Bed || way == Way::Pair || !ways.has(way) {
                        faults.push(Fault::Way { item, carrier, way });
                    }
                }
            }
        }
        Bearer::Pair { first: carrier, second: with } => {
            let (a, b) = (party_of(carrier), party_of(with));
            if carrier == with || a != b {
                faults.push(Fault::PairParty { item, carrier, with });
            }
            let on_foot = a.is_some_and(|p| order.party(p).travel == Travel::Foot);
            let people = [carrier, with].iter().all(|c| order.carrier(*c).person().is_some());
            if !on_foot || !people {
                faults.push(Fault::PairFoot { item, carrier, with });
            }
            if !ways.has(Way::Pair) {
                faults.push(Fault::PairWay { item, carrier, with });
            }
            if p.count != 1 {
                faults.push(Fault::PairCount { item, carrier, with });
            }
        }
    }
    for c in bearers(p.by) {
        let off = order.rules().iter().position(|r| match &r.kind {
            RuleKind::KeepOff { items, carriers } => items.contains(&item) && carriers.contains(&c),
            _ => false,
        });
        faults.extend(off.map(|rule| Fault::Rule {
            rule: RuleIx(rule),
            carrier: Some(c),
            party: None,
            items: vec![item],
            count: None,
        }));
    }
}

fn one(counted: &Counted, party: PartyIx, c: CarrierIx) -> CarrierFinding {
    let order = counted.order;
    let carrier = order.carrier(c);
    let mut lines = Vec::new();
    let (mut bulk, mut hands_used) = (Bulk::ZERO, 0u32);
    for p in &counted.borne[c.0] {
        let item = order.item(p.item);
        match p.by {
            Bearer::One { carrier, way } if carrier == c => {
                if matches!(way, Way::Back | Way::Bed) {
                    bulk += item.bulk * p.count;
                }
                if way == Way::Hand {
                    hands_used =
                        hands_used.saturating_add(u32::from(item.hands).saturating_mul(p.count));
                }
                let mass = item.mass * p.count;
                lines.push(Line { item: p.item, count: p.count, way, with: None, mass });
            }
            Bearer::Pair { first, second } if first == c || second == c => {
                hands_used = hands_used.saturating_add(p.count);
                let (end, other) = if first == c { (0, second) } else { (1, first) };
                let mass = share_of(item.mass, item.pair_shares[end]) * p.count;
                let with = Some(other);
                lines.push(Line { item: p.item, count: p.count, way: Way::Pair, with, mass });
            }
            _ => {}
        }
    }
    lines.sort_by_key(|l| (l.way, l.item));
    let burden = burden(counted, party, c);
    let limit = match &carrier.riding {
        Riding::Person(p) => p.limit,
        Riding::Vehicle(v) => v.payload,
    };
    let load = lines.iter().fold(burden, |sum, l| sum + l.mass);
    CarrierFinding {
        carrier: c,
        party,
        burden,
        load,
        limit,
        usable: limit.saturating_sub(reserved(counted, c, limit)),
        bulk,
        room: match &carrier.riding {
            Riding::Person(p) => p.pack,
            Riding::Vehicle(v) => v.bed,
        },
        hands_used,
        hands: carrier.person().map_or(0, |p| p.slots.hand),
        worst: worst(counted, c, load),
        lines,
    }
}

/// The load if those kinds weigh more than the catalogue says that add the
/// most, as many as may at once: worked out from the placements by itself.
fn worst(counted: &Counted, c: CarrierIx, load: Mass) -> Option<Mass> {
    let tolerance = counted.order.tolerance()?;
    let mut more: Vec<(ItemIx, Mass)> = Vec::new();
    for p in &counted.borne[c.0] {
        let item = counted.order.item(p.item);
        let each = match p.by {
            Bearer::One { .. } => item.mass,
            Bearer::Pair { first, .. } => {
                share_of(item.mass, item.pair_shares[usize::from(first != c)])
            }
        };
        let off = share_of(each, tolerance.share) * p.count;
        match more.iter_mut().find(|(i, _)| *i == p.item) {
            Some((_, sum)) => *sum += off,
            None => more.push((p.item, off)),
        }
    }
    more.sort_by_key(|(_, mass)| std::cmp::Reverse(*mass));
    let off = tolerance.off.map_or(usize::MAX, |n| n as usize);
    Some(more.into_iter().take(off).fold(load, |sum, (_, mass)| sum + mass))
}

/// A share of a mass, rounded up to a whole milligram.
fn share_of(mass: Mass, share: Percent) -> Mass {
    let mg = (u128::from(mass.mg()) * u128::from(share.ppm())).div_ceil(1_000_000);
    Mass::from_mg(u64::try_from(mg).unwrap_or(u64::MAX))
}

fn burden(counted: &Counted, party: PartyIx, c: CarrierIx) -> Mass {
    let order = counted.order;
    match &order.carrier(c).riding {
        Riding::Person(p) => p.worn,
        Riding::Vehicle(_) => {
            let aboard = order.party(party).aboard.iter().filter(|(_, v)| *v == c);
            aboard
                .filter_map(|(who, _)| order.carrier(*who).person())
                .map(|p| p.worn + p.body_mass.unwrap_or(Mass::ZERO))
                .sum()
        }
    }
}

fn reserved(counted: &Counted, c: CarrierIx, limit: Mass) -> Mass {
    let mut sum = Mass::ZERO;
    for rule in counted.order.rules() {
        if let RuleKind::Reserve { reserve, carriers } = &rule.kind
            && carriers.contains(&c)
        {
            sum += match reserve {
                Reserve::Mass(m) => *m,
                Reserve::Share(p) => share_of(limit, *p),
            };
        }
    }
    sum
}

fn limits(carrier: &Carrier, f: &CarrierFinding, faults: &mut Vec<Fault>) {
    let &CarrierFinding { carrier: c, load, limit, usable, bulk, .. } = f;
    if load > limit {
        faults.push(Fault::OverLimit { carrier: c, load, limit });
    } else if load > usable {
        faults.push(Fault::IntoReserve { carrier: c, load, usable });
    }
    if let Some(worst) = f.worst
        && load <= usable
        && worst > usable
    {
        faults.push(Fault::OverAtWorst { carrier: c, worst, usable });
    }
    if let Some(room) = f.room
        && bulk > room
    {
        faults.push(match &carrier.riding {
            Riding::Person(_) => Fault::PackTooFull { carrier: c, bulk, room },
            Riding::Vehicle(_) => Fault::BedTooFull { carrier: c, bulk, room },
        });
    }
}

fn people_limits(counted: &Counted, c: CarrierIx, f: &CarrierFinding, faults: &mut Vec<Fault>) {
    let Some(person) = counted.order.carrier(c).person() else { return };
    for way in [Way::Back, Way::Chest, Way::Shoulder, Way::Belt] {
        let count: u32 =
            f.lines.iter().filter(|l| l.way == way).map(|l| l.count).fold(0, u32::saturating_add);
        if let Some(most) = person.slots.of(way).filter(|most| count > *most) {
            faults.push(Fault::Slots { carrier: c, way, count, most });
        }
    }
    let pairs: u32 = f.lines.iter().filter(|l| l.way == Way::Pair).map(|l| l.count).sum();
    if pairs > 1 {
        faults.push(Fault::Pairs { carrier: c, count: pairs });
    }
    let keep = counted.order.rules().iter().filter_map(|r| match &r.kind {
        RuleKind::HandsFree { hands, carriers } if carriers.contains(&c) => Some(*hands),
        _ => None,
    });
    let keep = keep.max().unwrap_or(0);
    let (used, hands) = (f.hands_used, f.hands);
    if used > 0 && used.saturating_add(keep) > hands {
        faults.push(match keep {
            0 => Fault::Hands { carrier: c, used, hands },
            keep => Fault::HandsFree { carrier: c, used, hands, keep },
        });
    }
}
