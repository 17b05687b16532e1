//! Changes that touch no part of a conflict, but the background of all of it:
//! how things may be carried, how many are held, who goes, how often they walk.

use super::{Least, Remedy, RemedySearch};
use crate::ask::asker::{Asker, Known};
use crate::ask::change::Change;
use crate::ask::draft::{Draft, held};
use crate::ask::part::{Part, pieces};
use crate::ask::trips;
use crate::load::{CarrierIx, ItemIx, MoveOrder, NeedNode, PartyIx, RuleKind, Way};
use crate::split::audit;
use std::collections::BTreeSet;

/// Items that are tried one by one.
const MOST_ITEMS: usize = 24;
/// The most more of one item that is tried.
const MOST_MORE: u32 = 64;

/// All such changes that make the base possible, by what the conflict is about.
pub(in crate::ask) fn background(search: &RemedySearch<'_, '_>, conflict: &[Part]) -> Vec<Remedy> {
    let order = search.base.order.clone();
    let parties = parties(&order, conflict);
    let items: Vec<ItemIx> = items(&order, conflict).into_iter().take(MOST_ITEMS).collect();
    let mut found = Vec::new();
    found.extend(search.another(&parties));
    found.extend(parties.iter().filter_map(|p| search.second_trip(*p)));
    found.extend(search.held(&items));
    found.extend(search.ways(&items));
    found
}

/// Parties that the conflict is about; all where it names none.
fn parties(order: &MoveOrder, conflict: &[Part]) -> BTreeSet<PartyIx> {
    let all = || (0..order.parties().len()).map(PartyIx);
    let of = |part: &Part| match part {
        Part::Need { need, .. } => Some(order.needs()[*need].party),
        Part::Limit(c) | Part::Room(c) | Part::Slots { carrier: c, .. } => order.party_of(*c),
        Part::Stays => order.store(),
        Part::Rule(_) | Part::Requires { .. } => None,
    };
    let named: BTreeSet<PartyIx> = conflict.iter().filter_map(of).collect();
    if named.is_empty() { all().collect() } else { named }
}

/// Items that the conflict asks for, whatever holds them, and what those
/// require, two deep.
fn items(order: &MoveOrder, conflict: &[Part]) -> BTreeSet<ItemIx> {
    let mut asked = BTreeSet::new();
    for part in conflict {
        match part {
            Part::Need { need, piece } => {
                let all = pieces(&order.needs()[*need].node);
                all.get(*piece).into_iter().for_each(|n| named(order, n, &mut asked));
            }
            Part::Rule(rule) => match &order.rules()[*rule].kind {
                RuleKind::Fixed { item, .. } => {
                    asked.insert(*item);
                }
                RuleKind::Together { items } => asked.extend(items),
                _ => {}
            },
            Part::Requires { item, of } => {
                asked.insert(*item);
                asked.extend(order.item(*item).requires.get(*of).map(|r| r.item));
            }
            _ => {}
        }
    }
    for _ in 0..2 {
        let beside: Vec<ItemIx> =
            asked.iter().flat_map(|i| &order.item(*i).requires).map(|r| r.item).collect();
        asked.extend(beside);
        let holds =
            |case: ItemIx| order.catalogue().inside(case).iter().any(|(i, _)| asked.contains(i));
        let cases: Vec<ItemIx> =
            order.catalogue().items().map(|(i, _)| i).filter(|i| holds(*i)).collect();
        asked.extend(cases);
    }
    asked
}

fn named(order: &MoveOrder, node: &NeedNode, into: &mut BTreeSet<ItemIx>) {
    match node {
        NeedNode::Item { item, .. } => {
            into.insert(*item);
        }
        NeedNode::Supply(d) => {
            let gives = |i: &ItemIx| order.item(*i).supplies.iter().any(|(s, _)| *s == d.supply);
            into.extend(order.catalogue().items().map(|(i, _)| i).filter(gives));
        }
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter().for_each(|n| named(order, n, into));
        }
    }
}

impl RemedySearch<'_, '_> {
    /// One carrier more, of each kind that is in these parties.
    fn another(&self, parties: &BTreeSet<PartyIx>) -> Vec<Remedy> {
        let order = &self.base.order;
        let mut seen: Vec<String> = Vec::new();
        let mut found = Vec::new();
        for &p in parties {
            for &c in order.party(p).who.iter().filter(|c| order.takes_kit(**c)) {
                let alike = format!("{p:?} {:?} {:?}", order.carrier(c).riding, bound(order, c));
                if seen.contains(&alike) {
                    continue;
                }
                seen.push(alike);
                let change = Change::Another { like: c };
                if !self.asker.over() && self.works(&change) {
                    found.push(Remedy { change, least: Least::Whole });
                }
            }
        }
        found
    }

    fn second_trip(&self, party: PartyIx) -> Option<Remedy> {
        let change = Change::SecondTrip { party };
        let works = walkable(self.asker, &change.apply(&self.base)?, party);
        works.then_some(Remedy { change, least: Least::Whole })
    }

    /// The fewest more of one item that do.
    fn held(&self, items: &[ItemIx]) -> Vec<Remedy> {
        let mut found = Vec::new();
        for &item in items {
            let thing = self.base.order.item(item);
            // What is known only as contents has no mass of its own.
            if thing.held == 0 && thing.mass.mg() == 0 {
                continue;
            }
            let now = thing.held;
            let change = |n: u64| Change::Held { item, to: n as u32 };
            // More also weighs more in the store, so that a few may do where many
            // do not.
            for more in [MOST_MORE, 1, 2, 4, 8] {
                let yes = u64::from(now.saturating_add(more));
                if !self.asker.over() && self.works(&change(yes)) {
                    let mut remedy = self.least(now.into(), yes, change, None);
                    // Fewer than were tried may do where more do not.
                    let one = remedy.change == change(u64::from(now) + 1);
                    if more != MOST_MORE && !one {
                        remedy.least = Least::Unproven;
                    }
                    found.push(remedy);
                    break;
                }
            }
        }
        found
    }

    /// One way more for one item.
    fn ways(&self, items: &[ItemIx]) -> Vec<Remedy> {
        let order = &self.base.order;
        let mut all = self.base.clone();
        let more = || Way::ALONE.into_iter().chain([Way::Pair]);
        all.items(|list| {
            for item in items {
                more().for_each(|w| list[item.0].ways.insert(w));
            }
        });
        let mut found = Vec::new();
        if items.is_empty() || !self.asker.possible(&all.build()).is_yes() {
            return found;
        }
        for (item, thing) in held(order).filter(|(i, _)| items.contains(i)) {
            for way in more().filter(|w| !thing.ways.has(*w)) {
                let change = Change::Way { item, way };
                if !self.asker.over() && self.works(&change) {
                    found.push(Remedy { change, least: Least::Whole });
                }
            }
        }
        found
    }
}

/// Whether a move with a second trip of the party has a plan in which every pair
/// walks on one trip.
pub(in crate::ask) fn walkable(asker: &Asker<'_>, draft: &Draft, party: PartyIx) -> bool {
    let order = draft.build();
    let walks = |known: Known| match known {
        Known::Yes(found) => {
            let plan = trips::by_trips(&order, party, &found.0);
            plan.is_some_and(|plan| audit(&order, &plan).faults.is_empty())
        }
        _ => false,
    };
    if walks(asker.possible(&order)) {
        return true;
    }
    // Without pairs any plan will do.
    let mut apart = draft.clone();
    apart.items(|items| {
        for item in items {
            item.ways = item.ways.iter().filter(|w| *w != Way::Pair).collect();
        }
    });
    walks(asker.possible(&apart.build()))
}

/// The rules that bind the carrier, by position.
fn bound(order: &MoveOrder, c: CarrierIx) -> Vec<usize> {
    (0..order.rules().len()).filter(|r| order.rules()[*r].kind.binds(c)).collect()
}
