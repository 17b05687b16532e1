//! Diving by restricted master (Desrosiers and Lübbecke 2011): the loads
//! nearest to whole are fixed, new ones are generated for the carriers that are
//! left, and again, until every carrier has its load.

use super::generate::{Effort, generate};
use super::ix::ClassIx;
use super::master::Master;
use crate::facts::Facts;
use crate::options::Clock;

/// Rounds of generation after each step down.
const ROUNDS: u32 = 3;
/// At each step at least this part of the carriers is fixed.
const PART: usize = 8;

/// The values of a point with whole loads, and the master they are of.
pub(super) fn dive<'c>(
    facts: &Facts,
    master: &Master<'c>,
    effort: &mut Effort,
    clock: &Clock,
) -> Option<(Vec<f64>, Master<'c>)> {
    let mut master = master.clone();
    let carriers: usize = master.sizes.iter().sum();
    let mut set = 0;
    loop {
        let mut some = Effort { rounds: ROUNDS.min(effort.rounds), steps: effort.steps };
        let before = some;
        let point = generate(facts, &mut master, &mut some, clock, false, |_, _| false).point?;
        effort.rounds -= before.rounds - some.rounds;
        effort.steps = some.steps;
        // The last point may lack the loads that were just added.
        let mut open: Vec<(f64, usize)> = Vec::new();
        for (p, pattern) in master.patterns.iter().enumerate() {
            let Some(value) = point.values.get(pattern.col) else { continue };
            let over = value - master.model.columns[pattern.col].low;
            if over > 1e-4 {
                open.push((over, p));
            }
        }
        open.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut values = point.values;
        values.resize(master.model.columns.len(), 0.0);
        if open.is_empty() || set >= carriers {
            return Some((values, master));
        }
        let least = (carriers / PART).max(1);
        let mut now = 0;
        for (over, p) in open {
            let whole = (over + 1e-3).floor();
            let class = master.patterns[p].class;
            let taken: f64 = lows(&master, class);
            let room = master.sizes[class.0] as f64 - taken;
            if room < 1.0 || whole < 1.0 && now >= least {
                continue;
            }
            let by = whole.max(1.0).min(room);
            let col = master.patterns[p].col;
            master.model.columns[col].low += by;
            now += by as usize;
        }
        set += now;
        if now == 0 {
            return Some((values, master));
        }
    }
}

/// How many loads of the class are fixed.
fn lows(master: &Master, class: ClassIx) -> f64 {
    let of = master.patterns.iter().filter(|p| p.class == class);
    of.map(|p| master.model.columns[p.col].low).sum()
}
