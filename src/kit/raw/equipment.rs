//! `equipment.yaml`.

use super::*;
use crate::shape::record;

record! {
    /// The equipment of a crew: every item, what it weighs, how it is carried
    /// and what it needs.
    RawEquipment, "an equipment file" {
        /// How numbers are printed; both systems are always read. Default: metric.
        units: Option<UnitsText>,
        /// Every kind of thing.
        equipment: Vec<RawItem>,
    }
}

record! {
    /// A kind of thing.
    RawItem, "an item" {
        /// Unique among the items: lower-case letters, digits, hyphens.
        id: Id,
        /// What people call it. Default: the id.
        name: Option<Name>,
        /// Mass of one, packed if it is a case.
        mass: MassText,
        /// Volume of one. Give this or `size`; default: 0 L.
        bulk: Option<BulkText>,
        /// Outer sides of one, instead of `bulk`.
        size: Option<SizeText>,
        /// How many are held, those inside cases not counted. Default: 1.
        held: Option<Count>,
        /// How people may carry it. `[bed]` alone: vehicles only. Default: `[back]`.
        carry: Option<Vec<WayText>>,
        /// Hands it takes when carried by hand, 1 or 2. Default: 1.
        hands: Option<Count>,
        /// Shares of its mass on the two bearers of a pair; they make 100 %.
        /// Default: half each.
        pair_shares: Option<Vec<PercentText>>,
        /// The duty whose holder should carry it.
        keeper: Option<Id>,
        /// What it needs beside it to work: so many for each, or `shared`.
        requires: Option<Entries<RequiredText>>,
        /// What one of it supplies.
        supplies: Option<Entries<AmountText>>,
        /// What one of it uses.
        uses: Option<Entries<UseText>>,
        /// What is packed in one of it.
        contents: Option<Entries<Count>>,
        /// Words that rules can take many items by, as in `tag:medical`.
        tags: Option<Vec<Id>>,
    }
}
