//! The way of large moves, on small ones that can be enumerated.

use super::answer;
use super::values::better;
use crate::common::cases::cases;
use crate::common::{enumerate, random_move};
use crate::load::GoalValue;
use crate::quantity::Percent;
use crate::{Options, Outcome, Watch};
use std::time::Duration;

fn same_kind(a: GoalValue, b: GoalValue) -> bool {
    std::mem::discriminant(&a) == std::mem::discriminant(&b)
}

/// No bound is better than what there is, no plan is denied where there is
/// one, and most moves that have a plan get one.
#[test]
fn large_moves_are_bounded_truly() {
    let options = Options { time: Duration::from_secs(60), gap: Percent::ZERO, seed: 1 };
    let (mut plans, mut found, mut best) = (0, 0, 0);
    for seed in 5_000..cases(5_008, 5_060) {
        let order = random_move::small(seed);
        let Ok(expected) = enumerate::best(&order) else { continue };
        let answer = answer(&order, &options, &Watch::default(), &[], true);
        let Some(expected) = expected else {
            assert!(!matches!(answer.outcome, Outcome::Plan(_)), "seed {seed}");
            continue;
        };
        plans += 1;
        assert!(!matches!(answer.outcome, Outcome::NoPlan(_)), "seed {seed}");
        let Outcome::Plan(planned) = answer.outcome else { continue };
        found += 1;
        assert_eq!(planned.findings.faults, [], "seed {seed}");
        // Of the first goal enumeration says all there is to know; of a later
        // one only where those before came out the same.
        for ((_, e), g) in expected.goals.iter().zip(&planned.goals) {
            assert!(same_kind(*e, g.value));
            assert!(!better(*e, g.bound), "seed {seed}: {e:?} is better than {:?}", g.bound);
            assert!(!better(g.value, *e), "seed {seed}");
            if *e != g.value {
                break;
            }
            best += 1;
        }
    }
    assert!(
        plans > cases(1, 8) && found * 10 >= plans * 8,
        "{found} of {plans} plans, {best} best values"
    );
}

/// What a rule says twice holds once, and a pair's thing is on both its bearers.
#[test]
fn what_is_fixed_is_counted_once() {
    let text = "\
move: made up
equipment:
  - {id: lamp, mass: 1 kg, carry: [back]}
  - {id: mast, mass: 8 kg, carry: [pair]}
carriers:
  people: [{id: ann, limit: 9 kg}, {id: bo, limit: 9 kg}]
parties:
  ridge: {travel: foot, who: [ann, bo]}
rules:
  - {fixed: lamp, to: ann}
  - {fixed: lamp, to: ann}
  - {fixed: mast, to: ann}
  - {fixed: mast, to: bo}
";
    let order = tumpline_kit::read_move_text("made-up.move.yaml", text).unwrap().order;
    for large in [false, true] {
        let answer = answer(&order, &Options::default(), &Watch::default(), &[], large);
        let Outcome::Plan(planned) = answer.outcome else { panic!("large: {large}") };
        assert_eq!(planned.findings.total_carried.mg(), 9_000_000, "large: {large}");
    }
}
