//! Load balancing: swaps of a few units between a fuller and an emptier carrier
//! of a party, until no two of them can be brought nearer to each other; then a
//! few random swaps to perturb. For `even`, and for a crew that is over its
//! limits.

use super::bundles::{Bundles, Unit, nearest};
use super::score::Score;
use super::state::{State, Step, ends};
use super::walk::{Budget, Walk};
use crate::facts::KitIx;
use crate::load::GoalKind;
use crate::options::Clock;

/// Swaps tried between two carriers before the next two.
const SWAPS: usize = 4;
/// Bundles walked past that count as one try.
const WALK: u64 = 64;

/// Balances the loads; the result is never worse.
pub(crate) fn balance(state: &mut State, kind: GoalKind, budget: &Budget, clock: &Clock) -> Score {
    let budget = Budget { seed: budget.seed ^ 0x1e7e_11ed, ..budget.clone() };
    let bundles = vec![None; state.on.len()];
    let several = kind == GoalKind::Even && walking_parties(state) > 1;
    let mut level = Balance { walk: Walk::new(state, kind, &budget, clock), bundles, several };
    level.run();
    level.walk.score
}

/// Parties of which somebody's share is looked at.
fn walking_parties(state: &State) -> usize {
    let facts = state.facts;
    let even = |here: &&Vec<KitIx>| here.iter().any(|c| facts.carriers[*c].even);
    facts.by_party.iter().filter(even).count()
}

struct Balance<'s, 'f, 'o> {
    walk: Walk<'s, 'f, 'o>,
    /// What each carrier could give, while it is as it was.
    bundles: Vec<Option<Bundles>>,
    /// Whether parties compete for the tries: what is balanced enough is left.
    several: bool,
}

impl Balance<'_, '_, '_> {
    fn run(&mut self) {
        let facts = self.walk.state.facts;
        facts.by_party.iter().for_each(|here| self.settle(here));
        self.walk.keep();
        while !self.walk.done() {
            let moved = self.kick();
            if moved.is_empty() {
                return;
            }
            self.settle(&moved);
            let back = self.walk.settle();
            self.forget(&back);
        }
    }

    fn forget(&mut self, steps: &[Step]) {
        for spot in steps.iter().flat_map(|s| [s.from, s.to]).flatten() {
            let (a, b) = ends(spot);
            self.bundles[a.0] = None;
            if let Some(b) = b {
                self.bundles[b.0] = None;
            }
        }
    }

    /// What fills a carrier: its share for `even`, else what its limit takes.
    fn fill(&self, c: KitIx) -> (f64, f64) {
        let f = &self.walk.state.facts.carriers[c];
        let whole = match self.walk.kind {
            GoalKind::Even => f.limit,
            _ => self.walk.state.most_mass(c).min(f.limit),
        };
        ((f.burden + self.walk.state.on[c].mass) as f64, whole.max(1) as f64)
    }

    fn share(&self, c: KitIx) -> f64 {
        let (load, whole) = self.fill(c);
        load / whole
    }

    /// Until no carrier of `moved` and one of its party can come nearer to
    /// each other; the fullest first.
    fn settle(&mut self, moved: &[KitIx]) {
        let mut waiting: Vec<KitIx> = moved.to_vec();
        while !waiting.is_empty() && !self.walk.done() {
            let full = |x: &(usize, &KitIx)| self.share(*x.1);
            let fullest = waiting.iter().enumerate().max_by(|a, b| full(a).total_cmp(&full(b)));
            let Some((at, _)) = fullest else { return };
            // The others are emptier still, and other parties wait.
            if self.several && self.share(waiting[at]) <= self.walk.target() {
                return;
            }
            let c = waiting.swap_remove(at);
            let mut others =
                self.walk.state.facts.by_party[self.walk.state.facts.carriers[c].party].clone();
            others.retain(|o| *o != c);
            // Those whom it is furthest from can gain the most.
            let here = self.share(c);
            let mut far: Vec<(f64, KitIx)> =
                others.into_iter().map(|o| ((self.share(o) - here).abs(), o)).collect();
            far.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            for (_, other) in far {
                if self.walk.done() {
                    return;
                }
                if self.between(c, other) {
                    for x in [c, other] {
                        if !waiting.contains(&x) {
                            waiting.push(x);
                        }
                    }
                    break;
                }
            }
        }
    }

    /// Brings two carriers nearer to each other.
    fn between(&mut self, a: KitIx, b: KitIx) -> bool {
        let (a, b) = if self.share(a) >= self.share(b) { (a, b) } else { (b, a) };
        let ((on_a, whole_a), (on_b, whole_b)) = (self.fill(a), self.fill(b));
        let wanted = (on_a * whole_b - on_b * whole_a) / (whole_a + whole_b);
        if wanted < 1.0 {
            self.walk.spend(1);
            return false;
        }
        for c in [a, b] {
            if self.bundles[c.0].is_none() {
                let bundles = Bundles::of(self.walk.state, c, &mut self.walk.random);
                self.walk.spend(bundles.len() as u64 * 2 / WALK);
                self.bundles[c.0] = Some(bundles);
            }
        }
        let (Some(from), Some(to)) = (&self.bundles[a.0], &self.bundles[b.0]) else { return false };
        self.walk.spend(1 + (from.len() + to.len()) as u64 / WALK);
        let swaps: Vec<(Vec<Unit>, Vec<Unit>)> = nearest(from, to, wanted as i64, SWAPS)
            .into_iter()
            .map(|(i, j)| (from.units(i).collect(), to.units(j).collect()))
            .collect();
        for (given, taken) in swaps {
            let there = given.iter().map(|u| u.step(self.walk.state, a, b));
            let back = taken.iter().map(|u| u.step(self.walk.state, b, a));
            let steps: Option<Vec<Step>> = there.chain(back).collect();
            if steps.is_some_and(|steps| self.attempt(&steps)) {
                return true;
            }
        }
        false
    }

    /// Makes the steps and keeps them if they balance without violating
    /// anything.
    fn attempt(&mut self, steps: &[Step]) -> bool {
        // Balancing two carriers may leave the peak with a third.
        let by_spread = |a: &Score, b: &Score| {
            b.penalty <= a.penalty && b.goal <= a.goal && b.tie < a.tie * (1.0 - 1e-12)
        };
        let kept = self.walk.attempt(steps, |a, b| b.better_than(a) || by_spread(a, b));
        if kept {
            self.forget(steps);
        }
        kept
    }

    /// Moves a few units of the fullest carrier and of two or three others of
    /// its party around; gives whom it touched.
    fn kick(&mut self) -> Vec<KitIx> {
        let facts = self.walk.state.facts;
        let even = |c: &KitIx| !facts.carriers[*c].store;
        let Some(peak) =
            facts.kit().filter(even).max_by(|a, b| self.share(*a).total_cmp(&self.share(*b)))
        else {
            return Vec::new();
        };
        let mut others = facts.by_party[facts.carriers[peak].party].clone();
        others.retain(|c| *c != peak);
        if others.is_empty() {
            return Vec::new();
        }
        self.walk.random.shuffle(&mut others);
        let first = if self.walk.random.below(2) == 0 { Some(peak) } else { None };
        let ring: Vec<KitIx> =
            first.into_iter().chain(others).take(2 + self.walk.random.below(2)).collect();
        let mut steps = Vec::new();
        for k in 0..ring.len() {
            let (c, next) = (ring[k], ring[(k + 1) % ring.len()]);
            let entries = &self.walk.state.on[c].entries;
            if entries.is_empty() {
                continue;
            }
            let e = entries[self.walk.random.below(entries.len())];
            let unit = Unit::new(facts, e.item, e.way);
            steps.extend(unit.step(self.walk.state, c, next));
        }
        self.walk.force(&steps);
        self.forget(&steps);
        ring
    }
}
