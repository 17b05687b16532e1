//! Reads a move order, splits it and prints who carries what:
//! `cargo run --release --example split_a_move kits/day-walk/day-walk.move.yaml`.

use std::path::Path;
use std::process::ExitCode;
use tumpline::kit;
use tumpline::load::MoveOrder;
use tumpline::split::{Options, Outcome, Planned, Watch, split};

fn main() -> ExitCode {
    let Some(path) = std::env::args_os().nth(1) else {
        eprintln!("usage: split_a_move MOVE");
        return ExitCode::from(2);
    };
    match report(Path::new(&path)) {
        Ok(text) => {
            print!("{text}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

/// A line for each carrier.
///
/// # Errors
/// Every fault of the files, or why there is no plan.
pub fn report(path: &Path) -> Result<String, String> {
    let read = kit::read_move(path).map_err(|faults| faults.to_string())?;
    let answer = split(&read.order, &Options::default(), &Watch::default());
    match answer.outcome {
        Outcome::Plan(planned) => Ok(list(&read.order, &planned)),
        Outcome::NoPlan(reason) => Err(format!("no plan exists: {}", reason.text)),
        Outcome::NoneFound => Err("no plan was found in the time given".into()),
    }
}

fn list(order: &MoveOrder, planned: &Planned) -> String {
    let mut text = String::new();
    for carrier in &planned.findings.carriers {
        let lines: Vec<String> = carrier
            .lines
            .iter()
            .map(|line| format!("{} {} ({})", line.count, order.item(line.item).name, line.way))
            .collect();
        let load = carrier.load.rounded(order.units());
        let limit = carrier.limit.rounded(order.units());
        let name = &order.carrier(carrier.carrier).name;
        text.push_str(&format!("{name}, {load} of {limit}: {}\n", lines.join(", ")));
    }
    text
}
