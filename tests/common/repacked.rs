//! Small random moves that people have packed for already.

use super::random_move::{Random, small};
use tumpline::load::*;
use tumpline::quantity::*;

/// A small move that people have packed for already, by another plan: things
/// change hands as few times as can be, before, between or after the other
/// goals. Now and then somebody has dropped out, is not known any more, or
/// some of a supply was used up.
pub fn repacked(seed: u64) -> MoveOrder {
    let mut order = small(seed);
    let mut r = Random(seed ^ 0x5eed_0000);
    let people = order.carriers().iter().filter(|c| c.person().is_some()).count();
    let out = CarrierIx(r.below(people as u64) as usize);
    if r.chance(40)
        && let Some(without) = tumpline::ask::vary::without_carrier(&order, out)
    {
        order = without;
    }
    let mut placements = Vec::new();
    let mut astray = Vec::new();
    for (i, item) in order.catalogue().items() {
        for _ in 0..r.between(0, u64::from(item.held) + 1) {
            let first = CarrierIx(r.below(order.carriers().len() as u64) as usize);
            let second = CarrierIx(r.below(people as u64) as usize);
            let pair = item.ways.has(Way::Pair) && r.chance(50) && first != second;
            let ways: Vec<Way> = item.ways.iter().filter(|w| *w != Way::Pair).collect();
            let by = match (order.carrier(first).person(), ways.is_empty()) {
                (None, _) => Bearer::One { carrier: first, way: Way::Bed },
                (Some(_), false) if !pair => Bearer::One { carrier: first, way: r.pick(&ways) },
                _ if pair && order.party_of(first) == order.party_of(second) => {
                    Bearer::Pair { first, second }
                }
                _ => continue,
            };
            if r.chance(8) {
                astray.push((i, 1));
            } else {
                placements.push(Placement { by, item: i, count: 1 });
            }
        }
    }
    let spent = r.chance(30).then(|| (PartyIx(0), SupplyIx(0), r.between(1, 60) * 1000));
    let at = if r.chance(60) { 0 } else { r.below(6) as usize };
    let changed = order.changed(|parts| {
        parts.spent.extend(spent);
        parts.before = Some(Before { plan: Plan::new(placements), astray });
        parts.goals.insert(at, Goal { kind: GoalKind::Changes, give: Percent::ZERO });
    });
    changed.expect("a move")
}
