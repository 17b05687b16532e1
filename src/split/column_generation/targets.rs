//! From loads to target counts, carrier by carrier, and from a plan to its
//! loads.

use super::classes::Classes;
use super::ix::ClassIx;
use super::knapsack_table::Load;
use super::master::Master;
use crate::facts::{Facts, KitIx};
use crate::load::{Bearer, ItemIx, Plan, Way};
use crate::local_search::Target;
use crate::program::{Program, TeamIx};

/// The loads that the plan's carriers bear alone, cut down to what their class
/// may bear: (class, load).
pub(super) fn loads_of(facts: &Facts, classes: &Classes, plan: &Plan) -> Vec<(ClassIx, Load)> {
    let mut class_of = vec![None; facts.carriers.len()];
    for (k, class) in classes.classes.iter().enumerate() {
        class.carriers.iter().for_each(|c| class_of[c.0] = Some(k));
    }
    let mut on: Vec<Vec<(ItemIx, u32)>> = vec![Vec::new(); facts.carriers.len()];
    for p in plan.placements() {
        let Bearer::One { carrier, .. } = p.by else { continue };
        let Some(c) = facts.carriers.iter().position(|f| f.ix == carrier).map(KitIx) else {
            continue;
        };
        match on[c.0].iter_mut().find(|(i, _)| *i == p.item) {
            Some((_, n)) => *n += p.count,
            None => on[c.0].push((p.item, p.count)),
        }
    }
    let mut loads = Vec::new();
    for (c, on) in on.into_iter().enumerate() {
        let Some(k) = class_of[c] else { continue };
        let class = &classes.classes[k];
        let mut left = class.limit;
        let mut load = Load::new();
        for &(link, most) in &classes.families[class.family].things {
            let item = classes.links[link].item;
            let Some((_, n)) = on.iter().find(|(i, _)| i.0 == item) else { continue };
            let mass = facts.items[item].mass;
            let fit = left.checked_div(mass).unwrap_or(u64::MAX).min(most.into()).min((*n).into());
            if fit > 0 {
                left -= fit * mass;
                load.push((link, fit as u32));
            }
        }
        loads.push((ClassIx(k), load));
    }
    loads
}

/// The targets of a point of the master whose loads are whole.
pub(super) fn targets(program: &Program, master: &Master, values: &[f64]) -> Vec<Target> {
    let facts = program.facts;
    let classes = master.classes;
    let mut all = Vec::new();
    let count = |v: f64| v.round().max(0.0) as u32;
    for b in &program.between {
        let members = |t: TeamIx| program.teams[t].members.clone();
        let (carriers, second) = (members(b.first), members(b.second));
        all.push(Target {
            item: b.item,
            count: count(values[b.col]),
            way: Way::Pair,
            carriers,
            second,
        });
    }
    // What is to go alone, and by which way as far as that matters.
    let mut left: Vec<u32> = classes
        .links
        .iter()
        .map(|l| count(l.units.iter().map(|c| values[*c]).sum()).min(l.held))
        .collect();
    let mut by_way: Vec<f64> = values[..program.model.columns.len()].to_vec();
    let mut next = vec![0; classes.classes.len()];
    for p in &master.patterns {
        let class = &classes.classes[p.class];
        for _ in 0..count(values[p.col]) {
            let Some(&c) = class.carriers.get(next[p.class.0]) else { break };
            next[p.class.0] += 1;
            for &(link, n) in &p.load {
                let item = classes.links[link].item;
                let n = n.min(left[link.0]);
                left[link.0] -= n;
                for _ in 0..n {
                    let open = program.alone.iter().filter(|a| {
                        a.item == item
                            && program.teams[a.team].members.contains(&c)
                            && facts.may(item, c, a.way)
                    });
                    let most = open.max_by(|a, b| by_way[a.col].total_cmp(&by_way[b.col]));
                    let Some(a) = most else { continue };
                    by_way[a.col] -= 1.0;
                    let (way, carriers) = (a.way, vec![c]);
                    all.push(Target { item, count: 1, way, carriers, second: Vec::new() });
                }
            }
        }
    }
    all
}
