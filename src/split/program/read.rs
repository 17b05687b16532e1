//! From column values to a plan, and from a plan to a start for the solver.

use super::build::Program;
use super::teams::TeamIx;
use crate::load::{Bearer, CarrierIx, ItemIx, Placement, Plan};

impl Program<'_, '_> {
    fn carrier(&self, team: TeamIx) -> CarrierIx {
        self.facts.carriers[self.teams[team].members[0]].ix
    }

    /// The plan that the values stand for, of the carriers in the program.
    /// Only where every team but the store's is one carrier.
    pub fn plan(&self, values: &[f64]) -> Plan {
        let count = |col: usize| values[col].round().max(0.0) as u32;
        let mut placements = Vec::new();
        for a in &self.alone {
            let by = Bearer::One { carrier: self.carrier(a.team), way: a.way };
            placements.push(Placement { by, item: ItemIx(a.item), count: count(a.col) });
        }
        for b in &self.between {
            let (first, second) = (self.carrier(b.first), self.carrier(b.second));
            let by = Bearer::Pair { first, second };
            placements.push(Placement { by, item: ItemIx(b.item), count: count(b.col) });
        }
        if let Some(t) = self.rest.filter(|_| self.fixed_rest.is_none()) {
            let by = Bearer::One { carrier: self.carrier(t), way: crate::load::Way::Bed };
            for i in 0..self.facts.items.len() {
                let left = f64::from(self.facts.items[i].held) - self.outside(i).value(values);
                let count = left.round().max(0.0) as u32;
                placements.push(Placement { by, item: ItemIx(i), count });
            }
        }
        Plan::new(placements)
    }

    /// Column values for the counts of a plan; helper columns are left out,
    /// which solvers that take a partial start fill in.
    pub fn start(&self, plan: &Plan) -> Vec<(usize, f64)> {
        let team = |c: CarrierIx| {
            self.teams
                .iter()
                .position(|t| t.members.iter().any(|&m| self.facts.carriers[m].ix == c))
                .map(TeamIx)
        };
        let mut values = vec![0.0; self.model.columns.len()];
        for p in plan.placements() {
            match p.by {
                Bearer::One { carrier, way } => {
                    let Some(t) = team(carrier) else { continue };
                    if let Some(a) =
                        self.alone_of_item(p.item.0).find(|a| a.team == t && a.way == way)
                    {
                        values[a.col] += f64::from(p.count);
                    }
                }
                Bearer::Pair { first, second } => {
                    let (Some(a), Some(b)) = (team(first), team(second)) else { continue };
                    let same = |x: TeamIx, y: TeamIx| {
                        (x, y) == (a, b)
                            || (self.facts.items[p.item.0].pair_even && (y, x) == (a, b))
                    };
                    if let Some(y) =
                        self.between_of_item(p.item.0).find(|y| same(y.first, y.second))
                    {
                        values[y.col] += f64::from(p.count);
                    }
                }
            }
        }
        let known = self.alone.iter().map(|a| a.col).chain(self.between.iter().map(|b| b.col));
        known.map(|c| (c, values[c])).collect()
    }

    /// Units of each item in each party outside the store: (item, party, n).
    pub fn counts(&self, values: &[f64]) -> Vec<(usize, usize, u32)> {
        let store = self.facts.store();
        let parties = (0..self.facts.by_party.len()).filter(|p| Some(*p) != store);
        parties
            .flat_map(|p| (0..self.facts.items.len()).map(move |i| (i, p)))
            .map(|(i, p)| (i, p, self.loose(i, p).value(values).round().max(0.0) as u32))
            .filter(|(.., n)| *n > 0)
            .collect()
    }

    /// How much of each item each party has: (item, party, amount), where the
    /// program has a column for it.
    pub fn parts(&self, values: &[f64]) -> Vec<(usize, usize, f64)> {
        self.totals.iter().map(|&(item, party, col)| (item, party, values[col])).collect()
    }

    /// Fixes how many of an item a party has, where there is a column for it.
    pub fn fix_count(&mut self, item: usize, party: usize, count: u32) {
        for &k in &self.by_item[item].2 {
            let (_, p, col) = self.totals[k];
            if p == party {
                let column = &mut self.model.columns[col];
                (column.low, column.high) = (f64::from(count), f64::from(count));
            }
        }
    }

    /// Fixes how many of each item each party outside the store has,
    /// `[party][item]`.
    pub fn fix_counts(&mut self, counts: &[Vec<u32>]) {
        let store = self.facts.store();
        for (p, items) in counts.iter().enumerate().filter(|(p, _)| Some(*p) != store) {
            for (i, n) in items.iter().enumerate() {
                let there = self.loose(i, p);
                if !there.terms.is_empty() {
                    // A surplus that the program does not know is put down.
                    let n = f64::from((*n).min(self.facts.most_in(i, p)));
                    self.model.row(&there, n, n);
                }
            }
        }
    }
}
