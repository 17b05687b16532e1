//! Parties: who goes with whom, and how.

use super::ix::CarrierIx;
use super::place::Place;

/// How a party travels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Travel {
    /// People carry; what they haul may come along.
    Foot,
    /// Kit rides on beds, people only ride.
    Vehicle,
}

/// Carriers who go together. On foot, people carry and hauled vehicles may
/// come along. By vehicle, kit rides on the beds and people only ride.
#[derive(Debug, Clone)]
pub struct Party {
    /// Unique in the move.
    pub id: String,
    /// How all of it goes.
    pub travel: Travel,
    /// In the order written; each carrier is in at most one party.
    pub who: Vec<CarrierIx>,
    /// Who rides in what, for a party by vehicle: (person, vehicle).
    pub aboard: Vec<(CarrierIx, CarrierIx)>,
    /// Where it was written.
    pub place: Option<Place>,
}
