//! Rules on who may carry what.
//!
//! The store (the `stays-with` party) is where things are put down, so the
//! rules on how things are spread (apart, together) do not bind there, and
//! `at most` only where it names a vehicle of the store.

use super::ix::{CarrierIx, ItemIx};
use super::place::Place;
use crate::quantity::{Mass, Percent};

/// A rule, and where it was written.
#[derive(Debug, Clone)]
pub struct Rule {
    /// What it says.
    pub kind: RuleKind,
    /// Where it was written.
    pub place: Option<Place>,
}

/// A thing carried by a pair is on both its bearers.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "each line says what its fields are")]
pub enum RuleKind {
    /// No carrier outside the store has more than one of these kinds.
    Apart { items: Vec<ItemIx> },
    /// In each party outside the store, whatever goes of these kinds is on one
    /// carrier. (It does not make anything go.) A pair's thing is with either
    /// of its bearers.
    Together { items: Vec<ItemIx> },
    /// Each of `carriers` has at most `count` units of these kinds together.
    AtMost { count: u32, items: Vec<ItemIx>, carriers: Vec<CarrierIx> },
    /// `carrier` has at least `count` of the item.
    Fixed { item: ItemIx, count: u32, carrier: CarrierIx },
    /// None of `carriers` has any of these kinds.
    KeepOff { items: Vec<ItemIx>, carriers: Vec<CarrierIx> },
    /// Each of `carriers` (people) has at least `hands` hands free.
    HandsFree { hands: u32, carriers: Vec<CarrierIx> },
    /// The limit of each of `carriers` is that much lower for this move.
    /// Several reserves on one carrier add up.
    Reserve { reserve: Reserve, carriers: Vec<CarrierIx> },
}

/// How much of the limit is kept back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reserve {
    /// So much.
    Mass(Mass),
    /// Of the declared limit, rounded up to a whole milligram.
    Share(Percent),
}

/// The one number that a kind of rule may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RuleNumber {
    /// Units of items, or hands.
    Count(u32),
    /// What is kept back of a limit.
    Kept(Reserve),
}

/// What a kind of rule is in words, see [`sentence`](crate::sentence). They are
/// about `{items}`, `{carriers}` and `{number}`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleWords {
    /// What it says. `{some}` is its number, unless that is one: `2 of `.
    pub says: &'static str,
    /// The same beside its word, for those who know what that says.
    pub brief: &'static str,
    /// To ask for another number than it `{was}`; empty if it has none.
    pub instead: &'static str,
    /// That a plan breaks it: by `{carrier}` or in `{party}`, who has `{count}` of
    /// `{items}`. Empty if limits and hands tell of it.
    pub broken: &'static str,
}

/// A kind of rule, taken apart.
struct Parts<'a> {
    word: &'static str,
    items: &'a [ItemIx],
    /// Those that it binds, as many as there may be.
    carriers: &'a [CarrierIx],
    /// The one that it names, where there is but one.
    to: Option<&'a CarrierIx>,
    number: Option<RuleNumber>,
    words: RuleWords,
}

/// What of a rule can be another.
#[derive(Default)]
struct PartsMut<'a> {
    items: Option<&'a mut Vec<ItemIx>>,
    carriers: Option<&'a mut Vec<CarrierIx>>,
    count: Option<&'a mut u32>,
    kept: Option<&'a mut Reserve>,
}

// All that tells the kinds apart outside the reader, the rows, the search and the
// audits stands in these two.
impl RuleKind {
    fn parts(&self) -> Parts<'_> {
        let count = |n: &u32| Some(RuleNumber::Count(*n));
        match self {
            RuleKind::Apart { items } => Parts {
                word: "apart",
                items,
                carriers: &[],
                to: None,
                number: None,
                words: RuleWords {
                    says: "{items} go apart: nobody has more than one kind of them",
                    brief: "{items}",
                    instead: "",
                    broken: "{carrier} has {items}, which must go apart",
                },
            },
            RuleKind::Together { items } => Parts {
                word: "together",
                items,
                carriers: &[],
                to: None,
                number: None,
                words: RuleWords {
                    says: "{items} go together on one carrier",
                    brief: "{items}",
                    instead: "",
                    broken: "{items} must be on one carrier of {party}",
                },
            },
            RuleKind::AtMost { count: n, items, carriers } => Parts {
                word: "at-most",
                items,
                carriers,
                to: None,
                number: count(n),
                words: RuleWords {
                    says: "at most {number} of {items} with {carriers}{| each:carriers}",
                    brief: "{number} of {items} for {carriers}",
                    instead: "allow {number} of {items} on one carrier instead of {was}",
                    broken: "{carrier} has {count} of {items}, where at most {number} may be",
                },
            },
            RuleKind::Fixed { item, count: n, carrier } => Parts {
                word: "fixed",
                items: std::slice::from_ref(item),
                carriers: &[],
                to: Some(carrier),
                number: count(n),
                words: RuleWords {
                    says: "{some}{item} {is|are:number} fixed to {carriers}",
                    brief: "{number} of {items} to {carriers}",
                    instead: "fix {number} of {item} to {carriers} instead of {was}",
                    broken: "{carrier} has {count} of {items} and must have {number}",
                },
            },
            RuleKind::KeepOff { items, carriers } => Parts {
                word: "keep-off",
                items,
                carriers,
                to: None,
                number: None,
                words: RuleWords {
                    says: "kept off {carriers}: {items}",
                    brief: "{items} from {carriers}",
                    instead: "",
                    broken: "{items} may not be with {carrier}",
                },
            },
            RuleKind::HandsFree { hands, carriers } => Parts {
                word: "hands-free",
                items: &[],
                carriers,
                to: None,
                number: count(hands),
                words: RuleWords {
                    says: "{number} {hand stays|hands stay:number} free: {carriers}",
                    brief: "{number} for {carriers}",
                    instead: "keep {number} hand free instead of {was}",
                    broken: "",
                },
            },
            RuleKind::Reserve { reserve, carriers } => Parts {
                word: "reserve",
                items: &[],
                carriers,
                to: None,
                number: Some(RuleNumber::Kept(*reserve)),
                words: RuleWords {
                    says: "{number} of the limit is kept back: {carriers}",
                    brief: "for {carriers}",
                    instead: "keep back {number} of the limit instead of {was}",
                    broken: "",
                },
            },
        }
    }

    fn parts_mut(&mut self) -> PartsMut<'_> {
        let none = PartsMut::default();
        match self {
            RuleKind::Apart { items } | RuleKind::Together { items } => {
                PartsMut { items: Some(items), ..none }
            }
            RuleKind::AtMost { count, items, carriers } => PartsMut {
                items: Some(items),
                carriers: Some(carriers),
                count: Some(count),
                ..none
            },
            RuleKind::Fixed { count, .. } => PartsMut { count: Some(count), ..none },
            RuleKind::KeepOff { items, carriers } => {
                PartsMut { items: Some(items), carriers: Some(carriers), ..none }
            }
            RuleKind::HandsFree { hands, carriers } => {
                PartsMut { carriers: Some(carriers), count: Some(hands), ..none }
            }
            RuleKind::Reserve { reserve, carriers } => {
                PartsMut { carriers: Some(carriers), kept: Some(reserve), ..none }
            }
        }
    }

    /// The key that names this kind of rule in a move order.
    pub fn word(&self) -> &'static str {
        self.parts().word
    }
    /// What it is in words.
    pub fn words(&self) -> RuleWords {
        self.parts().words
    }
    /// The items that it names.
    pub fn items(&self) -> &[ItemIx] {
        self.parts().items
    }
    /// The carriers that it names, or all that it binds.
    pub fn carriers(&self) -> &[CarrierIx] {
        let parts = self.parts();
        parts.to.map_or(parts.carriers, std::slice::from_ref)
    }
    /// The one carrier that it is about, where it can be about no other.
    pub fn to(&self) -> Option<CarrierIx> {
        self.parts().to.copied()
    }
    /// Whether it binds this carrier as it may bind others: whoever is like it is
    /// bound too.
    pub fn binds(&self, carrier: CarrierIx) -> bool {
        self.parts().carriers.contains(&carrier)
    }
    /// Its number.
    pub fn number(&self) -> Option<RuleNumber> {
        self.parts().number
    }
    /// Its items, where they are a list that may be another.
    pub fn items_mut(&mut self) -> Option<&mut Vec<ItemIx>> {
        self.parts_mut().items
    }
    /// The carriers that it binds, where they are a list that may be another.
    pub fn carriers_mut(&mut self) -> Option<&mut Vec<CarrierIx>> {
        self.parts_mut().carriers
    }
    /// The same rule with other items; itself where they are no list.
    pub fn with_items(mut self, items: Vec<ItemIx>) -> RuleKind {
        if let Some(of) = self.items_mut() {
            *of = items;
        }
        self
    }
    /// The same rule for other carriers; itself where they are no list.
    pub fn with_carriers(mut self, carriers: Vec<CarrierIx>) -> RuleKind {
        if let Some(of) = self.carriers_mut() {
            *of = carriers;
        }
        self
    }
    /// The same rule with another number of its sort; itself if it has none.
    pub fn with_number(mut self, number: RuleNumber) -> RuleKind {
        let PartsMut { count, kept, .. } = self.parts_mut();
        match (number, count, kept) {
            (RuleNumber::Count(n), Some(count), _) => *count = n,
            (RuleNumber::Kept(reserve), _, Some(kept)) => *kept = reserve,
            _ => {}
        }
        self
    }
    /// Whether the rule names this item.
    pub fn names_item(&self, item: ItemIx) -> bool {
        self.items().contains(&item)
    }
}
