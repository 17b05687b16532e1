//! `carriers.yaml`.

use super::*;
use crate::shape::record;

record! {
    /// The people and vehicles that carry.
    RawCarriers, "a carriers file" {
        /// Everybody who may go.
        people: Option<Vec<RawPerson>>,
        /// Vehicles, and sledges or carts that people haul.
        vehicles: Option<Vec<RawVehicle>>,
    }
}

record! {
    /// A person.
    RawPerson, "a person" {
        /// Unique among people and vehicles.
        id: Id,
        /// What people call them. Default: the id.
        name: Option<Name>,
        /// Needed if the limit is a share, or if the person rides.
        body_mass: Option<MassText>,
        /// The most this person may bear, what is worn included: a mass, or a
        /// share of body mass.
        limit: MassOrShare,
        /// The most this person may bear if somebody of the party drops out:
        /// a mass, or a share of body mass. Default: the limit.
        emergency_limit: Option<MassOrShare>,
        /// What is worn and cannot be put down. Default: 0 kg.
        worn: Option<MassText>,
        /// What the pack holds. Without it, bulk is not watched.
        pack: Option<BulkText>,
        /// What this person is there to do.
        duties: Option<Vec<Id>>,
        /// How many things each way of carrying holds.
        slots: Option<RawSlots>,
        /// What this person uses.
        uses: Option<Entries<UseText>>,
    }
}

record! {
    /// How many things each way of carrying holds.
    RawSlots, "the slots of a person" {
        /// Default: what the pack takes.
        back: Option<Count>,
        /// Default: 1.
        chest: Option<Count>,
        /// Default: 2.
        shoulder: Option<Count>,
        /// Default: 2.
        belt: Option<Count>,
        /// Hands, 0 to 2. Default: 2.
        hand: Option<Count>,
    }
}

record! {
    /// A vehicle, or a sledge or cart.
    RawVehicle, "a vehicle" {
        /// Unique among people and vehicles.
        id: Id,
        /// What people call it. Default: the id.
        name: Option<Name>,
        /// The most it may bear, the people aboard included.
        payload: MassText,
        /// What the bed holds. Without it, bulk is not watched.
        bed: Option<BulkText>,
        /// How many people ride. Default: 0.
        seats: Option<Count>,
        /// A sledge or cart that goes with a party on foot. Default: false.
        hauled: Option<YesNo>,
    }
}
