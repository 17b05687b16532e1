//! Needs, supplies and wants.

use super::ix::{ItemIx, PartyIx, SupplyIx};
use super::place::Place;
use crate::quantity::{Amount, Dimension, Percent, Span};

/// Something that comes in amounts: metres of line, Wh of power.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Supply {
    /// Unique in the catalogue.
    pub id: String,
    /// Every amount of it is of this dimension.
    pub dimension: Dimension,
}

/// What must work where a party ends up.
#[derive(Debug, Clone)]
pub struct Need {
    /// Where it must work.
    pub party: PartyIx,
    /// As the user calls it; unique in its party.
    pub name: String,
    /// What it takes.
    pub node: NeedNode,
    /// In which turn it is given up when not all needs can be met: the highest
    /// number first, 1 last, and without one never.
    pub priority: Option<u32>,
    /// Where it was written.
    pub place: Option<Place>,
}

/// The most supply demands of one party that may hang on a choice (`any`, or
/// `at-least` some): the audit tries every choice of them.
pub const MOST_OPTIONAL_DEMANDS: usize = 12;

impl NeedNode {
    /// Supply demands below this node that hang on a choice; `must` says that
    /// the node itself does not.
    pub fn optional_demands(&self, must: bool) -> usize {
        let of = |of: &[NeedNode], must| of.iter().map(|n| n.optional_demands(must)).sum();
        match self {
            NeedNode::Item { .. } => 0,
            NeedNode::Supply(_) => usize::from(!must),
            NeedNode::All(all) => of(all, must),
            NeedNode::Any(any) => of(any, must && any.len() == 1),
            NeedNode::AtLeast { count, of: some } => {
                of(some, must && *count as usize == some.len())
            }
        }
    }
}

/// A need is a tree. Items may serve several needs at once: what is there is
/// there. Supplies are used up: the demands of a party on one supply add up.
#[derive(Debug, Clone, PartialEq)]
pub enum NeedNode {
    /// At least `count` of the item in the party, loose or inside cases.
    Item {
        /// What has to be there.
        item: ItemIx,
        /// How many of it.
        count: u32,
    },
    /// Enough of a supply.
    Supply(Demand),
    /// Every child. Never empty.
    All(Vec<NeedNode>),
    /// One child or more. Never empty.
    Any(Vec<NeedNode>),
    /// At least `count` of the children, 1 ≤ count ≤ children.
    AtLeast {
        /// How many children.
        count: u32,
        /// The children.
        of: Vec<NeedNode>,
    },
}

/// A demand on a supply, in base units:
/// `(1 + slack) · (amount + per_person · people + uses)`, where `people` are
/// all the party's people, and `uses` is what everything and everybody in the
/// party uses of it: once-only uses always, rates for the span of `time` if
/// one is given. The demands of a party on one supply are added up exactly, and
/// only their sum is rounded up to a whole base unit: three people who use one
/// meal a day each use one in eight hours.
///
/// A demand under `any` or `at-least` counts only in a branch that is used:
/// the needs are met if some choice of branches has enough of every supply.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Demand {
    /// What is asked for.
    pub supply: SupplyIx,
    /// So much for the party, of the supply's dimension.
    pub amount: Option<Amount>,
    /// So much for each of the party's people, of the supply's dimension.
    pub per_person: Option<Amount>,
    /// How long rates run.
    pub time: Option<Span>,
    /// How much is asked for on top, as a share of it.
    pub slack: Percent,
}

/// An item worth taking if it fits: `value` for each one in the party, up to
/// `up_to` of them, whatever they were taken for.
#[derive(Debug, Clone)]
pub struct Want {
    /// With whom it is wanted.
    pub party: PartyIx,
    /// What is wanted.
    pub item: ItemIx,
    /// Points for each one.
    pub value: u32,
    /// How many bring points.
    pub up_to: u32,
    /// Where it was written.
    pub place: Option<Place>,
}
