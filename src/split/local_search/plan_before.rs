//! The plan before as a state to start from: all that is still possible stays
//! where it is, and the local search repairs the rest.

use super::state::{Spot, State, Step};
use crate::facts::{Facts, KitIx};
use crate::load::{Bearer, CarrierIx, Way};
use crate::pins::Pins;

/// `None` if there was no plan before.
pub(crate) fn from_plan_before<'f, 'o>(facts: &'f Facts<'o>, pins: &Pins) -> Option<State<'f, 'o>> {
    let before = facts.order.before()?;
    let mut state = State::new(facts, pins.clone());
    state.hold_parties();
    let at = |ix: CarrierIx| facts.carriers.iter().position(|f| f.ix == ix && !f.store).map(KitIx);
    for p in before.plan.placements().iter().filter(|p| p.item.0 < facts.items.len()) {
        let item = p.item.0;
        for _ in 0..p.count.min(state.left(item)) {
            let to = match p.by {
                Bearer::One { carrier, way } => at(carrier).and_then(|c| {
                    let liked = Some(way).filter(|w| facts.may(item, c, *w));
                    state.way_to(item, c, liked).map(|w| Spot::One(c, w))
                }),
                Bearer::Pair { first, second } => at(first).zip(at(second)).and_then(|(a, b)| {
                    let together = a != b && facts.carriers[a].party == facts.carriers[b].party;
                    let may = |c| facts.may(item, c, Way::Pair);
                    (together && may(a) && may(b)).then_some(Spot::Pair(a, b))
                }),
            };
            let Some(to) = to else { break };
            state.make(&[Step { item, from: None, to: Some(to) }]);
        }
    }
    state.refresh();
    Some(state)
}
