//! Combinatorial bounds, beside those of linear programs: quick, in whole
//! numbers, and valid for every plan that keeps the pins.

mod caps;
mod dual_feasible;
mod even;
mod fits;
mod knapsack;
mod large;
mod loads;
mod misfit;
mod musts;
mod packing;
mod steps;
mod subset_sums;
#[cfg(test)]
mod tests;
mod units;
mod wants;

pub(super) use fits::{somebody_can, somebody_may, spares};
pub(super) use loads::Loads;
pub(super) use misfit::{mass_misfit, room_misfit};
pub(super) use musts::{Musts, leaves, most_supply};
pub(super) use packing::Misfit;
pub(super) use steps::{gcd, mass_step};

use super::facts::Facts;
use super::pins::Pins;
use crate::load::{GoalKind, GoalValue};
use crate::quantity::Mass;

/// A value that no plan that keeps the pins can beat. `least_mass` is what
/// leaves the store in every such plan, in mg, where a goal before has shown it.
pub(super) fn bound(
    facts: &Facts,
    kind: GoalKind,
    pins: &Pins,
    least_mass: Option<u64>,
) -> Option<GoalValue> {
    match kind {
        GoalKind::Even => even::even(facts, pins, least_mass.unwrap_or(0)).map(GoalValue::Share),
        GoalKind::Lightest => {
            let mass = Musts::new(facts).outside_mass(facts).max(least_mass.unwrap_or(0));
            Some(GoalValue::Mass(Mass::from_mg(mass)))
        }
        GoalKind::Wants => Some(GoalValue::Points(wants::wants(facts, pins))),
        _ => None,
    }
}
