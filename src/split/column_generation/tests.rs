//! Bounds against enumeration: no plan beats them, and on small moves they
//! are mostly reached.

use super::{Report, Task, applies, even, goal};
use crate::audit::audit;
use crate::facts::{Facts, KitIx};
use crate::findings::Findings;
use crate::load::{Bearer, GoalKind, GoalValue, ItemIx, MoveOrder, Placement, Plan, Share, Way};
use crate::local_search::Random;
use crate::options::{Clock, Watch};
use crate::pins::Pins;
use crate::program::{Program, bound_value, coarse};
use std::time::Duration;
use tumpline_kit::read_move_text;

fn order(text: &str) -> MoveOrder {
    read_move_text("made-up.move.yaml", text).unwrap_or_else(|d| panic!("{d:?}\n{text}")).order
}

/// A relay crew of two or three with a few kinds of kit; some of it needed,
/// the rest wanted.
fn crew(seed: u64, kind: GoalKind) -> MoveOrder {
    let mut r = Random::new(seed);
    let people = 2 + r.below(2);
    let kinds = 3 + r.below(2) - (people - 2);
    let mut text = String::from("move: made up\nequipment:\n");
    let mut held = Vec::new();
    for i in 0..kinds {
        let mass = 1 + r.below(9);
        let bulk = r.below(4);
        held.push(1 + r.below(2));
        let carry = ["back", "hand", "back, hand", "chest", "pair, back"][r.below(5)];
        let n = held[i];
        text += &format!(
            "  - {{id: thing-{i}, mass: {mass} kg, bulk: {bulk} L, held: {n}, carry: [{carry}]}}\n"
        );
    }
    text += "carriers:\n  people:\n";
    for p in 0..people {
        let limit = 3 + r.below(12);
        let pack = 2 + r.below(5);
        text += &format!("    - {{id: person-{p}, limit: {limit} kg, pack: {pack} L}}\n");
    }
    let who: Vec<String> = (0..people).map(|p| format!("person-{p}")).collect();
    text += &format!("parties:\n  crew: {{travel: foot, who: [{}]}}\n", who.join(", "));
    let needed: Vec<bool> =
        (0..kinds).map(|_| r.below(3) < 1 + (kind != GoalKind::Wants) as usize).collect();
    if needed.contains(&true) {
        text += "needs:\n  crew:\n";
        for i in (0..kinds).filter(|i| needed[*i]) {
            text += &format!(
                "    - {{need: part {i}, all: [{{thing-{i}: {}}}]}}\n",
                1 + r.below(held[i])
            );
        }
    }
    text += "wants:\n  crew:\n";
    for i in 0..kinds {
        text += &format!("    thing-{i}: {}\n", 1 + r.below(9));
    }
    text += &format!("goals: [{kind}]\n");
    order(&text)
}

/// Every plan that passes the audit, with its value.
fn every_plan(order: &MoveOrder, kind: GoalKind) -> Vec<(Plan, GoalValue)> {
    let facts = Facts::new(order);
    let mut plans: Vec<Vec<Placement>> = vec![Vec::new()];
    for i in 0..facts.items.len() {
        let ix = |c: KitIx| facts.carriers[c].ix;
        let mut spots: Vec<Bearer> = Vec::new();
        for c in facts.kit() {
            let open = Way::ALL.into_iter().filter(|w| *w != Way::Pair && facts.may(i, c, *w));
            spots.extend(open.map(|way| Bearer::One { carrier: ix(c), way }));
            for d in (0..c.0)
                .map(KitIx)
                .filter(|d| facts.may(i, c, Way::Pair) && facts.may(i, *d, Way::Pair))
            {
                spots.push(Bearer::Pair { first: ix(d), second: ix(c) });
            }
        }
        for _ in 0..facts.items[i].held {
            let mut longer = plans.clone();
            for plan in &plans {
                // Units are alike: later ones go to later spots.
                let last = plan.iter().rev().find(|p| p.item.0 == i).map(|p| p.by);
                let from = last.and_then(|b| spots.iter().position(|s| *s == b)).unwrap_or(0);
                let owed = plan.iter().filter(|p| p.item.0 == i).count();
                for spot in &spots[from..] {
                    let mut plan = plan.clone();
                    plan.push(Placement { by: *spot, item: ItemIx(i), count: 1 });
                    if plan.iter().filter(|p| p.item.0 == i).count() == owed + 1 {
                        longer.push(plan);
                    }
                }
            }
            plans = longer;
        }
    }
    let judged = plans.into_iter().filter_map(|p| {
        let plan = Plan::new(p);
        let found: Findings = audit(order, &plan);
        let value = found.goals.iter().find(|(k, _)| *k == kind).map(|(_, v)| *v)?;
        found.faults.is_empty().then_some((plan, value))
    });
    judged.collect()
}

fn better(a: GoalValue, b: GoalValue) -> bool {
    match (a, b) {
        (GoalValue::Points(a), GoalValue::Points(b)) => a > b,
        (GoalValue::Mass(a), GoalValue::Mass(b)) => a < b,
        (GoalValue::Share(a), GoalValue::Share(b)) => a < b,
        _ => false,
    }
}

fn objective(value: GoalValue) -> f64 {
    match value {
        GoalValue::Points(n) => -(n as f64),
        GoalValue::Mass(m) => m.mg() as f64 / 1e6,
        GoalValue::Share(s) => s.ratio(),
        GoalValue::Count(n) => n as f64,
    }
}

/// The bound from this plan on, no other being found.
fn bound(order: &MoveOrder, kind: GoalKind, plan: &Plan, value: GoalValue) -> Option<GoalValue> {
    let facts = Facts::new(order);
    let pins = Pins::default();
    let teams = coarse(&facts);
    if !applies(&facts, &teams) {
        return None;
    }
    let mut program = Program::new(&facts, teams);
    if kind != GoalKind::Even {
        program.set_objective(kind);
    }
    let clock = Clock::new(Duration::from_secs(600), &Watch::default());
    let mut task = Task {
        program: &program,
        kind,
        pins: &pins,
        plan: plan.clone(),
        known: objective(value),
        low: f64::NEG_INFINITY,
        gap: 0.0,
        seed: 1,
        clock: &clock,
        try_plan: &mut |_| None,
    };
    let mut report = Report::default();
    match value {
        GoalValue::Share(best) => {
            even(&mut task, Share::ZERO, best, &mut report).map(GoalValue::Share)
        }
        _ => goal(&mut task, &mut report).map(|b| bound_value(&facts, kind, b, false)),
    }
}

/// How many moves were bounded, and how many bounds were reached.
fn compare(kind: GoalKind, seeds: std::ops::Range<u64>) -> (usize, usize) {
    let (mut all, mut tight) = (0, 0);
    for seed in seeds {
        let order = crew(seed, kind);
        let mut plans = every_plan(&order, kind);
        plans.sort_by(|a, b| {
            let (a, b) = (objective(a.1), objective(b.1));
            a.total_cmp(&b)
        });
        let (Some((_, best)), false) = (plans.first(), plans.is_empty()) else { continue };
        // From the worst plan, one in the middle, and the best there is.
        for k in [plans.len() - 1, plans.len() / 2, 0] {
            let (plan, value) = &plans[k];
            let Some(bound) = bound(&order, kind, plan, *value) else { continue };
            assert!(
                !better(*best, bound),
                "seed {seed}, {kind}: {best:?} beats {bound:?} from {value:?}"
            );
            if k == 0 {
                all += 1;
                tight += usize::from(!better(bound, *best));
            }
        }
    }
    (all, tight)
}

#[test]
fn no_plan_has_more_wants_than_the_bound() {
    let (all, tight) = compare(GoalKind::Wants, 0..60);
    assert!(all >= 20 && tight * 10 >= all * 7, "{tight} of {all}");
}

#[test]
fn no_plan_is_lighter_than_the_bound() {
    let (all, tight) = compare(GoalKind::Lightest, 100..140);
    assert!(all >= 10 && tight * 10 >= all * 7, "{tight} of {all}");
}

#[test]
fn no_plan_is_more_even_than_the_bound() {
    let (all, tight) = compare(GoalKind::Even, 200..260);
    assert!(all >= 15 && tight * 10 >= all * 4, "{tight} of {all}");
}

/// Martello and Toth, Knapsack Problems (1990), the example of multiple
/// knapsacks with n = 10 and m = 2 (from memory; 452 is also what trying every
/// plan gives).
#[test]
fn martello_and_toth_is_bounded_by_its_optimum() {
    let profits = [78, 35, 89, 36, 94, 75, 74, 79, 80, 16];
    let masses = [18, 9, 23, 20, 59, 61, 70, 75, 76, 30];
    let mut text = String::from("move: example\nequipment:\n");
    for (i, m) in masses.iter().enumerate() {
        text += &format!("  - {{id: thing-{i}, mass: {m} kg, held: 1}}\n");
    }
    text += "carriers:\n  people:\n    - {id: a, limit: 103 kg}\n    - {id: b, limit: 156 kg}\n";
    text += "parties:\n  crew: {travel: foot, who: [a, b]}\nwants:\n  crew:\n";
    for (i, p) in profits.iter().enumerate() {
        text += &format!("    thing-{i}: {p}\n");
    }
    text += "goals: [wants]\n";
    let order = order(&text);
    let none = Plan::new(Vec::new());
    // From a plan of that value on the bound is proven, from nothing on it is
    // no more than the next whole load allows.
    let proven = bound(&order, GoalKind::Wants, &none, GoalValue::Points(452));
    assert_eq!(proven, Some(GoalValue::Points(452)));
    let Some(GoalValue::Points(open)) = bound(&order, GoalKind::Wants, &none, GoalValue::Points(0))
    else {
        panic!("no bound");
    };
    assert!((452..=465).contains(&open), "{open}");
}
