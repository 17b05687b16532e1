//! What goes first, against every plan of small moves: the frontier of value
//! and share by limit, needs given up by priority, and parties of every size.

use crate::common::cases::cases;
use crate::common::{enumerate, random_move};
use std::time::Duration;
use tumpline::ask::shed::{self, Below, CrewOutcome, MOST_OVER};
use tumpline::ask::{Oracle, vary};
use tumpline::load::*;
use tumpline::quantity::{Mass, Percent};
use tumpline::split::{Findings, Options, Watch};

fn exact() -> Options {
    Options { time: Duration::from_secs(120), gap: Percent::ZERO, seed: 1 }
}

/// The same move with limits half as high again, less in whole milligrams what
/// rules hold back as it was.
fn half_as_high_again(order: &MoveOrder) -> MoveOrder {
    let high = order.changed(|parts| {
        parts.rules.retain(|r| !matches!(r.kind, RuleKind::Reserve { .. }));
        for c in vary::walkers(order) {
            let Riding::Person(p) = &mut parts.carriers[c.0].riding else { unreachable!() };
            let kept = p.limit - order.usable_limit(c);
            p.limit = MOST_OVER.of_mass_down(p.limit) - kept;
            p.emergency_limit = p.emergency_limit.max(p.limit);
        }
    });
    high.expect("a move")
}

/// The share of the limits at which a plan may be carried: its peak share, or
/// where something is over, the largest share with what rules hold back.
fn needs_share(order: &MoveOrder, found: &Findings) -> Share {
    let walkers = vary::walkers(order);
    let all = || found.carriers.iter().filter(|c| walkers.contains(&c.carrier));
    let limit = |c: CarrierIx| order.carrier(c).limit();
    let over = all().any(|c| c.load > order.usable_limit(c.carrier));
    let share = |c: &tumpline::split::CarrierFinding| {
        let kept = limit(c.carrier) - order.usable_limit(c.carrier);
        let kept = if over { kept } else { Mass::ZERO };
        Share { load: c.load + kept, limit: limit(c.carrier) }
    };
    all().map(share).max().unwrap_or(Share::ZERO)
}

/// Value and share of every plan that no other plan beats, the most value
/// first; nothing if there are too many plans to try.
fn frontier(order: &MoveOrder) -> Option<Vec<(u64, Share)>> {
    let mut all: Vec<(u64, Share)> = Vec::new();
    let tried = enumerate::every(&half_as_high_again(order), |found| {
        let new = (found.wants_value, needs_share(order, &found));
        if all.iter().any(|(v, s)| *v >= new.0 && *s <= new.1) {
            return;
        }
        all.retain(|(v, s)| *v > new.0 || *s < new.1);
        all.push(new);
    });
    tried.ok()?;
    all.sort_by_key(|(value, _)| std::cmp::Reverse(*value));
    Some(all)
}

/// For when it fails.
fn told(shed: &shed::Shed) -> String {
    let step = |(s, b): (&shed::Step, &Below)| {
        format!(
            "value {} to {}, share {:?} to {:?}, needs {:?}, below {b:?}",
            s.value, s.value_bound, s.from_bound, s.from, s.needs
        )
    };
    let steps: Vec<String> = shed.steps.iter().zip(&shed.below).map(step).collect();
    format!("{}; none: {:?}", steps.join("\n"), shed.none)
}

/// Moves of which somebody may bear half as much again.
fn moves(first: u64) -> impl Iterator<Item = (u64, MoveOrder)> {
    (first..).map(|seed| (seed, random_move::small(seed)))
}

/// However short the time: of a step, no plan below the share of the step before
/// has more than its bound, and nothing is called exact that is not.
#[test]
fn bounds_hold_where_time_is_short() {
    let (mut seen, mut cut) = (0, 0);
    for (seed, order) in moves(2_000) {
        if seen == cases(30, 60) {
            break;
        }
        if order.wants().is_empty() {
            continue;
        }
        let Some(expected) = frontier(&order) else { continue };
        seen += 1;
        let time = Duration::from_millis([1, 4, 10, 25][seen % 4]);
        let (options, watch) = (Options { time, ..exact() }, Watch::default());
        let shed = shed::by_limit(&order, &Oracle::new(&options, &watch), false);
        cut += usize::from(shed.cut_short);
        for pair in shed.steps.windows(2) {
            let below = expected.iter().filter(|(_, share)| *share < pair[0].from_bound);
            let most = below.map(|(value, _)| *value).max().unwrap_or(0);
            assert!(most <= pair[1].value_bound, "seed {seed}: {most}; {}", told(&shed));
        }
    }
    assert!(cut >= cases(2, 5), "{cut} of {seen} were cut short: nothing was tested");
}

/// A move with more steps than there is time for: what was not looked at is
/// between the two numbers of the step after it.
#[test]
fn a_step_after_those_that_were_skipped_is_not_called_exact() {
    let text = include_str!("../moves/many-steps.move.yaml");
    let order = tumpline::kit::read_move_text("x.move.yaml", text).expect("a sound move").order;
    let options = Options { time: Duration::from_millis(1_500), ..Options::default() };
    let watch = Watch::default();
    let shed = shed::by_limit(&order, &Oracle::new(&options, &watch), false);
    // Found with a long search: a set worth this, at this share of the limits.
    let (value, permille) = (31, 405);
    for pair in shed.steps.windows(2) {
        let known = pair[0].from_bound.permille_up() > permille + 1;
        assert!(!known || pair[1].value_bound >= value, "{}", told(&shed));
    }
}

#[test]
fn the_frontier_is_that_of_every_plan() {
    let (mut seen, mut steps, mut over, mut none) = (0, 0, 0, 0);
    for (seed, order) in moves(1) {
        if seen == cases(20, 100) {
            break;
        }
        if order.wants().is_empty() {
            continue;
        }
        let Some(expected) = frontier(&order) else { continue };
        seen += 1;
        let (options, watch) = (exact(), Watch::default());
        let shed = shed::by_limit(&order, &Oracle::new(&options, &watch), false);
        let found: Vec<(u64, Share)> = shed.steps.iter().map(|s| (s.value, s.from)).collect();
        assert_eq!(found, expected, "seed {seed}");
        let all_exact = !shed.cut_short && shed.steps.iter().all(|s| s.exact());
        assert!(all_exact, "seed {seed}: {}", told(&shed));
        assert_eq!(shed.none.is_some(), expected.is_empty(), "seed {seed}");
        let mut taken: Vec<u32> = order.wants().iter().map(|w| w.up_to).collect();
        for (step, below) in shed.steps.iter().zip(&shed.below) {
            // What goes and comes back leads from one set of wants to the next,
            // and the set is worth what is said.
            step.goes.iter().for_each(|c| taken[c.want] -= c.count);
            step.comes.iter().for_each(|c| taken[c.want] += c.count);
            assert_eq!(taken, step.planned.findings.wants, "seed {seed}");
            let worth = order.wants().iter().zip(&taken).map(|(w, n)| u64::from(w.value * n));
            assert_eq!(worth.sum::<u64>(), step.value, "seed {seed}");
            assert_eq!(step.from, needs_share(&order, &step.planned.findings), "seed {seed}");
            assert_ne!(*below, Below::Unknown, "seed {seed}");
            let broken = !step.planned.findings.faults.is_empty();
            assert_eq!(step.over, broken, "seed {seed}: only what is over breaks a limit");
            over += usize::from(step.over);
        }
        steps += expected.len();
        none += usize::from(expected.is_empty());
    }
    assert!(
        steps > cases(24, 120) && over >= cases(3, 15) && none > cases(0, 5),
        "{steps} steps, {over} over, {none} without"
    );
}

#[test]
fn needs_are_given_up_as_every_plan_says() {
    let (mut seen, mut given_up) = (0, 0);
    for (seed, order) in moves(5_000) {
        if seen == cases(10, 40) {
            break;
        }
        let count = order.needs().len();
        let order = order.changed(|parts| {
            for (n, need) in parts.needs.iter_mut().enumerate() {
                // In turns: the first written goes first, or they are equals.
                need.priority = Some(if seed % 2 == 0 { (count - n) as u32 } else { 1 });
            }
        });
        let order = order.expect("a move");
        let Some(whole) = frontier(&order) else { continue };
        if whole.last().is_none_or(|(_, share)| *share > WHOLE) {
            continue;
        }
        let turns: Vec<usize> = match seed % 2 {
            0 => (0..count).collect(),
            _ => (0..count).rev().collect(),
        };
        let mut least = whole.last().map(|(_, share)| *share);
        let mut expected: Vec<(Vec<usize>, Share)> = Vec::new();
        let mut since = Vec::new();
        for n in 0..count {
            since.push(turns[n]);
            let kept = turns[n + 1..].iter().map(|k| order.needs()[*k].clone());
            let fewer = order.changed(|parts| {
                parts.needs = kept.collect();
                parts.wants.clear();
            });
            let fewer = fewer.expect("a move");
            let of_fewer = frontier(&fewer).expect("as many plans as before");
            let share = of_fewer.last().map(|(_, share)| *share);
            if let (Some(new), Some(old)) = (share, least)
                && new < old
            {
                expected.push((std::mem::take(&mut since), new));
                least = share;
            }
        }
        seen += 1;
        let (options, watch) = (exact(), Watch::default());
        let shed = shed::by_limit(&order, &Oracle::new(&options, &watch), true);
        let found = shed.steps.iter().filter(|s| !s.needs.is_empty());
        let found: Vec<(Vec<usize>, Share)> = found.map(|s| (s.needs.clone(), s.from)).collect();
        assert_eq!(found, expected, "seed {seed}: {}", told(&shed));
        assert!(!shed.cut_short, "seed {seed}: {}", told(&shed));
        given_up += expected.len();
    }
    assert!(given_up > cases(4, 20), "{given_up}");
}

const WHOLE: Share = Share { load: Mass::from_mg(1), limit: Mass::from_mg(1) };

#[test]
fn smaller_parties_do_what_every_plan_says() {
    let (mut seen, mut with, mut without) = (0, 0, 0);
    for (seed, order) in moves(9_000) {
        if seen == cases(12, 40) {
            break;
        }
        let party = shed::varied_party(&order).expect("somebody walks");
        let mut moved = vary::with_goals(&order, &[GoalKind::Wants, GoalKind::Even]);
        let Ok(_) = enumerate::best(&moved) else { continue };
        seen += 1;
        let (options, watch) = (exact(), Watch::default());
        let crews = shed::by_people(&order, party, &Oracle::new(&options, &watch));
        assert_eq!(crews.len(), order.party(party).who.len(), "seed {seed}");
        for crew in crews {
            if let Some(last) = crew.without {
                moved = vary::without_carrier(&moved, last).expect("somebody is left");
            }
            match (enumerate::best(&moved).expect("fewer plans than before"), &crew.outcome) {
                (Some(best), CrewOutcome::Plan(planned)) => {
                    assert_eq!(best.wants_value, planned.findings.wants_value, "seed {seed}");
                    assert_eq!(best.peak_share, planned.findings.peak_share, "seed {seed}");
                    assert!(crew.exact(), "seed {seed}");
                    with += 1;
                }
                (None, CrewOutcome::NoPlan(_)) => without += 1,
                (best, outcome) => panic!("seed {seed}: {} {outcome:?}", best.is_some()),
            }
        }
    }
    assert!(with > cases(5, 20) && without > cases(2, 10), "{with} with a plan, {without} without");
}
