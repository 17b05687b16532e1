//! From raw records to the domain. Every fault is collected with its place;
//! what is faulty is replaced by something harmless, so that one slip does
//! not hide the next or make up others.

mod carriers;
mod circle;
mod faults;
mod items;
mod limits;
mod needs;
mod order;
mod parties;
mod rules;
mod scalar;
mod stores;
mod supplies;
mod weighed;

pub(super) use carriers::{Carriers, carriers};
pub(super) use items::{Items, items};
pub(super) use order::{order, parts};
pub(super) use scalar::{MOST_COUNT, holder, units};
pub(super) use stores::{holds, stores};
pub(super) use supplies::Supplies;
pub(super) use weighed::{Weighed, weighed, weighed_items};
