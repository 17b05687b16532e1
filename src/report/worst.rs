//! What carriers bear at worst, where weights may be off.

use crate::load::{MoveOrder, Tolerance};
use crate::quantity::Mass;
use crate::split::CarrierFinding;

/// `2 kinds weigh 5 % more`.
pub(super) fn heavier(t: &Tolerance) -> String {
    match t.off {
        None => format!("all weigh {} more", t.share),
        Some(1) => format!("1 kind weighs {} more", t.share),
        Some(n) => format!("{n} kinds weigh {} more", t.share),
    }
}

/// What a carrier bears at worst.
pub(super) fn worst(order: &MoveOrder, c: &CarrierFinding) -> Option<String> {
    let (worst, heavier) = worst_parts(order, c)?;
    Some(format!("worst {} if {heavier}", worst.rounded(order.units())))
}

/// The load at worst, and when it is that.
pub(super) fn worst_parts(order: &MoveOrder, c: &CarrierFinding) -> Option<(Mass, String)> {
    Some((c.worst?, heavier(&order.tolerance()?)))
}
