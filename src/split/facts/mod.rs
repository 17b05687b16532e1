//! The move order as dense tables of whole numbers, for programs, bounds and
//! local search. Built once; the audit does not use it.

mod before;
mod consumption;
mod dependents;
mod deviation;
mod kit;
mod ruled;
mod rules;
mod tables;
mod useful_counts;

use crate::load::{GoalKind, ItemIx, MoveOrder, PartyIx, SupplyIx, Travel, Way};
pub(super) use before::BeforeFact;
pub(super) use consumption::Consumption;
pub(super) use dependents::{Dependents, Needs};
pub(super) use kit::{CarrierFact, KitIx};
use rules::RuleFacts;

#[derive(Debug, Clone)]
pub(super) struct ItemFact {
    pub mass: u64,
    pub bulk: u64,
    pub held: u32,
    pub hands: u32,
    /// mg on either end of a pair.
    pub pair: [u64; 2],
    pub pair_even: bool,
    /// mg by which one, and what is on either end of a pair, may be heavier.
    pub deviation: u64,
    pub pair_deviation: [u64; 2],
    /// Itself and everything inside, with counts.
    pub inside: Vec<(usize, u32)>,
    /// Amount of each supply in one of it, contents included.
    pub supplies: Vec<(usize, u64)>,
}

/// A party that is asked for `required` by what is in it.
#[derive(Debug, Clone)]
pub(super) struct RequireFact {
    pub required: usize,
    /// (item, how many of `required` for each of it).
    pub each: Vec<(usize, u32)>,
    /// Items for which one of `required` serves all.
    pub shared: Vec<usize>,
}

pub(super) struct Facts<'a> {
    pub order: &'a MoveOrder,
    /// Kit carriers, by party as written; riders are not among them.
    pub carriers: Vec<CarrierFact>,
    pub items: Vec<ItemFact>,
    /// Kit carriers of each party.
    pub by_party: Vec<Vec<KitIx>>,
    pub people: Vec<u32>,
    pub requires: Vec<RequireFact>,
    pub rules: RuleFacts,
    /// Per item: itself and every case it is in at any depth, with how many
    /// of it one of them holds.
    pub found_in: Vec<Vec<(usize, u32)>>,
    /// Per supply: the items that use it, themselves or by what is inside.
    pub users: Vec<Vec<usize>>,
    /// Per supply: the items that supply it, contents included, and how much.
    pub suppliers: Vec<Vec<(usize, u64)>>,
    /// Per supply: the parts of a base unit in which its uses are whole.
    pub parts: Vec<u64>,
    /// Consumption of each supply in each time that a demand names.
    pub consumptions: Vec<Consumption>,
    /// Per party.
    pub needs: Vec<Needs>,
    /// Per party and item.
    pub dependents: Vec<Vec<Dependents>>,
    /// Per item: the requirements that look at it.
    pub dependent_requires: Vec<Vec<usize>>,
    /// Per party and item: an upper bound on the useful count, as a need, want,
    /// rule or requirement there could ask for it, for itself or for something
    /// inside it.
    pub useful: Vec<Vec<u32>>,
    /// Per item: whether a rule looks at it carrier by carrier.
    pub ruled: Vec<bool>,
    /// Per item: that, or whether it is to be together with others.
    pub watched: Vec<bool>,
    /// mg and mL of everything held.
    pub held_mass: u64,
    pub held_bulk: u64,
    /// Whether the store can keep everything held, and no rule is against it.
    pub all_may_stay: bool,
    /// Whether there are carriers whose share counts for the `even` goal.
    pub somebody_even: bool,
    /// Who had what, where there was a plan before.
    pub before: Option<BeforeFact>,
    /// How many kinds may be heavier at once; zero if weights are certain.
    pub off: usize,
    /// Whether a rule names a vehicle of the store.
    pub store_ruled: bool,
    /// Per item and kit carrier: the ways it may take, as a bit per `Way`.
    may: Vec<u8>,
    /// Per item and kit carrier: whether it would be away from its keeper.
    away: Vec<bool>,
}

impl<'a> Facts<'a> {
    pub fn new(order: &'a MoveOrder) -> Self {
        let people_go = order.parties().iter().enumerate().any(|(p, party)| {
            !order.is_store(PartyIx(p))
                && party.travel == Travel::Foot
                && party.who.iter().any(|c| order.carrier(*c).person().is_some())
        });
        let mut carriers = Vec::new();
        let mut by_party = Vec::new();
        for (p, party) in order.parties().iter().enumerate() {
            let mut here = Vec::new();
            for &c in &party.who {
                let carrier = order.carrier(c);
                let person = carrier.person();
                if person.is_some() && party.travel == Travel::Vehicle {
                    continue;
                }
                let store = order.is_store(PartyIx(p));
                let slot = |w| person.and_then(|p| p.slots.of(w)).unwrap_or(u32::MAX);
                let free = order.hands_kept_free(c);
                here.push(KitIx(carriers.len()));
                carriers.push(CarrierFact {
                    ix: c,
                    party: p,
                    store,
                    person: person.is_some(),
                    burden: order.burden(c).mg(),
                    usable: order.usable_limit(c).mg(),
                    limit: carrier.limit().mg(),
                    room: carrier.room().map(|b| b.ml()),
                    slots: [
                        slot(Way::Back),
                        slot(Way::Chest),
                        slot(Way::Shoulder),
                        slot(Way::Belt),
                    ],
                    hands: person.map_or(0, |p| p.slots.hand.saturating_sub(free)),
                    even: !store && (person.is_some() == people_go),
                });
            }
            by_party.push(here);
        }
        let people = order
            .parties()
            .iter()
            .map(|p| p.who.iter().filter(|c| order.carrier(**c).person().is_some()).count() as u32)
            .collect();
        let items: Vec<ItemFact> =
            order.catalogue().items().map(|(i, _)| tables::item_fact(order, i)).collect();
        let may = tables::may(order, &carriers);
        let away = tables::away(order, &carriers);
        let mut found_in = vec![Vec::new(); items.len()];
        for (case, item) in items.iter().enumerate() {
            item.inside.iter().for_each(|&(i, n)| found_in[i].push((case, n)));
        }
        let uses = |i: &usize, s: SupplyIx| {
            let inside = items[*i].inside.iter();
            inside.flat_map(|(x, _)| &order.item(ItemIx(*x)).uses).any(|(t, _)| *t == s)
        };
        let users = order
            .catalogue()
            .supplies()
            .map(|(s, _)| (0..items.len()).filter(|i| uses(i, s)).collect())
            .collect();
        let mut suppliers = vec![Vec::new(); order.catalogue().supplies().count()];
        for (i, f) in items.iter().enumerate() {
            f.supplies.iter().for_each(|&(s, amount)| suppliers[s].push((i, amount)));
        }
        let rules = RuleFacts::new(order, &carriers);
        let mut facts = Facts {
            order,
            somebody_even: carriers.iter().any(|c| c.even),
            suppliers,
            parts: Vec::new(),
            consumptions: Vec::new(),
            needs: dependents::needs(order),
            dependents: Vec::new(),
            dependent_requires: Vec::new(),
            carriers,
            by_party,
            people,
            requires: tables::requirements(order),
            rules,
            found_in,
            users,
            useful: Vec::new(),
            ruled: Vec::new(),
            watched: Vec::new(),
            all_may_stay: true,
            before: None,
            off: deviation::off(order),
            store_ruled: false,
            held_mass: items.iter().map(|f| f.mass * u64::from(f.held)).sum(),
            held_bulk: items.iter().map(|f| f.bulk * u64::from(f.held)).sum(),
            items,
            may,
            away,
        };
        (facts.parts, facts.consumptions) = facts.consumptions();
        facts.dependents = facts.dependents();
        facts.dependent_requires = facts.dependent_requires();
        facts.before = facts.before();
        facts.useful = facts.useful_counts();
        facts.ruled = facts.ruled();
        facts.watched = facts.ruled.clone();
        facts.rules.together.iter().flatten().for_each(|i| facts.watched[*i] = true);
        facts.store_ruled = facts.rules_name_the_store();
        facts.all_may_stay = facts.store_has_room();
        facts
    }

    /// Whether the item may go on the kit carrier by this way.
    pub fn may(&self, item: usize, carrier: KitIx, way: Way) -> bool {
        self.may[item * self.carriers.len() + carrier.0] & (1 << way as u8) != 0
    }
    /// The most of `item` that a plan need put in the party.
    pub fn most_in(&self, item: usize, party: usize) -> u32 {
        if self.all_may_stay { self.useful[party][item] } else { self.items[item].held }
    }
    /// Whether one of `item` on this carrier is away from its keeper.
    pub fn misplaced(&self, item: usize, carrier: KitIx) -> bool {
        self.away[item * self.carriers.len() + carrier.0]
    }
    /// Every kit carrier.
    pub fn kit(&self) -> impl Iterator<Item = KitIx> + use<> {
        (0..self.carriers.len()).map(KitIx)
    }
    pub fn store(&self) -> Option<usize> {
        self.order.store().map(|p| p.0)
    }
    pub fn goal_give(&self, kind: GoalKind) -> u64 {
        self.order.goals().iter().find(|g| g.kind == kind).map_or(0, |g| g.give.ppm())
    }
}
