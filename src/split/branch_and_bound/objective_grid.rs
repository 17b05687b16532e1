//! The values that an objective can have in a plan: a whole number of steps
//! above a base.
//!
//! Why rounding to the grid keeps bounds valid: every plan's objective lies on
//! the grid. So no plan below a node is worth less than the least grid value at
//! or above the node's bound, and a plan better than one with a value on the
//! grid is better by a step at least. Both would be wrong of a value between
//! two steps, such as a relaxation's point can have; hence such a value is
//! first raised to the grid.

/// A grid of objectives; a step of zero: any value.
#[derive(Debug, Clone, Copy)]
pub(super) struct ObjectiveGrid {
    pub base: f64,
    pub step: f64,
}

impl ObjectiveGrid {
    /// How far a linear solver's objective may be off and still be taken for
    /// the grid's value below it.
    pub fn tolerance(self, value: f64) -> f64 {
        let solver = 1e-9 * (1.0 + value.abs());
        if self.step > 0.0 { solver.min(0.25 * self.step).max(1e-5 * self.step) } else { solver }
    }

    /// The least value on the grid that is not below `value`.
    pub fn at_or_above(self, value: f64) -> f64 {
        if self.step <= 0.0 || !value.is_finite() {
            return value;
        }
        let steps = (value - self.tolerance(value) - self.base) / self.step;
        self.base + steps.ceil() * self.step
    }

    /// The cutoff for a value on the grid: a step less, and the tolerance more.
    pub fn below(self, value: f64) -> f64 {
        let less = self.tolerance(value);
        if value == f64::INFINITY {
            value
        } else if self.step > 0.0 {
            value - self.step + less
        } else {
            value - less
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_between_two_steps_is_the_next_one() {
        let grid = ObjectiveGrid { base: 0.25, step: 1.0 };
        assert_eq!(grid.at_or_above(0.25), 0.25);
        assert_eq!(grid.at_or_above(0.5), 1.25);
        assert_eq!(grid.at_or_above(1.25 + 1e-7), 1.25);
        assert!((grid.below(1.25) - 0.25).abs() < 1e-4);
    }

    #[test]
    fn a_step_of_a_milligram_is_told_from_rounding() {
        let grid = ObjectiveGrid { base: 0.0, step: 1e-6 };
        let value = grid.at_or_above(343.925_972 + 2e-7);
        assert!((value - 343.925_972).abs() < 1e-9, "{value}");
        let value = grid.at_or_above(343.925_972 + 5e-7);
        assert!((value - 343.925_973).abs() < 1e-9, "{value}");
        assert!(grid.below(343.925_973) >= 343.925_972);
    }

    #[test]
    fn without_a_step_any_value_will_do() {
        let grid = ObjectiveGrid { base: 0.0, step: 0.0 };
        assert_eq!(grid.at_or_above(0.75), 0.75);
        assert!(grid.below(0.75) < 0.75);
    }
}
