//! `tumpline muster`: hand-made cases, properties over made-up stores, moves
//! asked with what is fit, writing, and hostile names.

mod faults;
mod forms;
mod hand_made;
mod hostile;
mod moves;
mod properties;
mod sheets;
mod writing;

use crate::common::folder::{Done, Folder};
use serde_json::Value;

/// Four lamps, two ropes, a bag with two leads and a pouch, two more pouches
/// with three tapes each, a lead.
pub const ITEMS: &str = "equipment:
  - {id: lamp, name: Lamp, mass: 100 g, held: 4}
  - {id: rope, name: Rope, mass: 3 kg, held: 2}
  - {id: bag, name: Bag, mass: 2 kg, contents: {lead: 2, pouch: 1}}
  - {id: pouch, name: Pouch, mass: 500 g, held: 2, contents: {tape: 3}}
  - {id: lead, name: Lead, mass: 250 g, held: 1}
";

/// A folder with a stores file that goes on like this.
pub fn stores(rest: &str) -> Folder {
    Folder::with("stores.yaml", format!("stores: Test store\n{ITEMS}{rest}"))
}

impl Folder {
    /// `tumpline muster FOLDER …`, within the test; an argument with an `@` in front is a
    /// file in the folder.
    pub fn muster(&self, args: &[&str]) -> Done {
        self.call(&[&["muster", "@"], args].concat())
    }
    pub fn mustered(&self, args: &[&str]) -> Value {
        self.muster(&[args, &["--format", "json"]].concat()).json()
    }
}

/// `lamp.short`, `bag 1 / pouch 1:tape.found`, `bag 1.short`, `totals.held`,
/// `in_order`.
pub fn look<'a>(doc: &'a Value, path: &str) -> &'a Value {
    let (head, key) = path.rsplit_once('.').unwrap_or(("", path));
    let by = |list: &'a Value, key: &str, is: &str| {
        let list = list.as_array().unwrap();
        list.iter().find(|e| e[key] == is).unwrap_or_else(|| panic!("no {is} in {path}"))
    };
    let case = |of: &str| by(&doc["cases"], "case", of);
    match head.split_once(':') {
        Some((of, item)) => &by(&case(of)["contents"], "id", item)[key],
        None if head.is_empty() => &doc[key],
        None if head == "totals" || head == "count" => &doc[head][key],
        None if head.contains(' ') => &case(head)[key],
        None => &by(&doc["holdings"], "id", head)[key],
    }
}
