//! The audit: every mass, limit, need and rule of a plan recomputed from the
//! move order in whole numbers. Shares no code with the program or the search,
//! so that a slip there cannot hide here.

mod goals;
mod loads;
mod needs;
mod rules;

use super::fault::Fault;
use super::findings::{Findings, Left};
use crate::load::{Bearer, CarrierIx, ItemIx, MoveOrder, PartyIx, Placement, Plan};

/// What is where, as the audit counts it.
struct Counted<'a> {
    order: &'a MoveOrder,
    plan: &'a Plan,
    /// Party of each carrier of the move order.
    party: Vec<Option<PartyIx>>,
    /// Loose units of each item in each party, `[party][item]`. The store has
    /// what no placement takes out of it.
    loose: Vec<Vec<u64>>,
    /// Placements by carrier, a pair's with both.
    borne: Vec<Vec<&'a Placement>>,
    /// Per item: the cases it is in at any depth, with how many in each.
    cases: Vec<Vec<(ItemIx, u64)>>,
}

/// Recomputes everything. A plan is good if `faults` comes back empty.
pub fn audit(order: &MoveOrder, plan: &Plan) -> Findings {
    let known = |p: &&Placement| {
        p.item.0 < order.catalogue().len() && bearers(p.by).all(|c| c.0 < order.carriers().len())
    };
    if !plan.placements().iter().all(|p| known(&p)) {
        let rest = plan.placements().iter().filter(known).copied().collect();
        let mut findings = audit(order, &Plan::new(rest));
        findings.faults.push(Fault::Unknown {});
        return findings;
    }
    let mut faults = Vec::new();
    let counted = Counted::new(order, plan, &mut faults);
    let carriers = loads::carriers(&counted, &mut faults);
    rules::check(&counted, &mut faults);
    let (needs, supplies) = needs::check(&counted, &mut faults);
    let left = counted.left();
    let sums = goals::sums(&counted, &carriers);
    Findings {
        faults,
        carriers,
        left,
        needs,
        supplies,
        wants: sums.wants,
        goals: sums.goals,
        wants_value: sums.value,
        total_carried: sums.carried,
        peak_share: sums.peak,
    }
}

/// The carriers of a placement: one, or the two of a pair.
fn bearers(by: Bearer) -> impl Iterator<Item = CarrierIx> {
    let (a, b) = match by {
        Bearer::One { carrier, .. } => (carrier, None),
        Bearer::Pair { first, second } => (first, Some(second)),
    };
    std::iter::once(a).chain(b)
}

impl<'a> Counted<'a> {
    fn new(order: &'a MoveOrder, plan: &'a Plan, faults: &mut Vec<Fault>) -> Self {
        let mut party = vec![None; order.carriers().len()];
        for (p, group) in order.parties().iter().enumerate() {
            group.who.iter().for_each(|c| party[c.0] = Some(PartyIx(p)));
        }
        let mut loose = vec![vec![0u64; order.catalogue().len()]; order.parties().len()];
        let mut placed = vec![0u64; order.catalogue().len()];
        let mut borne = vec![Vec::new(); order.carriers().len()];
        let mut cases = vec![Vec::new(); order.catalogue().len()];
        for (case, _) in order.catalogue().items() {
            let inside = order.catalogue().inside(case).iter().filter(|(i, _)| *i != case);
            inside.for_each(|(i, n)| cases[i.0].push((case, u64::from(*n))));
        }
        for p in plan.placements() {
            placed[p.item.0] += u64::from(p.count);
            bearers(p.by).for_each(|c| borne[c.0].push(p));
            let first = bearers(p.by).next().and_then(|c| party[c.0]);
            match first {
                Some(at) => loose[at.0][p.item.0] += u64::from(p.count),
                None => {
                    let carrier = bearers(p.by).next();
                    faults.extend(carrier.map(|c| Fault::Nobody { item: p.item, carrier: c }));
                }
            }
        }
        for (item, x) in order.catalogue().items() {
            let (held, placed) = (u64::from(x.held), placed[item.0]);
            if placed > held {
                faults.push(Fault::TooMany { item, placed, held });
            }
            if placed < held && order.store().is_some() {
                faults.push(Fault::Nowhere { item, count: held - placed });
            }
        }
        Counted { order, plan, party, loose, borne, cases }
    }

    fn in_store(&self, p: PartyIx) -> bool {
        self.order.store() == Some(p)
    }

    /// Units of the item in the party, those inside cases included, at any
    /// depth.
    fn there(&self, item: ItemIx, party: PartyIx) -> u64 {
        self.loose[party.0][item.0] + self.in_cases(item, party)
    }

    fn in_cases(&self, item: ItemIx, party: PartyIx) -> u64 {
        let here = &self.loose[party.0];
        let cases = self.cases[item.0].iter();
        cases.fold(0u64, |sum, (case, each)| sum.saturating_add(each.saturating_mul(here[case.0])))
    }

    /// Units of the item on the carrier; a pair's thing is on both.
    fn on(&self, item: ItemIx, carrier: CarrierIx) -> u64 {
        let mine = self.borne[carrier.0].iter().filter(|p| p.item == item);
        mine.map(|p| u64::from(p.count)).sum()
    }

    fn left(&self) -> Vec<Left> {
        let outside = |i: ItemIx| -> u64 {
            let parties = (0..self.order.parties().len()).filter(|p| !self.in_store(PartyIx(*p)));
            parties.map(|p| self.loose[p][i.0]).sum()
        };
        self.order
            .catalogue()
            .items()
            .filter_map(|(i, item)| {
                let count = u64::from(item.held).saturating_sub(outside(i));
                (count > 0).then_some(Left { item: i, count: count as u32 })
            })
            .collect()
    }
}
