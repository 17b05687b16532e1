//! A move split again after something changed (reoptimisation), with the fewest
//! changes of hands from what people have packed: somebody drops out, some of a
//! supply is used up, the scales say otherwise than the catalogue, or the move
//! itself changed.

use super::hand_overs::{HandOver, hand_overs};
use super::used::{self, Used, UsedTooMuch, UsedUp};
use super::{Oracle, vary};
use crate::load::{
    Before, CarrierIx, Goal, GoalKind, ItemIx, MoveOrder, Packed, PartyIx, Plan, Travel,
};
use crate::quantity::{Mass, Percent};
use crate::split::{Answer, Outcome, audit};

/// What changed.
#[derive(Debug, Clone, Default)]
pub struct Changed {
    /// The plan that people have packed; without one, that of the move as it
    /// stands is taken.
    pub packed: Option<Packed>,
    /// People who drop out, of parties on foot where somebody stays.
    pub without: Vec<CarrierIx>,
    /// What was used up since people packed.
    pub used: Vec<Used>,
    /// What things weigh, whatever the catalogue says.
    pub weighed: Option<Vec<(ItemIx, Mass)>>,
}

/// The move after the change, the answer, and what changes hands.
#[derive(Debug)]
pub struct Replanned {
    /// The move as it is now.
    pub order: MoveOrder,
    /// What the optimiser found of it.
    pub answer: Answer,
    /// There was no plan before, so there is none to change: the answer is
    /// that of the move as it stood.
    pub no_base: bool,
    /// Whether the plan before was given, not made.
    pub given: bool,
    /// What people had before, with what was used up gone from it.
    pub packed: Packed,
    /// Who drops out.
    pub without: Vec<CarrierIx>,
    /// What was used up, and whose it was.
    pub used: Vec<UsedUp>,
    /// From the plan before to the plan of the answer, if it has one.
    pub hand_overs: Vec<HandOver>,
    /// Units that there were, carried or left, and are no more; those used up
    /// not among them.
    pub gone: Vec<(ItemIx, u64)>,
    /// Units that there are now and were not.
    pub fresh: Vec<(ItemIx, u64)>,
    /// What the scales change, if things were weighed.
    pub weighed: Option<WeighedFound>,
}

impl Replanned {
    /// Units that change hands.
    pub fn units(&self) -> u64 {
        self.hand_overs.iter().map(|h| u64::from(h.count)).sum()
    }
}

/// What the scales change.
#[derive(Debug, Clone)]
pub struct WeighedFound {
    /// (item, by the catalogue, by the scales), where they differ.
    pub differ: Vec<(ItemIx, Mass, Mass)>,
    /// How many items were weighed and are as the catalogue says.
    pub same: usize,
    /// Whom the plan before would overload by the scales, as the audit finds.
    pub over: Vec<Over>,
}

/// Somebody who would bear more than they may.
#[derive(Debug, Clone)]
pub struct Over {
    /// Who it is.
    pub carrier: CarrierIx,
    /// What they would bear.
    pub load: Mass,
    /// The limit less every reserve.
    pub usable: Mass,
}

/// Whether the person can drop out: why not, if not.
pub fn may_drop_out(order: &MoveOrder, who: CarrierIx) -> Result<(), NoDropOut> {
    if order.carrier(who).person().is_none() {
        return Err(NoDropOut::Vehicle);
    }
    let Some(p) = order.party_of(who) else { return Err(NoDropOut::NoParty) };
    let party = order.party(p);
    if party.travel != Travel::Foot {
        return Err(NoDropOut::Rides(p));
    }
    let others = party.who.iter().filter(|c| **c != who);
    if others.filter(|c| order.carrier(**c).person().is_some()).count() == 0 {
        return Err(NoDropOut::Last(p));
    }
    Ok(())
}

/// Why somebody cannot drop out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoDropOut {
    /// It is a vehicle.
    Vehicle,
    /// The person is in no party.
    NoParty,
    /// Goes by vehicle, where nobody carries.
    Rides(PartyIx),
    /// Nobody would be left on foot in the party.
    Last(PartyIx),
}

/// The part of the time that a plan of the move as it stands may take.
const BASE: f64 = 0.4;

/// Splits the move again, with the change.
///
/// # Errors
/// More is said to be used up than there was.
pub fn replan(
    order: &MoveOrder,
    change: Changed,
    oracle: &Oracle,
) -> Result<Replanned, UsedTooMuch> {
    let Changed { packed, without, used, weighed } = change;
    let given = packed.is_some();
    let mut packed = match packed {
        Some(packed) => packed,
        None => {
            oracle.step("the plan as it stands");
            let answer = oracle.answer(order, oracle.left().mul_f64(BASE));
            let Outcome::Plan(planned) = &answer.outcome else {
                return Ok(Replanned::without_base(order, answer));
            };
            of_move(order, planned.plan.clone())
        }
    };
    let by_scales = weighed.as_ref().map(|masses| with_masses(order, masses));
    let found = by_scales.as_ref().map(|now| scales(order, now, &packed.before.plan, &weighed));
    let mut now = by_scales.unwrap_or_else(|| order.clone());
    let used = used::take(&mut now, &mut packed, &used, &without)?;
    for &who in &without {
        if let Some(fewer) = vary::without_carrier(&now, who) {
            now = fewer;
        }
    }
    let now = vary::changed(&now, |parts| {
        parts.before = Some(packed.before.clone());
        parts.goals.retain(|g| g.kind != GoalKind::Changes);
        parts.goals.insert(0, Goal { kind: GoalKind::Changes, give: Percent::ZERO });
    });
    oracle.step("the plan anew");
    let answer = oracle.answer(&now, oracle.left());
    let hand_overs = match &answer.outcome {
        Outcome::Plan(planned) => hand_overs(&now, &packed, &planned.plan),
        _ => Vec::new(),
    };
    let (gone, fresh) = held(&now, &packed, &used);
    Ok(Replanned {
        order: now,
        answer,
        no_base: false,
        given,
        packed,
        without,
        used,
        hand_overs,
        gone,
        fresh,
        weighed: found,
    })
}

impl Replanned {
    fn without_base(order: &MoveOrder, answer: Answer) -> Self {
        Replanned {
            order: order.clone(),
            answer,
            no_base: true,
            given: false,
            packed: Packed::default(),
            without: Vec::new(),
            used: Vec::new(),
            hand_overs: Vec::new(),
            gone: Vec::new(),
            fresh: Vec::new(),
            weighed: None,
        }
    }
}

/// A plan of the move itself.
fn of_move(order: &MoveOrder, plan: Plan) -> Packed {
    Packed {
        made_for: order.name().to_string(),
        before: Before { plan, astray: Vec::new() },
        units: order.catalogue().items().map(|(_, item)| item.held.into()).collect(),
        ..Packed::default()
    }
}

/// The move with other masses than the catalogue's.
pub fn with_masses(order: &MoveOrder, masses: &[(ItemIx, Mass)]) -> MoveOrder {
    let by_scales = |i: ItemIx| masses.iter().find(|(j, _)| *j == i).map(|(_, mass)| *mass);
    vary::changed(order, |parts| {
        let catalogue = std::mem::take(&mut parts.catalogue);
        parts.catalogue = catalogue.with_masses(|i, item| by_scales(i).unwrap_or(item.mass));
    })
}

/// What differs, and whom the plan before would overload.
fn scales(
    order: &MoveOrder,
    now: &MoveOrder,
    before: &Plan,
    weighed: &Option<Vec<(ItemIx, Mass)>>,
) -> WeighedFound {
    let each = weighed.iter().flatten();
    let each = each.map(|(i, mass)| (*i, order.item(*i).mass, *mass));
    let (mut differ, same): (Vec<_>, Vec<_>) = each.partition(|(_, was, is)| was != is);
    differ.sort();
    let over = audit(now, before).carriers.into_iter().filter(|c| c.load > c.usable);
    let over = over.map(|c| Over { carrier: c.carrier, load: c.load, usable: c.usable });
    WeighedFound { differ, same: same.len(), over: over.collect() }
}

type Units = Vec<(ItemIx, u64)>;

/// What there was and is no more, and what is new.
fn held(now: &MoveOrder, packed: &Packed, used: &[UsedUp]) -> (Units, Units) {
    let (mut gone, mut fresh) = (Vec::new(), Vec::new());
    for (i, item) in now.catalogue().items() {
        let eaten: u64 = used.iter().filter(|u| u.item == i).map(|u| u64::from(u.count)).sum();
        let was = packed.units.get(i.0).map_or(0, |n| n.saturating_sub(eaten));
        let is = u64::from(item.held);
        if was > is {
            gone.push((i, was - is));
        } else if is > was {
            fresh.push((i, is - was));
        }
    }
    (gone, fresh)
}
