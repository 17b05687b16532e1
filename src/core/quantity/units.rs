//! The system of units that a kit asks its numbers to be printed in.

/// Metric unless the kit says otherwise. Reading always accepts both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// kg, L, m.
    #[default]
    Metric,
    /// lb, L, yd. Bulk stays in litres: packs are sold by the litre everywhere.
    Imperial,
}
