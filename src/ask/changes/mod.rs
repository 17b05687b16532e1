//! What would make a move possible: each change solved and audited.

mod background;
mod limits;
mod needs;
mod rules;
mod together;

pub(super) use background::{background, walkable};
pub(super) use together::{Joint, crossed, together};

use super::asker::{Asker, Known};
use super::change::Change;
use super::draft::Draft;
use super::part::Part;
use crate::split::Findings;

/// What is known of the size of a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Least {
    /// Proven: one step less does not do.
    Proven,
    /// It does; whether less would do is not known.
    Unproven,
    /// There is no less of it.
    Whole,
}

/// A change that works: a plan of the changed move passed the audit.
#[derive(Debug, Clone)]
pub struct Remedy {
    pub change: Change,
    pub least: Least,
}

/// Tries changes on a move that is known to be impossible.
pub(super) struct RemedySearch<'a, 'o> {
    pub asker: &'a Asker<'o>,
    pub base: Draft,
}

impl RemedySearch<'_, '_> {
    pub fn ask(&self, change: &Change) -> Known {
        match change.apply(&self.base) {
            Some(draft) => self.asker.possible(&draft.build()),
            None => Known::Unknown,
        }
    }

    pub fn works(&self, change: &Change) -> bool {
        self.ask(change).is_yes()
    }

    /// The move without the part, if that makes it possible.
    pub fn without(&self, part: Part) -> Option<Findings> {
        match self.asker.possible(&self.base.without([part]).build()) {
            Known::Yes(found) => Some(found.1),
            _ => None,
        }
    }

    /// Those of the parts that may make the move possible if they are dropped
    /// one at a time: where dropping some together is not enough, dropping one
    /// of them is not.
    pub fn useful(&self, parts: &[Part]) -> Vec<Part> {
        if parts.len() < 2 || self.asker.over() {
            return parts.to_vec();
        }
        let all = self.base.without(parts.iter().copied());
        if !self.asker.possible(&all.build()).is_yes() {
            return Vec::new();
        }
        let (first, second) = parts.split_at(parts.len() / 2);
        [self.useful(first), self.useful(second)].concat()
    }

    /// Bisection: the least number over `no` that does, where `no` does not and
    /// `yes` does, and every number over one that does, does. `found` gives of
    /// a plan the least number that would have done for it: where it is known,
    /// one less than what is known to do is tried in turns with the middle,
    /// since it is often the end already.
    pub fn least(
        &self,
        no: u64,
        yes: u64,
        change: impl Fn(u64) -> Change,
        found: Option<&dyn Fn(&Findings) -> u64>,
    ) -> Remedy {
        let (mut no, mut yes, mut least) = (no, yes, Least::Proven);
        let mut near = found.is_some();
        while yes - no > 1 {
            let next = if near { yes - 1 } else { no + (yes - no) / 2 };
            near = found.is_some() && !near;
            match self.ask(&change(next)) {
                Known::Yes(plan) => {
                    yes = found.map_or(next, |f| f(&plan.1)).clamp(no + 1, next);
                }
                Known::No(_) => no = next,
                Known::Unknown => {
                    least = Least::Unproven;
                    break;
                }
            }
        }
        Remedy { change: change(yes), least }
    }

    /// The largest number under `no` that does, where `yes` does.
    pub fn most(&self, yes: u64, no: u64, change: impl Fn(u64) -> Change) -> Remedy {
        let last = no;
        let turned = self.least(0, last - yes, |n| change(last - n), None);
        Remedy { change: turned.change, least: turned.least }
    }

    /// Changes to this part that make the move possible.
    pub fn remedies(&self, part: Part) -> Vec<Remedy> {
        let Some(findings) = self.without(part) else { return Vec::new() };
        match part {
            Part::Limit(c) => self.limit(c, &findings).into_iter().collect(),
            Part::Room(c) => self.room(c, &findings).into_iter().collect(),
            Part::Slots { carrier, way } => {
                self.slots(carrier, way, &findings).into_iter().collect()
            }
            Part::Need { need, piece } => self.need(need, piece),
            Part::Requires { item, of } => vec![self.requires(item, of)],
            Part::Rule(rule) => self.rule(rule),
            Part::Stays => {
                let change = Change::NoStore;
                let works = self.works(&change);
                works.then_some(Remedy { change, least: Least::Whole }).into_iter().collect()
            }
        }
    }
}
