//! A mixed-integer linear program as plain tables: what the builders write and
//! the backends read.

use std::ops::{AddAssign, Index, IndexMut, Neg};

/// A column's position.
pub(crate) type Col = usize;

/// A row's position: not to be taken for a column's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct RowIx(pub usize);

impl Index<RowIx> for Vec<Row> {
    type Output = Row;

    fn index(&self, r: RowIx) -> &Row {
        &self.as_slice()[r.0]
    }
}
impl IndexMut<RowIx> for Vec<Row> {
    fn index_mut(&mut self, r: RowIx) -> &mut Row {
        &mut self.as_mut_slice()[r.0]
    }
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Column {
    pub low: f64,
    pub high: f64,
    pub whole: bool,
    /// Of a continuous column: where the integer columns are whole, it need
    /// only have whole multiples of one part in so many. Zero: any value.
    pub grain: f64,
}

/// `low ≤ Σ coefficient · column ≤ high`.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub terms: Vec<(Col, f64)>,
    pub low: f64,
    pub high: f64,
    /// Every coefficient is a whole multiple of one part in so many of the
    /// row's unit; whoever needs that sees whether it is so.
    pub grain: f64,
}

/// A sum of columns that is whole in every plan, though some of its columns may
/// not be: what to branch on first.
#[derive(Debug, Clone)]
pub(crate) struct Sum {
    pub terms: Vec<(Col, f64)>,
    /// Higher first; columns have 0.
    pub priority: u8,
}

/// Minimise `objective` under the rows.
#[derive(Debug, Clone, Default)]
pub(crate) struct Model {
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
    pub sums: Vec<Sum>,
    /// Rows that hold what earlier goals reached.
    pub pins: Vec<RowIx>,
    pub objective: Affine,
    /// As a row's; zero: it comes out whole in nothing.
    pub objective_grain: f64,
}

/// `constant + Σ coefficient · column`.
#[derive(Debug, Clone, Default)]
pub(crate) struct Affine {
    pub terms: Vec<(Col, f64)>,
    pub constant: f64,
}

impl Affine {
    pub fn constant(constant: f64) -> Self {
        Affine { terms: Vec::new(), constant }
    }
    pub fn add(&mut self, col: Col, coefficient: f64) {
        self.terms.push((col, coefficient));
    }
    pub fn add_scaled(&mut self, other: &Affine, by: f64) {
        self.constant += other.constant * by;
        self.terms.extend(other.terms.iter().map(|(c, k)| (*c, k * by)));
    }
    /// One term a column, sorted, none zero.
    fn tidy(&self) -> Vec<(Col, f64)> {
        let mut terms = self.terms.clone();
        terms.sort_by_key(|t| t.0);
        let mut out: Vec<(Col, f64)> = Vec::with_capacity(terms.len());
        for (c, k) in terms {
            match out.last_mut() {
                Some(last) if last.0 == c => last.1 += k,
                _ => out.push((c, k)),
            }
        }
        out.retain(|t| t.1 != 0.0);
        out
    }
    pub fn value(&self, values: &[f64]) -> f64 {
        self.terms.iter().fold(self.constant, |sum, (c, k)| sum + k * values[*c])
    }
}

impl AddAssign<&Affine> for Affine {
    fn add_assign(&mut self, o: &Affine) {
        self.add_scaled(o, 1.0);
    }
}
impl Neg for Affine {
    type Output = Affine;
    fn neg(mut self) -> Affine {
        self.constant = -self.constant;
        self.terms.iter_mut().for_each(|t| t.1 = -t.1);
        self
    }
}

impl Model {
    pub fn whole(&mut self, high: u64) -> Col {
        // Solvers hold whole-number bounds in 32 bits.
        let high = high.min(i32::MAX as u64) as f64;
        self.columns.push(Column { low: 0.0, high, whole: true, grain: 1.0 });
        self.columns.len() - 1
    }
    pub fn binary(&mut self) -> Col {
        self.whole(1)
    }
    pub fn real(&mut self, low: f64, high: f64) -> Col {
        self.real_in(0.0, low, high)
    }
    /// A continuous column that need only have whole multiples of `1 / grain`.
    pub fn real_in(&mut self, grain: f64, low: f64, high: f64) -> Col {
        self.columns.push(Column { low, high, whole: false, grain });
        self.columns.len() - 1
    }
    /// The columns' sum is whole.
    pub fn sum(&mut self, columns: &[Col], priority: u8) {
        let terms = columns.iter().map(|c| (*c, 1.0)).collect();
        self.sums.push(Sum { terms, priority });
    }
    /// `expression ≤ high`.
    pub fn at_most(&mut self, expression: &Affine, high: f64) {
        self.row(expression, f64::NEG_INFINITY, high);
    }
    /// `expression ≥ low`.
    pub fn at_least(&mut self, expression: &Affine, low: f64) {
        self.row(expression, low, f64::INFINITY);
    }
    /// As [`Self::at_most`], in a unit of `grain` parts.
    pub fn at_most_in(&mut self, grain: f64, expression: &Affine, high: f64) {
        self.row_in(grain, expression, f64::NEG_INFINITY, high);
    }
    /// As [`Self::at_least`], in a unit of `grain` parts.
    pub fn at_least_in(&mut self, grain: f64, expression: &Affine, low: f64) {
        self.row_in(grain, expression, low, f64::INFINITY);
    }
    /// A row of counts.
    pub fn row(&mut self, expression: &Affine, low: f64, high: f64) {
        self.row_in(1.0, expression, low, high);
    }
    /// A row without columns is kept too if it cannot hold: it says so.
    pub fn row_in(&mut self, grain: f64, expression: &Affine, low: f64, high: f64) {
        let terms = expression.tidy();
        let (low, high) = (low - expression.constant, high - expression.constant);
        let holds = low <= 1e-9 && high >= -1e-9;
        if terms.is_empty() && holds {
            return;
        }
        if terms.is_empty() {
            // An empty row is awkward for solvers: a column of width zero says it.
            let none = self.real_in(1.0, 0.0, 0.0);
            self.rows.push(Row { terms: vec![(none, 1.0)], low, high, grain });
            return;
        }
        self.rows.push(Row { terms, low, high, grain });
    }
    pub fn minimise(&mut self, expression: &Affine) {
        self.minimise_in(0.0, expression);
    }
    /// As [`Self::minimise`], in a unit of `grain` parts.
    pub fn minimise_in(&mut self, grain: f64, expression: &Affine) {
        self.objective_grain = grain;
        self.objective = Affine { terms: expression.tidy(), constant: expression.constant };
    }
}
