//! The smallest set of parts that cannot hold together.
//!
//! A first pass asks, need by need, whether one is enough for a conflict with
//! what is no need. An elastic pass then drops whole kinds of parts, and
//! QuickXplain (U. Junker, "QUICKXPLAIN: preferred explanations and relaxations
//! for over-constrained problems", AAAI 2004; from memory) halves what is left.
//! The elastic pass is no program with slack columns: it asks, kind by kind in
//! their order, whether the rest is impossible without all parts of that kind,
//! and if so drops them. Each question is a whole split, answered by a plan or
//! a proof.
//!
//! The set is irreducible: without any one of its parts the others can hold. It
//! need not be the smallest in number, and a move may have several.

use super::asker::{Asker, Known};
use super::draft::Draft;
use super::part::{Kind, Part, parts};
use crate::load::MoveOrder;
use crate::split::Reason;
use std::collections::BTreeSet;

/// Parts that cannot hold together.
#[derive(Debug, Clone)]
pub struct Conflict {
    /// Rules first, then needs, limits and the rest. Empty only if there was no
    /// time to find any.
    pub parts: Vec<Part>,
    /// Whether none of them can be left out; otherwise some may not matter.
    pub irreducible: bool,
    /// Why these alone are impossible, if that can be said in plain words.
    pub reason: Option<Reason>,
}

struct Finder<'a, 'o> {
    asker: &'a Asker<'o>,
    draft: &'a Draft,
    all: BTreeSet<Part>,
}

/// A set of parts of the draft that cannot hold together. Parts that are off
/// stay off. The draft is known to be impossible.
pub(super) fn conflict(asker: &Asker<'_>, draft: &Draft) -> Conflict {
    let all: BTreeSet<Part> =
        parts(&draft.order).into_iter().filter(|p| !draft.off.contains(p)).collect();
    let finder = Finder { asker, draft, all };
    asker.took_unknown();
    let mut left: BTreeSet<Part> = finder.all.clone();
    finder.one_need(&mut left);
    for kind in Kind::ALL {
        let fewer: BTreeSet<Part> = left.iter().copied().filter(|p| p.kind() != kind).collect();
        if fewer.len() < left.len() && finder.impossible(&fewer) {
            left = fewer;
        }
    }
    // What is to be blamed rather comes first.
    let wanted: Vec<Part> = left.into_iter().rev().collect();
    let found = finder.explain(&BTreeSet::new(), false, &wanted);
    let mut set: BTreeSet<Part> = found.iter().copied().collect();
    asker.took_unknown();
    finder.thin(&mut set);
    let irreducible = !asker.took_unknown();
    let reason = match asker.possible(&finder.only(&set)) {
        Known::No(reason) => Some(reason),
        _ => None,
    };
    let irreducible = irreducible && reason.is_some();
    Conflict { parts: set.into_iter().rev().collect(), irreducible, reason }
}

impl Finder<'_, '_> {
    /// The move in which these parts bind and no other.
    fn only(&self, parts: &BTreeSet<Part>) -> MoveOrder {
        self.draft.without(self.all.difference(parts).copied()).build()
    }

    /// Where one piece of a need is enough for a conflict with what is no need,
    /// drops all others: what is about one thing is understood best.
    fn one_need(&self, left: &mut BTreeSet<Part>) {
        let needs: Vec<Part> = left.iter().copied().filter(|p| p.kind() == Kind::Need).collect();
        if needs.len() < 2 {
            return;
        }
        for one in needs {
            let with = |p: &Part| p.kind() != Kind::Need || *p == one;
            let fewer: BTreeSet<Part> = left.iter().copied().filter(with).collect();
            if self.impossible(&fewer) {
                *left = fewer;
                return;
            }
        }
    }

    /// Deletion filter: leaves out what the others do without, asked part by
    /// part. Most of that was met on the way; but what is left behind where
    /// nothing must stay can depend on the requirements that bind, so that
    /// fewer parts are not always easier to hold, as halving takes them to be.
    fn thin(&self, set: &mut BTreeSet<Part>) {
        for part in set.clone() {
            let fewer: BTreeSet<Part> = set.iter().copied().filter(|p| *p != part).collect();
            if !fewer.is_empty() && self.impossible(&fewer) {
                *set = fewer;
            }
        }
    }

    fn impossible(&self, parts: &BTreeSet<Part>) -> bool {
        !self.asker.gave_up() && matches!(self.asker.possible(&self.only(parts)), Known::No(_))
    }

    /// Parts among `from` that cannot hold with `base`; `news` says that `base`
    /// grew since it was last asked for. What comes first in `from` is blamed
    /// rather than what comes later.
    fn explain(&self, base: &BTreeSet<Part>, news: bool, from: &[Part]) -> Vec<Part> {
        if self.asker.over() {
            return from.to_vec();
        }
        if from.is_empty() || (news && self.impossible(base)) {
            return Vec::new();
        }
        if let [one] = from {
            return vec![*one];
        }
        let (first, second) = from.split_at(from.len() / 2);
        let with = |more: &[Part]| base.iter().chain(more).copied().collect::<BTreeSet<Part>>();
        let late = self.explain(&with(first), true, second);
        let early = self.explain(&with(&late), !late.is_empty(), first);
        [early, late].concat()
    }
}
