//! Rows: what they propagate, and which bounds explain it.

use super::integer_model::{IntegerModel, IntegerRow};
use super::trail::{Lit, Side, Trail};

/// `Σ weight · side ≤ most`, weights positive.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// By falling reach: what a term can add at most.
    pub terms: Vec<(Side, i64)>,
    reach: Vec<i64>,
    pub most: i64,
    /// The slack: `most` less the least activity; below zero, the row is
    /// violated.
    pub slack: i64,
}

pub(super) struct Rows {
    pub rows: Vec<Row>,
    /// By side: the rows that its bound counts in.
    pub of_side: Vec<Vec<(u32, i64)>>,
}

impl Rows {
    pub fn new(model: &IntegerModel, trail: &Trail) -> Self {
        let mut rows = Rows { rows: Vec::new(), of_side: vec![Vec::new(); trail.bound.len()] };
        for row in &model.rows {
            rows.add(row, trail);
        }
        rows
    }

    /// Adds a row; gives its position.
    pub fn add(&mut self, row: &IntegerRow, trail: &Trail) -> u32 {
        let side = |c: usize, k: i64| (2 * c) as Side + Side::from(k < 0);
        let terms = row.terms.iter().map(|&(c, k)| (side(c, k), k.abs()));
        self.add_sides(terms.collect(), row.most, trail)
    }

    /// The same of sides with positive weights.
    pub fn add_sides(&mut self, terms: Vec<(Side, i64)>, most: i64, trail: &Trail) -> u32 {
        let at = self.rows.len() as u32;
        // What a term can add at the root, wherever the trail is now.
        let range = |s: Side| -trail.bound_before(s, 0).0 - trail.bound_before(s ^ 1, 0).0;
        let mut terms: Vec<(i64, Side, i64)> =
            terms.into_iter().map(|(s, w)| (w * range(s).max(0), s, w)).collect();
        terms.sort_by_key(|&(reach, s, _)| (std::cmp::Reverse(reach), s));
        let least: i64 = terms.iter().map(|(_, s, w)| w * trail.bound[*s as usize]).sum();
        for &(_, s, w) in &terms {
            self.of_side[s as usize].push((at, w));
        }
        self.rows.push(Row {
            reach: terms.iter().map(|t| t.0).collect(),
            terms: terms.into_iter().map(|(_, s, w)| (s, w)).collect(),
            most,
            slack: most - least,
        });
        at
    }

    /// Forgets all rows but the first so many. Nothing on the trail may have one
    /// of them as its reason, except at the root.
    pub fn truncate(&mut self, kept: usize) {
        if self.rows.len() > kept {
            self.rows.truncate(kept);
            for of in &mut self.of_side {
                // They were added in order.
                of.truncate(of.partition_point(|(r, _)| (*r as usize) < kept));
            }
        }
    }

    /// Moves the slack of the rows that count a side whose bound moved.
    pub fn moved(&mut self, side: Side, by: i64) {
        for &(r, w) in &self.of_side[side as usize] {
            self.rows[r as usize].slack -= w * by;
        }
    }

    /// What the row propagates now; `Err` if it is violated. Gives the terms
    /// looked at as well.
    pub fn narrowed(&self, r: u32, trail: &Trail, out: &mut Vec<Lit>) -> Result<u64, ()> {
        let row = &self.rows[r as usize];
        if row.slack < 0 {
            return Err(());
        }
        let mut looked = 1;
        for (&(s, w), &reach) in row.terms.iter().zip(&row.reach) {
            if reach <= row.slack {
                break;
            }
            looked += 1;
            let room = row.slack / w;
            if room < trail.range(s) {
                out.push(Lit::new(s ^ 1, -(trail.bound[s as usize] + room)));
            }
        }
        Ok(looked)
    }

    /// An explanation: bounds before position `before` that make the row narrow
    /// `lit`, or violate it without one. As weak as they may be: slack is used
    /// to weaken them, latest bounds first.
    pub fn explain(
        &self,
        r: u32,
        lit: Option<Lit>,
        before: usize,
        trail: &Trail,
        out: &mut Vec<Lit>,
    ) {
        let row = &self.rows[r as usize];
        // Needed: the sum of the others' least over `most - weight · own`.
        let mut spare = -row.most - 1;
        let mut bounds: Vec<(Option<usize>, Side, i64, i64)> = Vec::with_capacity(row.terms.len());
        for &(s, w) in &row.terms {
            if let Some(lit) = lit.filter(|l| l.side == s ^ 1) {
                // One beyond what it is narrowed to would violate the row.
                spare += w * (1 - lit.least);
                continue;
            }
            let (value, at) = trail.bound_before(s, before);
            spare += w * value;
            bounds.push((at, s, w, value));
        }
        debug_assert!(spare >= 0, "the row explains what it did");
        bounds.sort_by_key(|b| std::cmp::Reverse(b.0));
        for (mut at, s, w, mut value) in bounds {
            while let Some(e) = at.map(|e| &trail.entries[e]) {
                let give = w * (value - e.before);
                if give > spare {
                    break;
                }
                spare -= give;
                value = e.before;
                at = (e.previous != super::trail::NONE).then_some(e.previous as usize);
            }
            if let Some(e) = at.map(|e| &trail.entries[e]) {
                let less = (spare / w).min(value - e.before - 1);
                spare -= less * w;
                out.push(Lit::new(s, value - less));
            }
        }
    }
}
