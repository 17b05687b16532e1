//! A change to a move that may make it work.

use super::draft::{Draft, set_slots};
use super::part::{Kind, Part, pieces};
use super::trips;
use super::vary::{self, set_room};
use crate::load::{
    CarrierIx, ItemIx, MoveOrder, NeedNode, PartyIx, Required, Riding, RuleKind, Way,
};
use crate::quantity::{Bulk, Mass};

/// One change, as it could be written into the files. Indices are those of the
/// move as it was read.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "each line says what its fields are")]
#[non_exhaustive]
pub enum Change {
    /// The item may also be carried by this way.
    Way { item: ItemIx, way: Way },
    /// The carrier's way holds so many; hands: it has so many.
    Slots { carrier: CarrierIx, way: Way, to: u32 },
    /// A larger pack or bed.
    Room { carrier: CarrierIx, to: Bulk },
    /// A weaker rule in place of this one.
    Rule { rule: usize, to: RuleKind },
    /// This part of the move is left out: a rule, a piece of a need or a
    /// requirement.
    LeaveOut(Part),
    /// A higher limit (of a vehicle: payload).
    Limit { carrier: CarrierIx, to: Mass },
    /// So many of the item are held.
    Held { item: ItemIx, to: u32 },
    /// A piece of a need asks for less.
    Need { need: usize, piece: usize, to: NeedNode },
    /// The `of`-th requirement of the item asks for less.
    Requires { item: ItemIx, of: usize, to: Required },
    /// Nothing has to stay with the store: what nobody takes is left.
    NoStore,
    /// One carrier more like this one, in its party.
    Another { like: CarrierIx },
    /// The party walks twice; see [`trips`].
    SecondTrip { party: PartyIx },
}

impl Change {
    /// Makes the change; `None` if it means nothing in this move.
    pub fn apply(&self, draft: &Draft) -> Option<Draft> {
        let mut out = draft.clone();
        match self {
            Change::Way { item, way } => out.items(|items| items[item.0].ways.insert(*way)),
            Change::Slots { carrier, way, to } => {
                out.change(|parts| {
                    if let Riding::Person(p) = &mut parts.carriers[carrier.0].riding {
                        set_slots(&mut p.slots, *way, Some(*to), *to);
                    }
                })?;
            }
            Change::Room { carrier, to } => {
                out.change(|parts| set_room(&mut parts.carriers[carrier.0], Some(*to)))?;
            }
            Change::Rule { rule, to } => {
                out.change(|parts| parts.rules[*rule].kind = to.clone())?;
            }
            Change::LeaveOut(part) => {
                out.off.insert(*part);
            }
            Change::Limit { carrier, to } => {
                out.order = vary::with_limit(&out.order, *carrier, *to);
            }
            Change::Held { item, to } => out.items(|items| items[item.0].held = *to),
            Change::Need { need, piece, to } => {
                let node = &draft.order.needs()[*need].node;
                let mut all: Vec<NeedNode> = pieces(node).into_iter().cloned().collect();
                *all.get_mut(*piece)? = to.clone();
                let whole = matches!(node, NeedNode::All(_));
                let node = if whole { NeedNode::All(all) } else { all.into_iter().next()? };
                out.change(|parts| parts.needs[*need].node = node)?;
            }
            Change::Requires { item, of, to } => out.items(|items| {
                if let Some(r) = items[item.0].requires.get_mut(*of) {
                    r.count = *to;
                }
            }),
            Change::NoStore => out.change(|parts| parts.store = None)?,
            Change::Another { like } => out.order = vary::with_another(&out.order, *like)?,
            Change::SecondTrip { party } => out.order = trips::second_trip(&out.order, *party)?,
        }
        Some(out)
    }

    /// What is cheaper for the people who go has the lower rank (common
    /// practice, no source): to carry a thing otherwise, room and a hand, a rule
    /// weakened and a rule left out, a kilo more on somebody, a thing more to be
    /// found, less than was asked for, a need left out, one more to go, a
    /// second trip.
    pub fn rank(&self) -> usize {
        match self {
            Change::Way { .. } => 0,
            Change::Slots { .. } => 1,
            Change::Room { .. } => 2,
            Change::Rule { .. } => 3,
            Change::LeaveOut(p) if p.kind() == Kind::Rule => 4,
            Change::Limit { .. } => 5,
            Change::Held { .. } => 6,
            Change::Need { .. } => 7,
            Change::Requires { .. } => 8,
            Change::LeaveOut(p) if p.kind() == Kind::Requires => 9,
            Change::LeaveOut(_) => 10,
            Change::NoStore => 11,
            Change::Another { .. } => 12,
            Change::SecondTrip { .. } => 13,
        }
    }

    /// What the change is about, so that of several much the same one is
    /// reported.
    pub(super) fn about(&self) -> (usize, usize) {
        let of = match self {
            Change::Way { item, .. } | Change::Held { item, .. } => item.0,
            Change::Slots { carrier, .. }
            | Change::Room { carrier, .. }
            | Change::Limit { carrier, .. } => carrier.0,
            Change::Rule { rule, .. } | Change::LeaveOut(Part::Rule(rule)) => *rule,
            Change::Need { need, piece, .. } | Change::LeaveOut(Part::Need { need, piece }) => {
                need * 1000 + piece
            }
            Change::Requires { item, of, .. } | Change::LeaveOut(Part::Requires { item, of }) => {
                item.0 * 1000 + of
            }
            Change::Another { like } => like.0,
            Change::SecondTrip { party } => party.0,
            Change::NoStore | Change::LeaveOut(_) => 0,
        };
        (self.rank(), of)
    }

    /// How large the change is beside others of its kind, in thousandths of what
    /// was there.
    pub fn size(&self, order: &MoveOrder) -> u64 {
        let part = |from: u64, to: u64| from.abs_diff(to).saturating_mul(1000) / from.max(1);
        match self {
            Change::Limit { carrier, to } => part(order.carrier(*carrier).limit().mg(), to.mg()),
            Change::Room { carrier, to } => {
                part(order.carrier(*carrier).room().map_or(0, Bulk::ml), to.ml())
            }
            Change::Held { item, to } => u64::from(*to - order.item(*item).held.min(*to)),
            _ => 0,
        }
    }

    /// The word for its kind, in reports for programs.
    pub fn word(&self) -> &'static str {
        match self {
            Change::Way { .. } => "allow-way",
            Change::Slots { .. } => "more-slots",
            Change::Room { .. } => "more-room",
            Change::Rule { .. } => "weaken-rule",
            Change::LeaveOut(p) => match p.kind() {
                Kind::Rule => "leave-out-rule",
                Kind::Requires => "leave-out-requirement",
                _ => "leave-out-need",
            },
            Change::Limit { .. } => "raise-limit",
            Change::Held { .. } => "hold-more",
            Change::Need { .. } => "lower-need",
            Change::Requires { .. } => "lower-requirement",
            Change::NoStore => "no-store",
            Change::Another { .. } => "another-carrier",
            Change::SecondTrip { .. } => "second-trip",
        }
    }
}
