//! The whole optimiser against plain enumeration: on every small random move,
//! for a random order of all five goals, the same value of every goal, or the
//! same "no plan exists".

mod common;

use common::{enumerate, random_move};
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
fn compare(first_seed: u64, wanted: usize) -> (usize, usize) {
    let options = Options { time: Duration::from_secs(60), gap: Percent::ZERO, seed: 1 };
    let (mut with, mut without, mut seed) = (0, 0, first_seed);
    while with + without < wanted {
        seed += 1;
        let order = random_move::small(seed);
        let Ok(expected) = enumerate::best(&order) else { continue };
        let answer = split(&order, &options, &Watch::default());
        match (&expected, &answer.outcome) {
            (None, Outcome::NoPlan(_)) => without += 1,
            (Some(expected), Outcome::Plan(planned)) => {
                assert_eq!(planned.findings.faults, [""; 0], "seed {seed}: the audit");
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

#[test]
fn every_goal_order_matches_enumeration() {
    let (with, without) = compare(0, 150);
    assert!(with >= 40 && without >= 20, "{with} with a plan, {without} without: too lopsided");
}

/// The long form of the same: `cargo test --release -- --ignored`.
#[test]
#[ignore = "takes minutes"]
fn many_more_match_enumeration() {
    compare(1_000_000, 3_000);
}
