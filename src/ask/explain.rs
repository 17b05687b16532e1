//! Why a move has no plan, and what would make one.
//!
//! `part.rs` has the constraints of a move as people see them, `draft.rs` makes
//! the move in which some of them are dropped, and `asker.rs` asks whether it is
//! possible: first whether a plan that was found before passes its audit, then
//! the optimiser. `conflict.rs` narrows the parts (one need alone, then whole
//! kinds dropped: an elastic filter) and runs QuickXplain on the rest; this file
//! repeats that without the conflict for others that have no part in common with
//! it. A change helps only if it touches a part of every conflict or the
//! background of all, so those are tried: `changes/` has them by kind, each with
//! its bisection. Where there are several conflicts, `together.rs` combines the
//! cheapest changes of each, or looks for pairs. The report has the words
//! (`report/explained/`) and what a change comes to in the files, found by
//! comparing the changed move.
//!
//! A new part: `Part` and its place, `Draft::build` (dropping must only relax),
//! its changes in `changes/`, its words in `report/explained/parts.rs`, an
//! impossible move in `tests/impossible`. A new change: `Change`, its rank and
//! word, its words and edits in `report/explained`, the `enum` in
//! `kit/plan_json/causes.rs`, the list in `tests/proofs/impossible.rs`.

use super::Change;
use super::asker::{Asker, Known};
use super::changes::{Joint, Least, Remedy, RemedySearch, background, crossed, together, walkable};
use super::conflict::{Conflict, conflict};
use super::draft::Draft;
use super::oracle::Oracle;
use super::part::Part;
use crate::load::MoveOrder;
use crate::split::{Options, Watch};
use std::time::Duration;

/// Independent conflicts that are looked for.
const MOST_CONFLICTS: usize = 6;
/// Parts that are to be changed at once at the most, before those that need no
/// change are found.
const MOST_PARTS: usize = 100;
/// Offers of one change, and of several, that are reported.
const MOST_SINGLE: usize = 40;
const MOST_JOINT: usize = 6;

/// Why there is no plan, and what would make one.
#[derive(Debug, Clone)]
pub struct Explanation {
    /// Sets of parts that cannot hold together, none having a part of another:
    /// at least so many things have to change. No more than a few are looked for.
    pub conflicts: Vec<Conflict>,
    /// Cheapest first; see [`Change::rank`].
    pub offers: Vec<Offer>,
    /// Whether there are more conflicts than that.
    pub more: bool,
    /// Whether everything that is to be tried was tried.
    pub complete: bool,
}

/// Changes that together make the whole move possible: of the move with all of
/// them a plan was found and audited.
#[derive(Debug, Clone)]
pub struct Offer {
    /// One, or the fewest that were found to do where no single one does.
    pub changes: Vec<Change>,
    /// Of each change, whether less of it does too, given the others.
    pub least: Vec<Least>,
}

/// Explains why a move has no plan, in `options.time`. Ends early on request,
/// with what was found until then. `None` if the move has a plan: then nothing
/// in it is at fault, but what was asked beside it.
pub fn explain(order: &MoveOrder, options: &Options, watch: &Watch) -> Option<Explanation> {
    let order = super::vary::any_plan(order);
    let oracle = Oracle::new(options, watch);
    let most = (options.time / 6).max(Duration::from_millis(500));
    oracle.step("whether there is any plan at all");
    if oracle.possible(&order, most).is_yes() {
        oracle.step("");
        return None;
    }
    let asker = Asker::new(&oracle, most);
    let draft = Draft::new(&order);
    oracle.step("what cannot hold together");
    let (conflicts, rest) = conflicts(&asker, &draft);
    oracle.step("what would make it work");
    let mut offers = Vec::new();
    let sets: Vec<Vec<Part>> = conflicts.iter().map(|c| c.parts.clone()).collect();
    if let Some(first) = sets.first() {
        let search = RemedySearch { asker: &asker, base: draft.clone() };
        // A part of one conflict does nothing for another that has none of it.
        let parts = if sets.len() == 1 { first.as_slice() } else { &[] };
        let mut remedies: Vec<Remedy> = Vec::new();
        for part in search.useful(parts).into_iter().take_while(|_| !asker.over()) {
            remedies.extend(search.remedies(part));
        }
        remedies.extend(background(&search, first));
        let one = |m: Remedy| Offer { changes: vec![m.change], least: vec![m.least] };
        offers.extend(remedies.into_iter().map(one));
        let joint = |j: Joint| {
            let (changes, least) = j.remedies.into_iter().map(|m| (m.change, m.least)).unzip();
            Offer { changes, least }
        };
        let crossed = if rest == Rest::None { crossed(&asker, &draft, &sets) } else { Vec::new() };
        let mut joints: Vec<Offer> = crossed.into_iter().map(joint).collect();
        // What does alone needs nothing beside it.
        joints.retain(|j| !offers.iter().any(|o| j.changes.contains(&o.changes[0])));
        joints.retain(|o| works(&asker, &draft, &o.changes));
        offers.extend(joints);
        // What was not narrowed down is too much to be of use.
        if offers.is_empty() && sets.iter().flatten().count() <= MOST_PARTS {
            offers.extend(together(&asker, &draft, &sets).into_iter().map(joint));
        }
    }
    // Nothing is offered that was not solved as a whole.
    offers.retain(|o| works(&asker, &draft, &o.changes));
    let cost = |o: &Offer| {
        let ranks: Vec<usize> = o.changes.iter().map(Change::rank).collect();
        let size: u64 = o.changes.iter().map(|c| c.size(&order)).sum();
        (o.changes.len(), ranks.into_iter().sum::<usize>(), size)
    };
    offers.sort_by_key(cost);
    let (mut single, mut several) = (0, 0);
    offers.retain(|o| {
        let (told, most) = match o.changes.len() {
            1 => (&mut single, MOST_SINGLE),
            _ => (&mut several, MOST_JOINT),
        };
        *told += 1;
        *told <= most
    });
    oracle.step("");
    let (more, known) = (rest == Rest::More, rest != Rest::Unknown);
    Some(Explanation { conflicts, offers, more, complete: known && !oracle.over() })
}

/// What is left of a move beside the conflicts that were found.
#[derive(Clone, Copy, PartialEq)]
enum Rest {
    /// Nothing that cannot hold.
    None,
    More,
    Unknown,
}

/// Conflicts that have no part in common, until what is left is possible.
fn conflicts(asker: &Asker<'_>, draft: &Draft) -> (Vec<Conflict>, Rest) {
    let mut found: Vec<Conflict> = Vec::new();
    let mut rest = draft.clone();
    while !asker.over() {
        if !found.is_empty() {
            match asker.possible(&rest.build()) {
                Known::No(_) => {}
                Known::Yes(_) => return (found, Rest::None),
                Known::Unknown => return (found, Rest::Unknown),
            }
        }
        if found.len() == MOST_CONFLICTS {
            return (found, Rest::More);
        }
        let next = conflict(asker, &rest);
        if next.parts.is_empty() {
            break;
        }
        rest = rest.without(next.parts.iter().copied());
        found.push(next);
    }
    (found, Rest::Unknown)
}

fn works(asker: &Asker<'_>, draft: &Draft, changes: &[Change]) -> bool {
    let mut done = draft.clone();
    for change in changes {
        match change.apply(&done) {
            Some(next) => done = next,
            None => return false,
        }
    }
    let trip = changes.iter().find_map(|c| match c {
        Change::SecondTrip { party } => Some(*party),
        _ => None,
    });
    match trip {
        Some(party) => walkable(asker, &done, party),
        None => asker.possible(&done.build()).is_yes(),
    }
}
