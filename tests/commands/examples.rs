//! The examples do what they say. (That they compile, `cargo test` sees to.)

#[allow(dead_code)]
#[path = "../../examples/build_in_code.rs"]
mod build_in_code;
#[allow(dead_code)]
#[path = "../../examples/split_a_move.rs"]
mod split_a_move;

use std::path::Path;
use tumpline::load::Bearer;
use tumpline::split::{Options, Outcome, Status, Watch, audit, split};

fn kit(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("kits").join(name)
}

#[test]
fn a_move_is_read_and_split() {
    let text = split_a_move::report(&kit("day-walk/day-walk.move.yaml")).unwrap();
    assert_eq!(text.lines().count(), 3, "{text}");
    assert!(text.starts_with("Guide, ") && text.contains("First-aid kit (back)"), "{text}");
    let faults = split_a_move::report(&kit("no-such.move.yaml")).unwrap_err();
    assert!(faults.contains("no-such.move.yaml"), "{faults}");
}

#[test]
fn a_move_made_in_code_is_split_and_audited() {
    let order = build_in_code::order().unwrap();
    let answer = split(&order, &Options::default(), &Watch::default());
    let Outcome::Plan(planned) = answer.outcome else { panic!("{:?}", answer.outcome) };
    assert_eq!(planned.status, Status::ProvenBest);
    assert_eq!(planned.findings.wants_value, 3);
    let pairs = planned.plan.placements().iter().filter(|p| matches!(p.by, Bearer::Pair { .. }));
    assert_eq!(pairs.count(), 1);
    assert!(audit(&order, &planned.plan).faults.is_empty());
    let faults = audit(&order, &build_in_code::lamp_alone()).faults;
    let told = faults.iter().map(|f| f.sentence(&order)).collect::<Vec<_>>();
    assert!(told.iter().any(|f| f.contains("amp")), "{told:?}");
}
