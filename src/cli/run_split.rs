//! Where the command meets the optimiser.

use super::progress::{Moment, during};
use super::split::Asked;
use crate::load::MoveOrder;
use crate::split::{Answer, Outcome};

pub(super) fn solve(order: &MoveOrder, asked: &Asked) -> Answer {
    during(asked.show, asked.time, order.units, Moment::default, || Answer {
        outcome: Outcome::NoneFound,
        stopped: None,
        elapsed: asked.time,
        stages: vec![],
    })
}
