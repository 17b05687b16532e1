//! Steps: what masses are whole multiples of.

use crate::facts::Facts;
use crate::load::{ItemIx, Way};

/// Masses of kit are whole multiples of this, in mg; at least 1.
pub(crate) fn mass_step(facts: &Facts) -> u64 {
    let held = facts.items.iter().filter(|f| f.held > 0);
    held.map(|f| f.mass).fold(0, gcd).max(1)
}

/// What anybody bears of kit is a whole multiple of this, in mg; at least 1.
pub(crate) fn burden_step(facts: &Facts) -> u64 {
    let held = facts.items.iter().enumerate().filter(|(_, f)| f.held > 0);
    let masses = held.flat_map(|(i, f)| {
        let pair = facts.order.item(ItemIx(i)).ways.has(Way::Pair);
        [f.mass, if pair { f.pair[0] } else { 0 }, if pair { f.pair[1] } else { 0 }]
    });
    masses.fold(0, gcd).max(1)
}

/// The greatest common divisor; of nothing and n it is n.
pub(crate) fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b > 0 {
        (a, b) = (b, a % b);
    }
    a
}
