//! What the audit finds in a plan: every number that a report shows.

use crate::fault::Fault;
use crate::load::{CarrierIx, GoalKind, GoalValue, ItemIx, PartyIx, SupplyIx, Way};
use crate::quantity::{Bulk, Mass};

/// Everything recomputed from the plan in whole numbers.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    /// Empty if the plan keeps every limit, need and rule.
    pub faults: Vec<Fault>,
    /// Every carrier of every party, by party and then as written there.
    pub carriers: Vec<CarrierFinding>,
    /// Units that no carrier outside the store takes, by item. With a store
    /// they are on its beds; without, they are not taken.
    pub left: Vec<Left>,
    /// One for each need of the move, in its order.
    pub needs: Vec<NeedFinding>,
    /// One for each (party, supply) on which a need makes a demand.
    pub supplies: Vec<SupplyFinding>,
    /// Units that count, one entry for each want of the move, in its order.
    pub wants: Vec<u32>,
    /// One for each goal of the move, in its order.
    pub goals: Vec<(GoalKind, GoalValue)>,
    /// Points of the wants that are taken.
    pub wants_value: u64,
    /// Mass of all that leaves the store, worn mass not counted.
    pub total_carried: Mass,
    /// The largest load against its limit, as the goal `even` counts it.
    pub peak_share: crate::load::Share,
}

/// A carrier and what is on it.
#[derive(Debug, Clone)]
pub struct CarrierFinding {
    /// Who it is.
    pub carrier: CarrierIx,
    /// With whom it goes.
    pub party: PartyIx,
    /// Worn mass, or the people aboard a vehicle.
    pub burden: Mass,
    /// Burden and kit together: what is held against the limit.
    pub load: Mass,
    /// As declared.
    pub limit: Mass,
    /// The limit less every reserve: what the plan may use.
    pub usable: Mass,
    /// Bulk in the pack (`back`) or on the bed.
    pub bulk: Bulk,
    /// Room of the pack or bed, if it is watched.
    pub room: Option<Bulk>,
    /// People only: hands that hold something.
    pub hands_used: u32,
    /// People only: hands there are.
    pub hands: u32,
    /// With a tolerance: the load at worst, if as many kinds as may be weigh
    /// more than the catalogue says.
    pub worst: Option<Mass>,
    /// All that is on it.
    pub lines: Vec<Line>,
}

/// One line of a carrier's list, in the canonical order of the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What it is.
    pub item: ItemIx,
    /// How many units; of a pair, one.
    pub count: u32,
    /// How it goes.
    pub way: Way,
    /// The other bearer of a pair.
    pub with: Option<CarrierIx>,
    /// What this carrier bears of it: all of the units' mass, or its share of
    /// a pair's, rounded up to a milligram.
    pub mass: Mass,
}

/// Units of an item that nobody takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Left {
    /// What it is.
    pub item: ItemIx,
    /// How many units.
    pub count: u32,
}

/// A need and what meets it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NeedFinding {
    /// Whether the plan meets it.
    pub met: bool,
    /// The leaves that hold, in every branch that holds; all of them where
    /// several alternatives do. Empty if the need is not met.
    pub by: Vec<MetBy>,
}

/// One thing that a need asks for and has.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(missing_docs, reason = "each line says what its fields are")]
pub enum MetBy {
    /// `asked` of the item were asked for; `there` are in the party, of which
    /// `in_cases` inside cases.
    Item { item: ItemIx, asked: u32, there: u32, in_cases: u32 },
    /// In base units of the supply: this demand alone.
    Supply { supply: SupplyIx, demand: u64 },
}

/// A supply in a party: all that is there against all that is asked for by
/// the needs that hold, slack included, in base units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplyFinding {
    /// Where it is.
    pub party: PartyIx,
    /// What it is.
    pub supply: SupplyIx,
    /// What the items there supply, in base units.
    pub there: u64,
    /// What is asked for, in base units.
    pub demand: u64,
    /// Items in the party that supply it, loose or as cases, with their counts.
    pub from: Vec<(ItemIx, u32)>,
}
