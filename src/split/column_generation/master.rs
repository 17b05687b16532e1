//! The master program (Dantzig and Wolfe 1960): the coarse program, with
//! linking rows that hold the units that go alone under what the chosen loads
//! carry, and convexity rows: no more loads of a class than it has carriers.

use super::classes::Classes;
use super::ix::{ClassIx, FamilyIx, LinkIx};
use super::knapsack_table::Load;
use super::lagrangian::Parts;
use super::pricing::Prices;
use crate::facts::Facts;
use crate::program::{Affine, Column, Model, Program, Row, RowIx};
use std::collections::HashSet;

/// What the master minimises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MasterObjective {
    /// The goal that is the program's objective.
    Goal,
    /// The mass that no load has room for, as a part of all that is held.
    LeftOver,
}

/// A load for any carrier of a class.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    pub class: ClassIx,
    pub load: Load,
    pub col: usize,
}

#[derive(Clone)]
pub(super) struct Master<'c> {
    pub classes: &'c Classes,
    /// Without loads: what the Lagrangian bound is computed on.
    pub base: Model,
    /// The base with the loads so far.
    pub model: Model,
    pub patterns: Vec<Pattern>,
    /// Per link, its row in both.
    pub links: Vec<RowIx>,
    /// Per class: carriers, and its row in `model`.
    pub sizes: Vec<usize>,
    first_class: RowIx,
    seen: HashSet<(ClassIx, Load)>,
}

impl<'c> Master<'c> {
    pub fn new(program: &Program, classes: &'c Classes, aim: MasterObjective) -> Self {
        let mut base = program.model.clone();
        let masses: Vec<f64> =
            classes.links.iter().map(|l| program.facts.items[l.item].mass.max(1) as f64).collect();
        let all: f64 = masses.iter().zip(&classes.links).map(|(m, l)| m * f64::from(l.held)).sum();
        let mut left_over = Affine::default();
        let mut links = Vec::with_capacity(classes.links.len());
        for (link, mass) in classes.links.iter().zip(&masses) {
            let mut row = Affine::default();
            link.units.iter().for_each(|c| row.add(*c, 1.0));
            if aim == MasterObjective::LeftOver {
                let left = base.real(0.0, f64::from(link.held));
                row.add(left, -1.0);
                left_over.add(left, mass / all * 1000.0);
            }
            links.push(RowIx(base.rows.len()));
            base.at_most(&row, 0.0);
        }
        if aim == MasterObjective::LeftOver {
            base.minimise(&left_over);
        }
        let mut model = base.clone();
        let first_class = RowIx(model.rows.len());
        let sizes: Vec<usize> = classes.classes.iter().map(|c| c.carriers.len()).collect();
        for n in &sizes {
            let high = *n as f64;
            model.rows.push(Row { terms: Vec::new(), low: f64::NEG_INFINITY, high, grain: 0.0 });
        }
        let (patterns, seen) = (Vec::new(), HashSet::new());
        Master { classes, base, model, patterns, links, sizes, first_class, seen }
    }

    pub fn parts(&self) -> Parts<'_> {
        Parts { base: &self.base, links: &self.links, sizes: &self.sizes }
    }

    /// The prices of the links at these duals.
    pub fn prices(&self, duals: &[f64]) -> Prices {
        let worth: Vec<f64> = self.links.iter().map(|r| -duals[r.0]).collect();
        Prices::new(self.classes, &worth)
    }

    /// The row that allows no more loads of a class than it has carriers.
    fn convexity_row(&self, class: ClassIx) -> RowIx {
        RowIx(self.first_class.0 + class.0)
    }

    /// The load's reduced value: its price less what its class charges,
    /// relative to that and to one.
    pub fn worth(&self, duals: &[f64], class: ClassIx, load: &Load) -> f64 {
        let worth = |(l, n): &(LinkIx, u32)| -duals[self.links[l.0].0] * f64::from(*n);
        let charge = -duals[self.convexity_row(class).0];
        (load.iter().map(worth).sum::<f64>() - charge) / (1.0 + charge.abs())
    }

    /// The base with loads in parts: each family's carriers as one, every
    /// thing divisible.
    pub fn in_parts(&self, facts: &Facts) -> Model {
        let mut model = self.base.clone();
        let classes = &self.classes.classes;
        for (f, family) in self.classes.families.iter().enumerate() {
            let members = || classes.iter().filter(|k| k.family == FamilyIx(f));
            let limit: f64 = members().map(|k| k.limit as f64 * k.carriers.len() as f64).sum();
            let mut mass = Affine::default();
            for &(link, _) in &family.things {
                // No other limit than the mass: another would take a part of
                // the dual value.
                let units = model.real(0.0, f64::INFINITY);
                model.rows[self.links[link.0]].terms.push((units, -1.0));
                mass.add(units, facts.items[self.classes.links[link].item].mass as f64 / 1e6);
            }
            model.at_most(&mass, limit / 1e6);
        }
        model
    }

    /// Adds a load, unless it is there; whether it was new.
    pub fn add(&mut self, class: ClassIx, load: Load) -> bool {
        let key = (class, load);
        if !self.seen.insert(key.clone()) {
            return false;
        }
        let (class, load) = key;
        let col = self.model.columns.len();
        // No bound of its own beside the convexity row, which else would share
        // its dual.
        let high = 2.0 * self.sizes[class.0] as f64;
        self.model.columns.push(Column { low: 0.0, high, whole: true, grain: 1.0 });
        for (link, n) in &load {
            self.model.rows[self.links[link.0]].terms.push((col, -f64::from(*n)));
        }
        let row = self.convexity_row(class);
        self.model.rows[row].terms.push((col, 1.0));
        self.patterns.push(Pattern { class, load, col });
        true
    }
}
