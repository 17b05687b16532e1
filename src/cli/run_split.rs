//! Where the command meets the optimiser.

use super::{interrupt, progress};
use crate::ask::{self, Explanation};
use crate::load::MoveOrder;
use crate::split::{Answer, Options, split};

/// Searches until there is an answer, the time is up or Ctrl-C is pressed;
/// meanwhile shows progress if asked to.
pub(super) fn solve(order: &MoveOrder, options: &Options, show: bool) -> Answer {
    let watch = interrupt::watch();
    progress::during(show, options.time, order.units(), &watch, || split(order, options, &watch))
}

/// Looks for the causes of there being no plan, and for what would make one.
pub(super) fn explain(order: &MoveOrder, options: &Options, show: bool) -> Option<Explanation> {
    let watch = interrupt::watch();
    let work = || ask::explain(order, options, &watch);
    progress::during(show, options.time, order.units(), &watch, work)
}
