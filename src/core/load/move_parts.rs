//! What a move order is made of.

use super::before::Before;
use super::brings::Brings;
use super::carrier::Carrier;
use super::catalogue::Catalogue;
use super::goal::Goal;
use super::ix::{PartyIx, SupplyIx};
use super::need::{Need, Want};
use super::party::Party;
use super::rule::Rule;
use super::tolerance::Tolerance;
use crate::quantity::Units;

/// What a move order is made of. Anything may stand here; [`MoveOrder::new`](super::MoveOrder::new) looks
/// whether it is complete and consistent.
///
/// The default is a move of nobody with the usual goals, so that code need only
/// name what it has: `MoveParts { name, carriers, parties, ..MoveParts::default() }`.
/// Fields may be added; whoever ends in the default compiles then too.
#[derive(Debug, Clone)]
pub struct MoveParts {
    /// The name of the move, for reports.
    pub name: String,
    /// The units in which reports print; all that is stored is in base units.
    pub units: Units,
    /// Every item and supply that may go.
    pub catalogue: Catalogue,
    /// Every carrier, those who are in no party of this move among them.
    pub carriers: Vec<Carrier>,
    /// Who goes with whom; at least one.
    pub parties: Vec<Party>,
    /// `stays-with`: the store, a party by vehicle that keeps what no other
    /// party takes. Without one, what is not taken is simply left.
    pub store: Option<PartyIx>,
    /// What must work where a party ends up.
    pub needs: Vec<Need>,
    /// What is worth taking where it fits.
    pub wants: Vec<Want>,
    /// Who may carry what.
    pub rules: Vec<Rule>,
    /// What makes a plan better, the weightiest first. Each kind at most once;
    /// never empty.
    pub goals: Vec<Goal>,
    /// What people have packed already; what the goal `changes` counts against.
    pub before: Option<Before>,
    /// What was used up of a supply where a party is, in its base units: so
    /// much of the party's demands on it is met.
    pub spent: Vec<(PartyIx, SupplyIx, u64)>,
    /// How far the catalogue's weights may be off; `None`: they are right.
    pub tolerance: Option<Tolerance>,
    /// What follows from a question asked of the move; none as it is read.
    pub brings: Vec<Brings>,
}

impl Default for MoveParts {
    fn default() -> Self {
        MoveParts {
            name: String::new(),
            units: Units::default(),
            catalogue: Catalogue::default(),
            carriers: Vec::new(),
            parties: Vec::new(),
            store: None,
            needs: Vec::new(),
            wants: Vec::new(),
            rules: Vec::new(),
            goals: Goal::usual(),
            before: None,
            spent: Vec::new(),
            tolerance: None,
            brings: Vec::new(),
        }
    }
}
