//! Simulated annealing (Kirkpatrick, Gelatt and Vecchi 1983): what is carried
//! is fixed, who carries it changes at random, at first also through small
//! overloads. For goals where single steps lead to poor local optima.

use super::random::Random;
use super::score::Score;
use super::state::{Spot, State, Step};
use crate::load::{GoalKind, Measure, Way};
use crate::options::Clock;

/// What one misplaced unit, one hand, or a broken rule weighs.
const UNIT: f64 = 1000.0;
const HOT: f64 = 400.0;
const COLD: f64 = 4.0;

/// Anneals for `tries` tries; `state` ends as the best feasible plan met, by
/// the goal, or as it was.
pub(crate) fn anneal(
    state: &mut State,
    kind: GoalKind,
    tries: u64,
    target: f64,
    seed: u64,
    clock: &Clock,
) {
    // Single units, so that any one is as likely as any other.
    let mut units: Vec<(usize, Spot)> = Vec::new();
    for (item, spot, count) in state.placed() {
        (0..count).for_each(|_| units.push((item, spot)));
    }
    if units.is_empty() || tries == 0 {
        return;
    }
    let mut random = Random::new(seed ^ 0x00a1_1ea1);
    let mut best = (state.clone(), Score::of(state, kind));
    let mut now = energy(state, kind);
    let cooling = (COLD / HOT).powf(1.0 / tries as f64);
    let mut heat = HOT;
    for n in 0..tries {
        heat *= cooling;
        if n % 256 == 0 && clock.over() {
            break;
        }
        let u = random.below(units.len());
        let (item, spot) = units[u];
        let party = state.party_of(spot);
        let swap = random.below(2) == 0;
        let (steps, v) = if swap {
            let v = random.below(units.len());
            let (other, there) = units[v];
            let ok = v != u && other != item && there != spot && state.party_of(there) == party;
            if !ok || !fits(state, item, there) || !fits(state, other, spot) {
                continue;
            }
            let a = Step { item, from: Some(spot), to: Some(there) };
            let b = Step { item: other, from: Some(there), to: Some(spot) };
            (vec![a, b], Some(v))
        } else {
            let Some(to) = anywhere(state, &mut random, item, party).filter(|to| *to != spot)
            else {
                continue;
            };
            (vec![Step { item, from: Some(spot), to: Some(to) }], None)
        };
        state.make(&steps);
        let then = energy(state, kind);
        let worse = then - now;
        let odds = (random.next() >> 11) as f64 / (1u64 << 53) as f64;
        if worse > 0.0 && odds >= (-worse / heat).exp() {
            state.undo(&steps);
            continue;
        }
        now = then;
        units[u].1 = steps[0].to.unwrap_or(spot);
        if let Some(v) = v {
            units[v].1 = spot;
        }
        let score = Score::of(state, kind);
        if score.better_than(&best.1) {
            best = (state.clone(), score);
            if score.penalty == 0 && score.goal <= target {
                break;
            }
        }
    }
    *state = best.0;
}

/// Some spot of the party that the item may take; now and then none.
fn anywhere(state: &State, random: &mut Random, item: usize, party: usize) -> Option<Spot> {
    let facts = state.facts;
    let here = &facts.by_party[party];
    let c = here[random.below(here.len())];
    let ways = Way::ALL.into_iter().filter(|w| facts.may(item, c, *w));
    let ways: Vec<Way> = ways.collect();
    if ways.is_empty() {
        return None;
    }
    let way = ways[random.below(ways.len())];
    if way != Way::Pair {
        return Some(Spot::One(c, way));
    }
    let d = here[random.below(here.len())];
    let even = facts.items[item].pair_even;
    // Alike ends differ in their order alone: one order is enough.
    let (a, b) = if even && d < c { (d, c) } else { (c, d) };
    (d != c && facts.may(item, d, Way::Pair)).then_some(Spot::Pair(a, b))
}

/// Whether the item may take the other's spot.
fn fits(state: &State, item: usize, spot: Spot) -> bool {
    let facts = state.facts;
    match spot {
        Spot::One(c, way) => facts.may(item, c, way),
        Spot::Pair(a, b) => facts.may(item, a, Way::Pair) && facts.may(item, b, Way::Pair),
    }
}

fn energy(state: &State, kind: GoalKind) -> f64 {
    let score = Score::of(state, kind);
    let goal = match kind.measure() {
        Measure::Count => score.goal * UNIT,
        // A hundredth of a share is a unit; the spread leads there.
        Measure::Share => {
            let limits: u64 = state.facts.carriers.iter().filter(|c| c.even).map(|c| c.limit).sum();
            let spread = score.tie / limits.max(1) as f64;
            (score.goal + 4.0 * spread) * 100.0 * UNIT / 4.0
        }
        Measure::Points | Measure::Mass => 0.0,
    };
    goal + 2.0 * score.penalty as f64
}
