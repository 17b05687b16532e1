//! The trail: which bounds moved, in which order and why.
//!
//! Every column has two sides: the lower bound of `x`, and the lower bound of
//! `-x`, its upper bound with the sign turned. So there is one kind of bound,
//! which only ever rises, and one kind of literal: "side `s` is at least `v`".
//! Its negation is "the other side is at least `1 - v`".

/// Side `2c` is column `c`, side `2c + 1` is its negative.
pub(super) type Side = u32;

/// `bound of side ≥ least`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lit {
    pub side: Side,
    pub least: i64,
}

impl Lit {
    pub fn new(side: Side, least: i64) -> Self {
        Lit { side, least }
    }
    pub fn negated(self) -> Lit {
        Lit { side: self.side ^ 1, least: 1 - self.least }
    }
}

/// Why a bound rose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reason {
    Decision,
    Row(u32),
    Clause(u32),
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Entry {
    pub side: Side,
    pub least: i64,
    pub before: i64,
    /// The entry that rose the same side before; [`NONE`]: the bounds at the
    /// root.
    pub previous: u32,
    pub level: u32,
    pub reason: Reason,
}

pub(super) const NONE: u32 = u32::MAX;

pub(super) struct Trail {
    pub bound: Vec<i64>,
    latest: Vec<u32>,
    pub entries: Vec<Entry>,
    /// Length of the trail when each level began, the root's aside.
    levels: Vec<usize>,
}

impl Trail {
    pub fn new(low: &[i64], high: &[i64]) -> Self {
        let bound: Vec<i64> = low.iter().zip(high).flat_map(|(l, h)| [*l, -*h]).collect();
        let latest = vec![NONE; bound.len()];
        Trail { bound, latest, entries: Vec::new(), levels: Vec::new() }
    }
    pub fn level(&self) -> u32 {
        self.levels.len() as u32
    }
    pub fn push_level(&mut self) {
        self.levels.push(self.entries.len());
    }
    pub fn holds(&self, lit: Lit) -> bool {
        self.bound[lit.side as usize] >= lit.least
    }
    pub fn broken(&self, lit: Lit) -> bool {
        self.holds(lit.negated())
    }
    /// How far the column can still move.
    pub fn range(&self, side: Side) -> i64 {
        -self.bound[side as usize] - self.bound[side as usize ^ 1]
    }
    /// Raises a bound; the caller has seen that it rises.
    pub fn raise(&mut self, lit: Lit, reason: Reason) {
        let s = lit.side as usize;
        debug_assert!(lit.least > self.bound[s]);
        let (before, previous, level) = (self.bound[s], self.latest[s], self.level());
        self.latest[s] = self.entries.len() as u32;
        self.bound[s] = lit.least;
        let (side, least) = (lit.side, lit.least);
        self.entries.push(Entry { side, least, before, previous, level, reason });
    }
    /// Takes back the last entry.
    pub fn pop(&mut self) -> Option<Entry> {
        let e = self.entries.pop()?;
        self.bound[e.side as usize] = e.before;
        self.latest[e.side as usize] = e.previous;
        Some(e)
    }
    /// Length of the trail at the end of `level`.
    pub fn length_at(&self, level: u32) -> usize {
        self.levels.get(level as usize).copied().unwrap_or(self.entries.len())
    }
    pub fn pop_levels(&mut self, level: u32) {
        self.levels.truncate(level as usize);
    }
    /// The entry that first made the literal hold; `None`: it held from the
    /// start. `before`: looks only at entries before that position.
    pub fn maker(&self, lit: Lit, before: usize) -> Option<usize> {
        let mut at = self.latest[lit.side as usize];
        while at != NONE && at as usize >= before {
            at = self.entries[at as usize].previous;
        }
        let mut maker = None;
        while at != NONE {
            let e = &self.entries[at as usize];
            debug_assert!(e.least >= lit.least || maker.is_some());
            if e.least < lit.least {
                break;
            }
            maker = Some(at as usize);
            if e.before < lit.least {
                break;
            }
            at = e.previous;
        }
        maker
    }
    /// The bound of a side before a position of the trail, and the entry that
    /// set it.
    pub fn bound_before(&self, side: Side, before: usize) -> (i64, Option<usize>) {
        let mut at = self.latest[side as usize];
        let mut value = self.bound[side as usize];
        while at != NONE && at as usize >= before {
            value = self.entries[at as usize].before;
            at = self.entries[at as usize].previous;
        }
        (value, (at != NONE).then_some(at as usize))
    }
}
