//! What the audit finds wrong with a plan, and what each fault is in words: once,
//! for whoever prints it in Rust and for the page's script.

use crate::load::{
    CarrierIx, ItemIx, MoveOrder, NeedIx, PartyIx, Reserve, RuleIx, RuleNumber, Way,
};
use crate::quantity::{Bulk, Mass, Units};
use tumpline_core::sentence::{self, Piece, listed};
use tumpline_core::text::clean;

/// What a value of a fault is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum FaultValue<'a> {
    /// A carrier, by name.
    Carrier(CarrierIx),
    /// An item, by name.
    Item(ItemIx),
    /// Items, all of them.
    Items(&'a [ItemIx]),
    /// Items and how many of each, one of which would do.
    Any(&'a [(ItemIx, u32)]),
    /// A party, by its id.
    Party(PartyIx),
    /// A need, by its name.
    Need(NeedIx),
    /// A rule.
    Rule(RuleIx),
    /// How many.
    Count(u64),
    /// In the units of the move; exactly where rounding leaves nothing.
    Mass(Mass),
    /// In litres.
    Bulk(Bulk),
    /// By its word.
    Way(Way),
}

/// A type of values, by a name for those who have no types.
trait Value {
    const SORT: &'static str;
    fn told(&self) -> Option<FaultValue<'_>>;
}

macro_rules! values {
    ($($type:ty, $sort:literal, $told:ident;)*) => {
        $(impl Value for $type {
            const SORT: &'static str = $sort;
            fn told(&self) -> Option<FaultValue<'_>> {
                Some(FaultValue::$told((*self).into()))
            }
        })*
    };
}

values! {
    CarrierIx, "carrier", Carrier;
    ItemIx, "item", Item;
    PartyIx, "party", Party;
    NeedIx, "need", Need;
    RuleIx, "rule", Rule;
    u32, "count", Count;
    u64, "count", Count;
    Mass, "mass", Mass;
    Bulk, "bulk", Bulk;
    Way, "way", Way;
}

impl Value for Vec<ItemIx> {
    const SORT: &'static str = "items";
    fn told(&self) -> Option<FaultValue<'_>> {
        Some(FaultValue::Items(self))
    }
}

impl Value for Vec<(ItemIx, u32)> {
    const SORT: &'static str = "any";
    fn told(&self) -> Option<FaultValue<'_>> {
        Some(FaultValue::Any(self))
    }
}

impl<V: Value> Value for Option<V> {
    const SORT: &'static str = V::SORT;
    fn told(&self) -> Option<FaultValue<'_>> {
        self.as_ref().and_then(Value::told)
    }
}

/// A kind of fault, as data.
#[derive(Debug, Clone, Copy)]
pub struct FaultKind {
    /// Its name in the script.
    pub word: &'static str,
    /// The sentence, see [`sentence`]; of a broken rule it is the rule's own.
    pub says: &'static str,
    /// Its values by name, and the sort of each.
    pub values: &'static [(&'static str, &'static str)],
}

/// One line for each kind: name, word for the script, values, sentence.
macro_rules! faults {
    ($($name:ident $word:literal { $($value:ident: $type:ty),* } $says:literal;)*) => {
        /// A fault of a plan. Places are those in the move order.
        #[derive(Debug, Clone, PartialEq, Eq)]
        #[non_exhaustive]
        #[allow(
            missing_docs,
            clippy::empty_docs,
            reason = "each has its sentence, which names its values; a rule has that of its kind"
        )]
        pub enum Fault {
            $(#[doc = $says] $name { $($value: $type),* },)*
        }

        impl Fault {
            /// Every kind.
            pub const KINDS: &'static [FaultKind] = &[$(FaultKind {
                word: $word,
                says: $says,
                values: &[$((stringify!($value), <$type as Value>::SORT)),*],
            }),*];

            /// The name of its kind in the script.
            pub fn word(&self) -> &'static str {
                match self {
                    $(Fault::$name { .. } => $word,)*
                }
            }

            fn says(&self) -> &'static str {
                match self {
                    $(Fault::$name { .. } => $says,)*
                }
            }

            /// Its values by name, those that it has.
            pub fn values(&self) -> Vec<(&'static str, FaultValue<'_>)> {
                match self {
                    $(Fault::$name { $($value),* } => {
                        let all: Vec<(&'static str, Option<FaultValue<'_>>)> =
                            vec![$((stringify!($value), $value.told())),*];
                        all.into_iter().filter_map(|(name, v)| Some((name, v?))).collect()
                    })*
                }
            }
        }
    };
}

faults! {
    OverLimit "over" { carrier: CarrierIx, load: Mass, limit: Mass }
        "{carrier} is OVER THE LIMIT by {load - limit}: {load of limit}";
    IntoReserve "reserve" { carrier: CarrierIx, load: Mass, usable: Mass }
        "{carrier} is INTO THE RESERVE by {load - usable}: {load of usable}";
    OverAtWorst "worst" { carrier: CarrierIx, worst: Mass, usable: Mass }
        "{carrier} could be OVER THE LIMIT by {worst - usable} if things weigh more than the list says";
    PackTooFull "pack" { carrier: CarrierIx, bulk: Bulk, room: Bulk }
        "{carrier} has {bulk of room} in the pack: too much by {bulk - room}";
    BedTooFull "bed" { carrier: CarrierIx, bulk: Bulk, room: Bulk }
        "{carrier} has {bulk of room} in the bed: too much by {bulk - room}";
    Slots "slots" { carrier: CarrierIx, way: Way, count: u32, most: u32 }
        "{carrier} has {count} {thing|things:count} by {way}, where at most {most} can be";
    Pairs "pairs" { carrier: CarrierIx, count: u32 }
        "{carrier} is in {count} pairs at once";
    Hands "hands" { carrier: CarrierIx, used: u32, hands: u32 }
        "{carrier} uses {used} {hand|hands:used} of {hands}";
    HandsFree "hands-free" { carrier: CarrierIx, used: u32, hands: u32, keep: u32 }
        "{carrier} uses {used} {hand|hands:used} of {hands}, and {keep} must stay free";
    Rule "rule" {
        rule: RuleIx, carrier: Option<CarrierIx>, party: Option<PartyIx>, items: Vec<ItemIx>,
        count: Option<u64>
    }
        "";
    Need "need" { party: PartyIx, need: NeedIx }
        "NOT MET for {party}: {need}";
    Requires "requires" { party: PartyIx, item: ItemIx, there: u64, asked: u64 }
        "{party} has {there} of {item}, and {asked} {is|are:asked} required by what is there";
    Brings "brings" { party: PartyIx, any: Vec<(ItemIx, u32)> }
        "{party} must bring {any}, so that the rest can carry on if somebody drops out";
    TooMany "too-many" { item: ItemIx, placed: u64, held: u64 }
        "{placed} {is|are:placed} placed of {item}, and {held} {is|are:held} held";
    Nowhere "nowhere" { item: ItemIx, count: u64 }
        "{count} {is|are:count} nowhere of {item}";
    Nobody "nobody" { item: ItemIx, carrier: CarrierIx }
        "{item} is with {carrier}, who is in no party";
    BedOnly "bed-only" { item: ItemIx, carrier: CarrierIx }
        "{item} can only ride on the bed of {carrier}";
    Rider "rider" { item: ItemIx, carrier: CarrierIx }
        "{carrier} rides and carries nothing, so not {item}";
    Way "way" { item: ItemIx, carrier: CarrierIx, way: Way }
        "{item} may not be carried by {way}";
    PairParty "pair-party" { item: ItemIx, carrier: CarrierIx, with: CarrierIx }
        "{carrier} and {with} cannot carry {item} as a pair: that takes two people on foot of one party";
    PairFoot "pair-foot" { item: ItemIx, carrier: CarrierIx, with: CarrierIx }
        "{carrier} and {with} cannot carry {item} as a pair: that takes two people on foot of one party";
    PairWay "pair-way" { item: ItemIx, carrier: CarrierIx, with: CarrierIx }
        "{item} may not be carried by a pair";
    PairCount "pair-count" { item: ItemIx, carrier: CarrierIx, with: CarrierIx }
        "{carrier} and {with} carry one thing between them, not more of {item}";
    Unknown "unknown" {}
        "something is placed that is not in the move";
}

impl Fault {
    /// In words: names as the move order has them, made inert, and the units that
    /// it asks for.
    pub fn sentence(&self, order: &MoveOrder) -> String {
        let (mut says, mut values) = (self.says(), self.values());
        if let Fault::Rule { rule, .. } = self
            && let Some(rule) = order.rules().get(rule.0)
        {
            let kind = &rule.kind;
            says = kind.words().broken;
            values.extend(kind.number().map(|n| {
                let n = match n {
                    RuleNumber::Count(n) => FaultValue::Count(n.into()),
                    RuleNumber::Kept(Reserve::Mass(m)) => FaultValue::Mass(m),
                    RuleNumber::Kept(Reserve::Share(s)) => FaultValue::Count(s.ppm()),
                };
                ("number", n)
            }));
        }
        let value = |name: &str| values.iter().find(|(n, _)| *n == name).map(|(_, v)| *v);
        let text = |name: &str| value(name).map_or(String::new(), |v| v.text(order));
        let piece = |piece: Piece<'_>| match piece {
            Piece::Words(words) => words.to_string(),
            Piece::Value(name) => text(name),
            Piece::Either { one, many, by } => {
                let is_one = value(by).is_some_and(|v| v.count() == 1);
                if is_one { one } else { many }.to_string()
            }
            Piece::Of { part, whole } => sentence::of(&text(part), &text(whole)),
            Piece::Above { value: v, most } => match (value(v), value(most)) {
                (Some(v), Some(most)) => v.above(most, order.units()),
                _ => String::new(),
            },
        };
        sentence::pieces(says).into_iter().map(piece).collect()
    }
}

impl FaultValue<'_> {
    fn text(self, order: &MoveOrder) -> String {
        let item = |i: ItemIx| clean(&order.item(i).name);
        match self {
            FaultValue::Carrier(c) => clean(&order.carrier(c).name),
            FaultValue::Item(i) => item(i),
            FaultValue::Items(all) => listed(&all.iter().map(|i| item(*i)).collect::<Vec<_>>()),
            FaultValue::Any(any) => {
                let any = any.iter().map(|(i, n)| format!("{n} {}", item(*i)));
                any.collect::<Vec<_>>().join(" or ")
            }
            FaultValue::Party(p) => clean(&order.party(p).id),
            FaultValue::Need(n) => clean(&order.needs()[n.0].name),
            FaultValue::Rule(r) => order.rules()[r.0].kind.word().to_string(),
            FaultValue::Count(n) => n.to_string(),
            FaultValue::Mass(m) => m.rounded(order.units()),
            FaultValue::Bulk(b) => b.rounded(),
            FaultValue::Way(w) => w.to_string(),
        }
    }

    /// How many, where that is asked.
    fn count(self) -> u64 {
        match self {
            FaultValue::Count(n) => n,
            FaultValue::Items(all) => all.len() as u64,
            FaultValue::Any(any) => any.len() as u64,
            _ => 1,
        }
    }

    /// By how much it is above the other, of which nothing is rounded away.
    fn above(self, most: FaultValue<'_>, units: Units) -> String {
        match (self, most) {
            (FaultValue::Mass(m), FaultValue::Mass(most)) => {
                let excess = m - most;
                let text = excess.rounded(units);
                let lost = excess > Mass::ZERO && text.starts_with("0.00 ");
                if lost { excess.to_string() } else { text }
            }
            (FaultValue::Bulk(b), FaultValue::Bulk(most)) => {
                format!("{} mL", b.saturating_sub(most).ml())
            }
            _ => String::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// A name in a sentence that no value has would print as nothing.
    #[test]
    fn every_sentence_is_about_values_that_are_there() {
        let words: BTreeSet<&str> = Fault::KINDS.iter().map(|k| k.word).collect();
        assert_eq!(words.len(), Fault::KINDS.len(), "words are different");
        for kind in Fault::KINDS {
            for piece in sentence::pieces(kind.says) {
                let of: &[&str] = match &piece {
                    Piece::Words(words) => {
                        assert!(!words.contains(['{', '}', '|']), "{words}");
                        &[]
                    }
                    Piece::Value(name) | Piece::Either { by: name, .. } => &[*name],
                    Piece::Of { part, whole } => &[*part, *whole],
                    Piece::Above { value, most } => &[*value, *most],
                };
                for name in of {
                    assert!(kind.values.iter().any(|(n, _)| n == name), "{}: {name}", kind.word);
                }
            }
        }
    }
}
