//! The same move gives the same bytes: every demo kit, in every format.

use crate::common::folder::demo_moves;
use std::time::Duration;
use tumpline::kit::{FaultStyle as Faults, read_move};
use tumpline::load::MoveOrder;
use tumpline::report::{Format, Style, render};
use tumpline::split::{Answer, Options, Outcome, Watch, audit, split};

/// An answer without its times, which are never the same.
fn answer(order: &MoveOrder) -> Answer {
    let mut answer = split(order, &Options::default(), &Watch::default());
    answer.elapsed = Duration::ZERO;
    answer
}

/// What the clock cut short may differ from run to run and is passed over;
/// most kits are settled long before.
#[test]
fn every_kit_prints_the_same_twice() {
    let moves = demo_moves();
    let mut compared = 0;
    for path in &moves {
        let order = match read_move(path) {
            Ok(read) => read.order,
            Err(faults) => panic!("{}", faults.render(Faults::Plain)),
        };
        let first = answer(&order);
        if let Outcome::Plan(planned) = &first.outcome {
            let again = audit(&order, &planned.plan);
            assert_eq!(again.faults, [], "{}", path.display());
        }
        assert!(!matches!(first.outcome, Outcome::NoPlan(_)), "{}", path.display());
        if first.stopped.is_some() {
            continue;
        }
        let second = answer(&order);
        if second.stopped.is_some() {
            continue;
        }
        compared += 1;
        for format in [Format::Table, Format::Json, Format::Csv, Format::Markdown] {
            let text = |a: &Answer| render(&order, a, format, &Style::default());
            assert_eq!(text(&first), text(&second), "{}", path.display());
        }
    }
    assert!(compared * 2 > moves.len(), "only {compared} kits were settled in time");
}
