//! Carriers: people and vehicles, with their limits.

use super::item::Use;
use super::ix::SupplyIx;
use super::place::Place;
use super::way::Way;
use crate::quantity::{Bulk, Mass, Percent};

/// A person or a vehicle.
#[derive(Debug, Clone)]
pub struct Carrier {
    /// Unique among the carriers of a move.
    pub id: String,
    /// For reports; as the user calls it.
    pub name: String,
    /// A person or a vehicle, with its limits.
    pub riding: Riding,
    /// Where it was written.
    pub place: Option<Place>,
}

/// What kind of carrier it is.
#[derive(Debug, Clone)]
pub enum Riding {
    /// Somebody who carries, or rides.
    Person(Person),
    /// What carries on its bed.
    Vehicle(Vehicle),
}

/// A person: limits of mass, bulk and ways.
#[derive(Debug, Clone)]
pub struct Person {
    /// Without clothes; counts against the payload of what the person rides in.
    pub body_mass: Option<Mass>,
    /// The most this person may bear, worn mass included, as resolved.
    pub limit: Mass,
    /// How the limit was given, if as a share of body mass.
    pub limit_share: Option<Percent>,
    /// The most this person may bear once somebody of the party has dropped
    /// out; no less than `limit`.
    pub emergency_limit: Mass,
    /// Whether that was given: what changes the limit may have to change it too.
    pub emergency_given: bool,
    /// What is worn and cannot be put down; counts against the limit.
    pub worn: Mass,
    /// Volume of the pack; `None` where bulk is not watched.
    pub pack: Option<Bulk>,
    /// What the person does; items are kept by a duty.
    pub duties: Vec<String>,
    /// How many things go by each way.
    pub slots: Slots,
    /// What this person uses; each supply at most once.
    pub uses: Vec<(SupplyIx, Use)>,
}

/// How many things each way of a person holds; `None` is no limit.
/// `hand` counts hands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slots {
    /// In or on the pack.
    pub back: Option<u32>,
    /// Before the chest.
    pub chest: Option<u32>,
    /// Slung over a shoulder.
    pub shoulder: Option<u32>,
    /// On the belt.
    pub belt: Option<u32>,
    /// Hands; a thing takes one or two.
    pub hand: u32,
}

/// Two hands, two shoulders, one thing on the chest, two on the belt, and on
/// the back whatever the pack takes: common practice, no source.
impl Default for Slots {
    fn default() -> Self {
        Slots { back: None, chest: Some(1), shoulder: Some(2), belt: Some(2), hand: 2 }
    }
}

impl Slots {
    /// The most things by this way; hands by `Way::Hand`, no limit elsewhere.
    pub fn of(&self, way: Way) -> Option<u32> {
        match way {
            Way::Back => self.back,
            Way::Chest => self.chest,
            Way::Shoulder => self.shoulder,
            Way::Belt => self.belt,
            Way::Hand => Some(self.hand),
            Way::Pair => Some(1),
            Way::Bed => None,
        }
    }
}

/// A vehicle, or a sledge or cart that goes with people on foot.
#[derive(Debug, Clone)]
pub struct Vehicle {
    /// The most it may bear, the people aboard included.
    pub payload: Mass,
    /// Volume of the bed; `None` where bulk is not watched.
    pub bed: Option<Bulk>,
    /// How many people it seats; 0 takes none.
    pub seats: u32,
    /// Hauled or pushed by people: may be in a party on foot.
    pub hauled: bool,
}

impl Carrier {
    /// The person, if it is one.
    pub fn person(&self) -> Option<&Person> {
        match &self.riding {
            Riding::Person(p) => Some(p),
            Riding::Vehicle(_) => None,
        }
    }
    /// The vehicle, if it is one.
    pub fn vehicle(&self) -> Option<&Vehicle> {
        match &self.riding {
            Riding::Vehicle(v) => Some(v),
            Riding::Person(_) => None,
        }
    }
    /// The limit as declared, before any reserve.
    pub fn limit(&self) -> Mass {
        match &self.riding {
            Riding::Person(p) => p.limit,
            Riding::Vehicle(v) => v.payload,
        }
    }
    /// Volume of the pack or bed, if it is watched.
    pub fn room(&self) -> Option<Bulk> {
        match &self.riding {
            Riding::Person(p) => p.pack,
            Riding::Vehicle(v) => v.bed,
        }
    }
    /// Whether it is a person with this duty.
    pub fn has_duty(&self, duty: &str) -> bool {
        self.person().is_some_and(|p| p.duties.iter().any(|d| d == duty))
    }
}
