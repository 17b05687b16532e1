//! Units of each item in each party: of a plan, of targets, of a program's
//! point.

use super::Passes;
use crate::facts::Facts;
use crate::load::{Bearer, Plan, Way};
use crate::local_search::{self, Target};
use crate::program::{Program, TeamIx};

impl Passes<'_, '_> {
    /// Units of each item in each party outside the store.
    pub(super) fn counts_of_plan(&self, plan: &Plan) -> local_search::Counts {
        let facts = self.facts;
        let mut counts = vec![vec![0; facts.items.len()]; facts.by_party.len()];
        for p in plan.placements() {
            let carrier = match p.by {
                Bearer::One { carrier, .. } => carrier,
                Bearer::Pair { first, .. } => first,
            };
            if let Some(f) = facts.carriers.iter().find(|f| f.ix == carrier) {
                counts[f.party][p.item.0] += p.count;
            }
        }
        counts
    }
}

/// The counts that targets come to.
pub(super) fn counts_of(facts: &Facts, targets: &[Target]) -> local_search::Counts {
    let mut counts = vec![vec![0; facts.items.len()]; facts.by_party.len()];
    for w in targets {
        if let Some(&c) = w.carriers.first() {
            counts[facts.carriers[c].party][w.item] += w.count;
        }
    }
    counts
}

/// The counts of a relaxation's point.
pub(super) fn totals(program: &Program, values: &[f64]) -> local_search::Counts {
    let facts = program.facts;
    let mut totals = vec![vec![0; facts.items.len()]; facts.by_party.len()];
    program.counts(values).into_iter().for_each(|(i, p, n)| totals[p][i] = n);
    totals
}

/// The counts of a relaxation's point as targets, split by way as far as they
/// come out whole: the rest goes by any way.
pub(super) fn targets(program: &Program, values: &[f64]) -> Vec<Target> {
    let members = |t: TeamIx| program.teams[t].members.clone();
    let mut all = Vec::new();
    for (item, party, total) in program.counts(values) {
        let mut left = total;
        let here = |t: TeamIx| program.teams[t].party == party;
        let between = program.between.iter().filter(|b| b.item == item && here(b.first));
        for b in between {
            let count = (values[b.col].round().max(0.0) as u32).min(left);
            left -= count;
            let (carriers, second) = (members(b.first), members(b.second));
            all.push(Target { item, count, way: Way::Pair, carriers, second });
        }
        let alone: Vec<_> =
            program.alone.iter().filter(|a| a.item == item && here(a.team)).collect();
        for a in &alone {
            let count = ((values[a.col] + 1e-6).floor().max(0.0) as u32).min(left);
            left -= count;
            let carriers = members(a.team);
            all.push(Target { item, count, way: a.way, carriers, second: Vec::new() });
        }
        // Each is rounded down; the rest follows the largest fraction.
        let part = |v: f64| v - v.floor();
        let most = alone.iter().max_by(|a, b| {
            part(values[a.col])
                .partial_cmp(&part(values[b.col]))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        if let (Some(a), true) = (most, left > 0) {
            let carriers = members(a.team);
            all.push(Target { item, count: left, way: a.way, carriers, second: Vec::new() });
        }
    }
    all
}
