//! The dual simplex method on a dense tableau, with warm starts: from node to
//! node only bounds move, so each solve goes on from the last basis.
//!
//! Every column and every row's activity has two finite ends (of a row without
//! one, its activity bound), so any basis is dual feasible once each non-basic
//! one is put at the end that its reduced cost prefers: there is no first
//! phase. Long-step (bound-flipping) ratio test (Fourer 1994; Maros 2003), and
//! pricing by largest infeasibility.
//!
//! Its floats are not trusted: bounds and refutations are recomputed from its
//! duals, safe against rounding (`dual_bound.rs`) or in whole numbers
//! (`conflict_search/relaxation.rs`).

mod read;
mod tableau;

/// How far a value may be outside its ends, rows scaled to 1.
const OUTSIDE: f64 = 1e-9;
/// Smaller entries of the tableau are no pivots.
const PIVOT: f64 = 1e-8;
/// Costs nearer than this tie.
const TIE: f64 = 1e-10;

/// A model to be minimised in boxes: `values of rows = A · columns`.
pub(crate) struct Simplex {
    /// Columns.
    n: usize,
    /// Rows.
    m: usize,
    rows: Vec<Vec<(usize, f64)>>,
    /// What each row was divided by.
    scale: Vec<f64>,
    costs: Vec<f64>,
    /// Basic = tableau · non-basic, row by row.
    tableau: Vec<f64>,
    /// Cost of each non-basic.
    cost: Vec<f64>,
    /// Columns are 0 to n - 1, the value of row r is n + r.
    basic: Vec<usize>,
    nonbasic: Vec<usize>,
    at_high: Vec<bool>,
    low: Vec<f64>,
    high: Vec<f64>,
    /// Values of the basic ones.
    value: Vec<f64>,
    /// Pivots since the tableau was rebuilt.
    pivots: usize,
    /// Entries of the tableau gone through in all.
    pub work: u64,
}

/// How a solve ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ended {
    Optimal,
    /// The basic variable of this row cannot reach its violated end.
    Infeasible {
        row: usize,
        below: bool,
    },
    /// Stopped by rounding or cycling.
    Unknown,
}

/// The activity bounds of the terms within the columns' ends, slightly widened;
/// and how large the sum of the terms' sizes can be.
pub(crate) fn activity(
    terms: &[(usize, f64)],
    ends: impl Fn(usize) -> (f64, f64),
) -> ((f64, f64), f64) {
    let (mut least, mut most, mut size) = (0.0, 0.0, 0.0);
    for &(c, k) in terms {
        let (low, high) = ends(c);
        let (a, b) = (k * low, k * high);
        least += a.min(b);
        most += a.max(b);
        size += a.abs().max(b.abs());
    }
    let hair = 1e-9 * (1.0 + size);
    ((least - hair, most + hair), size)
}

impl Simplex {
    /// All rows' values basic. `costs`: by column.
    pub fn new(n: usize, rows: &[&[(usize, f64)]], costs: &[(usize, f64)]) -> Self {
        let m = rows.len();
        let scale: Vec<f64> = rows
            .iter()
            .map(|r| r.iter().map(|t| t.1.abs()).fold(0.0, f64::max))
            .map(|s| if s > 0.0 { s } else { 1.0 })
            .collect();
        let scaled =
            |(r, s): (&&[(usize, f64)], &f64)| r.iter().map(|(c, k)| (*c, k / s)).collect();
        let rows: Vec<Vec<(usize, f64)>> = rows.iter().zip(&scale).map(scaled).collect();
        let mut all = vec![0.0; n];
        costs.iter().for_each(|&(c, k)| all[c] += k);
        let mut simplex = Simplex {
            n,
            m,
            rows,
            scale,
            costs: all,
            tableau: vec![0.0; m * n],
            cost: vec![0.0; n],
            basic: Vec::new(),
            nonbasic: Vec::new(),
            at_high: vec![false; n],
            low: vec![0.0; n + m],
            high: vec![0.0; n + m],
            value: vec![0.0; m],
            pivots: 0,
            work: 0,
        };
        simplex.fresh();
        simplex
    }

    /// Whether a model of this size is worth a dense tableau.
    pub fn fits(columns: usize, rows: usize) -> bool {
        rows.saturating_mul(columns) <= 600_000
    }

    /// Moves the ends: of the columns, then of the rows' values.
    pub fn bound(
        &mut self,
        columns: impl Iterator<Item = (f64, f64)>,
        rows: impl Iterator<Item = (f64, f64)>,
    ) {
        for (c, (low, high)) in columns.enumerate() {
            (self.low[c], self.high[c]) = (low, high);
        }
        for (r, (low, high)) in rows.enumerate() {
            let s = self.scale[r];
            (self.low[self.n + r], self.high[self.n + r]) = (low / s, high / s);
        }
    }

    /// Minimises within the ends as they are.
    pub fn solve(&mut self) -> Ended {
        for attempt in 0..2 {
            let ended = self.attempt();
            if ended == Ended::Unknown || self.drifted() {
                if attempt == 1 {
                    return Ended::Unknown;
                }
                self.rebuild();
                continue;
            }
            return ended;
        }
        Ended::Unknown
    }

    fn attempt(&mut self) -> Ended {
        self.start();
        let most = 200 + 6 * (self.m + self.n);
        let mut moves: Vec<(f64, f64, usize)> = Vec::new();
        for step in 0..most {
            // Where many reduced costs tie at zero, pivots can cycle.
            if step == self.m + 50 {
                self.perturb();
            }
            let Some((row, below)) = self.leaving() else { return Ended::Optimal };
            if self.pivots > 0 && self.pivots.is_multiple_of(400) {
                return Ended::Unknown;
            }
            let var = self.basic[row];
            let end = if below { self.low[var] } else { self.high[var] };
            // Candidates to enter: by how much each moves the leaving variable
            // towards its end, and at which ratio.
            let sign = if below { 1.0 } else { -1.0 };
            let line = &self.tableau[row * self.n..(row + 1) * self.n];
            moves.clear();
            for (j, &a) in line.iter().enumerate() {
                let push = a * sign * if self.at_high[j] { -1.0 } else { 1.0 };
                if push > PIVOT && self.width(self.nonbasic[j]) > 0.0 {
                    moves.push((self.cost[j].abs() / push, push, j));
                }
            }
            moves.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
            let mut missing = (end - self.value[row]).abs();
            let mut entering = None;
            for (k, &(_, push, j)) in moves.iter().enumerate() {
                let gain = push * self.width(self.nonbasic[j]);
                // Within tolerance of the end counts as reaching it.
                if gain < missing - OUTSIDE {
                    missing -= gain;
                    continue;
                }
                entering = Some(k);
                break;
            }
            let Some(mut k) = entering else { return Ended::Infeasible { row, below } };
            // Of those that tie, the largest pivot.
            let tie = moves[k].0 + TIE;
            for other in k + 1..moves.len() {
                if moves[other].0 > tie {
                    break;
                }
                if moves[other].1 > moves[k].1 * 2.0 {
                    k = other;
                }
            }
            let until = entering.unwrap_or(0);
            for &(_, _, j) in &moves[..until] {
                self.flip(j);
            }
            let (_, push, j) = moves[k];
            if push < 1e-6 && self.pivots > 20 {
                return Ended::Unknown;
            }
            self.pivot(row, j, end, !below);
        }
        Ended::Unknown
    }

    /// The leaving variable: the basic one furthest outside its ends.
    fn leaving(&self) -> Option<(usize, bool)> {
        let mut worst: Option<(f64, usize, bool)> = None;
        for (r, &v) in self.value.iter().enumerate() {
            let var = self.basic[r];
            let (under, over) = (self.low[var] - v, v - self.high[var]);
            let (off, below) = if under > over { (under, true) } else { (over, false) };
            let allowed = OUTSIDE * (1.0 + v.abs());
            if off > allowed && worst.is_none_or(|w| off > w.0) {
                worst = Some((off, r, below));
            }
        }
        worst.map(|(_, r, below)| (r, below))
    }
}
