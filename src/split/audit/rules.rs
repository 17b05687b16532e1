//! Rules on how things are spread, and requirements.

use super::{Counted, bearers};
use crate::load::{CarrierIx, ItemIx, PartyIx, Placement, Required, RuleKind};

pub(super) fn check(counted: &Counted, faults: &mut Vec<String>) {
    let order = counted.order;
    let id = |i: &ItemIx| order.item(*i).id.as_str();
    for rule in order.rules() {
        match &rule.kind {
            RuleKind::Apart { items } => {
                for c in outside(counted) {
                    let mine: Vec<&str> =
                        items.iter().filter(|i| counted.on(**i, c) > 0).map(id).collect();
                    if mine.len() > 1 {
                        let who = &order.carrier(c).id;
                        faults.push(format!("{who} has {} which go apart", mine.join(" and ")));
                    }
                }
            }
            RuleKind::Together { items } => {
                for p in (0..order.parties().len()).map(PartyIx).filter(|p| !counted.in_store(*p)) {
                    if !together(counted, items, p) {
                        let names: Vec<&str> = items.iter().map(id).collect();
                        faults.push(format!("{} are not together", names.join(" and ")));
                    }
                }
            }
            RuleKind::AtMost { count, items, carriers } => {
                for c in carriers {
                    let n: u64 = items.iter().map(|i| counted.on(*i, *c)).sum();
                    if n > u64::from(*count) {
                        let who = &order.carrier(*c).id;
                        faults.push(format!("{who} has {n} where at most {count} may be"));
                    }
                }
            }
            RuleKind::Fixed { item, count, carrier } => {
                let n = counted.on(*item, *carrier);
                if n < u64::from(*count) {
                    let who = &order.carrier(*carrier).id;
                    faults.push(format!("{who} has {n} of {}, not {count}", id(item)));
                }
            }
            // Checked with the placements and the limits.
            RuleKind::KeepOff { .. } | RuleKind::HandsFree { .. } | RuleKind::Reserve { .. } => {}
        }
    }
    for bring in order.brings() {
        let here = &counted.loose[bring.party.0];
        if bring.any.iter().all(|(item, count)| here[item.0] < u64::from(*count)) {
            let party = &order.party(bring.party).id;
            faults.push(format!("{party} brings too little of what the rest would need"));
        }
    }
    for p in (0..order.parties().len()).map(PartyIx).filter(|p| !counted.in_store(*p)) {
        requirements(counted, p, faults);
    }
}

fn outside<'a>(counted: &'a Counted) -> impl Iterator<Item = CarrierIx> + 'a {
    let parties = counted.order.parties().iter().enumerate();
    parties
        .filter(|(p, _)| !counted.in_store(PartyIx(*p)))
        .flat_map(|(_, party)| party.who.iter().copied())
}

/// Whether one carrier of the party has, or has an end of, all that goes.
fn together(counted: &Counted, items: &[ItemIx], party: PartyIx) -> bool {
    let here = |p: &&Placement| {
        items.contains(&p.item) && bearers(p.by).all(|c| counted.party[c.0] == Some(party))
    };
    let placed: Vec<&Placement> = counted.plan.placements().iter().filter(here).collect();
    let who = &counted.order.party(party).who;
    placed.is_empty() || who.iter().any(|c| placed.iter().all(|p| bearers(p.by).any(|b| b == *c)))
}

fn requirements(counted: &Counted, party: PartyIx, faults: &mut Vec<String>) {
    let order = counted.order;
    // Per required item: what each asks for, and whether one is to be shared.
    let mut asked = vec![(0u64, false); order.catalogue().len()];
    for (i, item) in order.catalogue().items().filter(|(_, item)| !item.requires.is_empty()) {
        let there = counted.there(i, party);
        for r in &item.requires {
            let (sum, shared) = &mut asked[r.item.0];
            match r.count {
                Required::Each(n) => {
                    *sum = sum.saturating_add(there.saturating_mul(u64::from(n)));
                }
                Required::Shared => *shared |= there > 0,
            }
        }
    }
    for (required, wanted) in order.catalogue().items() {
        let (sum, shared) = asked[required.0];
        let asked = sum.max(u64::from(shared));
        let there = counted.there(required, party);
        if there < asked {
            let (at, id) = (&order.party(party).id, &wanted.id);
            faults.push(format!("{at} has {there} of {id} where {asked} are required"));
        }
    }
}
