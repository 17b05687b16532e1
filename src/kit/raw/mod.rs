//! The files as they are written: texts in records, nothing looked up or
//! computed yet. Doc comments here become the descriptions in the schemas.

mod carriers;
mod entries;
mod equipment;
mod move_file;
mod node;
mod rules;
mod stores;
mod text;
mod weighed;

pub use carriers::{RawCarriers, RawPerson, RawVehicle};
pub use entries::Entries;
pub use equipment::{RawEquipment, RawItem};
pub use move_file::{CarriersRef, EquipmentRef, RawGoal, RawMove, RawParty, RawWant};
pub(crate) use node::HEADS;
pub use node::{Element, ItemRef, RawNeed, RawNode};
pub use rules::{OneOrMore, RawRule};
pub use stores::{Holders, RawStores};
pub use text::*;
pub use weighed::RawWeighed;
