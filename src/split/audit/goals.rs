//! What the plan is worth, goal by goal.

use super::{Counted, bearers};
use crate::findings::CarrierFinding;
use crate::load::{CarrierIx, GoalKind, GoalValue, PartyIx, Share, Travel};
use crate::quantity::Mass;
use std::collections::BTreeMap;

pub(super) struct Sums {
    pub wants: Vec<u32>,
    pub value: u64,
    pub carried: Mass,
    pub peak: Share,
    pub goals: Vec<(GoalKind, GoalValue)>,
}

pub(super) fn sums(counted: &Counted, carriers: &[CarrierFinding]) -> Sums {
    let order = counted.order;
    let wants: Vec<u32> = order
        .wants()
        .iter()
        .map(|w| counted.there(w.item, w.party).min(u64::from(w.up_to)) as u32)
        .collect();
    let value = order
        .wants()
        .iter()
        .zip(&wants)
        .fold(0u64, |sum, (w, n)| sum.saturating_add(u64::from(w.value) * u64::from(*n)));
    let carried = counted
        .plan
        .placements()
        .iter()
        .filter(|p| bearers(p.by).all(|c| counted.party[c.0] != order.store()))
        .map(|p| order.item(p.item).mass * p.count)
        .sum();
    let peak = peak(counted, carriers);
    let keeper = misplaced(counted);
    let hands: u64 = carriers.iter().map(|f| u64::from(f.hands_used)).sum();
    let changes = changed(counted);
    let value_of = |kind| match kind {
        GoalKind::Wants => GoalValue::Points(value),
        GoalKind::Lightest => GoalValue::Mass(carried),
        GoalKind::Even => GoalValue::Share(peak),
        GoalKind::Keeper => GoalValue::Count(keeper),
        GoalKind::Hands => GoalValue::Count(hands),
        GoalKind::Changes => GoalValue::Count(changes),
    };
    let goals = order.goals().iter().map(|g| (g.kind, value_of(g.kind))).collect();
    Sums { wants, value, carried, peak, goals }
}

/// Over the people on foot outside the store; over the vehicles outside it if
/// there are no such people.
fn peak(counted: &Counted, carriers: &[CarrierFinding]) -> Share {
    let order = counted.order;
    let outside = || carriers.iter().filter(|f| !counted.in_store(f.party));
    let walks = |f: &&CarrierFinding| {
        order.party(f.party).travel == Travel::Foot && order.carrier(f.carrier).person().is_some()
    };
    let drives = |f: &&CarrierFinding| order.carrier(f.carrier).vehicle().is_some();
    let share = |f: &CarrierFinding| Share { load: f.load, limit: f.limit };
    let walking: Vec<Share> = outside().filter(walks).map(share).collect();
    if walking.is_empty() {
        return outside().filter(drives).map(share).max().unwrap_or(Share::ZERO);
    }
    walking.into_iter().max().unwrap_or(Share::ZERO)
}

/// Units on foot away from everybody who has the duty of their keeper.
fn misplaced(counted: &Counted) -> u64 {
    let order = counted.order;
    let mut units = 0;
    for p in counted.plan.placements() {
        let Some(duty) = &order.item(p.item).keeper else { continue };
        let party = bearers(p.by).next().and_then(|c| counted.party[c.0]);
        let Some(at): Option<PartyIx> = party else { continue };
        let here = order.party(at);
        let somebody = here.who.iter().any(|c| order.carrier(*c).has_duty(duty));
        let kept = bearers(p.by).any(|c| order.carrier(c).has_duty(duty));
        if here.travel == Travel::Foot && !counted.in_store(at) && somebody && !kept {
            units += u64::from(p.count);
        }
    }
    units
}

/// Units that somebody outside the store has and had not by the plan before,
/// and units that stay and had not stayed.
fn changed(counted: &Counted) -> u64 {
    let order = counted.order;
    let Some(before) = order.before() else { return 0 };
    let stored = |c: CarrierIx| order.store().is_some() && counted.party[c.0] == order.store();
    // Who takes kit: people on foot, and vehicles, of parties but the store.
    let takes = |c: CarrierIx| {
        counted.party[c.0].is_some_and(|p| {
            let walks = order.party(p).travel == Travel::Foot;
            !counted.in_store(p) && (walks || order.carrier(c).vehicle().is_some())
        })
    };
    let mut on: BTreeMap<(usize, CarrierIx), [u64; 2]> = BTreeMap::new();
    let mut away = vec![[0u64; 2]; order.catalogue().len()];
    for (k, plan) in [&before.plan, counted.plan].into_iter().enumerate() {
        for p in plan.placements() {
            let known = p.item.0 < away.len() && bearers(p.by).all(|c| c.0 < counted.party.len());
            if !known || bearers(p.by).next().is_some_and(stored) {
                continue;
            }
            away[p.item.0][k] += u64::from(p.count);
            for c in bearers(p.by).filter(|c| takes(*c)) {
                on.entry((p.item.0, c)).or_default()[k] += u64::from(p.count);
            }
        }
    }
    before.astray.iter().for_each(|(i, n)| away[i.0][0] += u64::from(*n));
    let gained: u64 = on.values().map(|[had, has]| has.saturating_sub(*had)).sum();
    let stays = order.catalogue().items().map(|(i, item)| {
        let rest = |k: usize| u64::from(item.held).saturating_sub(away[i.0][k]);
        rest(1).saturating_sub(rest(0))
    });
    gained + stays.sum::<u64>()
}
