//! The goal `even`, decomposed: bisection over shares, each asking whether all
//! that must go can go with every carrier under the share.
//!
//! With the limits cut to the share, the master minimises what no load has room
//! for. If its bound is above zero, no plan has a lower peak.

use super::classes::Classes;
use super::dive::dive;
use super::generate::{Bounded, Effort, generate};
use super::integer_master::{FEW_LOADS, FEW_TO_PLAN, every, solve};
use super::ix::{ClassIx, LinkIx};
use super::knapsack_table::Load;
use super::master::{Master, MasterObjective};
use super::targets::{loads_of, targets};
use super::{Report, Task};
use crate::facts::{Facts, KitIx};
use crate::load::{GoalKind, GoalValue, Share};
use crate::pins::Pins;
use crate::program::{Program, bound_value};

/// Left over as a part of all that is held: so much is no rounding.
const SOME: f64 = 1e-6;
/// So little may be nothing.
const NOTHING: f64 = 1e-7;
/// Bisection steps between bound and incumbent.
const HALVINGS: u32 = 12;
const PLAN_NODES: u64 = 200;
const PROOF_NODES: u64 = 2_000;

/// The verdict on a share.
enum Verdict<'f, 'o> {
    /// No plan has a lower peak.
    Refuted,
    /// The loads leave nothing over in parts: as a whole it stays open.
    Open(Box<Opened<'f, 'o>>),
    Unknown,
}

struct Opened<'f, 'o> {
    program: Program<'f, 'o>,
    pins: Pins,
    bounded: Option<Bounded>,
}

/// Loads kept from share to share, by a carrier of their class.
type Pool = Vec<(KitIx, Load)>;

pub(super) fn even(task: &mut Task, low: Share, best: Share, report: &mut Report) -> Option<Share> {
    let facts = task.program.facts;
    let mut effort = Effort { rounds: 400, steps: 20_000_000_000 };
    let mut pool = Pool::new();
    let mut low = low;
    let mut open: Option<(Share, Box<Opened>)> = None;
    let mut lowest = false;
    // No plan that is better than the best?
    let mut next = best;
    for _ in 0..HALVINGS {
        if task.clock.over() || next <= low {
            break;
        }
        match under(task, next, &mut pool, &mut effort, report) {
            Verdict::Refuted => low = next,
            Verdict::Open(opened) => open = Some((next, opened)),
            Verdict::Unknown => break,
        }
        let top = open.as_ref().map_or(best, |o| o.0);
        // Where the bound cannot be raised at all, bisection is in vain.
        let share = if lowest { None } else { after(facts, low, top) };
        lowest = true;
        let Some(share) = share.or_else(|| between(facts, low, top)) else { break };
        next = share;
    }
    let Some((share, opened)) = open else { return Some(low) };
    if low >= best || task.clock.over() {
        return Some(low);
    }
    // A plan under the lowest share that is open.
    let Opened { program, pins, bounded } = *opened;
    let classes = Classes::new(&program, &pins);
    let mut master = Master::new(&program, &classes, MasterObjective::LeftOver);
    fill(&mut master, facts, &classes, &pool);
    if let Some((values, master)) = dive(facts, &master, &mut effort, task.clock) {
        task.offer(targets(&program, &master, &values));
        report.notes.push(format!("dived to {:.6}", task.known));
    }
    if task.known < share.ratio() || task.clock.over() {
        return Some(low);
    }
    if master.patterns.len() <= FEW_TO_PLAN {
        nothing_left(&mut master);
        let solved = solve(&master, None, 0.0, PLAN_NODES, task.clock);
        report.whole("loads so far", &solved, &master);
        if let Some(values) = solved.values {
            task.offer(targets(&program, &master, &values));
        }
    }
    if task.known < share.ratio() || task.clock.over() {
        return Some(low);
    }
    // All the loads there are.
    let every = bounded.and_then(|b| {
        every(&program, &classes, MasterObjective::LeftOver, &b, SOME, FEW_LOADS / 2, task.clock)
    });
    if let Some(mut master) = every {
        nothing_left(&mut master);
        let solved = solve(&master, None, 0.0, PROOF_NODES, task.clock);
        report.whole("every load", &solved, &master);
        if let Some(values) = &solved.values {
            task.offer(targets(&program, &master, values));
        } else if solved.infeasible {
            low = low.max(share);
        }
    }
    Some(low)
}

/// Whether no plan keeps all of its shares under this one.
fn under<'f, 'o>(
    task: &Task<'_, 'f, 'o>,
    share: Share,
    pool: &mut Pool,
    effort: &mut Effort,
    report: &mut Report,
) -> Verdict<'f, 'o> {
    let facts = task.program.facts;
    let Some(caps) = caps(facts, share) else { return Verdict::Refuted };
    let mut pins = task.pins.clone();
    if let Some(before) = &pins.even {
        let both = caps.iter().zip(before).map(|(a, b)| *a.min(b)).collect();
        pins.even = Some(both);
    } else {
        pins.even = Some(caps);
    }
    let mut program = Program::new(facts, task.program.teams.clone());
    if program.between.is_empty() {
        // The loads keep the caps: as rows they would be in the way of what
        // may be left over.
        program.pin(&Pins { even: None, ..pins.clone() });
    } else {
        program.pin(&pins);
    }
    let classes = Classes::new(&program, &pins);
    let mut master = Master::new(&program, &classes, MasterObjective::LeftOver);
    for (class, load) in loads_of(facts, &classes, &task.plan) {
        master.add(class, load);
    }
    fill(&mut master, facts, &classes, pool);
    let rounds = generate(facts, &mut master, effort, task.clock, true, |bound, point| {
        bound > SOME || point < NOTHING
    });
    let (bound, point) = (rounds.bound(), rounds.point.as_ref().map(|p| p.objective));
    let said = format!(
        "under {:.6}: {} rounds, {} loads",
        share.ratio(),
        rounds.rounds,
        master.patterns.len()
    );
    report.notes.push(format!("{said}, {bound:.2e} left"));
    let carriers = |class: ClassIx| classes.classes[class].carriers[0];
    *pool = master.patterns.iter().map(|p| (carriers(p.class), p.load.clone())).collect();
    if bound > SOME {
        return Verdict::Refuted;
    }
    if point.is_some_and(|p| p < SOME) {
        return Verdict::Open(Box::new(Opened { program, pins, bounded: rounds.best }));
    }
    Verdict::Unknown
}

/// Takes the loads that still fit.
fn fill(master: &mut Master, facts: &Facts, classes: &Classes, pool: &Pool) {
    for (carrier, load) in pool {
        let class = classes.classes.iter().position(|k| k.carriers.contains(carrier));
        let Some(class) = class.map(ClassIx) else { continue };
        let mass =
            |(l, n): &(LinkIx, u32)| facts.items[classes.links[*l].item].mass * u64::from(*n);
        if load.iter().map(mass).sum::<u64>() <= classes.classes[class].limit {
            master.add(class, load.clone());
        }
    }
}

/// The most mg on each carrier under the share; nothing if one is there or
/// over it before any kit.
fn caps(facts: &Facts, share: Share) -> Option<Vec<u64>> {
    let cap = |load: u64, limit: u64| -> Option<u64> {
        let top = u128::from(load) * u128::from(limit);
        let most = top.div_ceil(u128::from(share.limit.mg().max(1))).checked_sub(1)?;
        Some(u64::try_from(most).unwrap_or(u64::MAX - 1))
    };
    let each = facts.carriers.iter().map(|c| {
        if !c.even {
            return Some(u64::MAX);
        }
        cap(share.load.mg(), c.limit).filter(|cap| *cap >= c.burden)
    });
    each.collect()
}

/// The lowest share over this one that a plan could have.
fn after(facts: &Facts, low: Share, top: Share) -> Option<Share> {
    let over = low.ratio() * (1.0 + 1e-10) + 1e-10;
    let GoalValue::Share(share) = bound_value(facts, GoalKind::Even, over, true) else {
        return None;
    };
    (low < share && share < top).then_some(share)
}

/// A share that a plan could have, halfway.
fn between(facts: &Facts, low: Share, top: Share) -> Option<Share> {
    let half = (low.ratio() + top.ratio()) / 2.0;
    let GoalValue::Share(share) = bound_value(facts, GoalKind::Even, half, true) else {
        return None;
    };
    (low < share && share < top).then_some(share)
}

/// Nothing may be left over: the columns for that have no room.
fn nothing_left(master: &mut Master) {
    let left: Vec<usize> = master.base.objective.terms.iter().map(|(c, _)| *c).collect();
    left.into_iter().for_each(|c| master.model.columns[c].high = 0.0);
}
