//! Ruin and recreate (Schrimpf et al. 2000), for fewest changes: a few changes
//! are undone, what that breaks is repaired by the steps that gain most for the
//! fewest changes, and what is no worse is kept.

use super::construct::spots;
use super::random::Random;
use super::score::Score;
use super::state::{Spot, State, Step};
use crate::facts::{BeforeFact, KitIx};
use crate::load::GoalKind;
use crate::options::Clock;

/// The most steps that repair what one round broke.
const REPAIRS: usize = 24;
/// Tries of other searches that a round may cost.
const COST: u64 = 60;
/// The most changes that a round takes back.
const MOST_BACK: usize = 6;
const KIND: GoalKind = GoalKind::Changes;

/// Rounds for as many tries as there are; the state ends as the best whole one
/// met, or as it was.
pub(super) fn ruin_and_recreate(
    state: &mut State,
    tries: u64,
    target: f64,
    seed: u64,
    clock: &Clock,
) {
    let Some(before) = &state.facts.before else { return };
    let mut random = Random::new(seed ^ 0x4e4a_11d0);
    let start = state.clone();
    let was = Score::of(state, KIND);
    repair(state, before, &mut random);
    tidy(state, before, &mut random);
    let mut now = Score::of(state, KIND);
    let mut best = (state.clone(), now);
    for _ in 0..tries / COST {
        if clock.over() || best.1.penalty == 0 && best.1.goal <= target {
            break;
        }
        let mut made = take_back(state, before, &mut random);
        match repair(state, before, &mut random) {
            Some(steps) => made.extend(steps),
            None => {
                // What it tried is taken back with the rest.
                made.iter().rev().for_each(|s| state.undo(&[*s]));
                continue;
            }
        }
        made.extend(tidy(state, before, &mut random));
        let then = Score::of(state, KIND);
        // As good or, now and then, one worse than the best.
        let slack = if random.below(8) == 0 { 1.0 } else { 0.0 };
        let worse = now.penalty == 0 && then.goal > f64::max(now.goal, best.1.goal + slack);
        if worse {
            made.iter().rev().for_each(|s| state.undo(&[*s]));
            continue;
        }
        now = then;
        if now.better_than(&best.1) {
            best = (state.clone(), now);
        }
    }
    let whole = best.1.better_than(&was);
    *state = if whole { best.0 } else { start };
}

/// What somebody has over what they had, and what they have not any more:
/// steps that would take it back.
fn changed(state: &State, before: &BeforeFact) -> Vec<Step> {
    let facts = state.facts;
    let mut all = Vec::new();
    for c in facts.kit().filter(|c| !facts.carriers[*c].store) {
        for e in &state.on[c].entries {
            let more = state.count_on(e.item, c) > before.on[c.0][e.item];
            if more {
                all.push(Step { item: e.item, from: Some(Spot::One(c, e.way)), to: None });
            }
        }
        for &(item, a, b) in state.on[c].pairs.iter().filter(|p| p.1 == c) {
            if [a, b].iter().any(|d| state.count_on(item, *d) > before.on[d.0][item]) {
                all.push(Step { item, from: Some(Spot::Pair(a, b)), to: None });
            }
        }
        for (item, had) in before.on[c.0].iter().enumerate().filter(|(_, n)| **n > 0) {
            if state.left(item) > 0 && state.count_on(item, c) < *had {
                let way = state.way_to(item, c, None);
                let to = way.map(|w| Spot::One(c, w));
                all.extend(to.map(|to| Step { item, from: None, to: Some(to) }));
            }
        }
    }
    all
}

/// Takes some changes back; now and then somebody puts down something else.
fn take_back(state: &mut State, before: &BeforeFact, random: &mut Random) -> Vec<Step> {
    let mut back = changed(state, before);
    random.shuffle(&mut back);
    back.truncate(1 + random.below(MOST_BACK));
    let mut made = Vec::new();
    for step in back {
        // An earlier one may have moved the last.
        if step.from.is_none() && state.left(step.item) == 0 {
            continue;
        }
        state.make(&[step]);
        made.push(step);
    }
    if random.below(3) == 0 {
        let units: Vec<(usize, Spot)> = state.placed().map(|(i, s, _)| (i, s)).collect();
        if !units.is_empty() {
            let (item, spot) = units[random.below(units.len())];
            let step = Step { item, from: Some(spot), to: None };
            state.make(&[step]);
            made.push(step);
        }
    }
    made
}

/// Repairs by the best step again and again; `None`, and all as it was, if that
/// leads nowhere.
fn repair(state: &mut State, before: &BeforeFact, random: &mut Random) -> Option<Vec<Step>> {
    let mut made: Vec<Step> = Vec::new();
    for _ in 0..REPAIRS {
        let now = state.penalty();
        if now == 0 {
            return Some(made);
        }
        let mut steps = helps(state, before);
        random.shuffle(&mut steps);
        let mut found: Option<(Score, Step)> = None;
        for step in steps {
            state.make(&[step]);
            let then = Score::of(state, KIND);
            state.undo(&[step]);
            let better = found
                .as_ref()
                .is_none_or(|(best, _)| (then.penalty, then.goal) < (best.penalty, best.goal));
            if then.penalty < now && better {
                found = Some((then, step));
            }
        }
        let Some((_, step)) = found else { break };
        state.make(&[step]);
        made.push(step);
    }
    if state.penalty() == 0 {
        return Some(made);
    }
    made.iter().rev().for_each(|s| state.undo(&[*s]));
    None
}

/// Steps that could repair: off whoever is over, else what is lacking to
/// anybody who may take it.
fn helps(state: &State, before: &BeforeFact) -> Vec<Step> {
    let facts = state.facts;
    let mut steps = Vec::new();
    let over = |c: &KitIx| state.on[*c].penalty + state.on[*c].broken > 0;
    for c in facts.kit().filter(|c| !facts.carriers[*c].store).filter(over) {
        for e in &state.on[c].entries {
            let from = Some(Spot::One(c, e.way));
            steps.push(Step { item: e.item, from, to: None });
            for &d in facts.by_party[facts.carriers[c].party].iter().filter(|d| **d != c) {
                let way = state.way_to(e.item, d, None);
                let to = way.filter(|w| state.fits(e.item, d, *w)).map(|w| Spot::One(d, w));
                steps.extend(to.map(|to| Step { item: e.item, from, to: Some(to) }));
            }
        }
        for &(item, a, b) in &state.on[c].pairs {
            steps.push(Step { item, from: Some(Spot::Pair(a, b)), to: None });
        }
        // What is fixed to somebody.
        for &(item, _, to) in facts.rules.fixed.iter().filter(|f| f.2 == c) {
            let way = state.way_to(item, to, None).filter(|_| state.left(item) > 0);
            let to = way.map(|w| Some(Spot::One(to, w)));
            steps.extend(to.map(|to| Step { item, from: None, to }));
        }
    }
    if !steps.is_empty() {
        return steps;
    }
    for p in (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store()) {
        if state.party_penalty[p] == 0 {
            continue;
        }
        let useful = |i: &usize| state.loose[p][*i] < facts.useful[p][*i] && state.left(*i) > 0;
        for item in (0..facts.items.len()).filter(useful) {
            if !state.could_repair(item, p) {
                continue;
            }
            let all = spots(state, item, p).into_iter();
            steps.extend(all.map(|to| Step { item, from: None, to: Some(to) }));
        }
    }
    if steps.is_empty() {
        steps = changed(state, before);
    }
    steps
}

/// Takes every change back that nothing asks for.
fn tidy(state: &mut State, before: &BeforeFact, random: &mut Random) -> Vec<Step> {
    let mut steps = changed(state, before);
    random.shuffle(&mut steps);
    let mut made = Vec::new();
    let mut now = Score::of(state, KIND);
    for step in steps {
        if step.from.is_none() && state.left(step.item) == 0 {
            continue;
        }
        state.make(&[step]);
        let then = Score::of(state, KIND);
        if (then.penalty, then.goal) < (now.penalty, now.goal) {
            now = then;
            made.push(step);
        } else {
            state.undo(&[step]);
        }
    }
    made
}
