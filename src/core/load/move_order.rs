//! The move order: everything that a plan has to answer.

use super::before::Before;
use super::brings::Brings;
use super::carrier::Carrier;
use super::catalogue::Catalogue;
use super::goal::Goal;
use super::item::Item;
use super::ix::{CarrierIx, ItemIx, PartyIx, SupplyIx};
use super::need::{Need, Want};
use super::place::Place;
use super::rule::{Reserve, Rule, RuleKind};
use super::tolerance::Tolerance;
use crate::quantity::{Mass, Units};

/// How a party travels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Travel {
    Foot,
    Vehicle,
}

/// Carriers who go together. On foot, people carry and hauled vehicles may
/// come along. By vehicle, kit rides on the beds and people only ride.
#[derive(Debug, Clone)]
pub struct Party {
    pub id: String,
    pub travel: Travel,
    /// In the order written; each carrier is in at most one party.
    pub who: Vec<CarrierIx>,
    /// Who rides in what, for a party by vehicle: (person, vehicle).
    pub aboard: Vec<(CarrierIx, CarrierIx)>,
    pub place: Option<Place>,
}

/// Parties, needs, wants, rules, goals over a catalogue and carriers, complete
/// and consistent: every index is in range, every party has a carrier.
#[derive(Debug, Clone)]
pub struct MoveOrder {
    pub name: String,
    pub units: Units,
    pub catalogue: Catalogue,
    pub carriers: Vec<Carrier>,
    pub parties: Vec<Party>,
    /// `stays-with`: the store, a party by vehicle that keeps what no other
    /// party takes. Without one, what is not taken is simply left.
    pub store: Option<PartyIx>,
    pub needs: Vec<Need>,
    pub wants: Vec<Want>,
    pub rules: Vec<Rule>,
    /// Each kind at most once; never empty.
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

impl MoveOrder {
    pub fn carrier(&self, c: CarrierIx) -> &Carrier {
        &self.carriers[c.0]
    }
    pub fn party(&self, p: PartyIx) -> &Party {
        &self.parties[p.0]
    }
    pub fn item(&self, i: ItemIx) -> &Item {
        &self.catalogue[i]
    }
    pub fn party_of(&self, c: CarrierIx) -> Option<PartyIx> {
        self.parties.iter().position(|p| p.who.contains(&c)).map(PartyIx)
    }
    pub fn is_store(&self, p: PartyIx) -> bool {
        self.store == Some(p)
    }
    /// Carriers that can take kit: people of parties on foot, and vehicles.
    pub fn takes_kit(&self, c: CarrierIx) -> bool {
        self.party_of(c).is_some_and(|p| {
            self.carrier(c).vehicle().is_some() || self.party(p).travel == Travel::Foot
        })
    }
    /// What is on the carrier before any kit: worn mass, or the people aboard
    /// with what they wear.
    pub fn burden(&self, c: CarrierIx) -> Mass {
        let worn = self.carrier(c).person().map_or(Mass::ZERO, |p| p.worn);
        let aboard = self.parties.iter().flat_map(|p| &p.aboard).filter(|(_, v)| *v == c);
        aboard.fold(worn, |sum, (person, _)| {
            let p = self.carrier(*person).person();
            sum + p.map_or(Mass::ZERO, |p| p.worn + p.body_mass.unwrap_or_default())
        })
    }
    /// The declared limit less every reserve on this carrier.
    pub fn usable_limit(&self, c: CarrierIx) -> Mass {
        let limit = self.carrier(c).limit();
        let kept = self.rules.iter().filter_map(|r| match &r.kind {
            RuleKind::Reserve { reserve, carriers } if carriers.contains(&c) => {
                Some(match reserve {
                    Reserve::Mass(m) => *m,
                    Reserve::Share(p) => p.of_mass_up(limit),
                })
            }
            _ => None,
        });
        limit - kept.sum::<Mass>()
    }
    /// What was used up of the supply where the party is, in its base units.
    pub fn spent(&self, party: PartyIx, supply: SupplyIx) -> u64 {
        let here = self.spent.iter().filter(|s| (s.0, s.1) == (party, supply));
        here.fold(0, |sum, s| sum.saturating_add(s.2))
    }
    /// The hands that must stay free: the most that any rule asks.
    pub fn hands_kept_free(&self, c: CarrierIx) -> u32 {
        let asks = self.rules.iter().filter_map(|r| match &r.kind {
            RuleKind::HandsFree { hands, carriers } if carriers.contains(&c) => Some(*hands),
            _ => None,
        });
        asks.max().unwrap_or(0)
    }
}
