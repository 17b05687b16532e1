//! Every plan of a small move, tried one by one against the audit.

use tumpline::load::*;
use tumpline::split::{Findings, audit};

/// The most plans that are tried; moves with more are passed over.
const MOST: u128 = 60_000;

/// The ways to place every unit of one item.
fn choices(order: &MoveOrder, i: ItemIx) -> Vec<Vec<Placement>> {
    let item = order.item(i);
    let mut spots: Vec<Option<Bearer>> = Vec::new();
    match order.store() {
        None => spots.push(None),
        Some(p) => {
            let beds = order.party(p).who.iter().filter(|c| order.carrier(**c).vehicle().is_some());
            spots.extend(beds.map(|c| Some(Bearer::One { carrier: *c, way: Way::Bed })));
        }
    }
    for (p, party) in order.parties().iter().enumerate() {
        if order.is_store(PartyIx(p)) {
            continue;
        }
        for &c in &party.who {
            if order.carrier(c).vehicle().is_some() {
                spots.push(Some(Bearer::One { carrier: c, way: Way::Bed }));
                continue;
            }
            for way in Way::ALONE.into_iter().filter(|w| item.ways.has(*w)) {
                spots.push(Some(Bearer::One { carrier: c, way }));
            }
        }
        if item.ways.has(Way::Pair) {
            for &a in &party.who {
                for &b in &party.who {
                    if a != b && (a < b || item.pair_shares[0] != item.pair_shares[1]) {
                        spots.push(Some(Bearer::Pair { first: a, second: b }));
                    }
                }
            }
        }
    }
    // Multisets of spots, one for each unit held.
    let mut all: Vec<Vec<usize>> = vec![vec![]];
    for _ in 0..item.held {
        all = all
            .iter()
            .flat_map(|chosen| {
                let from = chosen.last().copied().unwrap_or(0);
                (from..spots.len()).map(move |s| [chosen.as_slice(), &[s]].concat())
            })
            .collect();
    }
    let place = |s: &usize| spots[*s].map(|by| Placement { by, item: i, count: 1 });
    all.iter().map(|chosen| chosen.iter().filter_map(place).collect()).collect()
}

/// Whether `a` is better than `b` by the goals in their order.
pub fn better(order: &MoveOrder, a: &Findings, b: &Findings) -> bool {
    for (x, y) in a.goals.iter().zip(&b.goals) {
        let less = |x: GoalValue, y: GoalValue| match (x, y) {
            (GoalValue::Points(x), GoalValue::Points(y)) => x > y,
            (GoalValue::Mass(x), GoalValue::Mass(y)) => x < y,
            (GoalValue::Share(x), GoalValue::Share(y)) => x < y,
            (GoalValue::Count(x), GoalValue::Count(y)) => x < y,
            _ => unreachable!("goals of {} differ in kind", order.name()),
        };
        if less(x.1, y.1) {
            return true;
        }
        if less(y.1, x.1) {
            return false;
        }
    }
    false
}

/// The best plan's findings; `Ok(None)` if no plan passes the audit, `Err` if
/// there are too many to try.
pub fn best(order: &MoveOrder) -> Result<Option<Findings>, u128> {
    best_of(order, |_, _| true)
}

/// The best of the plans that `keep` keeps.
pub fn best_of(
    order: &MoveOrder,
    mut keep: impl FnMut(&Plan, &Findings) -> bool,
) -> Result<Option<Findings>, u128> {
    let mut best: Option<Findings> = None;
    each(order, MOST, |plan, findings| {
        let good = findings.faults.is_empty() && keep(plan, &findings);
        if good && best.as_ref().is_none_or(|b| better(order, &findings, b)) {
            best = Some(findings);
        }
        false
    })?;
    Ok(best)
}

/// Shows the findings of every plan that passes the audit; `Err` if there are
/// too many to try.
pub fn every(order: &MoveOrder, mut show: impl FnMut(Findings)) -> Result<(), u128> {
    each(order, MOST, |_, findings| {
        if findings.faults.is_empty() {
            show(findings);
        }
        false
    })
    .map(|_| ())
}

/// Whether some plan passes the audit; `Err` if there are more than `most`.
pub fn any(order: &MoveOrder, most: u128) -> Result<bool, u128> {
    each(order, most, |_, findings| findings.faults.is_empty())
}

/// Shows every plan and its findings until one is enough; whether one was.
fn each(
    order: &MoveOrder,
    most: u128,
    mut enough: impl FnMut(&Plan, Findings) -> bool,
) -> Result<bool, u128> {
    let per_item: Vec<Vec<Vec<Placement>>> =
        order.catalogue().items().map(|(i, _)| choices(order, i)).collect();
    let plans = per_item.iter().fold(1u128, |n, c| n.saturating_mul(c.len() as u128));
    if plans > most {
        return Err(plans);
    }
    let mut at = vec![0usize; per_item.len()];
    loop {
        let placements = at.iter().zip(&per_item).flat_map(|(k, c)| c[*k].clone()).collect();
        let plan = Plan::new(placements);
        let findings = audit(order, &plan);
        if enough(&plan, findings) {
            return Ok(true);
        }
        let mut k = 0;
        loop {
            if k == at.len() {
                return Ok(false);
            }
            at[k] += 1;
            if at[k] < per_item[k].len() {
                break;
            }
            at[k] = 0;
            k += 1;
        }
    }
}
