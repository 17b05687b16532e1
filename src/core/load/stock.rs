//! What a crew has and who carries, without any move.

use super::carrier::Carrier;
use super::item::Item;
use super::need::Supply;
use crate::quantity::Units;
use std::collections::BTreeMap;

/// Items, carriers or both, as one file has them.
#[derive(Debug, Clone, Default)]
pub struct Stock {
    /// As the user named it.
    pub file: String,
    /// In which it is printed.
    pub units: Units,
    /// `None` if the file has no items. Those that are known only as contents
    /// are among them: they have no way of their own.
    pub items: Option<Vec<Item>>,
    /// By item: the size as written, where it stands for the bulk.
    pub sizes: BTreeMap<String, String>,
    /// `None` if the file has no carriers.
    pub carriers: Option<Vec<Carrier>>,
    /// What items and carriers supply and use, by index.
    pub supplies: Vec<Supply>,
}
