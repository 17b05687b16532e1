//! What passes remember from turn to turn: relaxations that were solved to the
//! end, and conflict-driven searches that were not.

use crate::conflict_search::{ConflictSearch, IntegerModel};
use crate::load::{GoalKind, GoalValue};
use crate::local_search::{self, Target};
use crate::pins::Pins;
use crate::program::Program;

/// No point satisfies the rows.
pub(super) struct Infeasible;

/// What a looser program came to.
#[derive(Clone)]
pub(super) struct Relaxation {
    /// The point's counts, or a relaxed point's rounded; none if there was
    /// neither in time.
    pub targets: Option<Vec<Target>>,
    /// Of a bare program: the relaxed point's counts, rounded.
    pub totals: Option<local_search::Counts>,
    /// How many of each item each party has in the relaxed point.
    pub relaxed: Vec<(usize, usize, f64)>,
    /// What the point is worth, by the looser program.
    pub reached: Option<GoalValue>,
    pub bound: Option<GoalValue>,
}

/// A search with all that it has learned, for when its turn comes again.
pub(super) struct KeptSearch<'f, 'o> {
    pub kind: GoalKind,
    pub pins: Pins,
    pub program: Program<'f, 'o>,
    pub whole: IntegerModel,
    pub search: ConflictSearch,
    /// The columns that make a plan.
    pub counts: Vec<usize>,
    /// What every point must come to at worst, and the best plan's value that
    /// this was asked after.
    pub asked: Option<(GoalValue, GoalValue)>,
}
