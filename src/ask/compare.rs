//! Loadouts side by side: the same question put to several moves, or to one
//! move changed a little.

use super::{Oracle, oracle, shed, vary};
use crate::load::{
    CarrierIx, ItemIx, MoveOrder, Need, NeedNode, PartyIx, SupplyIx, Travel, Use, Way,
};
use crate::quantity::{Mass, Percent, Span};
use crate::split::{Answer, Findings, Outcome, Planned, Status};

/// A change of a move that a loadout is made for.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(missing_docs, reason = "each line says what its fields are")]
#[non_exhaustive]
pub enum Variation {
    /// These people go with the party on foot, and no others.
    Who { party: PartyIx, people: Vec<CarrierIx> },
    /// The limit of everybody on foot, as a share of what it was.
    LimitShare(Percent),
    /// The limit of everybody on foot.
    Limit(Mass),
    /// None of the item is held.
    Without(ItemIx),
    /// So many of the item go with the party.
    With { item: ItemIx, count: u32, party: PartyIx },
}

/// A party would be left without anybody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Emptied(pub PartyIx);

/// The move with all these changes, in their order.
pub fn changed(order: &MoveOrder, changes: &[Variation]) -> Result<MoveOrder, Emptied> {
    let mut order = order.clone();
    for change in changes {
        order = match change {
            Variation::Who { party, people } => {
                vary::with_people(&order, *party, people).map_err(Emptied)?
            }
            Variation::LimitShare(share) => limits(&order, |m| share.of_mass_down(m)),
            Variation::Limit(limit) => limits(&order, |_| *limit),
            Variation::Without(item) => vary::without_item(&order, *item),
            Variation::With { item, count, party } => {
                let name = format!("{count} {}", order.item(*item).id);
                let node = NeedNode::Item { item: *item, count: *count };
                let need = Need { party: *party, name, node, priority: None, place: None };
                vary::changed(&order, |parts| parts.needs.push(need))
            }
        };
    }
    Ok(order)
}

fn limits(order: &MoveOrder, limit: impl Fn(Mass) -> Mass) -> MoveOrder {
    let walkers = vary::walkers(order);
    walkers.iter().fold(order.clone(), |changed, c| {
        vary::with_limit(&changed, *c, limit(order.carrier(*c).limit()))
    })
}

/// The party that changes are about if none is named: the first on foot
/// outside the store with people, else the first outside the store.
pub fn usual_party(order: &MoveOrder) -> Option<PartyIx> {
    let outside = || (0..order.parties().len()).map(PartyIx).filter(|p| !order.is_store(*p));
    shed::varied_party(order)
        .or_else(|| outside().find(|p| order.party(*p).travel == Travel::Foot))
        .or_else(|| outside().next())
}

/// A move as changed, its answer and what follows from it.
#[derive(Debug, Clone)]
pub struct Loadout {
    /// What it is called: the name of the move, or its changes.
    pub label: String,
    /// The move as changed.
    pub order: MoveOrder,
    /// What the optimiser found of it.
    pub answer: Answer,
    /// One for each party and supply that a need asks for.
    pub lasts: Vec<Lasts>,
    /// Loose units of each item that leave the store, by index.
    pub goes: Vec<u64>,
}

/// How long a supply lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lasts {
    /// Who has it.
    pub party: PartyIx,
    /// What it is.
    pub supply: SupplyIx,
    /// Base units that are there.
    pub there: u64,
    /// Base units that the needs ask for.
    pub demand: u64,
    /// What is there, less what is used at once, over what all that is there
    /// and everybody uses in a time; rounded down to a second. `None` where
    /// nothing uses it as time goes by.
    pub time: Option<Span>,
}

impl Loadout {
    /// The plan, if there is one.
    pub fn planned(&self) -> Option<&Planned> {
        match &self.answer.outcome {
            Outcome::Plan(planned) => Some(planned),
            _ => None,
        }
    }
    /// Not as near the best as was asked, or not settled.
    pub fn cut_short(&self) -> bool {
        match &self.answer.outcome {
            Outcome::Plan(planned) => planned.status == Status::Feasible,
            Outcome::NoPlan(_) => false,
            Outcome::NoneFound => true,
        }
    }
    /// Units of what bears this id that leave the store.
    pub fn count(&self, id: &str) -> u64 {
        self.order.catalogue().find(id).map_or(0, |i| self.goes.get(i.0).copied().unwrap_or(0))
    }
}

/// Answers each, in turn, every one with an equal part of the time; what those
/// that are settled leave of it goes to the others.
pub fn loadouts(moves: Vec<(String, MoveOrder)>, oracle: &Oracle<'_>) -> Vec<Loadout> {
    let count = moves.len();
    let answer = |k: usize, known: Option<&Answer>, time| {
        let order = &moves[k].1;
        let more = known.map_or("", |_| ", once more");
        oracle.step(format!("loadout {} of {count}{more}", k + 1));
        known.map_or_else(|| oracle.answer(order, time), |a| oracle.go_on(order, a, time))
    };
    let answers = oracle.in_turn(count, answer, oracle::open);
    let each = moves.into_iter().zip(answers).map(|((label, order), answer)| {
        let (lasts, goes) = match &answer.outcome {
            Outcome::Plan(planned) => {
                (lasts(&order, &planned.findings), goes(&order, &planned.findings))
            }
            _ => (Vec::new(), Vec::new()),
        };
        Loadout { label, order, answer, lasts, goes }
    });
    each.collect()
}

/// Loose units of each item in a party. What a pair bears is on both.
fn loose(order: &MoveOrder, found: &Findings, party: PartyIx) -> Vec<u64> {
    let (mut whole, mut halves) =
        (vec![0u64; order.catalogue().len()], vec![0u64; order.catalogue().len()]);
    for c in found.carriers.iter().filter(|c| c.party == party) {
        for line in &c.lines {
            let into = if line.way == Way::Pair { &mut halves } else { &mut whole };
            into[line.item.0] += u64::from(line.count);
        }
    }
    whole.iter().zip(halves).map(|(n, twice)| n + twice / 2).collect()
}

fn goes(order: &MoveOrder, found: &Findings) -> Vec<u64> {
    let mut sum = vec![0; order.catalogue().len()];
    for p in (0..order.parties().len()).map(PartyIx).filter(|p| !order.is_store(*p)) {
        sum.iter_mut().zip(loose(order, found, p)).for_each(|(sum, n)| *sum += n);
    }
    sum
}

fn lasts(order: &MoveOrder, found: &Findings) -> Vec<Lasts> {
    let one = |s: &crate::split::SupplyFinding| Lasts {
        party: s.party,
        supply: s.supply,
        there: s.there,
        demand: s.demand,
        time: time(order, found, s.party, s.supply, s.there),
    };
    found.supplies.iter().map(one).collect()
}

/// How long `there` lasts at what everything and everybody in the party uses.
fn time(
    order: &MoveOrder,
    found: &Findings,
    party: PartyIx,
    supply: SupplyIx,
    there: u64,
) -> Option<Span> {
    let mut in_party = vec![0u64; order.catalogue().len()];
    for (i, loose) in loose(order, found, party).into_iter().enumerate() {
        for (inside, n) in order.catalogue().inside(ItemIx(i)) {
            in_party[inside.0] += loose * u64::from(*n);
        }
    }
    let things = order.catalogue().items().zip(&in_party);
    let things = things.flat_map(|((_, item), n)| item.uses.iter().map(move |u| (u, *n)));
    let people = order.party(party).who.iter().filter_map(|c| order.carrier(*c).person());
    let people = people.flat_map(|p| p.uses.iter().map(|u| (u, 1)));
    // Once-only uses, and the rates as one fraction of base units over seconds.
    let (mut once, mut rate, mut per) = (0u128, 0u128, 1u128);
    for ((s, used), n) in things.chain(people) {
        let n = u128::from(n);
        match used {
            _ if *s != supply => {}
            Use::Once(amount) => once += u128::from(amount.base) * n,
            Use::Over(r) => {
                let seconds = u128::from(r.per.s().max(1));
                let common = per.checked_mul(seconds / gcd(per, seconds))?;
                let mine = u128::from(r.amount.base).checked_mul(n)?;
                let mine = mine.checked_mul(common / seconds)?;
                rate = rate.checked_mul(common / per)?.checked_add(mine)?;
                per = common;
            }
        }
    }
    if rate == 0 {
        return None;
    }
    let left = u128::from(there).saturating_sub(once);
    let seconds = left.checked_mul(per)? / rate;
    Some(Span::from_s(u64::try_from(seconds).unwrap_or(u64::MAX)))
}

fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b > 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}
