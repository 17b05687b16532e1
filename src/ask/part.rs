//! The parts of a move that can be at fault when no plan exists.

use crate::load::{CarrierIx, ItemIx, MoveOrder, NeedNode, Place, Travel, Way};

/// One constraint of a move, as people would name it. What is held, masses and
/// the ways of carry are no parts: they are how the world is. They are in the
/// words of a cause, and a change may touch them.
///
/// The order says what is dropped first where a choice is free: what comes last
/// is what people would rather hear of, since it is theirs to change. (A rule is
/// sooner changed than a need, a need sooner than somebody's limit: common
/// practice, no source.)
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "each line says what its fields are")]
#[non_exhaustive]
pub enum Part {
    /// What no other party takes, the store must keep.
    Stays,
    /// The `of`-th requirement of the item.
    Requires { item: ItemIx, of: usize },
    /// How many things go by this way; how many hands there are.
    Slots { carrier: CarrierIx, way: Way },
    /// The room of a pack or bed.
    Room(CarrierIx),
    /// The most that a carrier may bear.
    Limit(CarrierIx),
    /// A piece of a need, see [`pieces`].
    Need { need: usize, piece: usize },
    /// The rule at this position.
    Rule(usize),
}

/// Parts of one kind are dropped together first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Kind {
    /// What has to stay with the store.
    Stays,
    /// What items require beside them.
    Requires,
    /// How many things go by a way.
    Slots,
    /// The room of packs and beds.
    Room,
    /// What carriers may bear.
    Limit,
    /// Needs, piece by piece.
    Need,
    /// Rules.
    Rule,
}

impl Kind {
    /// All of them, what is dropped first at the front.
    pub const ALL: [Kind; 7] =
        [Kind::Stays, Kind::Requires, Kind::Slots, Kind::Room, Kind::Limit, Kind::Need, Kind::Rule];

    /// As reports for programs call it.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Stays => "stays-with",
            Kind::Requires => "requires",
            Kind::Slots => "slots",
            Kind::Room => "room",
            Kind::Limit => "limit",
            Kind::Need => "need",
            Kind::Rule => "rule",
        }
    }
}

impl Part {
    /// What kind of part it is.
    pub fn kind(self) -> Kind {
        match self {
            Part::Stays => Kind::Stays,
            Part::Requires { .. } => Kind::Requires,
            Part::Slots { .. } => Kind::Slots,
            Part::Room(_) => Kind::Room,
            Part::Limit(_) => Kind::Limit,
            Part::Need { .. } => Kind::Need,
            Part::Rule(_) => Kind::Rule,
        }
    }

    /// Where it was written, as near as is known.
    pub fn place(self, order: &MoveOrder) -> Option<&Place> {
        let place = match self {
            Part::Stays => &order.party(order.store()?).place,
            Part::Requires { item, .. } => &order.item(item).place,
            Part::Slots { carrier, .. } | Part::Room(carrier) | Part::Limit(carrier) => {
                &order.carrier(carrier).place
            }
            Part::Need { need, .. } => &order.needs()[need].place,
            Part::Rule(rule) => &order.rules()[rule].place,
        };
        place.as_ref()
    }
}

/// The pieces of a need: what it asks for by `all`, at any depth; the need
/// itself where it is no `all`.
pub fn pieces(node: &NeedNode) -> Vec<&NeedNode> {
    match node {
        NeedNode::All(of) => of.iter().flat_map(pieces).collect(),
        node => vec![node],
    }
}

/// Every part of the move, in their order.
pub fn parts(order: &MoveOrder) -> Vec<Part> {
    let mut parts: Vec<Part> = (0..order.rules().len()).map(Part::Rule).collect();
    for (need, n) in order.needs().iter().enumerate() {
        parts.extend((0..pieces(&n.node).len()).map(|piece| Part::Need { need, piece }));
    }
    for (item, i) in order.catalogue().items() {
        parts.extend((0..i.requires.len()).map(|of| Part::Requires { item, of }));
    }
    for party in order.parties() {
        for &c in &party.who {
            let carrier = order.carrier(c);
            if carrier.person().is_some() && party.travel == Travel::Vehicle {
                continue;
            }
            parts.push(Part::Limit(c));
            parts.extend(carrier.room().map(|_| Part::Room(c)));
            let held = |w: &Way| carrier.person().is_some_and(|p| p.slots.of(*w).is_some());
            let ways = Way::ALONE.into_iter().filter(held);
            parts.extend(ways.map(|way| Part::Slots { carrier: c, way }));
        }
    }
    parts.extend(order.store().map(|_| Part::Stays));
    parts.sort_unstable();
    parts
}
