//! Needs and supplies.
//!
//! A demand under `any` or `at-least` counts only where its branch is used, so
//! the audit looks for a choice of such demands under which every need of the
//! party holds and every supply suffices: the smallest choice first.

use super::Counted;
use crate::fault::Fault;
use crate::findings::{MetBy, NeedFinding, SupplyFinding};
use crate::load::{
    Demand, ItemIx, MOST_OPTIONAL_DEMANDS, NeedIx, NeedNode, PartyIx, SupplyIx, Use,
};
use crate::quantity::ExactSum;

pub(super) fn check(
    counted: &Counted,
    faults: &mut Vec<Fault>,
) -> (Vec<NeedFinding>, Vec<SupplyFinding>) {
    let order = counted.order;
    let nothing = NeedFinding { met: false, by: Vec::new() };
    let mut needs = vec![nothing; order.needs().len()];
    let mut supplies = Vec::new();
    for p in (0..order.parties().len()).map(PartyIx) {
        let scene = Scene::new(counted, p);
        let used = scene.choice();
        for (n, need) in order.needs().iter().enumerate().filter(|(_, n)| n.party == p) {
            let mut by = Vec::new();
            let met = scene.holds(&need.node, &used, &mut by);
            if !met {
                by.clear();
                faults.push(Fault::Need { party: p, need: NeedIx(n) });
            }
            needs[n] = NeedFinding { met, by };
        }
        supplies.extend(scene.supplies(&used));
    }
    (needs, supplies)
}

/// One party's needs.
struct Scene<'a> {
    counted: &'a Counted<'a>,
    party: PartyIx,
    /// Demands that must hold whatever happens.
    always: Vec<&'a Demand>,
    /// Demands that hold only in a branch.
    optional: Vec<&'a Demand>,
}

impl<'a> Scene<'a> {
    fn new(counted: &'a Counted<'a>, party: PartyIx) -> Self {
        let mut scene = Scene { counted, party, always: Vec::new(), optional: Vec::new() };
        for need in counted.order.needs().iter().filter(|n| n.party == party) {
            scene.sort(&need.node, true);
        }
        scene
    }

    fn sort(&mut self, node: &'a NeedNode, must: bool) {
        match node {
            NeedNode::Item { .. } => {}
            NeedNode::Supply(d) if must => self.always.push(d),
            NeedNode::Supply(d) => self.optional.push(d),
            NeedNode::All(children) => children.iter().for_each(|c| self.sort(c, must)),
            NeedNode::Any(of) => {
                let must = must && of.len() == 1;
                of.iter().for_each(|c| self.sort(c, must));
            }
            NeedNode::AtLeast { count, of } => {
                let must = must && *count as usize == of.len();
                of.iter().for_each(|c| self.sort(c, must));
            }
        }
    }

    /// The demands in force: all that must be, and the fewest optional ones
    /// that make every need hold. Only those that must be, if none do.
    fn choice(&self) -> Vec<&'a Demand> {
        let n = self.optional.len().min(MOST_OPTIONAL_DEMANDS);
        let mut masks: Vec<u32> = (0..1u32 << n).collect();
        masks.sort_by_key(|m| (m.count_ones(), *m));
        for mask in masks {
            let picked = (0..n).filter(|k| mask & (1 << k) != 0).map(|k| self.optional[k]);
            let used: Vec<&Demand> = self.always.iter().copied().chain(picked).collect();
            let enough = self.asked(&used).iter().all(|(s, asked)| self.there(*s) >= *asked);
            let needs = self.counted.order.needs().iter().filter(|n| n.party == self.party);
            if enough && needs.into_iter().all(|n| self.holds(&n.node, &used, &mut Vec::new())) {
                return used;
            }
        }
        self.always.clone()
    }

    /// Whether the node holds with these demands in force, and by what.
    fn holds(&self, node: &NeedNode, used: &[&Demand], by: &mut Vec<MetBy>) -> bool {
        match node {
            NeedNode::Item { item, count } => {
                let in_cases = self.counted.in_cases(*item, self.party);
                let there = self.counted.there(*item, self.party);
                let small = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
                let (there, in_cases) = (small(there), small(in_cases));
                by.push(MetBy::Item { item: *item, asked: *count, there, in_cases });
                there >= *count
            }
            NeedNode::Supply(d) => {
                let asked = self.totals(&[d]).first().map_or(0, |(_, n)| *n);
                by.push(MetBy::Supply { supply: d.supply, demand: asked });
                let in_force = used.iter().any(|u| std::ptr::eq(*u, d));
                let all = self.asked(used);
                let total = all.iter().find(|(s, _)| *s == d.supply).map_or(0, |(_, n)| *n);
                in_force && self.there(d.supply) >= total
            }
            NeedNode::All(children) => children.iter().all(|c| self.holds(c, used, by)),
            NeedNode::Any(of) => self.some(1, of, used, by),
            NeedNode::AtLeast { count, of } => self.some(*count, of, used, by),
        }
    }

    fn some(&self, count: u32, of: &[NeedNode], used: &[&Demand], by: &mut Vec<MetBy>) -> bool {
        let mut held = 0;
        for child in of {
            let mark = by.len();
            if self.holds(child, used, by) {
                held += 1;
            } else {
                by.truncate(mark);
            }
        }
        held >= count
    }

    /// All that is there of a supply, contents of cases included.
    fn there(&self, supply: SupplyIx) -> u64 {
        self.sources(supply)
            .iter()
            .fold(0, |sum, (_, n, each)| sum.saturating_add(each.saturating_mul(u64::from(*n))))
    }

    /// Items and cases in the party that supply it: (item, count, each).
    fn sources(&self, supply: SupplyIx) -> Vec<(ItemIx, u32, u64)> {
        let catalogue = self.counted.order.catalogue();
        let each = |i: ItemIx| -> u64 {
            catalogue.inside(i).iter().fold(0, |sum, (x, n)| {
                let one = catalogue[*x].supplies.iter().filter(|(s, _)| *s == supply);
                one.fold(sum, |sum, (_, a)| {
                    sum.saturating_add(a.base.saturating_mul(u64::from(*n)))
                })
            })
        };
        catalogue
            .items()
            .map(|(i, _)| (i, self.counted.loose[self.party.0][i.0] as u32, each(i)))
            .filter(|(_, n, each)| *n > 0 && *each > 0)
            .collect()
    }

    /// That, less what was used up of it already.
    fn asked(&self, demands: &[&Demand]) -> Vec<(SupplyIx, u64)> {
        let mut sums = self.totals(demands);
        for (supply, sum) in &mut sums {
            let spent = self.counted.order.spent().iter();
            for (.., n) in spent.filter(|(p, s, _)| (*p, *s) == (self.party, *supply)) {
                *sum = sum.saturating_sub(*n);
            }
        }
        sums
    }

    /// The sum of the demands on each supply they name, rounded up once.
    fn totals(&self, demands: &[&Demand]) -> Vec<(SupplyIx, u64)> {
        let mut sums: Vec<(SupplyIx, ExactSum)> = Vec::new();
        for d in demands {
            let at = sums.iter().position(|(s, _)| *s == d.supply).unwrap_or_else(|| {
                sums.push((d.supply, ExactSum::default()));
                sums.len() - 1
            });
            self.demand(d, &mut sums[at].1);
        }
        sums.into_iter().map(|(s, sum)| (s, sum.ceil())).collect()
    }

    /// Adds all that the demand asks for, in base units.
    fn demand(&self, d: &Demand, sum: &mut ExactSum) {
        let order = self.counted.order;
        let times = 1_000_000 + u128::from(d.slack.ppm());
        let mut add = |count: u64, base: u64, of: u64, per: u64| {
            let asked = u128::from(base) * u128::from(of);
            let asked = asked.saturating_mul(count.into()).saturating_mul(times);
            sum.add(asked, per.max(1).saturating_mul(1_000_000));
        };
        let mut uses = |count: u64, uses: &[(SupplyIx, Use)]| {
            for (_, u) in uses.iter().filter(|(s, _)| *s == d.supply && count > 0) {
                match (u, d.time) {
                    (Use::Once(a), _) => add(count, a.base, 1, 1),
                    (Use::Over(r), Some(t)) => add(count, r.amount.base, t.s(), r.per.s()),
                    (Use::Over(_), None) => {}
                }
            }
        };
        let mut people = 0;
        for person in order.party(self.party).who.iter().filter_map(|c| order.carrier(*c).person())
        {
            people += 1;
            uses(1, &person.uses);
        }
        for (i, item) in order.catalogue().items().filter(|(_, item)| !item.uses.is_empty()) {
            uses(self.counted.there(i, self.party), &item.uses);
        }
        add(1, d.amount.map_or(0, |a| a.base), 1, 1);
        add(people, d.per_person.map_or(0, |a| a.base), 1, 1);
    }

    fn supplies(&self, used: &[&Demand]) -> Vec<SupplyFinding> {
        let mut totals = self.asked(used);
        totals.sort();
        totals
            .into_iter()
            .map(|(supply, demand)| SupplyFinding {
                party: self.party,
                supply,
                there: self.there(supply),
                demand,
                from: self.sources(supply).iter().map(|(i, n, _)| (*i, *n)).collect(),
            })
            .collect()
    }
}
