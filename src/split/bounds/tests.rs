//! Every bound against every plan of small moves, tried one by one.

use super::large::Large;
use super::units::{Units, merged};
use super::*;
use crate::common::cases::cases;
use crate::common::enumerate;
use crate::common::random_move::{Random, goals, item, party, person, small};
use crate::findings::Findings;
use crate::load::*;
use crate::passes::better;
use crate::precheck;
use crate::quantity::Percent;
use std::cmp::Ordering;

fn value(found: &Findings, kind: GoalKind) -> GoalValue {
    found.goals.iter().find(|(k, _)| *k == kind).expect("a goal asked for").1
}

/// The bound on the last goal, the ones before it pinned at their best and the
/// lightest known to be the least. `None` if no plan exists or too many do.
fn against(order: &mut MoveOrder, kinds: &[GoalKind]) -> Option<Ordering> {
    *order = order.changed(|parts| parts.goals = goals(kinds)).expect("a move");
    let best = enumerate::best(order).ok()?;
    let facts = Facts::new(order);
    let reason = precheck::first_reason(&facts);
    let best = best?;
    assert!(reason.is_none(), "{}: a plan exists, yet {reason:?}", order.name());
    let mut pins = Pins::default();
    let mut least = None;
    let (last, before) = kinds.split_last().expect("a goal");
    for kind in before {
        let reached = value(&best, *kind);
        if let GoalValue::Mass(m) = reached {
            least = Some(m.mg());
        }
        pins.hold(&facts, *kind, reached);
    }
    let bound = bound(&facts, *last, &pins, least)?;
    let reached = value(&best, *last);
    assert!(
        !better(reached, bound),
        "{} {kinds:?}: {reached:?} is possible, the bound is {bound:?}",
        order.name()
    );
    Some(if better(bound, reached) { Ordering::Less } else { Ordering::Equal })
}

/// (moves with a plan, moves where the bound is the best value).
fn tally(moves: impl Iterator<Item = MoveOrder>, kinds: &[GoalKind]) -> (u32, u32) {
    let (mut all, mut tight) = (0, 0);
    for mut order in moves {
        if let Some(how) = against(&mut order, kinds) {
            all += 1;
            tight += u32::from(how == Ordering::Equal);
        }
    }
    (all, tight)
}

/// The whole language of needs, cases, rules and stores.
fn beats_no_bound(first: u64, moves: u64, plans: u32, exact: u32) {
    use GoalKind::{Even, Lightest, Wants};
    let orders: [&[GoalKind]; 8] = [
        &[Even],
        &[Lightest],
        &[Wants],
        &[Lightest, Even],
        &[Wants, Even],
        &[Lightest, Wants],
        &[Even, Wants],
        &[Wants, Lightest, Even],
    ];
    for (k, kinds) in orders.into_iter().enumerate() {
        let from = first + moves * k as u64;
        let (all, tight) = tally((from..from + moves).map(small), kinds);
        assert!(all >= plans && tight >= exact, "{kinds:?}: {tight} of {all} are tight");
    }
}

#[test]
fn no_plan_of_any_move_beats_a_bound() {
    beats_no_bound(10_000, cases(20, 40), cases(3, 5), 1);
}

/// The long form of the same: `cargo test --release -- --ignored`.
#[test]
#[ignore = "takes minutes"]
fn no_plan_of_many_more_moves_beats_a_bound() {
    beats_no_bound(50_000, 1_500, 300, 80);
    let packings = (5_000..9_000).map(|seed| all_must_go(packing(seed, seed % 2 == 0)));
    let (all, tight) = tally(packings, &[GoalKind::Even]);
    assert!(all >= 2_000 && tight * 10 >= all * 7, "{tight} of {all} are tight");
}

fn order(name: String, items: Vec<Item>, carriers: Vec<Carrier>) -> MoveOrder {
    let who: Vec<usize> = (0..carriers.len()).collect();
    MoveOrder::new(MoveParts {
        name,
        catalogue: Catalogue::new(items, vec![]).expect("no cases"),
        carriers,
        parties: vec![party("up", Travel::Foot, &who)],
        goals: goals(&[GoalKind::Even]),
        ..MoveParts::default()
    })
    .expect("a move")
}

/// Things on people, with limits and worn mass all different or all alike.
fn packing(seed: u64, tight: bool) -> MoveOrder {
    let mut r = Random(seed);
    let n = r.between(5, 7);
    let people = if n == 7 { 2 } else { r.between(2, 3) };
    let mut items = Vec::new();
    for i in 0..n {
        let ways: &[Way] = if r.chance(15) { &[Way::Back, Way::Pair] } else { &[Way::Back] };
        let large = r.chance(60);
        let mass = if large { r.between(80, 100) } else { r.between(5, 60) } * 100;
        let mut thing = item(&format!("thing-{i}"), Mass::from_g(mass), 1, ways);
        if r.chance(50) {
            thing.pair_shares = [Percent::from_ppm(700_000), Percent::from_ppm(300_000)];
        }
        items.push(thing);
    }
    let total: u64 = items.iter().map(|i| i.mass.mg()).sum();
    let alike = r.chance(50);
    let mut carriers = Vec::new();
    for p in 0..people {
        let limit = if tight { total * 11 / 10 / people } else { total * 3 / 2 / people };
        let part = if alike { 100 } else { r.between(60, 140) };
        let mut who = person(&format!("person-{p}"), Mass::from_mg(limit / 100 * part));
        if let (Riding::Person(who), false) = (&mut who.riding, alike) {
            who.worn = Mass::from_g(r.below(20) * 100);
        }
        carriers.push(who);
    }
    order(format!("packing {seed}"), items, carriers)
}

fn all_must_go(order: MoveOrder) -> MoveOrder {
    let every = order.catalogue().items().map(|(item, i)| NeedNode::Item { item, count: i.held });
    let node = NeedNode::All(every.collect());
    let (party, name) = (PartyIx(0), "all".into());
    let need = Need { party, name, node, priority: None, place: None };
    order.changed(|parts| parts.needs.push(need)).expect("a move")
}

#[test]
fn the_peak_share_of_a_packing_is_often_told_exactly() {
    let (all, tight) = tally((0..250).map(|s| all_must_go(packing(s, false))), &[GoalKind::Even]);
    assert!(all >= 120 && tight * 10 >= all * 7, "{tight} of {all} are tight");
}

#[test]
fn the_wants_of_a_packing_are_often_told_exactly() {
    let wanted = |seed: u64| {
        let mut parts = packing(seed, true).into_parts();
        let mut r = Random(!seed);
        let items: Vec<ItemIx> = parts.catalogue.items().map(|(i, _)| i).collect();
        for item in items {
            let value = r.between(1, 30) as u32;
            parts.wants.push(Want { party: PartyIx(0), item, value, up_to: 1, place: None });
        }
        MoveOrder::new(parts).expect("a move")
    };
    let (all, tight) = tally((0..250).map(wanted), &[GoalKind::Wants]);
    assert!(all >= 200 && tight * 10 >= all * 5, "{tight} of {all} are tight");
}

/// What cannot be packed is mostly found at once.
#[test]
fn impossible_packings_are_told_before_any_program() {
    let (mut none, mut found) = (0, 0);
    for seed in 0..250 {
        let order = all_must_go(packing(1_000 + seed, true));
        let Ok(best) = enumerate::best(&order) else { continue };
        let reason = precheck::first_reason(&Facts::new(&order));
        assert!(best.is_none() || reason.is_none(), "{}: {reason:?}", order.name());
        none += u32::from(best.is_none());
        found += u32::from(reason.is_some());
    }
    assert!(none >= 60 && found * 10 >= none * 8, "{found} of {none} are found");
}

/// The worst case of the longest-first rule, Graham 1969: two jobs each of
/// 2m - 1, …, m + 1 and three of m on m machines; the optimum is 3m, the rule
/// ends at 4m - 1.
#[test]
fn the_longest_first_rule_at_its_worst_is_seen_through() {
    for m in 2..=9u64 {
        let mut jobs: Vec<u64> = (m + 1..2 * m).flat_map(|j| [j, j]).collect();
        jobs.extend([m; 3]);
        let things = jobs.iter().enumerate();
        let items = things
            .map(|(i, j)| item(&format!("job-{i}"), Mass::from_g(*j), 1, &[Way::Back]))
            .collect();
        let people = (0..m).map(|c| person(&format!("m-{c}"), Mass::from_g(100))).collect();
        let order = all_must_go(order(format!("graham {m}"), items, people));
        let facts = Facts::new(&order);
        let share = Share { load: Mass::from_g(3 * m), limit: Mass::from_g(100) };
        let bound = bound(&facts, GoalKind::Even, &Pins::default(), None);
        assert_eq!(bound, Some(GoalValue::Share(share)), "{m} machines");
    }
}

/// Nearly all jobs alike but for a small one: the machine that lacks a large
/// one cannot be filled, so the others have more than the average. The least
/// makespan is by enumeration of how many large ones each has.
#[test]
fn a_gap_that_no_large_thing_fills_is_seen() {
    // Nine of 10 and one of 1 on 5 machines: 18.2 on average, 20 at best.
    let mut masses = vec![10u64; 9];
    masses.push(1);
    let things = masses.iter().enumerate();
    let items =
        things.map(|(i, g)| item(&format!("job-{i}"), Mass::from_g(*g), 1, &[Way::Back])).collect();
    let people = (0..5).map(|c| person(&format!("m-{c}"), Mass::from_g(100))).collect();
    let order = all_must_go(order("gap".into(), items, people));
    let bound = bound(&Facts::new(&order), GoalKind::Even, &Pins::default(), None);
    let share = Share { load: Mass::from_g(20), limit: Mass::from_g(100) };
    assert_eq!(bound, Some(GoalValue::Share(share)));
}

/// Every assignment tried, every split into large and small.
#[test]
fn large_units_are_told_too_many_only_where_they_are() {
    let mut r = Random(7);
    let (mut none, mut found) = (0, 0);
    for _ in 0..1_500 {
        let bins = r.between(2, 3) as usize;
        let sizes: Vec<u64> = (0..r.between(5, 7))
            .map(|_| if r.chance(60) { r.between(80, 100) } else { r.between(3, 50) })
            .collect();
        let total: u64 = sizes.iter().sum();
        let alike = r.chance(50);
        let cap = total * 104 / 100 / bins as u64;
        let caps: Vec<u64> =
            (0..bins).map(|_| if alike { cap } else { cap * r.between(80, 125) / 100 }).collect();
        let fits = (0..bins.pow(sizes.len() as u32)).any(|mut code| {
            let mut left = caps.clone();
            sizes.iter().all(|s| {
                let bin = code % bins;
                code /= bins;
                let ok = left[bin] >= *s;
                left[bin] = left[bin].saturating_sub(*s);
                ok
            })
        });
        let units =
            Units { whole: merged(sizes.iter().map(|s| (*s, 1)).collect()), ..Units::default() };
        let most = caps.iter().copied().max().unwrap_or(0);
        let too_small = (0..=units.whole.len()).any(|kinds| {
            // With tables, and with none.
            [0, u64::MAX].into_iter().any(|mut work| {
                let large = Large::new(&units, kinds, total, most, &mut work).expect("small");
                large.too_small(&caps)
            })
        });
        assert!(!(fits && too_small), "{sizes:?} fit in {caps:?}");
        none += u32::from(!fits);
        found += u32::from(too_small);
    }
    assert!(found * 10 >= none * 8, "{found} of {none} found");
}
