//! Rules on how things are spread, and requirements.

use super::{Counted, bearers};
use crate::fault::Fault;
use crate::load::{CarrierIx, ItemIx, PartyIx, Placement, Required, RuleIx, RuleKind};

pub(super) fn check(counted: &Counted, faults: &mut Vec<Fault>) {
    let order = counted.order;
    for (rule, r) in order.rules().iter().enumerate() {
        let mut broken = |carrier, party, items: &[ItemIx], count| {
            let (rule, items) = (RuleIx(rule), items.to_vec());
            faults.push(Fault::Rule { rule, carrier, party, items, count });
        };
        match &r.kind {
            RuleKind::Apart { items } => {
                for c in outside(counted) {
                    let mine = items.iter().copied().filter(|i| counted.on(*i, c) > 0);
                    let mine: Vec<ItemIx> = mine.collect();
                    if mine.len() > 1 {
                        broken(Some(c), None, &mine, None);
                    }
                }
            }
            RuleKind::Together { items } => {
                for p in (0..order.parties().len()).map(PartyIx).filter(|p| !counted.in_store(*p)) {
                    if !together(counted, items, p) {
                        broken(None, Some(p), items, None);
                    }
                }
            }
            RuleKind::AtMost { count, items, carriers } => {
                for c in carriers {
                    let n: u64 = items.iter().map(|i| counted.on(*i, *c)).sum();
                    if n > u64::from(*count) {
                        broken(Some(*c), None, items, Some(n));
                    }
                }
            }
            RuleKind::Fixed { item, count, carrier } => {
                let n = counted.on(*item, *carrier);
                if n < u64::from(*count) {
                    broken(Some(*carrier), None, &[*item], Some(n));
                }
            }
            // Checked with the placements and the limits.
            RuleKind::KeepOff { .. } | RuleKind::HandsFree { .. } | RuleKind::Reserve { .. } => {}
        }
    }
    for bring in order.brings() {
        let here = &counted.loose[bring.party.0];
        if bring.any.iter().all(|(item, count)| here[item.0] < u64::from(*count)) {
            faults.push(Fault::Brings { party: bring.party, any: bring.any.clone() });
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

fn requirements(counted: &Counted, party: PartyIx, faults: &mut Vec<Fault>) {
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
    for (item, _) in order.catalogue().items() {
        let (sum, shared) = asked[item.0];
        let asked = sum.max(u64::from(shared));
        let there = counted.there(item, party);
        if there < asked {
            faults.push(Fault::Requires { party, item, there, asked });
        }
    }
}
