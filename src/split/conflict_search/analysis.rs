//! Conflict analysis: the bounds that led to a conflict, followed back to the
//! first unique implication point (Marques-Silva and Sakallah 1999, over bounds
//! instead of booleans).

use super::activity::ActivityOrder;
use super::clauses::Clauses;
use super::rows::Rows;
use super::trail::{Lit, Reason, Side, Trail};
use std::collections::BinaryHeap;

/// A learned clause, falsified by the trail as it is.
#[derive(Debug)]
pub(super) struct Learned {
    /// The first is asserted once the trail is back at `level`; the second is
    /// of that level.
    pub lits: Vec<Lit>,
    pub level: u32,
    /// Levels among the literals.
    pub levels: u32,
}

const ABSENT: i64 = i64::MIN;

pub(super) struct Analysis {
    /// By side: the bound that the conflict needs.
    needed: Vec<i64>,
    /// By side: the entry that made it.
    made: Vec<u32>,
    sides: Vec<Side>,
    heap: BinaryHeap<u32>,
    scratch: Vec<Lit>,
    /// Work done, in terms and literals looked at.
    pub work: u64,
}

impl Analysis {
    pub fn new(sides: usize) -> Self {
        Analysis {
            needed: vec![ABSENT; sides],
            made: vec![0; sides],
            sides: Vec::new(),
            heap: BinaryHeap::new(),
            scratch: Vec::new(),
            work: 0,
        }
    }

    /// `conflict`: literals that are true and cannot all be. `None`: a conflict
    /// at the root.
    pub fn learn(
        &mut self,
        conflict: &[Lit],
        trail: &Trail,
        rows: &Rows,
        clauses: &mut Clauses,
        order: &mut ActivityOrder,
        now: f64,
    ) -> Option<Learned> {
        for s in self.sides.drain(..) {
            self.needed[s as usize] = ABSENT;
        }
        self.heap.clear();
        for &lit in conflict {
            self.need(lit, trail.entries.len(), trail, order);
        }
        let uip = loop {
            let at = self.heap.pop()?;
            let entry = trail.entries[at as usize];
            let side = entry.side as usize;
            // A stronger need may have come since, by a later entry.
            if self.needed[side] == ABSENT || self.made[side] != at {
                continue;
            }
            while self.heap.peek().is_some_and(|&next| {
                let s = trail.entries[next as usize].side as usize;
                self.needed[s] == ABSENT || self.made[s] != next || next == at
            }) {
                self.heap.pop();
            }
            let level = |at: u32| trail.entries[at as usize].level;
            let lit = Lit::new(entry.side, self.needed[side]);
            if self.heap.peek().is_none_or(|&next| level(next) < entry.level) {
                break (lit, entry.level);
            }
            self.needed[side] = ABSENT;
            self.reasons(lit, at as usize, trail, rows, clauses, now);
            let scratch = std::mem::take(&mut self.scratch);
            for &l in &scratch {
                self.need(l, at as usize, trail, order);
            }
            self.scratch = scratch;
        };
        Some(self.clause(uip, trail, rows, clauses))
    }

    /// Notes that the conflict needs a literal, as it was before a position.
    fn need(&mut self, lit: Lit, before: usize, trail: &Trail, order: &mut ActivityOrder) {
        self.work += 1;
        let s = lit.side as usize;
        if self.needed[s] != ABSENT && self.needed[s] >= lit.least {
            return;
        }
        let Some(at) = trail.maker(lit, before) else { return };
        if trail.entries[at].level == 0 {
            return;
        }
        if self.needed[s] == ABSENT {
            order.bump(lit.side / 2);
            self.sides.push(lit.side);
        }
        self.needed[s] = lit.least;
        self.made[s] = at as u32;
        self.heap.push(at as u32);
    }

    /// Literals before the entry that make `lit` follow, into `scratch`.
    fn reasons(
        &mut self,
        lit: Lit,
        at: usize,
        trail: &Trail,
        rows: &Rows,
        clauses: &mut Clauses,
        now: f64,
    ) {
        self.scratch.clear();
        match trail.entries[at].reason {
            Reason::Decision => debug_assert!(false, "a level has one decision, its first entry"),
            Reason::Row(r) => rows.explain(r, Some(lit), at, trail, &mut self.scratch),
            Reason::Clause(c) => {
                let clause = &mut clauses.all[c as usize];
                clause.activity = now;
                let others = clause.lits.iter().filter(|l| l.side != lit.side);
                self.scratch.extend(others.map(|l| l.negated()));
            }
        }
        self.work += self.scratch.len() as u64;
    }

    fn clause(
        &mut self,
        (uip, top): (Lit, u32),
        trail: &Trail,
        rows: &Rows,
        clauses: &mut Clauses,
    ) -> Learned {
        let mut sides: Vec<Side> = self
            .sides
            .iter()
            .copied()
            .filter(|s| self.needed[*s as usize] != ABSENT && *s != uip.side)
            .collect();
        sides.sort_unstable();
        sides.dedup();
        let mut others: Vec<(u32, Lit)> = Vec::with_capacity(sides.len());
        for s in sides {
            let lit = Lit::new(s, self.needed[s as usize]);
            let at = self.made[s as usize];
            if !self.follows(lit, at, trail, rows, clauses) {
                others.push((trail.entries[at as usize].level, lit));
            }
        }
        debug_assert!(others.iter().all(|o| o.0 < top));
        others.sort_by_key(|(level, lit)| (std::cmp::Reverse(*level), lit.side));
        let level = others.first().map_or(0, |o| o.0);
        let mut levels: Vec<u32> = others.iter().map(|o| o.0).collect();
        levels.dedup();
        let mut lits = vec![uip.negated()];
        lits.extend(others.iter().map(|(_, l)| l.negated()));
        Learned { lits, level, levels: levels.len() as u32 + 1 }
    }

    /// Whether a needed literal follows from others that are needed, by
    /// entries before its own.
    fn follows(
        &mut self,
        lit: Lit,
        at: u32,
        trail: &Trail,
        rows: &Rows,
        clauses: &mut Clauses,
    ) -> bool {
        if trail.entries[at as usize].reason == Reason::Decision {
            return false;
        }
        let now = match trail.entries[at as usize].reason {
            Reason::Clause(c) => clauses.all[c as usize].activity,
            _ => 0.0,
        };
        self.reasons(lit, at as usize, trail, rows, clauses, now);
        let scratch = std::mem::take(&mut self.scratch);
        let all = scratch.iter().all(|l| {
            let s = l.side as usize;
            let needed = self.needed[s] != ABSENT && self.needed[s] >= l.least && self.made[s] < at;
            needed || trail.maker(*l, at as usize).is_none_or(|m| trail.entries[m].level == 0)
        });
        self.scratch = scratch;
        all
    }
}
