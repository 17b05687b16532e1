//! Several changes at once, where no single one does.

use super::{Remedy, RemedySearch, background};
use crate::ask::asker::Asker;
use crate::ask::conflict::conflict;
use crate::ask::draft::Draft;
use crate::ask::part::Part;
use std::collections::BTreeSet;

/// Pairs of parts that are tried, and of changes that are reported.
const MOST_PAIRS: usize = 80;
const MOST_TOLD: usize = 6;

/// Parts that together make the move possible if they are dropped, and the
/// changes to each that do, given the others.
pub(in crate::ask) struct Joint {
    pub remedies: Vec<Remedy>,
}

/// One change for each of several disjoint conflicts: those that are cheapest
/// beside others for the same conflict, combined in every way. Each is the
/// least that does with all parts of the other conflicts dropped; whether they
/// do together is for the caller to ask.
pub(in crate::ask) fn crossed(
    asker: &Asker<'_>,
    draft: &Draft,
    conflicts: &[Vec<Part>],
) -> Vec<Joint> {
    let each = match conflicts.len() {
        0 | 1 => return Vec::new(),
        2 => 3,
        3 | 4 => 2,
        _ => 1,
    };
    let mut out = vec![Vec::<Remedy>::new()];
    for (k, conflict) in conflicts.iter().enumerate() {
        let others = conflicts.iter().enumerate().filter(|(j, _)| *j != k);
        let base = draft.without(others.flat_map(|(_, parts)| parts.iter().copied()));
        let search = RemedySearch { asker, base };
        let mut remedies: Vec<Remedy> = conflict.iter().flat_map(|p| search.remedies(*p)).collect();
        remedies.extend(background(&search, conflict));
        remedies.sort_by_key(|m| (m.change.rank(), m.change.size(&draft.order)));
        // One of a kind for one thing: four more ways for an item are one idea.
        remedies.dedup_by_key(|m| m.change.about());
        remedies.truncate(each);
        let with = |so_far: &Vec<Remedy>| {
            let so_far = so_far.clone();
            remedies.iter().map(move |m| [so_far.as_slice(), std::slice::from_ref(m)].concat())
        };
        out = out.iter().flat_map(with).collect();
    }
    out.into_iter().map(|remedies| Joint { remedies }).collect()
}

/// Pairs of changes; where no pair is found, as few parts of `conflicts` as will
/// do. (No part can be left out of them, but others may be fewer.)
pub(in crate::ask) fn together(
    asker: &Asker<'_>,
    draft: &Draft,
    conflicts: &[Vec<Part>],
) -> Vec<Joint> {
    let mut out = Vec::new();
    for (a, b) in pairs(asker, draft, conflicts) {
        if out.len() < MOST_TOLD && !asker.over() {
            out.extend(joint(asker, draft, &[a, b]));
        }
    }
    if out.is_empty() {
        let mut off: BTreeSet<Part> = conflicts.iter().flatten().copied().collect();
        // There may be more conflicts than were looked for.
        while !asker.possible(&draft.without(off.iter().copied()).build()).is_yes() {
            let more = conflict(asker, &draft.without(off.iter().copied())).parts;
            if more.is_empty() || asker.over() {
                return out;
            }
            off.extend(more);
        }
        for part in off.clone() {
            let fewer: Vec<Part> = off.iter().copied().filter(|p| *p != part).collect();
            if asker.possible(&draft.without(fewer).build()).is_yes() {
                off.remove(&part);
            }
        }
        let parts: Vec<Part> = off.into_iter().rev().collect();
        out.extend(joint(asker, draft, &parts));
    }
    out
}

/// Pairs of parts that make the move possible if both are dropped: one of the
/// first conflict, and one of what is impossible without it.
fn pairs(asker: &Asker<'_>, draft: &Draft, conflicts: &[Vec<Part>]) -> Vec<(Part, Part)> {
    let mut found = Vec::new();
    let Some((first, others)) = conflicts.split_first() else { return found };
    let mut asked = 0;
    for &a in first {
        let without = draft.without([a]);
        // A conflict that has nothing of the first is one without `a` too.
        let rest = match others.first() {
            Some(second) => second.clone(),
            None => conflict(asker, &without).parts,
        };
        let search = RemedySearch { asker, base: without.clone() };
        for b in search.useful(&rest) {
            let known = found.iter().any(|&(x, y)| (x, y) == (b, a));
            if known || asked == MOST_PAIRS || asker.over() {
                continue;
            }
            asked += 1;
            if asker.possible(&without.without([b]).build()).is_yes() {
                found.push((a, b));
            }
        }
    }
    // Rules before needs before limits, as in the conflicts.
    found.sort_by_key(|(a, b)| (std::cmp::Reverse(a.kind().min(b.kind())), *a, *b));
    found
}

/// The first change to each of the parts, given the changes to those before it
/// and the parts after it dropped.
fn joint(asker: &Asker<'_>, draft: &Draft, parts: &[Part]) -> Option<Joint> {
    let mut done = draft.clone();
    let mut remedies = Vec::new();
    for (k, &part) in parts.iter().enumerate() {
        let base = done.without(parts[k + 1..].iter().copied());
        // Where the others do alone, this is no change that is needed.
        if asker.possible(&base.build()).is_yes() {
            return None;
        }
        let search = RemedySearch { asker, base };
        let mut all = search.remedies(part);
        all.sort_by_key(|m| m.change.rank());
        let remedy = all.into_iter().next()?;
        done = remedy.change.apply(&done)?;
        remedies.push(remedy);
    }
    asker.possible(&done.build()).is_yes().then_some(Joint { remedies })
}
