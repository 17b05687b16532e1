//! Which hand holds what. The plan counts hands and leaves the side to people;
//! the sheet proposes one, and the cards of a pair agree.

use crate::load::{MoveOrder, Way};
use crate::split::{CarrierFinding, Line};

/// How a thing is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Grip {
    Right,
    Left,
    /// One thing in both hands.
    Both,
    /// Two things, one in each hand.
    Each,
}

impl Grip {
    pub fn words(self) -> &'static str {
        match self {
            Grip::Right => "right hand",
            Grip::Left => "left hand",
            Grip::Both => "both hands",
            Grip::Each => "one in each hand",
        }
    }
}

/// The grip of each line of the carrier, where it has one. Of a pair who walk
/// side by side the first in the move order has the thing to the right.
pub(super) fn grips(order: &MoveOrder, c: &CarrierFinding) -> Vec<Option<Grip>> {
    let paired = c.lines.iter().find_map(|l| pair_grip(c, l));
    let mut free: Vec<Grip> =
        [Grip::Right, Grip::Left].into_iter().filter(|g| Some(*g) != paired).collect();
    let mut one = |line: &Line| match line.way {
        Way::Pair => pair_grip(c, line),
        Way::Hand => Some(match (order.item(line.item).hands, line.count) {
            (2, _) => Grip::Both,
            (_, 1) if !free.is_empty() => free.remove(0),
            (_, 1) => Grip::Right,
            _ => Grip::Each,
        }),
        _ => None,
    };
    c.lines.iter().map(&mut one).collect()
}

fn pair_grip(c: &CarrierFinding, line: &Line) -> Option<Grip> {
    let with = line.with.filter(|_| line.way == Way::Pair)?;
    Some(if c.carrier < with { Grip::Right } else { Grip::Left })
}
