//! What passes remember from turn to turn: relaxations that were solved to the
//! end, and conflict-driven searches that were not.

use crate::conflict_search::{ConflictSearch, IntegerModel};
use crate::load::{GoalKind, GoalValue};
use crate::local_search::{self, Target};
use crate::pins::Pins;
use crate::program::Program;

/// The program has no point.
pub(super) struct Infeasible;

/// The result of a relaxation.
#[derive(Clone)]
pub(super) struct Relaxation {
    /// Counts by way of its best point, or of the linear relaxation, rounded;
    /// none if there was neither in time.
    pub targets: Option<Vec<Target>>,
    /// The same without ways, of the counts-only relaxation.
    pub totals: Option<local_search::Counts>,
    /// Units as (item, party, value) in the linear relaxation's point.
    pub relaxed: Vec<(usize, usize, f64)>,
    /// The objective of the best point, as a goal value.
    pub reached: Option<GoalValue>,
    pub bound: Option<GoalValue>,
}

/// A conflict-driven search with its learned clauses, to go on with.
pub(super) struct KeptSearch<'f, 'o> {
    pub kind: GoalKind,
    pub pins: Pins,
    pub program: Program<'f, 'o>,
    pub whole: IntegerModel,
    pub search: ConflictSearch,
    /// The columns that make a plan.
    pub counts: Vec<usize>,
    /// The cutoff: what every point must reach, and the incumbent's value after
    /// which it was set.
    pub asked: Option<(GoalValue, GoalValue)>,
}
