//! The whole optimiser against plain enumeration: on every small random move,
//! for a random order of all five goals, the same value of every goal, or the
//! same "no plan exists".

use crate::common::cases::cases;
use crate::common::{enumerate, random_move, repacked};
use std::time::Duration;
use tumpline::load::GoalValue;
use tumpline::quantity::Percent;
use tumpline::split::{Options, Outcome, Status, Watch, split};

fn same(a: GoalValue, b: GoalValue) -> bool {
    match (a, b) {
        (GoalValue::Share(x), GoalValue::Share(y)) => x == y,
        (x, y) => x == y,
    }
}

/// Tries moves until `wanted` of them were small enough to enumerate; returns
/// how many of those had a plan.
fn compare(
    first_seed: u64,
    wanted: usize,
    made: impl Fn(u64) -> tumpline::load::MoveOrder,
) -> (usize, usize) {
    let options = Options { time: Duration::from_secs(60), gap: Percent::ZERO, seed: 1 };
    let (mut with, mut without, mut seed) = (0, 0, first_seed);
    while with + without < wanted {
        seed += 1;
        let order = made(seed);
        let Ok(expected) = enumerate::best(&order) else { continue };
        let answer = split(&order, &options, &Watch::default());
        match (&expected, &answer.outcome) {
            (None, Outcome::NoPlan(_)) => without += 1,
            (Some(expected), Outcome::Plan(planned)) => {
                assert_eq!(planned.findings.faults, [], "seed {seed}: the audit");
                for (e, g) in expected.goals.iter().zip(&planned.goals) {
                    assert!(
                        same(e.1, g.value) && g.proven(),
                        "seed {seed}, goal {}: {:?} by enumeration, {:?} (bound {:?}) here; all: {:?} against {:?}",
                        e.0,
                        e.1,
                        g.value,
                        g.bound,
                        expected.goals,
                        planned.goals
                    );
                }
                assert_eq!(planned.status, Status::ProvenBest, "seed {seed}");
                with += 1;
            }
            (e, o) => panic!("seed {seed}: plan by enumeration {}, here {o:?}", e.is_some()),
        }
    }
    (with, without)
}

/// Of both kinds there are enough that something was tested.
fn some((with, without): (usize, usize)) {
    let all = with + without;
    let fair = with * 4 >= all && without * 8 >= all;
    assert!(fair, "{with} with a plan, {without} without: too lopsided");
}

#[test]
fn every_goal_order_matches_enumeration() {
    some(compare(0, cases(30, 150), random_move::small));
}

/// Where people have packed already, the fewest changes of hands, in any place
/// among the goals.
#[test]
fn the_fewest_changes_match_enumeration() {
    some(compare(0, cases(30, 150), repacked::repacked));
}

/// What several use by rate is added up before it is rounded.
#[test]
fn uses_by_rate_match_enumeration() {
    some(compare(0, cases(30, 150), random_move::rated));
}

#[test]
#[ignore = "takes minutes"]
fn uses_by_rate_match_many_more_enumerations() {
    compare(3_000_000, 3_000, random_move::rated);
}

#[test]
#[ignore = "takes minutes"]
fn the_fewest_changes_match_many_more_enumerations() {
    compare(2_000_000, 3_000, repacked::repacked);
}

/// The long form of the same: `cargo test --release -- --ignored`.
#[test]
#[ignore = "takes minutes"]
fn many_more_match_enumeration() {
    compare(1_000_000, 3_000, random_move::small);
}

/// However soon the search is stopped, and whatever gap is good enough: no bound
/// passes the best value, given that the goals before came to theirs, and no plan
/// is denied.
#[test]
fn no_bound_passes_the_best_where_time_is_short() {
    let (mut seen, mut cut) = (0, 0);
    for seed in 40_000.. {
        if seen == cases(50, 400) {
            break;
        }
        let order = random_move::small(seed);
        let Ok(expected) = enumerate::best(&order) else { continue };
        seen += 1;
        for (k, time) in [1, 3, 10, 30, 1_000].into_iter().enumerate() {
            let gap = Percent::from_ppm([0, 5_000, 100_000][(seed as usize + k) % 3]);
            let options = Options { time: Duration::from_millis(time), gap, seed };
            let answer = split(&order, &options, &Watch::default());
            let planned = match (&expected, &answer.outcome) {
                (_, Outcome::NoneFound) | (None, Outcome::NoPlan(_)) => continue,
                (Some(_), Outcome::Plan(planned)) => planned,
                (e, o) => panic!("seed {seed}: plan by enumeration {}, here {o:?}", e.is_some()),
            };
            cut += u32::from(answer.stopped.is_some());
            for (e, g) in expected.iter().flat_map(|e| &e.goals).zip(&planned.goals) {
                let up = if g.goal.up() { 1.0 } else { -1.0 };
                let [best, reached, bound] = [e.1, g.reached, g.bound].map(|v| up * v.number());
                let told = format!("seed {seed}, {time} ms, gap {gap}: {e:?}, {g:?}");
                assert!(best <= bound + 1e-12, "a false bound: {told}; {:?}", planned.goals);
                assert!(reached <= best + 1e-12, "better than the best: {told}");
                if !same(e.1, g.reached) || g.value != g.reached {
                    break;
                }
            }
        }
    }
    assert!(cut > cases(3, 30), "{cut} of {seen} were cut short");
}

/// What a goal reached is never less than what the plan has of it: gap, bound and
/// what is proven speak of one number.
#[test]
fn nothing_is_better_than_what_was_reached() {
    let check = |order: &tumpline::load::MoveOrder, time: u64| {
        let options = Options { time: Duration::from_secs(time), ..Options::default() };
        let Outcome::Plan(planned) = split(order, &options, &Watch::default()).outcome else {
            return false;
        };
        for g in &planned.goals {
            let up = if g.goal.up() { 1.0 } else { -1.0 };
            let [value, reached, bound] = [g.value, g.reached, g.bound].map(|v| up * v.number());
            assert!(value <= reached && reached <= bound, "{}: {g:?}", order.name());
            assert_eq!(g.proven(), g.gap_percent() == 0.0, "{}: {g:?}", order.name());
        }
        true
    };
    let text = include_str!("../moves/later-goals-find-better.move.yaml");
    let order = tumpline::kit::read_move_text("x.move.yaml", text).expect("a sound move").order;
    assert!(check(&order, cases(1, 5)));
    let mut plans = 0;
    for seed in 0..cases(15, 60) {
        let order = random_move::small(seed).changed(|parts| {
            parts.goals.iter_mut().for_each(|g| g.give = Percent::from_ppm(200_000));
        });
        let order = order.expect("a move");
        plans += u32::from(check(&order, 60));
    }
    assert!(plans >= cases(4, 15), "{plans}");
}

/// A move in which nothing must go is answered at once.
#[test]
fn nothing_asked_is_nothing_carried() {
    let text = "move: x\nequipment: [{id: rope, mass: 2 kg}]\n\
                carriers: {people: [{id: ann, limit: 12 kg}]}\n\
                parties: {up: {travel: foot, who: [ann]}}\n";
    let order = tumpline::kit::read_move_text("x.move.yaml", text).expect("a sound move").order;
    let answer = split(&order, &Options::default(), &Watch::default());
    let Outcome::Plan(planned) = answer.outcome else { panic!("no plan") };
    assert_eq!(planned.status, Status::ProvenBest);
    assert!(planned.plan.placements().is_empty());
    assert!(answer.elapsed < Duration::from_secs(5), "{:?}", answer.elapsed);
}

/// Ounces make long coefficients over which the linear solver trips: the tree
/// goes on all the same, to the proof.
#[test]
fn awkward_masses_are_settled() {
    let text = include_str!("../moves/ounces.move.yaml");
    let order = tumpline::kit::read_move_text("x.move.yaml", text).expect("a sound move").order;
    let options = Options { time: Duration::from_secs(60), gap: Percent::ZERO, seed: 1 };
    let answer = split(&order, &options, &Watch::default());
    let Outcome::Plan(planned) = answer.outcome else { panic!("no plan") };
    assert_eq!(planned.status, Status::ProvenBest, "{:?}", planned.goals);
}
