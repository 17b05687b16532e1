//! Large-neighbourhood search (Shaw 1998) for `wants`: a few carriers put down
//! what is only wanted, and are refilled one after the other, each by the
//! optimal knapsack over what lies there. Perturbed values make other loads the
//! best.

use super::classes::Classes;
use super::ix::LinkIx;
use super::knapsack::{Knapsack, Side};
use super::knapsack_table::{KnapsackTable, Load, Thing, steps};
use super::pricing::{Prices, gcd};
use crate::facts::{Facts, KitIx};
use crate::load::{Bearer, ItemIx, NeedNode, Plan, Way};
use crate::local_search::{Random, Target};
use crate::options::Clock;
use crate::program::{Program, TeamIx};

/// Its work limit: steps of its knapsacks.
const STEPS: u64 = 3_000_000_000;
/// A table of more steps is searched by branch and bound instead.
const TABLE: u64 = 2_000_000;
const NODES: u64 = 300;

/// Tries without improvement before it ends, and the history length of late
/// acceptance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Patience {
    pub tries: u64,
    pub memory: usize,
}

/// A carrier, with the room that things which are not only wanted leave it.
struct Bearing {
    carrier: KitIx,
    limit: u64,
    /// (link, most units on it).
    things: Vec<(LinkIx, u32)>,
    sides: Vec<Side>,
    load: Load,
}

pub(super) struct KnapsackNeighbourhood<'a, 'f, 'o> {
    program: &'a Program<'f, 'o>,
    classes: &'a Classes,
    /// Points for one more of each link; zero for what is not touched.
    worth: Vec<u64>,
    on: Vec<Bearing>,
    left: Vec<u32>,
    /// Placements that stay as they are.
    kept: Vec<Target>,
    unit: u64,
    spent: u64,
}

impl<'a, 'f, 'o> KnapsackNeighbourhood<'a, 'f, 'o> {
    /// Nothing if there is nothing to exchange.
    pub fn new(program: &'a Program<'f, 'o>, classes: &'a Classes, plan: &Plan) -> Option<Self> {
        let facts = program.facts;
        let worth = worth(program, classes);
        let mut left: Vec<u32> = worth
            .iter()
            .zip(&classes.links)
            .map(|(w, l)| if *w > 0 { wanted(facts, l.item, l.held) } else { 0 })
            .collect();
        let mut on: Vec<Bearing> = Vec::new();
        for class in &classes.classes {
            let family = &classes.families[class.family];
            let free = |t: &(LinkIx, u32)| worth[t.0.0] > 0;
            let kept: Vec<usize> =
                (0..family.things.len()).filter(|k| free(&family.things[*k])).collect();
            let sides = family
                .sides
                .iter()
                .map(|s| Side { each: kept.iter().map(|k| s.each[*k]).collect(), limit: s.limit });
            let sides: Vec<Side> = sides.collect();
            let things: Vec<(LinkIx, u32)> = kept.iter().map(|k| family.things[*k]).collect();
            on.extend(class.carriers.iter().map(|&carrier| Bearing {
                carrier,
                limit: class.limit,
                things: things.clone(),
                sides: sides.clone(),
                load: Load::new(),
            }));
        }
        on.sort_by_key(|b| b.carrier);
        let place = |ix| facts.carriers.iter().position(|f| f.ix == ix).map(KitIx);
        let mut kept = Vec::new();
        for p in plan.placements() {
            let item = p.item.0;
            let (carrier, second, way) = match p.by {
                Bearer::One { carrier, way } => (place(carrier)?, None, way),
                Bearer::Pair { first, second } => (place(first)?, Some(place(second)?), Way::Pair),
            };
            if facts.carriers[carrier].store {
                continue;
            }
            let free = second.is_none().then(|| link_of(program, classes, item, carrier)).flatten();
            match free.filter(|l| worth[l.0] > 0 && left[l.0] >= p.count) {
                Some(link) => {
                    left[link.0] -= p.count;
                    let b = on.iter_mut().find(|b| b.carrier == carrier)?;
                    match b.load.iter_mut().find(|(l, _)| *l == link) {
                        Some((_, n)) => *n += p.count,
                        None => b.load.push((link, p.count)),
                    }
                }
                None => {
                    let ends = [(Some(carrier), 0), (second, 1)];
                    for (c, end) in ends.into_iter().filter_map(|(c, end)| Some((c?, end))) {
                        let fact = &facts.items[item];
                        let mass = if second.is_some() { fact.pair[end] } else { fact.mass };
                        let b = on.iter_mut().find(|b| b.carrier == c)?;
                        b.limit = b.limit.saturating_sub(mass * u64::from(p.count));
                    }
                    let second = second.into_iter().collect();
                    kept.push(Target {
                        item,
                        count: p.count,
                        way,
                        carriers: vec![carrier],
                        second,
                    });
                }
            }
        }
        let masses = classes.links.iter().zip(&worth).filter(|(_, w)| **w > 0);
        let unit = masses.map(|(l, _)| facts.items[l.item].mass).fold(0, gcd).max(1);
        let open = on.iter().filter(|b| !b.things.is_empty()).count();
        // Perturbed values of all of it must fit 63 bits.
        let each = worth.iter().zip(&classes.links);
        let all = each.map(|(w, l)| w.saturating_mul(l.held.into())).fold(0, u64::saturating_add);
        let some = open > 0 && all > 0 && all < 1 << 50;
        some.then_some(KnapsackNeighbourhood {
            program,
            classes,
            worth,
            on,
            left,
            kept,
            unit,
            spent: 0,
        })
    }

    /// Tries, until `enough` more points are there, or so many tries in a row
    /// gained none; the points gained.
    pub fn run(
        &mut self,
        prices: &Prices,
        enough: u64,
        patience: Patience,
        seed: u64,
        clock: &Clock,
    ) -> u64 {
        let mut random = Random::new(seed ^ 0x5ef1);
        let (mut gained, mut last) = (0, 0);
        // Late acceptance (Burke and Bykov 2017): gains so far, of the last
        // tries.
        let mut now = 0i64;
        let mut before = vec![0i64; patience.memory.max(1)];
        let mut best: Vec<Load> = self.on.iter().map(|b| b.load.clone()).collect();
        for n in 0u64.. {
            if gained >= enough || self.spent > STEPS || n - last > patience.tries {
                break;
            }
            if n % 16 == 0 && clock.over() {
                break;
            }
            let at = n as usize % before.len();
            now += self.try_one(prices, before[at].min(now) - now, &mut random);
            before[at] = now;
            if now > gained as i64 {
                (gained, last) = (now as u64, n);
                best.clone_from_slice(&self.on.iter().map(|b| b.load.clone()).collect::<Vec<_>>());
            }
        }
        // What lies there is not asked for again.
        self.on.iter_mut().zip(best).for_each(|(b, load)| b.load = load);
        gained
    }

    /// Empties a few carriers and refills them; kept if at least so much is
    /// gained, which it gives.
    fn try_one(&mut self, prices: &Prices, least: i64, random: &mut Random) -> i64 {
        let mut some: Vec<usize> = Vec::new();
        for _ in 0..(2 + random.below(2)).min(self.on.len()) {
            let b = random.below(self.on.len());
            if !some.contains(&b) {
                some.push(b);
            }
        }
        let before: Vec<Load> =
            some.iter().map(|b| std::mem::take(&mut self.on[*b].load)).collect();
        let lain = self.left.clone();
        before.iter().flatten().for_each(|(l, n)| self.left[l.0] += n);
        let shake = [0, 64, 256][random.below(3)];
        let guided = random.below(2) == 0;
        let priced: Vec<u64> = (0..self.worth.len())
            .map(|l| {
                // Values of things by the Lagrangian's prices, or by the wants'
                // points.
                let dual = prices.real(LinkIx(l)).min(self.worth[l] as f64);
                let base = if guided { (dual * 1024.0) as u64 } else { self.worth[l] << 10 };
                let by = 1024 - shake + random.below(2 * shake as usize + 1) as u64;
                ((base >> 10) * by + (base & 1023)).max(u64::from(self.worth[l] > 0))
            })
            .collect();
        for (k, &b) in some.iter().enumerate() {
            let last = k + 1 == some.len();
            let load = self.fill(b, if last { None } else { Some(&priced) });
            load.iter().for_each(|(l, n)| self.left[l.0] -= n);
            self.on[b].load = load;
        }
        let worth = |loads: &mut dyn Iterator<Item = &(LinkIx, u32)>| -> u64 {
            loads.map(|(l, n)| self.worth[l.0] * u64::from(*n)).sum()
        };
        let was = worth(&mut before.iter().flatten());
        let is = worth(&mut some.iter().flat_map(|b| &self.on[*b].load));
        let more = is as i64 - was as i64;
        if more >= least {
            return more;
        }
        for (b, load) in some.into_iter().zip(before) {
            self.on[b].load = load;
        }
        self.left = lain;
        0
    }

    /// The optimal load of what lies there, by these values or by its points.
    fn fill(&mut self, b: usize, prices: Option<&[u64]>) -> Load {
        let bearing = &self.on[b];
        let facts = self.program.facts;
        let each = bearing.things.iter();
        let mut things: Vec<Thing> = each
            .map(|&(link, most)| Thing {
                link,
                mass: facts.items[self.classes.links[link].item].mass,
                most: most.min(self.left[link.0]),
                price: prices.map_or(self.worth[link.0], |p| p[link.0]),
            })
            .collect();
        let width = bearing.limit / self.unit;
        if bearing.sides.is_empty() {
            things.retain(|t| t.most > 0);
            let steps = steps(&things, width);
            if steps <= TABLE {
                self.spent += steps;
                things.iter_mut().for_each(|t| t.mass /= self.unit);
                return KnapsackTable::fill(&things, width as usize).load(&things, width as usize);
            }
        }
        let most = |t: &Thing| bearing.limit.checked_div(t.mass).unwrap_or(u64::MAX);
        things.iter_mut().for_each(|t| t.most = most(t).min(t.most.into()) as u32);
        let found = Knapsack::new(&things, &bearing.sides, bearing.limit).best(NODES);
        self.spent += found.nodes * things.len() as u64;
        found.load
    }

    /// All of it as targets, each for its carrier.
    pub fn targets(&self) -> Vec<Target> {
        let mut all = self.kept.clone();
        for b in &self.on {
            for &(link, count) in &b.load {
                let item = self.classes.links[link].item;
                let open = |w: &Way| *w != Way::Pair && self.program.facts.may(item, b.carrier, *w);
                let Some(way) = Way::ALL.into_iter().find(open) else { continue };
                all.push(Target {
                    item,
                    count,
                    way,
                    carriers: vec![b.carrier],
                    second: Vec::new(),
                });
            }
        }
        all
    }
}

fn link_of(program: &Program, classes: &Classes, item: usize, carrier: KitIx) -> Option<LinkIx> {
    let here = |t: TeamIx| program.teams[t].members.contains(&carrier);
    classes.links.iter().position(|l| l.item == item && here(l.team)).map(LinkIx)
}

/// How many of an item the wants count, all parties together.
fn wanted(facts: &Facts, item: usize, held: u32) -> u32 {
    let most = facts.order.wants().iter().filter(|w| w.item.0 == item).map(|w| w.up_to);
    most.fold(0u32, u32::saturating_add).min(held)
}

/// Points for one of each link, if nothing but one want looks at the item.
fn worth(program: &Program, classes: &Classes) -> Vec<u64> {
    let facts = program.facts;
    let mut bound = vec![false; facts.items.len()];
    let mut pick = |i: usize| bound[i] = true;
    facts.order.needs().iter().for_each(|n| leaves(&n.node, &mut pick));
    for r in &facts.requires {
        pick(r.required);
        r.each.iter().for_each(|(i, _)| pick(*i));
        r.shared.iter().for_each(|i| pick(*i));
    }
    facts.rules.together.iter().flatten().for_each(|i| pick(*i));
    for (i, f) in facts.items.iter().enumerate() {
        let plain = f.inside.len() == 1 && facts.found_in[i].len() == 1 && f.supplies.is_empty();
        let uses = facts.users.iter().any(|u| u.contains(&i));
        let wants = facts.order.wants().iter().filter(|w| w.item.0 == i).count();
        if !plain || uses || wants != 1 || facts.ruled[i] || !may_stay(facts, i) {
            bound[i] = true;
        }
    }
    let value = |l: &super::classes::Link| {
        let party = program.teams[l.team].party;
        let here = facts.order.wants().iter().find(|w| w.item.0 == l.item && w.party.0 == party);
        here.filter(|_| !bound[l.item]).map_or(0, |w| u64::from(w.value))
    };
    classes.links.iter().map(value).collect()
}

fn may_stay(facts: &Facts, item: usize) -> bool {
    facts.store().is_none_or(|s| facts.by_party[s].iter().any(|&c| facts.may(item, c, Way::Bed)))
}

fn leaves(node: &NeedNode, pick: &mut impl FnMut(usize)) {
    match node {
        NeedNode::Item { item: ItemIx(i), .. } => pick(*i),
        NeedNode::Supply(_) => {}
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter().for_each(|n| leaves(n, pick));
        }
    }
}
