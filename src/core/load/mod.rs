//! The domain: what a crew has, who goes where, what must work there, and the
//! plan that answers it. Knows no file format, no terminal and no solver.

mod before;
mod brings;
mod carrier;
mod catalogue;
mod goal;
mod item;
mod ix;
mod move_order;
mod move_parts;
mod need;
mod order_check;
#[cfg(test)]
mod order_check_tests;
mod order_fault;
mod party;
mod place;
mod plan;
mod rule;
mod stock;
mod stores;
mod tolerance;
mod way;

pub use before::{Before, Packed, Stranger};
pub use brings::Brings;
pub use carrier::{Carrier, Person, Riding, Slots, Vehicle};
pub use catalogue::{BrokenCatalogue, Catalogue};
pub use goal::{Goal, GoalKind, GoalValue, GoalWords, Measure, Share};
pub use item::{Item, Required, Requirement, Use};
pub use ix::{CarrierIx, ItemIx, NeedIx, PartyIx, RuleIx, SupplyIx};
pub use move_order::MoveOrder;
pub use move_parts::MoveParts;
pub use need::{Demand, MOST_OPTIONAL_DEMANDS, Need, NeedNode, Supply, Want};
pub use order_fault::{BrokenOrder, OrderFault, Within};
pub use party::{Party, Travel};
pub use place::Place;
pub use plan::{Bearer, Placement, Plan};
pub use rule::{Reserve, Rule, RuleKind, RuleNumber, RuleWords};
pub use stock::Stock;
pub use stores::{
    CaseContents, CasePath, Counted, Counting, Holding, MOST_CASES, MOST_CASES_DEEP, Stores,
    Whereabouts,
};
pub use tolerance::Tolerance;
pub use way::{Way, Ways};
