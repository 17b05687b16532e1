//! What the pricing problems are: which things go alone on which team, and the
//! carriers of a team in classes of equals, so that one load serves all of a
//! class.
//!
//! Every limit that is left out here only relaxes the problem: rules on what is
//! on one carrier, and what two people carry between them, are left to the
//! local search and the audit.

use super::ix::{ClassIx, FamilyIx, LinkIx};
use super::knapsack::Side;
use crate::facts::{Facts, KitIx};
use crate::load::Way;
use crate::pins::Pins;
use crate::program::{Col, Program, TeamIx};
use std::collections::HashMap;
use std::ops::{Index, IndexMut};

/// Units of an item that carriers of a team bear alone.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub item: usize,
    pub team: TeamIx,
    /// Units held.
    pub held: u32,
    /// The columns of the coarse program that count them, by way.
    pub units: Vec<Col>,
}

/// Carriers that may bear the same mass of the same things.
#[derive(Debug, Clone)]
pub(super) struct Class {
    /// Positions in [`Facts::carriers`].
    pub carriers: Vec<KitIx>,
    /// mg of kit.
    pub limit: u64,
    pub family: FamilyIx,
}

/// Classes that differ in nothing but the mass they may bear.
#[derive(Debug, Clone)]
pub(super) struct Family {
    /// (link, most units on one carrier).
    pub things: Vec<(LinkIx, u32)>,
    /// Room, slots and hands, where they could be short.
    pub sides: Vec<Side>,
    /// The largest limit, mg.
    pub widest: u64,
}

#[derive(Debug, Clone, Default)]
pub(super) struct Classes {
    pub links: Vec<Link>,
    pub classes: Vec<Class>,
    pub families: Vec<Family>,
}

macro_rules! numbered {
    ($of:ty, $ix:ty) => {
        impl Index<$ix> for Vec<$of> {
            type Output = $of;

            fn index(&self, at: $ix) -> &$of {
                &self.as_slice()[at.0]
            }
        }
        impl IndexMut<$ix> for Vec<$of> {
            fn index_mut(&mut self, at: $ix) -> &mut $of {
                &mut self.as_mut_slice()[at.0]
            }
        }
    };
}
numbered!(Link, LinkIx);
numbered!(Class, ClassIx);
numbered!(Family, FamilyIx);

/// What distinguishes families: team, what may go by which ways, slots, hands
/// and room.
type Key = (TeamIx, Vec<u8>, [u32; 4], u32, Option<u64>);

impl Classes {
    /// The classes of a coarse program's teams, the store's aside.
    pub fn new(program: &Program, pins: &Pins) -> Classes {
        let facts = program.facts;
        let mut all = Classes::default();
        let mut at: HashMap<(usize, TeamIx), LinkIx> = HashMap::new();
        for a in program.alone.iter().filter(|a| !program.teams[a.team].store) {
            let next = LinkIx(all.links.len());
            let link = *at.entry((a.item, a.team)).or_insert(next);
            if link == next {
                let held = facts.items[a.item].held;
                all.links.push(Link { item: a.item, team: a.team, held, units: Vec::new() });
            }
            all.links[link].units.push(a.col);
        }
        let mut families: HashMap<Key, FamilyIx> = HashMap::new();
        let mut classes: HashMap<(FamilyIx, u64), ClassIx> = HashMap::new();
        for t in program.all_teams().filter(|&t| !program.teams[t].store) {
            for &c in &program.teams[t].members {
                let f = &facts.carriers[c];
                let cap = pins.even.as_ref().map_or(u64::MAX, |caps| caps[c.0]);
                let limit = f.usable.min(cap).saturating_sub(f.burden);
                let here = all.links.iter().filter(|l| l.team == t);
                let ways = here.map(|l| ways(facts, l.item, c)).collect();
                let key = (t, ways, f.slots, f.hands, f.room);
                let next = FamilyIx(families.len());
                let family = *families.entry(key).or_insert(next);
                if family == next {
                    let family = all.family(facts, t, c);
                    all.families.push(family);
                }
                all.families[family].widest = all.families[family].widest.max(limit);
                let next = ClassIx(all.classes.len());
                let class = *classes.entry((family, limit)).or_insert(next);
                if class == next {
                    all.classes.push(Class { carriers: Vec::new(), limit, family });
                }
                all.classes[class].carriers.push(c);
            }
        }
        all.crop(facts);
        all
    }

    fn family(&self, facts: &Facts, t: TeamIx, c: KitIx) -> Family {
        let f = &facts.carriers[c];
        let mut things = Vec::new();
        // Room, four kinds of slots, hands: what one unit surely takes of each.
        let limits = [0, 1, 2, 3].map(|w| match f.slots[w] {
            u32::MAX => u64::MAX,
            n => u64::from(n),
        });
        let limits =
            [limits.as_slice(), &[f.room.unwrap_or(u64::MAX), u64::from(f.hands)]].concat();
        let mut each: Vec<Vec<u64>> = vec![Vec::new(); limits.len()];
        for (l, link) in self.links.iter().enumerate().filter(|(_, l)| l.team == t) {
            let bits = ways(facts, link.item, c);
            if bits == 0 {
                continue;
            }
            let fact = &facts.items[link.item];
            let uses = |way: Way, by: usize| -> u64 {
                match (way, by) {
                    (Way::Back | Way::Bed, 4) => fact.bulk,
                    (Way::Hand, 5) => u64::from(fact.hands),
                    (Way::Back | Way::Chest | Way::Shoulder | Way::Belt, by)
                        if by == way as usize =>
                    {
                        1
                    }
                    _ => 0,
                }
            };
            let by_way = |way: Way| -> u64 {
                let most = |by: usize| limits[by].checked_div(uses(way, by)).unwrap_or(u64::MAX);
                (0..limits.len()).map(most).fold(u64::MAX, u64::min)
            };
            let open = || Way::ALL.into_iter().filter(|w| bits & (1 << *w as u8) != 0);
            let most = open().map(by_way).fold(0, u64::saturating_add).min(fact.held.into());
            if most == 0 {
                continue;
            }
            things.push((LinkIx(l), most as u32));
            for (by, each) in each.iter_mut().enumerate() {
                each.push(open().map(|w| uses(w, by)).min().unwrap_or(0));
            }
        }
        let sides = limits.into_iter().zip(each).filter(|(limit, each)| {
            let all = each.iter().zip(&things).map(|(e, (_, n))| e.saturating_mul((*n).into()));
            all.fold(0, u64::saturating_add) > *limit
        });
        let sides = sides.map(|(limit, each)| Side { each, limit }).collect();
        Family { things, sides, widest: 0 }
    }

    /// No more of a thing than the widest carrier of the family could bear.
    fn crop(&mut self, facts: &Facts) {
        for family in &mut self.families {
            let mut kept = Vec::new();
            for (k, thing) in family.things.iter_mut().enumerate() {
                let mass = facts.items[self.links[thing.0].item].mass;
                let most = family.widest.checked_div(mass).unwrap_or(u64::MAX);
                thing.1 = u64::from(thing.1).min(most) as u32;
                kept.push(k);
            }
            kept.retain(|k| family.things[*k].1 > 0);
            family
                .sides
                .iter_mut()
                .for_each(|s| s.each = kept.iter().map(|k| s.each[*k]).collect());
            family.things.retain(|t| t.1 > 0);
        }
    }
}

/// The ways in which the carrier alone may take the item, as bits.
fn ways(facts: &Facts, item: usize, c: KitIx) -> u8 {
    let open = Way::ALL.into_iter().filter(|w| *w != Way::Pair && facts.may(item, c, *w));
    open.fold(0, |bits, w| bits | 1 << w as u8)
}
