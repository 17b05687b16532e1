//! Learned clauses, two of whose literals are watched.

use super::trail::{Lit, Trail};

#[derive(Debug, Clone)]
pub(super) struct Clause {
    pub lits: Vec<Lit>,
    /// Its literal block distance: levels among its literals when it was
    /// learned; few is good.
    pub levels: u32,
    pub activity: f64,
    pub deleted: bool,
}

#[derive(Debug, Clone, Copy)]
struct Watch {
    clause: u32,
    /// The literal is false once the side's bound reaches this.
    breaks_at: i64,
    other: Lit,
}

#[derive(Default)]
pub(super) struct Clauses {
    pub all: Vec<Clause>,
    /// By the side that falsifies the watched literal.
    watches: Vec<Vec<Watch>>,
    pub live: usize,
}

/// What a clause does after a bound moved.
pub(super) enum Step {
    Nothing,
    Raise(Lit, u32),
    Broken(u32),
}

impl Clauses {
    pub fn new(sides: usize) -> Self {
        Clauses { all: Vec::new(), watches: vec![Vec::new(); sides], live: 0 }
    }

    /// Keeps a clause of two literals or more; the first two are watched.
    pub fn add(&mut self, lits: Vec<Lit>, levels: u32) -> u32 {
        let at = self.all.len() as u32;
        self.watch(at, lits[0], lits[1]);
        self.watch(at, lits[1], lits[0]);
        self.all.push(Clause { lits, levels, activity: 0.0, deleted: false });
        self.live += 1;
        at
    }

    fn watch(&mut self, clause: u32, lit: Lit, other: Lit) {
        let breaks = lit.negated();
        let watch = Watch { clause, breaks_at: breaks.least, other };
        self.watches[breaks.side as usize].push(watch);
    }

    /// Visits the clauses that the raised side may falsify, beginning at
    /// `from`; stops where one propagates. Gives where to go on.
    pub fn visit(
        &mut self,
        side: u32,
        mut at: usize,
        trail: &Trail,
        work: &mut u64,
    ) -> (usize, Step) {
        let bound = trail.bound[side as usize];
        while at < self.watches[side as usize].len() {
            let watch = self.watches[side as usize][at];
            *work += 1;
            if watch.breaks_at > bound || trail.holds(watch.other) {
                at += 1;
                continue;
            }
            let clause = &mut self.all[watch.clause as usize];
            if clause.deleted {
                self.watches[side as usize].swap_remove(at);
                continue;
            }
            let own = Lit::new(side, watch.breaks_at).negated();
            let mine = usize::from(clause.lits[1] == own);
            debug_assert!(clause.lits[mine] == own);
            let other = clause.lits[1 - mine];
            if trail.holds(other) {
                self.watches[side as usize][at].other = other;
                at += 1;
                continue;
            }
            let rest = clause.lits.iter().skip(2).position(|l| !trail.broken(*l));
            *work += clause.lits.len() as u64 / 4;
            if let Some(k) = rest {
                clause.lits.swap(mine, k + 2);
                let new = clause.lits[mine];
                self.watches[side as usize].swap_remove(at);
                self.watch(watch.clause, new, other);
                continue;
            }
            at += 1;
            if trail.broken(other) {
                return (at, Step::Broken(watch.clause));
            }
            return (at, Step::Raise(other, watch.clause));
        }
        (at, Step::Nothing)
    }

    /// Forgets the less useful half of what is not `kept`.
    pub fn forget(&mut self, kept: impl Fn(u32) -> bool) {
        let mut old: Vec<u32> = (0..self.all.len() as u32)
            .filter(|&c| {
                let clause = &self.all[c as usize];
                !clause.deleted && clause.levels > 2 && !kept(c)
            })
            .collect();
        old.sort_by(|&a, &b| {
            let (a_, b_) = (&self.all[a as usize], &self.all[b as usize]);
            a_.activity.total_cmp(&b_.activity).then(b_.levels.cmp(&a_.levels)).then(a.cmp(&b))
        });
        for &c in &old[..old.len() / 2] {
            let clause = &mut self.all[c as usize];
            clause.deleted = true;
            clause.lits = Vec::new();
            self.live -= 1;
        }
        let all = &self.all;
        for list in &mut self.watches {
            list.retain(|w| !all[w.clause as usize].deleted);
        }
    }
}
