//! Where a question of what a plan has to bear meets what answers it.

use super::{interrupt, progress};
use crate::ask::{Conditioned, Conditions, conditions};
use crate::load::MoveOrder;
use crate::split::Options;

/// Answers under the conditions until the time is up or Ctrl-C is pressed;
/// meanwhile shows progress if asked to.
pub(super) fn solve(
    order: &MoveOrder,
    asked: Conditions,
    options: &Options,
    show: bool,
) -> Conditioned {
    let watch = interrupt::watch();
    progress::during(show, options.time, order.units(), &watch, || {
        conditions::answer(order, asked, options, &watch)
    })
}
