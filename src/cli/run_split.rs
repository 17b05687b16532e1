//! Where the command meets the optimiser.

use super::{interrupt, progress};
use crate::load::MoveOrder;
use crate::split::{Answer, Options, split};

/// Searches until there is an answer, the time is up or Ctrl-C is pressed;
/// meanwhile shows progress if asked to.
pub(super) fn solve(order: &MoveOrder, options: &Options, show: bool) -> Answer {
    let watch = interrupt::watch();
    progress::during(show, options.time, order.units, &watch, || split(order, options, &watch))
}
