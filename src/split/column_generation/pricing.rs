//! The pricing problem: at the prices of the links, the best load of every
//! class.

use super::classes::{Classes, Family};
use super::ix::{ClassIx, FamilyIx, LinkIx};
use super::knapsack::Knapsack;
use super::knapsack_table::{KnapsackTable, Load, Thing, steps};
use crate::facts::Facts;
use crate::options::Clock;

/// Dynamic programming is used up to so many steps, all together.
const MOST_STEPS: u64 = 40_000_000;
/// Node limit of one knapsack by branch and bound.
const MOST_NODES: u64 = 20_000;

/// The best load of a class.
#[derive(Debug, Clone)]
pub(super) struct Priced {
    pub load: Load,
    pub value: u64,
    /// No load of the class is worth more.
    pub bound: u64,
}

/// Prices of links in whole multiples of `unit`, a power of two.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    pub each: Vec<u64>,
    pub unit: f64,
}

impl Prices {
    /// Rounds real prices: the sum over all that is held keeps under 2^50, so
    /// that every sum of them is a whole number of units and exact.
    pub fn new(classes: &Classes, prices: &[f64]) -> Prices {
        let real = |k: usize| prices[k].max(0.0);
        let all: f64 =
            classes.links.iter().enumerate().map(|(k, l)| real(k) * f64::from(l.held)).sum();
        if !all.is_finite() || all <= 0.0 {
            return Prices { each: vec![0; prices.len()], unit: 1.0 };
        }
        let unit = ((all.log2() - 49.0).floor()).clamp(-900.0, 900.0).exp2();
        Prices { each: (0..prices.len()).map(|k| (real(k) / unit).round() as u64).collect(), unit }
    }

    pub fn real(&self, link: LinkIx) -> f64 {
        self.each[link.0] as f64 * self.unit
    }
    pub fn of(&self, load: &Load) -> u64 {
        load.iter().map(|(l, n)| self.each[l.0] * u64::from(*n)).sum()
    }
}

impl Family {
    /// The things of the family at these prices.
    pub fn things(&self, facts: &Facts, classes: &Classes, prices: &Prices) -> Vec<Thing> {
        let thing = |&(link, most): &(LinkIx, u32)| {
            let mass = facts.items[classes.links[link].item].mass;
            Thing { link, mass, most, price: prices.each[link.0] }
        };
        self.things.iter().map(thing).collect()
    }
}

/// The best load of every class, and about how many steps that took; nothing
/// if the time is over.
pub(super) fn price(
    facts: &Facts,
    classes: &Classes,
    prices: &Prices,
    clock: &Clock,
) -> Option<(Vec<Priced>, u64)> {
    let nothing = Priced { load: Vec::new(), value: 0, bound: 0 };
    let mut priced = vec![nothing; classes.classes.len()];
    let mut spent = 0;
    let most_steps = MOST_STEPS / classes.families.len().clamp(1, 100) as u64;
    for (f, family) in classes.families.iter().enumerate() {
        if clock.over() {
            return None;
        }
        let members =
            || (0..classes.classes.len()).filter(|&k| classes.classes[k].family == FamilyIx(f));
        let things = family.things(facts, classes, prices);
        let step = things.iter().map(|t| t.mass).fold(0, gcd).max(1);
        let width = family.widest / step;
        let steps = steps(&things, width);
        if family.sides.is_empty() && steps <= most_steps {
            spent += steps;
            let scaled: Vec<Thing> =
                things.iter().map(|t| Thing { mass: t.mass / step, ..t.clone() }).collect();
            let table = KnapsackTable::fill(&scaled, width as usize);
            for k in members() {
                let limit = (classes.classes[k].limit / step) as usize;
                let value = table.value(limit);
                priced[k] = Priced { load: table.load(&scaled, limit), value, bound: value };
            }
            continue;
        }
        for k in members() {
            if clock.over() {
                return None;
            }
            let knapsack = Knapsack::new(&things, &family.sides, classes.classes[k].limit);
            let found = knapsack.best(MOST_NODES);
            spent += found.nodes * things.len() as u64 / 4;
            priced[k] = Priced { load: found.load, value: found.value, bound: found.bound };
        }
    }
    for (p, class) in priced.iter_mut().zip(&classes.classes) {
        debug_assert!(p.value == prices.of(&p.load) && p.value <= p.bound, "{class:?}");
        p.load.sort_unstable();
    }
    Some((priced, spent))
}

/// Work limits for complementary loads.
const SPREAD_STEPS: u64 = 20_000_000;
/// Nodes of each of their branch and bounds.
const SPREAD_NODES: u64 = 500;

/// Complementary loads: one carrier after the other takes the best of what is
/// left. The bound does not need them, but the master soon does.
pub(super) fn spread(facts: &Facts, classes: &Classes, prices: &Prices) -> Vec<(ClassIx, Load)> {
    let mut left: Vec<u32> = classes.links.iter().map(|l| l.held).collect();
    let mut loads = Vec::new();
    let mut spent = 0;
    for (k, class) in classes.classes.iter().enumerate() {
        let family = &classes.families[class.family];
        for _ in 0..class.carriers.len() {
            let mut things = family.things(facts, classes, prices);
            things.iter_mut().for_each(|t| t.most = t.most.min(left[t.link.0]));
            let step = things.iter().map(|t| t.mass).fold(0, gcd).max(1);
            let steps = steps(&things, class.limit / step);
            let load = if family.sides.is_empty() && spent + steps <= SPREAD_STEPS {
                spent += steps;
                things.iter_mut().for_each(|t| t.mass /= step);
                let limit = (class.limit / step) as usize;
                KnapsackTable::fill(&things, limit).load(&things, limit)
            } else {
                spent += SPREAD_NODES * things.len() as u64;
                Knapsack::new(&things, &family.sides, class.limit).best(SPREAD_NODES).load
            };
            if spent > SPREAD_STEPS || load.is_empty() {
                break;
            }
            load.iter().for_each(|(l, n)| left[l.0] -= n);
            loads.push((ClassIx(k), load));
        }
    }
    loads.iter_mut().for_each(|(_, load)| load.sort_unstable());
    loads
}

pub(super) fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
