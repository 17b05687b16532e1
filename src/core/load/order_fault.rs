//! In what the parts of a move order may not go together.

use super::goal::GoalKind;
use super::ix::{CarrierIx, ItemIx, PartyIx, SupplyIx};
use super::need::MOST_OPTIONAL_DEMANDS;
use std::error::Error;
use std::fmt;

/// Why [`MoveOrder::new`](super::MoveOrder::new) refused; never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BrokenOrder {
    /// Everything that was found, in the order of the parts.
    pub faults: Vec<OrderFault>,
}

/// A fault of a move order's parts. Where a list is meant, places count from zero.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
#[allow(missing_docs, reason = "each line says what its fields are")]
pub enum OrderFault {
    /// The item is not in the catalogue.
    NoItem { within: Within, item: ItemIx },
    /// The supply is not in the catalogue.
    NoSupply { within: Within, supply: SupplyIx },
    /// The carrier is not in the list.
    NoCarrier { within: Within, carrier: CarrierIx },
    /// The party is not in the list.
    NoParty { within: Within, party: PartyIx },
    /// An amount is no amount of this supply: another dimension, or a rate over no
    /// time at all.
    NotOfSupply { within: Within, supply: SupplyIx },
    /// Another before it has the same id.
    SameId { within: Within, id: String },
    /// Somebody may bear less in an emergency than on any other day.
    EmergencyLimit { carrier: CarrierIx },
    /// Nobody is in the party.
    EmptyParty { party: PartyIx },
    /// The carrier is in a party already, this one or another.
    InTwoParties { carrier: CarrierIx, party: PartyIx },
    /// Somebody is aboard who is no person of the party, or aboard of what is no
    /// vehicle of it, or aboard twice, or aboard though the party goes on foot.
    NotAboard { party: PartyIx, person: CarrierIx, vehicle: CarrierIx },
    /// More are aboard than the vehicle has seats.
    Seats { vehicle: CarrierIx },
    /// Somebody is aboard whose body mass is not known; it counts against the payload.
    NoBodyMass { person: CarrierIx },
    /// A vehicle that nobody hauls is in a party on foot.
    NotHauled { party: PartyIx, vehicle: CarrierIx },
    /// There is no party at all.
    NoParties,
    /// The store goes on foot.
    StoreOnFoot { store: PartyIx },
    /// A list that has to name something names nothing.
    Empty { within: Within },
    /// A count of zero, or `at least` so many of fewer.
    Count { within: Within },
    /// Of more than [`MOST_OPTIONAL_DEMANDS`] supply demands of the party it has to be
    /// chosen which ones count.
    TooManyChoices { party: PartyIx },
    /// The rule fixes something to a carrier that takes no kit: in no party, or a
    /// person aboard a vehicle.
    FixedToNobody { rule: usize, carrier: CarrierIx },
    /// The rule asks for the free hands of a vehicle.
    HandsOfVehicle { rule: usize, carrier: CarrierIx },
    /// There is no goal.
    NoGoals,
    /// The goal is named twice.
    GoalTwice { goal: GoalKind },
}

/// In which part of a move order something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Within {
    /// A carrier.
    Carrier(CarrierIx),
    /// A party.
    Party(PartyIx),
    /// The name of the store.
    Store,
    /// The need at this place of the list.
    Need(usize),
    /// The want at this place of the list.
    Want(usize),
    /// The rule at this place of the list.
    Rule(usize),
    /// What people have packed already.
    Before,
    /// The entry at this place of what was used up.
    Spent(usize),
    /// The entry at this place of what a party has to bring.
    Brings(usize),
}

impl fmt::Display for Within {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Within::Carrier(c) => write!(f, "carrier {}", c.0),
            Within::Party(p) => write!(f, "party {}", p.0),
            Within::Store => f.write_str("the store"),
            Within::Need(n) => write!(f, "need {n}"),
            Within::Want(n) => write!(f, "want {n}"),
            Within::Rule(n) => write!(f, "rule {n}"),
            Within::Before => f.write_str("the plan before"),
            Within::Spent(n) => write!(f, "entry {n} of what was used up"),
            Within::Brings(n) => write!(f, "entry {n} of what has to be brought"),
        }
    }
}

impl fmt::Display for OrderFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        use OrderFault as F;
        match self {
            F::NoItem { within, item } => write!(f, "{within}: no item {}", item.0),
            F::NoSupply { within, supply } => write!(f, "{within}: no supply {}", supply.0),
            F::NoCarrier { within, carrier } => write!(f, "{within}: no carrier {}", carrier.0),
            F::NoParty { within, party } => write!(f, "{within}: no party {}", party.0),
            F::NotOfSupply { within, supply } => {
                write!(f, "{within}: no amount of supply {}", supply.0)
            }
            F::SameId { within, id } => write!(f, "{within}: the id {id:?} is taken"),
            F::EmergencyLimit { carrier } => {
                write!(f, "carrier {}: the emergency limit is below the limit", carrier.0)
            }
            F::EmptyParty { party } => write!(f, "party {}: nobody is in it", party.0),
            F::InTwoParties { carrier, party } => {
                write!(f, "party {}: carrier {} is in a party already", party.0, carrier.0)
            }
            F::NotAboard { party, person, vehicle } => {
                let (p, v) = (person.0, vehicle.0);
                write!(f, "party {}: carrier {p} cannot be aboard carrier {v}", party.0)
            }
            F::Seats { vehicle } => write!(f, "carrier {}: more aboard than seats", vehicle.0),
            F::NoBodyMass { person } => {
                write!(f, "carrier {}: is aboard, and has no body mass", person.0)
            }
            F::NotHauled { party, vehicle } => {
                write!(f, "party {}: goes on foot, and nobody hauls carrier {}", party.0, vehicle.0)
            }
            F::NoParties => f.write_str("there is no party"),
            F::StoreOnFoot { store } => write!(f, "the store: party {} goes on foot", store.0),
            F::Empty { within } => write!(f, "{within}: a list is empty"),
            F::Count { within } => write!(f, "{within}: a count is zero, or more than there are"),
            F::TooManyChoices { party } => write!(
                f,
                "party {}: more than {MOST_OPTIONAL_DEMANDS} supply demands hang on a choice",
                party.0
            ),
            F::FixedToNobody { rule, carrier } => {
                write!(f, "rule {rule}: carrier {} takes no kit", carrier.0)
            }
            F::HandsOfVehicle { rule, carrier } => {
                write!(f, "rule {rule}: carrier {} has no hands", carrier.0)
            }
            F::NoGoals => f.write_str("there is no goal"),
            F::GoalTwice { goal } => write!(f, "the goal {goal} is there twice"),
        }
    }
}

impl fmt::Display for BrokenOrder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the parts of the move do not go together")?;
        for (n, fault) in self.faults.iter().enumerate() {
            write!(f, "{} {fault}", if n == 0 { ':' } else { ';' })?;
        }
        Ok(())
    }
}

impl Error for BrokenOrder {}
