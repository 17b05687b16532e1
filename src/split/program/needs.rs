//! Needs, supplies and requirements as rows.

use super::build::Program;
use super::model::{Affine, Col};
use crate::bounds::gcd;
use crate::facts::Facts;
use crate::load::{Demand, NeedNode, PartyIx, SupplyIx};

/// Base units in one unit of the rows of a supply: a thousand (m, Wh, L, kg), or
/// one where things give few each, as of meals, so that no part of one is less
/// than the solvers see.
fn unit(facts: &Facts, supply: SupplyIx) -> f64 {
    let most = facts.suppliers[supply.0].iter().map(|s| s.1).max().unwrap_or(0);
    if most <= 1000 { 1.0 } else { 1e3 }
}

/// A branch that need not hold unless its binary is one.
type Condition = Option<Col>;

impl Program<'_, '_> {
    pub(super) fn need_rows(&mut self) {
        let order = self.facts.order;
        let mut demands = Vec::new();
        for need in order.needs() {
            if self.idle(need.party.0) {
                continue;
            }
            self.node(&need.node, need.party.0, None, &mut demands);
        }
        self.supply_rows(&demands);
    }

    /// Whether nothing can change in the party.
    pub(super) fn idle(&self, party: usize) -> bool {
        let store = self.facts.store() == Some(party);
        !store && self.fixed_rest.as_ref().is_some_and(|s| s.idle[party])
    }

    fn node<'n>(
        &mut self,
        node: &'n NeedNode,
        party: usize,
        when: Condition,
        demands: &mut Vec<(usize, &'n Demand, Condition)>,
    ) {
        match node {
            NeedNode::Item { item, count } => {
                let mut row = self.there(item.0, party);
                let count = f64::from(*count);
                match when {
                    Some(b) => {
                        row.add(b, -count);
                        self.model.at_least(&row, 0.0);
                    }
                    None => self.model.at_least(&row, count),
                }
            }
            NeedNode::Supply(demand) => demands.push((party, demand, when)),
            NeedNode::All(children) => {
                for child in children {
                    self.node(child, party, when, demands);
                }
            }
            NeedNode::Any(children) => self.some(1, children, party, when, demands),
            NeedNode::AtLeast { count, of } => self.some(*count, of, party, when, demands),
        }
    }

    fn some<'n>(
        &mut self,
        count: u32,
        children: &'n [NeedNode],
        party: usize,
        when: Condition,
        demands: &mut Vec<(usize, &'n Demand, Condition)>,
    ) {
        let count = f64::from(count);
        let mut sum = Affine::default();
        for child in children {
            let b = self.model.binary();
            sum.add(b, 1.0);
            self.node(child, party, Some(b), demands);
        }
        match when {
            Some(b) => {
                sum.add(b, -count);
                self.model.at_least(&sum, 0.0);
            }
            None => self.model.at_least(&sum, count),
        }
    }

    /// Per party and supply: what is there covers the sum of the demands.
    fn supply_rows(&mut self, demands: &[(usize, &Demand, Condition)]) {
        let mut keys: Vec<(usize, SupplyIx)> =
            demands.iter().map(|(p, d, _)| (*p, d.supply)).collect();
        keys.sort();
        keys.dedup();
        let facts = self.facts;
        for (party, supply) in keys {
            let here = || demands.iter().filter(|(p, d, _)| (*p, d.supply) == (party, supply));
            let unit = unit(facts, supply);
            let mut row = Affine::default();
            for &(i, amount) in &facts.suppliers[supply.0] {
                row.add_scaled(&self.loose(i, party), amount as f64 / unit);
            }
            let sum: Vec<Affine> = here().map(|(_, d, _)| self.asked(party, d, unit)).collect();
            if sum.iter().zip(here()).all(|(a, (.., when))| a.terms.is_empty() && when.is_none()) {
                // Nothing depends on the plan, and what is there is whole.
                let all: Vec<&Demand> = here().map(|(_, d, _)| *d).collect();
                let asked = facts.least_demand(party, &all) as f64 / unit;
                self.model.at_least_in(unit, &row, asked - 1e-7);
                continue;
            }
            let grain = unit * self.supply_grain(supply, here().map(|(_, d, _)| *d));
            // What was used up was there.
            row.constant += facts.order.spent_of(PartyIx(party), supply) as f64 / unit;
            for (asked, (.., when)) in sum.into_iter().zip(here()) {
                match when {
                    None => row.add_scaled(&asked, -1.0),
                    Some(b) if asked.terms.is_empty() => row.add(*b, -asked.constant),
                    Some(b) => {
                        // d ≥ asked - most · (1 - b): all of it or nothing.
                        let most = self.most(&asked);
                        let d = self.model.real_in(grain, 0.0, most.max(0.0));
                        row.add(d, -1.0);
                        let mut link = -asked;
                        link.constant += most;
                        link.add(d, 1.0);
                        link.add(*b, -most);
                        self.model.at_least_in(grain, &link, 0.0);
                    }
                }
            }
            // What is there is whole, so it covers the sum as soon as it covers
            // the sum rounded up: there is no need of a column for that. Uses by
            // rate are not exact here, hence the hair of room.
            self.model.at_least_in(grain, &row, -1e-7);
        }
    }

    /// Parts of a base unit in which the demands come out whole, slack included.
    fn supply_grain<'d>(&self, supply: SupplyIx, demands: impl Iterator<Item = &'d Demand>) -> f64 {
        let shared = demands.fold(1_000_000, |g, d| gcd(g, d.slack.ppm()));
        (1_000_000 / shared) as f64 * self.facts.parts[supply.0] as f64
    }

    /// A demand, slack included, in `unit` base units.
    fn asked(&self, party: usize, demand: &Demand, unit: f64) -> Affine {
        let facts = self.facts;
        let slack = (1_000_000 + demand.slack.ppm()) as f64 / 1e6 / unit;
        let people = f64::from(facts.people[party]);
        let mut sum = Affine::constant(
            demand.amount.map_or(0.0, |a| a.base as f64)
                + demand.per_person.map_or(0.0, |a| a.base as f64 * people),
        );
        if let Some(uses) = facts.consumption(demand) {
            let parts = facts.parts[demand.supply.0] as f64;
            sum.constant += uses.people[party] as f64 / parts;
            for &(i, each) in &uses.items {
                sum.add_scaled(&self.loose(i, party), each as f64 / parts);
            }
        }
        let mut scaled = Affine::default();
        scaled.add_scaled(&sum, slack);
        scaled
    }

    /// The largest value that the column bounds allow.
    pub(super) fn most(&self, expression: &Affine) -> f64 {
        expression.terms.iter().fold(expression.constant, |sum, (c, k)| {
            let column = &self.model.columns[*c];
            sum + (k * column.low).max(k * column.high)
        })
    }

    /// What is in a party has what it requires beside it; the store is exempt.
    pub(super) fn require_rows(&mut self) {
        let facts = self.facts;
        let store = facts.store();
        for party in (0..facts.by_party.len()).filter(|p| Some(*p) != store) {
            if self.idle(party) {
                continue;
            }
            for r in &facts.requires {
                let there = self.there(r.required, party);
                if !r.each.is_empty() {
                    let mut row = there.clone();
                    for &(i, n) in &r.each {
                        row.add_scaled(&self.there(i, party), -f64::from(n));
                    }
                    self.model.at_least(&row, 0.0);
                }
                for &i in &r.shared {
                    let asker = self.there(i, party);
                    let most = self.most(&asker);
                    if most <= 0.0 {
                        continue;
                    }
                    if most <= 1.0 {
                        let mut row = there.clone();
                        row.add_scaled(&asker, -1.0);
                        self.model.at_least(&row, 0.0);
                        continue;
                    }
                    let b = self.model.binary();
                    let mut link = asker;
                    link.add(b, -most);
                    self.model.at_most(&link, 0.0);
                    let mut row = there.clone();
                    row.add(b, -1.0);
                    self.model.at_least(&row, 0.0);
                }
            }
        }
    }
}
